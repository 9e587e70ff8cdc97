//! The crop table and growth against published figures.

mod climates {
    use bedyear::calendar::{DAYS_PER_YEAR, HOURS_PER_DAY};
    use bedyear::profile::{BedClimate, BedYear};

    /// A made-up bed: yearly and daily waves of air temperature, leaves as the air, a slow root zone, light and day
    /// length by the day of the year.
    pub struct Made {
        pub mean_c: f64,
        pub year_swing_k: f64,
        pub day_swing_k: f64,
        pub light_low: f64,
        pub light_high: f64,
        pub day_short_h: f64,
        pub day_long_h: f64,
    }

    impl Made {
        pub fn climate(&self) -> BedClimate {
            let wave = |day: usize| -(std::f64::consts::TAU * (day as f64 - 14.0) / 365.0).cos();
            let sun = |day: usize| -(std::f64::consts::TAU * (day as f64 + 10.0) / 365.0).cos();
            let air_c: Vec<f64> = (0..DAYS_PER_YEAR * HOURS_PER_DAY)
                .map(|hour| {
                    let clock = (hour % HOURS_PER_DAY) as f64;
                    let day = (std::f64::consts::TAU * (clock - 9.0) / 24.0).sin();
                    self.mean_c
                        + self.year_swing_k * wave(hour / HOURS_PER_DAY)
                        + self.day_swing_k * day
                })
                .collect();
            let root_zone_c = (0..DAYS_PER_YEAR * HOURS_PER_DAY)
                .map(|hour| self.mean_c + self.year_swing_k * wave(hour / HOURS_PER_DAY))
                .collect();
            let year = BedYear {
                leaf_c: air_c.clone(),
                relative_humidity_pct: vec![80.0; air_c.len()],
                air_c,
                root_zone_c,
                light_mol_m2_day: (0..DAYS_PER_YEAR)
                    .map(|day| {
                        let share = 0.5 + 0.5 * sun(day);
                        self.light_low + (self.light_high - self.light_low) * share
                    })
                    .collect(),
            };
            BedClimate {
                name: "made".into(),
                years: vec![year],
                day_length_h: (0..DAYS_PER_YEAR)
                    .map(|day| {
                        self.day_short_h
                            + (self.day_long_h - self.day_short_h) * (0.5 + 0.5 * sun(day))
                    })
                    .collect(),
            }
        }
    }

    /// A cold house at 47 degrees north, made up.
    pub fn cold_house() -> BedClimate {
        Made {
            mean_c: 13.0,
            year_swing_k: 11.0,
            day_swing_k: 6.0,
            light_low: 4.0,
            light_high: 32.0,
            day_short_h: 8.5,
            day_long_h: 16.0,
        }
        .climate()
    }
}

use bedyear::crops::{State, Table, season};

#[test]
fn the_built_in_table_holds_forty_kinds_and_their_varieties() {
    let table = Table::builtin().unwrap();
    assert!(table.len() >= 44, "{} crops", table.len());
    for crop in table.iter() {
        for row in &crop.figures {
            assert!(!row.source.is_empty(), "{}: {}", crop.id, row.key);
        }
    }
}

#[test]
fn a_cold_house_carries_spinach_through_winter_and_tomatoes_through_summer_only() {
    let table = Table::builtin().unwrap();
    let season = season(&table, &[climates::cold_house()]);
    let months = |id: &str| {
        &season
            .crops
            .iter()
            .find(|crop| crop.crop == id)
            .unwrap()
            .months
    };
    assert_eq!(months("spinach")[0].state, State::Stand);
    assert_eq!(months("tomato_indeterminate")[0].state, State::No);
    assert_eq!(months("tomato_indeterminate")[7].state, State::Pick);
}
