//! Estimated climates against places that are known, with their own stations left out.

use bedyear::site::places::{self, Found, Spot};
use bedyear::site::{Cold, Normals, YearSource, climates, weather_years};

/// Stations nearer than this are a place's own, km.
const OWN_KM: f64 = 10.0;

fn shelf() -> Vec<Normals> {
    climates::shelf()
}

fn estimated(normals: &Normals) -> places::Estimate {
    let place = &normals.place;
    let spot = Spot {
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        elevation_m: Some(place.elevation_m),
    };
    places::estimate(&spot, OWN_KM).unwrap()
}

#[test]
#[ignore = "prints a table"]
fn look() {
    for known in shelf() {
        let Ok(found) = std::panic::catch_unwind(|| estimated(&known)) else { println!("{} none", known.place.name); continue };
        let e = &found.normals;
        let diff = |a: &[f64; 12], b: &[f64; 12]| -> (f64, f64) {
            let d: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
            (d.iter().sum::<f64>() / 12.0, d.iter().map(|d| d.abs()).sum::<f64>() / 12.0)
        };
        let s = known.spread.as_ref().unwrap();
        let es = e.spread.as_ref().unwrap();
        let years = |n: &Normals, d: bool| {
            let mut n = n.clone();
            if !d { n.design = None; }
            Cold::of(&weather_years(&YearSource::Normals(Box::new(n)), 20, 1, 2027)).unwrap()
        };
        let (ye, yk) = (years(e, true), years(&known, true));
        let t = known.design.unwrap();
        println!("{:22} {:4.0} km err {:.1} mean {:+.2?} max {:+.2?} min {:+.2?} sun {:+.2?} rh {:+.1?} wind {:+.1?} sd {:+.2?} | 99.6 header {:.1} years est {:.1} known {:.1} | min header {:.1} sd {:.1} est {:.1} known {:.1}",
            known.place.name, found.basis.nearest_station_km, found.basis.mean_error_k,
            diff(&e.temp_mean_c.unwrap(), &known.temp_mean_c.unwrap()), diff(&e.temp_max_c, &known.temp_max_c), diff(&e.temp_min_c, &known.temp_min_c),
            diff(&e.ghi_kwh_m2_day.unwrap(), &known.ghi_kwh_m2_day.unwrap()), diff(&e.relative_humidity_pct.unwrap(), &known.relative_humidity_pct.unwrap()),
            diff(&e.wind_m_s.unwrap(), &known.wind_m_s.unwrap()), diff(&es.temp_daily_sd_k, &s.temp_daily_sd_k),
            t.heating_99_6_c, ye.hours_99_6_c, yk.hours_99_6_c, t.yearly_min_mean_c.unwrap_or(f64::NAN), t.yearly_min_sd_k.unwrap_or(f64::NAN), ye.yearly_min_mean_c, yk.yearly_min_mean_c);
    }
    for name in ["Bozeman", "Bozeman, Montana", "Bozeman MT", "Innsbruck AT", "Tromso", "Springfield", "Springfield, Illinois", "Wien", "Bozemann", "St Johns, Canada", "Vienna", "Saint Petersburg", "Paris", "Dawson City", "Helena MT"] {
        let started = std::time::Instant::now();
        let found = places::find(name);
        let said = match found { Found::One(t, o) => format!("{} ({} {} {}) +{}", t.in_full(), t.latitude_deg, t.longitude_deg, t.utc_offset_h(), o.len()), Found::Several(t) => format!("several {}: {}", t.len(), t[0].in_full()), Found::None(t) => format!("none; {:?}", t.iter().map(|t| t.in_full()).collect::<Vec<_>>()) };
        println!("{name}: {said} {:?}", started.elapsed());
    }
}
