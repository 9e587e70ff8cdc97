//! Carbon dioxide of the air inside: what leaks and vents bring, what soil and leaves breathe out, what leaves take up.
//!
//! Mass of carbon dioxide in the room, per square metre of floor, hour by hour and implicitly:
//!
//! ```text
//! V k (C - C') = V k n (Co - C) + soil + leaves' breath - a f(C)
//! ```
//!
//! `V` is the height of the air (m), `k` the mass of a millionth (g/m3), `n` air changes (1/h), `Co` outdoors, `a` what leaves would
//! take up in outdoor air, and `f(C)` the share of it that they take up in this air. What is eaten up by day is what the standing
//! crop of the house eats, the one that also gives off its vapour: beds half grown over, not any one planting.

use super::{House, HouseYear};
use crate::air::ZERO_CELSIUS_K;
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY, SECONDS_PER_HOUR, month_of_day};

/// Dry mass that a mole of light gives in dim light, g/mol in outdoor air.
///
/// Lettuce with carbon dioxide added makes 1.01, 0.87 and 0.76 g/mol at 11.5, 23 and 43 mol (Carotti et al. 2021, Front. Plant
/// Sci. 11:592171, read), an upper end; field crops 0.44 to 0.61 g/mol at about 40 mol (from memory), which this and the
/// next give as 0.49.
const G_PER_MOL: f64 = 1.05;
/// Light at which half of that is left, mol/m2/day (from the same).
const HALF_MOL_M2_DAY: f64 = 35.0;
/// Upkeep of living mass at 20 °C, 1/day (from memory: maintenance of leaves 0.01 to 0.03 g/g).
const UPKEEP_AT_20: f64 = 0.012;

/// Carbon dioxide outdoors, ppm (mean of the earth's air in 2023, from memory; published light uses are of 350 to 420).
pub const OUTDOORS_PPM: f64 = 420.0;
/// Carbon dioxide bound for a gram of dry mass, g: 1.46 g of sugar for a gram of leaves (Penning de Vries, from memory), 44 g for 30 of it.
const BOUND_PER_G: f64 = 2.1;
/// The part of it that building the gram breathes out again, over day and night, g: 0.41 g of carbon stay in a gram of leaf (from
/// memory).
const BUILDING_PER_G: f64 = 0.6;
/// Carbon dioxide that a gram of dry mass burnt for upkeep gives, g (the rest of that).
const BURNT_PER_G: f64 = BOUND_PER_G - BUILDING_PER_G;
/// Living dry mass of a square metre of leaves with all that belongs to it, g (own choice: twice the leaves' own).
const G_PER_LEAF_M2: f64 = 50.0;
/// Leaf temperatures between which photosynthesis rises and falls, °C, as those of leaf crops.
const NONE_FULL_FULL_NONE_C: [f64; 4] = [0.0, 12.0, 27.0, 37.0];

/// What the soil of a vegetable bed breathes out at 14 °C, g/m2 in the hour, and how many times as much for 10 K more: 40 to 50 kg/ha a
/// day at 14 °C, 6 to 12 at 4 °C, 170 to 210 at 27 °C (Blanke & Bacher 1997, Z. Pflanzenernähr. Bodenk. 160:485, plots in greenhouse
/// and field near Bonn, abstract read). Paths are taken as bare of humus.
const SOIL_G_M2_H: (f64, f64, f64) = (0.19, 14.0, 2.5);

/// Least air change that is reckoned with, 1/h: no house that people build is tighter (dwellings built to be tight change some 0.05, from memory).
const LEAST_CHANGES_PER_H: f64 = 0.05;

/// Carbon dioxide within the leaf against that of the air (C3 plants about 0.7, from memory).
const INSIDE_LEAF: f64 = 0.7;
/// Carbon dioxide within the leaf at which photorespiration takes all, ppm at 25 °C, and its rise with temperature, J/mol
/// (Bernacchi et al. 2001, Plant Cell Environ. 24:253: 42.75 and 37,830, by a page that cites it, read).
const GAMMA_PPM: f64 = 42.75;
const GAMMA_J_MOL: f64 = 37_830.0;
/// Gas constant, J/mol K.
const GAS_J_MOL_K: f64 = 8.314;
/// Molar mass of carbon dioxide, kg/mol: with the pressure in kPa it gives g/m3 for each ppm.
const KG_PER_MOL: f64 = 0.044_01;

