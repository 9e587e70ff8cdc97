//! Places that nobody thought of: by their twelve months, hot or cold, lit or dark.

use std::f64::consts::TAU;
use std::fmt::Write;

use proptest::collection::vec;
use proptest::prelude::*;

/// A place by its months.
#[derive(Clone, Debug)]
pub struct Place {
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    mean_c: f64,
    /// Half the difference of the warmest month to the coldest, K.
    swing_k: f64,
    /// Half the daily range, K.
    daily_k: f64,
    sun: Sun,
    months: Option<Vec<(f64, f64)>>,
    reflectance: Option<f64>,
    hills_deg: Option<Vec<f64>>,
}

#[derive(Clone, Debug)]
enum Sun {
    /// Share of the light outside the air that comes through.
    Clearness(f64),
    /// Share of the day on which the sun shines.
    Hours(f64),
    /// kWh/m2 a day, whatever the sky allows.
    Any(Vec<f64>),
}

/// Any place up to 70 degrees north or south, from -50 to +45 °C.
pub fn place() -> impl Strategy<Value = Place> {
    let sun = prop_oneof![
        4 => (0.15..0.8_f64).prop_map(Sun::Clearness),
        4 => (0.0..1.0_f64).prop_map(Sun::Hours),
        1 => vec(0.0..13.0_f64, 12).prop_map(Sun::Any),
    ];
    let ground = (
        prop::option::of(vec((0.0..12.0_f64, 0.15..1.0_f64), 12)),
        prop::option::of(0.05..0.9_f64),
        prop::option::of(vec(0.0..40.0_f64, 4)),
    );
    (
        -70.0..70.0_f64,
        -180.0..180.0_f64,
        0.0..4000.0_f64,
        -30.0..32.0_f64,
        0.0..25.0_f64,
        1.0..10.0_f64,
        sun,
        ground,
    )
        .prop_map(
            |(latitude_deg, longitude_deg, elevation_m, mean_c, swing_k, daily_k, sun, ground)| {
                Place {
                    latitude_deg,
                    longitude_deg,
                    elevation_m,
                    mean_c,
                    swing_k,
                    daily_k,
                    sun,
                    months: ground.0,
                    reflectance: ground.1,
                    hills_deg: ground.2,
                }
            },
        )
}

impl Place {
    /// Writes its sections.
    pub fn write(&self, text: &mut String) {
        let north = self.latitude_deg >= 0.0;
        writeln!(
            text,
            "[site]\nlatitude = {:.3}\nlongitude = {:.3}\nelevation = {:.0}",
            self.latitude_deg, self.longitude_deg, self.elevation_m
        )
        .unwrap();
        if let Some(share) = self.reflectance {
            writeln!(text, "ground_reflectance = {share:.2}").unwrap();
        }
        if let Some(hills) = &self.hills_deg {
            let points: Vec<String> = hills
                .iter()
                .zip([0, 90, 180, 270])
                .map(|(up, azimuth)| format!("[{azimuth}, {up:.1}]"))
                .collect();
            writeln!(text, "horizon = [{}]", points.join(", ")).unwrap();
        }
        let warm = |month: usize| {
            let season = -(TAU * (month as f64 - 0.5) / 12.0).cos();
            self.mean_c + if north { 1.0 } else { -1.0 } * self.swing_k * season
        };
        let row = |name: &str, of: &dyn Fn(usize) -> f64| {
            let values: Vec<String> = (0..12).map(|month| format!("{:.2}", of(month))).collect();
            format!("{name} = [{}]\n", values.join(", "))
        };
        text.push_str("[site.months]\n");
        text.push_str(&row("max", &|m| {
            (warm(m) + self.daily_k).clamp(-50.0, 45.0)
        }));
        text.push_str(&row("min", &|m| {
            (warm(m) - self.daily_k).clamp(-50.0, 45.0)
        }));
        text.push_str(&match &self.sun {
            Sun::Clearness(share) => row("sun", &|m| {
                (share * self.outside_kwh_m2(m)).clamp(0.0, 13.0)
            }),
            Sun::Hours(share) => row("sun_hours", &|m| (share * self.day_h(m)).clamp(0.0, 24.0)),
            Sun::Any(days) => row("sun", &|m| days[m]),
        });
        if let Some(months) = &self.months {
            text.push_str(&row("wind", &|m| months[m].0));
            text.push_str(&row("humidity", &|m| months[m].1));
        }
    }

    /// Declination in the middle of a month and half the day's arc, radians (FAO-56, equations 24 and 25).
    fn arc(&self, month: usize) -> (f64, f64) {
        let day = 15.2 + 30.4 * month as f64;
        let declination = 0.409 * (TAU * day / 365.0 - 1.39).sin();
        let cos = -self.latitude_deg.to_radians().tan() * declination.tan();
        (declination, cos.clamp(-1.0, 1.0).acos())
    }

    fn day_h(&self, month: usize) -> f64 {
        24.0 / std::f64::consts::PI * self.arc(month).1
    }

    /// Sunlight above the air on level ground, kWh/m2 a day (FAO-56, equation 21, distance of the sun left out).
    fn outside_kwh_m2(&self, month: usize) -> f64 {
        let (declination, arc) = self.arc(month);
        let latitude = self.latitude_deg.to_radians();
        24.0 / std::f64::consts::PI
            * 1.361
            * (arc * latitude.sin() * declination.sin()
                + latitude.cos() * declination.cos() * arc.sin())
    }
}
