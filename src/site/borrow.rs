//! What a person's twelve months lack is borrowed from the nearest place, and said.

use super::normals::{Monthly, Normals, Spread};

/// Distance that counts as much as one kelvin of difference in the monthly means, km (own assumption).
const KM_PER_K: f64 = 400.0;

impl Normals {
    /// Fills what is missing from the nearest place of `shelf` and says so, one sentence each.
    ///
    /// Nearest in distance and in climate: 400 kilometres weigh as much as one kelvin of mean difference
    /// of the monthly temperatures. From the other hemisphere months are taken half a year apart.
    pub fn complete(self, shelf: &[Normals]) -> (Normals, Vec<String>) {
        let mut own = self;
        let mut notes = Vec::new();
        let Some(lender) = nearest(&own, shelf) else {
            return (own, notes);
        };
        let turned = (own.place.latitude_deg < 0.0) != (lender.place.latitude_deg < 0.0);
        let turn = |monthly: &Monthly| {
            if turned {
                half_year_on(monthly)
            } else {
                *monthly
            }
        };
        let mut note = |what: &str| {
            let apart = if turned {
                ", months half a year apart"
            } else {
                ""
            };
            notes.push(format!(
                "{what} borrowed from {} ({:.0} km away{apart})",
                lender.place.name,
                own.place.distance_km(&lender.place)
            ));
        };
        if own.wind_m_s.is_none() && lender.wind_m_s.is_some() {
            note("wind");
            own.wind_m_s = lender.wind_m_s.as_ref().map(turn);
        }
        if own.relative_humidity_pct.is_none() && lender.relative_humidity_pct.is_some() {
            note("humidity");
            own.relative_humidity_pct = lender.relative_humidity_pct.as_ref().map(turn);
        }
        if own.spread.is_none() && lender.spread.is_some() {
            note("how days differ from the month's mean is");
            own.spread = lender.spread.as_ref().map(|spread| Spread {
                temp_daily_sd_k: turn(&spread.temp_daily_sd_k),
                temp_daily_lag1: turn(&spread.temp_daily_lag1),
                clearness_daily_sd: turn(&spread.clearness_daily_sd),
                clearness_daily_lag1: spread.clearness_daily_lag1.as_ref().map(turn),
                temp_clearness_correlation: spread.temp_clearness_correlation.as_ref().map(turn),
                range_clearness_correlation: spread.range_clearness_correlation.as_ref().map(turn),
                range_daily_cv: spread.range_daily_cv.as_ref().map(turn),
            });
        }
        (own, notes)
    }
}

/// The place of the shelf that is most like another in distance and monthly temperature.
fn nearest<'a>(own: &Normals, shelf: &'a [Normals]) -> Option<&'a Normals> {
    shelf
        .iter()
        .filter(|other| other.spread.is_some())
        .map(|other| (unlikeness(own, other), other))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, other)| other)
}

fn unlikeness(own: &Normals, other: &Normals) -> f64 {
    let turned = (own.place.latitude_deg < 0.0) != (other.place.latitude_deg < 0.0);
    let theirs = if turned {
        half_year_on(&other.monthly_mean_c())
    } else {
        other.monthly_mean_c()
    };
    let apart_k = own
        .monthly_mean_c()
        .iter()
        .zip(&theirs)
        .map(|(a, b)| (a - b).abs())
        .sum::<f64>()
        / 12.0;
    apart_k + own.place.distance_km(&other.place) / KM_PER_K
}

fn half_year_on(monthly: &Monthly) -> Monthly {
    std::array::from_fn(|month| monthly[(month + 6) % 12])
}