/// Dry mass that a stand which covers the ground gains from a day's light at its best temperatures in outdoor air, g/m2.
///
/// A hyperbola, never a switch.
pub fn supply_g_m2(light_mol_m2_day: f64) -> f64 {
    G_PER_MOL * light_mol_m2_day / (1.0 + light_mol_m2_day / HALF_MOL_M2_DAY)
}

/// Dry mass that a gram loses to upkeep in a day at a mean temperature, 1/day: twice as much for 10 K more.
///
/// A closed stand breaks even near 1.8 mol/m2/day at 20 °C and 1.4 at 5 °C; so the dark is a standstill without a switch.
pub fn upkeep(leaf_c: f64) -> f64 {
    UPKEEP_AT_20 * ((leaf_c - 20.0) / 10.0).exp2()
}

/// Carbon dioxide of the air at which leaves take up nothing, ppm.
fn nothing_at_ppm(leaf_c: f64) -> f64 {
    let kelvin = leaf_c + ZERO_CELSIUS_K;
    let steps = GAMMA_J_MOL / GAS_J_MOL_K * (1.0 / (25.0 + ZERO_CELSIUS_K) - 1.0 / kelvin);
    GAMMA_PPM * steps.exp() / INSIDE_LEAF
}

/// Photosynthesis in dim light in air of some carbon dioxide against that in outdoor air, by the one at which it is nothing.
///
/// # Source
/// Farquhar, von Caemmerer & Berry 1980, Planta 149:78 (form from memory): light spent on carbon and not on oxygen.
fn uptake_share(ppm: f64, none_ppm: f64) -> f64 {
    let of = |ppm: f64| (ppm - none_ppm) / (ppm + 2.0 * none_ppm);
    of(ppm) / of(OUTDOORS_PPM)
}

/// The air of a house as its carbon dioxide knows it, all per square metre of floor.
struct Room<'h> {
    house: &'h House,
    /// Height of the air, m.
    height_m: f64,
    volume_m3: f64,
    pressure_kpa: f64,
    bed_share: f64,
}

/// What a day brings besides air, per square metre of floor.
struct Day {
    /// Breath of soil and leaves, g in the hour.
    breath_g_h: f64,
    /// Uptake in outdoor air for each mole of the day's light at good temperatures, g/mol.
    uptake_g_mol: f64,
}

impl Room<'_> {
    fn day(&self, year: &HouseYear, day: usize) -> Day {
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let mean =
            |column: &[f64]| column[hours.clone()].iter().sum::<f64>() / HOURS_PER_DAY as f64;
        let leaf_area = self.house.canopy.leaf_area_index[month_of_day(day)];
        let covered = self.bed_share * cover(leaf_area / self.bed_share);
        let light = year.light_mol_m2_h[hours.clone()].iter().sum::<f64>();
        let gain_g = covered * supply_g_m2(light);
        let burnt_g = G_PER_LEAF_M2 * leaf_area * upkeep(mean(&year.leaf_c));
        let (soil_g, at_c, tenfold) = SOIL_G_M2_H;
        let soil_g =
            self.bed_share * soil_g * tenfold.powf((mean(&year.root_zone_c) - at_c) / 10.0);
        Day {
            breath_g_h: soil_g
                + (BUILDING_PER_G * gain_g + BURNT_PER_G * burnt_g) / HOURS_PER_DAY as f64,
            uptake_g_mol: BOUND_PER_G * gain_g / light.max(f64::MIN_POSITIVE),
        }
    }

    /// Carbon dioxide at the end of an hour, and what leaves take up in it in this air and would in outdoor air.
    fn hour(&self, year: &HouseYear, at: usize, before_ppm: f64, day: &Day) -> (f64, f64, f64) {
        let leaf_c = year.leaf_c[at];
        let fan_m3_s = self.house.air.scheduled_fan.as_ref();
        let blown_m3_s = year.vent_m3_s[at] + fan_m3_s.map_or(0.0, |fan| fan.flow_m3_s.at(at));
        let changes = (year.infiltration_per_h[at]
            + blown_m3_s * SECONDS_PER_HOUR / self.volume_m3)
            .max(LEAST_CHANGES_PER_H);
        let g_m3 =
            KG_PER_MOL * self.pressure_kpa / (GAS_J_MOL_K * (year.air_c[at] + ZERO_CELSIUS_K));
        let held = self.height_m * g_m3;
        let (holds, brought) = (
            held * (1.0 + changes),
            held * (before_ppm + changes * OUTDOORS_PPM) + day.breath_g_h,
        );
        let asked = day.uptake_g_mol * year.light_mol_m2_h[at] * warm_share(leaf_c);
        if asked <= 0.0 {
            return (brought / holds, 0.0, 0.0);
        }
        // holds C + asked f(C) = brought: a quadratic with one root above nothing.
        let none = nothing_at_ppm(leaf_c);
        let scale = asked * (OUTDOORS_PPM + 2.0 * none) / (OUTDOORS_PPM - none);
        let half = 0.5 * (2.0 * none * holds - brought + scale);
        let rest = none * (2.0 * brought + scale);
        let ppm = ((half * half + holds * rest).sqrt() - half) / holds;
        (ppm, asked * uptake_share(ppm, none), asked)
    }
}

