//! Undisturbed ground against independent computations and weather file headers.

use bedyear::site::UndisturbedGround;
use bedyear::site::ground::{DIFFUSIVITY_EPW_HEADER_M2_DAY, HeaderGround};

use super::common::{number, shelf, table};

/// Kusuda & Achenbach (1965), rows computed by another program.
#[test]
fn kusuda_rows() {
    for row in table(include_str!("../reference/site_ground_kusuda.csv")) {
        let ground = UndisturbedGround {
            mean_c: number(&row, 0),
            amplitude_k: number(&row, 1),
            coldest_day: number(&row, 2),
            diffusivity_m2_day: number(&row, 3),
        };
        let got = ground.temp_c(number(&row, 4), number(&row, 5));
        assert!((got - number(&row, 6)).abs() < 0.05, "{row:?}: {got}");
    }
}

/// Header values of 12 open files are depth means of one wave: the fit finds it, the wave gives them back.
#[test]
fn header_waves() {
    const DAYS: [f64; 12] = [
        15.0, 46.0, 74.0, 95.0, 135.0, 166.0, 196.0, 227.0, 258.0, 288.0, 319.0, 349.0,
    ];
    let rows = table(include_str!("../reference/site_ground_header.csv"));
    assert_eq!(rows.len(), 36);
    for place in rows.chunks_exact(3) {
        let depths: Vec<HeaderGround> = place
            .iter()
            .map(|row| HeaderGround {
                depth_m: number(row, 1),
                monthly_c: std::array::from_fn(|month| number(row, 5 + month)),
            })
            .collect();
        let fitted = UndisturbedGround::fit_header(&depths).unwrap();
        let name = &place[0][0];
        assert!(
            (fitted.mean_c - number(&place[0], 2)).abs() < 0.02,
            "{name}"
        );
        assert!(
            (fitted.amplitude_k - number(&place[0], 3)).abs() < 0.02,
            "{name}"
        );
        assert!(
            (fitted.coldest_day - number(&place[0], 4)).abs() < 0.1,
            "{name}"
        );
        assert_eq!(fitted.diffusivity_m2_day, DIFFUSIVITY_EPW_HEADER_M2_DAY);
        for depth in &depths {
            for (month, day) in DAYS.iter().enumerate() {
                let got = fitted.mean_to_depth_c(depth.depth_m, *day);
                assert!(
                    (got - depth.monthly_c[month]).abs() < 0.05,
                    "{name} month {month}"
                );
            }
        }
    }
}

/// The closed mean to a depth equals a sum over thin layers.
#[test]
fn depth_mean_is_the_integral() {
    let ground = UndisturbedGround {
        mean_c: 4.0,
        amplitude_k: 15.0,
        coldest_day: 25.0,
        diffusivity_m2_day: 0.05,
    };
    for depth in [0.0, 0.3, 1.0, 4.0] {
        let layers = 4000;
        let sum: f64 = (0..layers)
            .map(|layer| ground.temp_c(depth * (f64::from(layer) + 0.5) / f64::from(layers), 100.0))
            .sum();
        let got = ground.mean_to_depth_c(depth, 100.0);
        assert!((got - sum / f64::from(layers)).abs() < 1e-4);
    }
}

/// The monthly columns of twelve weather files' headers beside the wave of the same files' air.
///
/// The columns are computed from air temperature too, know no snow, and have their coldest surface on the first days of
/// months (3.9, 34.9, 65.9: steps of 31), 12 to 50 days after the air's. With the day taken from the column, the wave of the
/// air lies within 1.5 K of every month and depth at all twelve; with the snow rule at seven of them, Helena at
/// 1.6. The four with lasting snow (Prince George, Whitehorse, Fairbanks, Churchill) lie up to 4 to 11 K above the column in
/// winter, which is what snow does: turf under it freezes by half of the air's frost (TM 5-852-4, table 4-1, read).
#[test]
fn header_columns_beside_the_wave_of_the_air() {
    let rows = table(include_str!("../reference/site_ground_header.csv"));
    let (mut by_air, mut by_surface) = (0, 0);
    for depths in rows.chunks_exact(3) {
        let name = &depths[0][0];
        let year = bedyear::site::typical_year(&shelf(name), 2027);
        let off = |ground: UndisturbedGround| -> f64 {
            let ground = UndisturbedGround {
                coldest_day: number(&depths[0], 4),
                diffusivity_m2_day: DIFFUSIVITY_EPW_HEADER_M2_DAY,
                ..ground
            };
            depths
                .iter()
                .flat_map(|row| {
                    (0..12).map(move |month| {
                        let day = [15, 46, 74, 95, 135, 166, 196, 227, 258, 288, 319, 349][month];
                        let got = ground.mean_to_depth_c(number(row, 1), f64::from(day));
                        (got - number(row, 5 + month)).abs()
                    })
                })
                .fold(0.0, f64::max)
        };
        let daily = year.daily_mean_temp_c();
        let air = off(UndisturbedGround::from_daily(
            &daily,
            DIFFUSIVITY_EPW_HEADER_M2_DAY,
        ));
        let surface = off(UndisturbedGround::from_weather(
            &year,
            DIFFUSIVITY_EPW_HEADER_M2_DAY,
        ));
        println!("{name}: {air:.1} K by the air, {surface:.1} K with snow");
        by_air += usize::from(air <= 1.5);
        by_surface += usize::from(surface <= 1.5);
    }
    assert!(by_air == 12 && by_surface >= 7, "{by_air} {by_surface}");
}

/// Snow that lasts warms the ground of a cold place and leaves that of a warm one as it is.
#[test]
fn lasting_snow_warms() {
    let of = |name: &str| {
        let year = bedyear::site::typical_year(&shelf(name), 2027);
        let air = UndisturbedGround::from_daily(&year.daily_mean_temp_c(), 0.05);
        let ground = UndisturbedGround::from_weather(&year, 0.05);
        ground.mean_c - air.mean_c
    };
    assert_eq!(of("miami"), 0.0);
    assert!((1.0..6.0).contains(&of("fairbanks")));
}
