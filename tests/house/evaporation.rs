//! What leaves give off against crops measured in plastic-covered winter houses.

use super::envelope::settled;
use super::golden;
use super::shapes::tunnel;
use bedyear::calendar::HOURS_PER_DAY;
use bedyear::house::*;
use bedyear::sun::bed_light::PHOTONS_MOL_MJ;
use bedyear::value::water::{Day, reference_mm};

/// Share of the sun that the reference crop throws back (FAO-56).
const REFERENCE_ALBEDO: f64 = 0.23;
/// Net long-wave loss under a cover of about the air's temperature, MJ/m2/day (own assumption: 5 W/m2).
const LONG_WAVE_MJ: f64 = 0.4;

/// Transpiration over reference evapotranspiration by the air inside, days of a span: basal crop coefficient.
fn basal_coefficient(leaf_area: f64, days: std::ops::Range<usize>) -> (f64, f64, f64) {
    let sky = golden::hours();
    let mut house = tunnel();
    house.floor.as_mut().unwrap().wet_share = 0.0;
    house.canopy = Canopy {
        leaf_area_index: [leaf_area; 12],
        transpires: true,
        bed_share: 1.0,
        ..Canopy::default()
    };
    // The houses of the measurements stayed above some 10 °C by their walls and curtains.
    house.heater = Some(Heater {
        set_point_c: Schedule::Constant(12.0),
        capacity_w: f64::INFINITY,
        energy: EnergySource::Electricity,
        efficiency: 1.0,
        ..Heater::default()
    });
    let area_m2 = house.floor.as_ref().unwrap().area_m2;
    let year = settled(&house, &sky);
    let (mut given_mm, mut reference, mut sun_mj) = (0.0, 0.0, 0.0);
    let count = days.len() as f64;
    for day in days {
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let air = &year.air_c[hours.clone()];
        let mean = |column: &[f64]| column[hours.clone()].iter().sum::<f64>() / 24.0;
        let vapour_kpa = hours
            .clone()
            .map(|hour| {
                bedyear::air::saturation_vapour_pressure_kpa(year.air_c[hour])
                    * year.relative_humidity_pct[hour]
                    / 100.0
            })
            .sum::<f64>()
            / 24.0;
        let sun = year.light_mol_m2_h[hours.clone()].iter().sum::<f64>() / PHOTONS_MOL_MJ;
        given_mm += year.evaporation_kg[hours.clone()].iter().sum::<f64>() / area_m2;
        sun_mj += sun;
        reference += reference_mm(&Day {
            max_c: air.iter().copied().fold(f64::MIN, f64::max),
            min_c: air.iter().copied().fold(f64::MAX, f64::min),
            vapour_kpa,
            // Hardly any wind inside.
            wind_2m_m_s: 0.1,
            net_radiation_mj: (1.0 - REFERENCE_ALBEDO) * sun - LONG_WAVE_MJ,
            soil_heat_mj: 0.0,
            pressure_kpa: mean(&sky.weather.pressure_pa) / 1000.0,
        });
    }
    (given_mm / reference, given_mm / count, sun_mj / count)
}

/// Tomato with 2 to 2.5 m2 of leaves a m2 in a plastic-covered winter house at Beijing (40 degrees north, as Golden): sap flow
/// over the reference by the air inside 1.06, 1.11 and 0.99 in three winters (Water 2022, 14:2410, read); in another house
/// there 1.15 to 1.43 in autumn and winter, 0.91 to 0.92 in spring and summer (Agriculture 2022, 12:260, read). Neither
/// gives its hours, so the like climate of Golden stands in; goal within 20 % of the mean of the first three.
/// These measurements were seen when the stomata's answer to dry air was chosen between two published ones; the leaf's air
/// layer follows from its heat. Before: 1.00 in winter and 0.67 in spring, 27 % too little; now 1.19 and 0.78.
#[test]
fn a_tomato_crop_in_winter() {
    const MEASURED: f64 = (1.06 + 1.11 + 0.99) / 3.0;
    let (winter, mm, sun_mj) = basal_coefficient(2.25, 319..365);
    let (spring, spring_mm, spring_mj) = basal_coefficient(2.25, 90..151);
    println!(
        "winter {winter:.2} ({mm:.2} mm a day of {sun_mj:.1} MJ), spring {spring:.2} ({spring_mm:.2} mm a day of {spring_mj:.1} MJ)"
    );
    assert!((winter / MEASURED - 1.0).abs() < 0.2, "{winter}");
    assert!((spring / 0.915 - 1.0).abs() < 0.2, "{spring}");
}