/// Share of full photosynthesis that leaf temperature allows.
fn warm_share(leaf_c: f64) -> f64 {
    let [none, full, still, none_from] = NONE_FULL_FULL_NONE_C;
    let rising = (leaf_c - none) / (full - none);
    rising
        .min((none_from - leaf_c) / (none_from - still))
        .clamp(0.0, 1.0)
}

/// Share of the light that leaves catch.
fn cover(leaf_m2_m2: f64) -> f64 {
    /// Extinction coefficient of leaves, as of the crops' (0.6 to 0.8, from memory).
    const EXTINCTION: f64 = 0.7;
    1.0 - (-EXTINCTION * leaf_m2_m2).exp()
}

/// Works out the carbon dioxide of a year's hours, and the share of photosynthesis that it leaves to each day.
pub(super) fn breathe(house: &House, pressure_kpa: f64, year: &mut HouseYear) {
    let bed_share = house.canopy.bed_share;
    let floor_m2 = house.floor.as_ref().map_or(0.0, |floor| floor.area_m2);
    let mut ppm = std::mem::take(&mut year.carbon_dioxide_ppm);
    let mut shares = std::mem::take(&mut year.carbon_share);
    if bed_share > 0.0 && floor_m2 > 0.0 {
        let room = Room {
            house,
            height_m: house.air.volume_m3 / floor_m2,
            volume_m3: house.air.volume_m3,
            pressure_kpa,
            bed_share,
        };
        let mut now_ppm = OUTDOORS_PPM;
        for day in 0..DAYS_PER_YEAR {
            let brings = room.day(year, day);
            let (mut taken, mut asked) = (0.0, 0.0);
            for at in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
                let hour = room.hour(year, at, now_ppm, &brings);
                now_ppm = hour.0;
                ppm[at] = now_ppm;
                taken += hour.1;
                asked += hour.2;
            }
            shares[day] = if asked > 0.0 { taken / asked } else { 1.0 };
        }
    }
    year.carbon_dioxide_ppm = ppm;
    year.carbon_share = shares;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Growers' rule for tomato, cucumber and sweet pepper: 100 ppm more add 1.5 (1000/C)^2 % (Nederhoff 1994, from memory; seen before
    /// the form was chosen), which adds up to exp(-150/C); a warm leaf keeps to it within 0.05 of the whole.
    #[test]
    fn a_warm_leaf_follows_the_growers_rule() {
        let rule = |ppm: f64| (-150.0 / ppm + 150.0 / OUTDOORS_PPM).exp();
        for ppm in [200.0, 250.0, 300.0, 350.0, 420.0, 600.0] {
            let own = uptake_share(ppm, nothing_at_ppm(25.0));
            assert!(
                (own - rule(ppm)).abs() < 0.05,
                "{ppm}: {own:.3} {:.3}",
                rule(ppm)
            );
        }
        // Cold leaves lose less: photorespiration falls with warmth.
        assert!(
            uptake_share(200.0, nothing_at_ppm(8.0)) > uptake_share(200.0, nothing_at_ppm(25.0))
        );
    }
}
