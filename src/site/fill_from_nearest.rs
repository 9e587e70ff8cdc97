//! What a person's twelve months lack is borrowed from places of like climate, and said.

use nalgebra::{SMatrix, SVector};

use super::normals::{Monthly, Normals, Spread};
use crate::numbers::{highest, lowest, mean};

/// Places whose days stand in for a place's own.
const LENDERS: usize = 3;
/// Least yearly range that the rule of the spread is used with, K; near the equator it would go to nothing.
const LEAST_YEARLY_RANGE_K: f64 = 2.0;

/// The figures by which climates are alike: warmest less coldest month, K; mean of the days' maxima less minima, K; latitude
/// without its sign, degrees; mean relative humidity, %, which tells how dry it is: nothing where it is not known.
type ClimateKind = [Option<f64>; 4];

/// The kind of a place's climate.
fn kind_of(normals: &Normals) -> ClimateKind {
    let (low, high) = extremes(&normals.monthly_mean_c());
    [
        Some(high - low),
        Some(mean(&normals.temp_max_c) - mean(&normals.temp_min_c)),
        Some(normals.place.latitude_deg.abs()),
        normals.relative_humidity_pct.map(|pct| mean(&pct)),
    ]
}

/// Squared distance in units of `scale`, figure by figure; what one of the two does not know does not count.
fn unlikeness(one: &ClimateKind, other: &ClimateKind, scale: &[f64; 4]) -> f64 {
    let pairs = one.iter().zip(other).zip(scale);
    pairs
        .filter_map(|((a, b), scale)| Some((((*a)? - (*b)?) / scale).powi(2)))
        .sum()
}

/// How much days differ from their month's mean temperature, told by the climate's monthly means and latitude.
///
/// The logarithm of the daily standard deviation is linear in the logarithm of the yearly range, in the coldness of the
/// month (0 the warmest, 1 the coldest) and in the latitude; neighbouring days have one correlation in all months. Form
/// and figures are our own, fitted to the spread of the places on file: each of the twelve left out in turn, the standard
/// deviation of a month comes back within 0.9 K on average, about what the chance of the single years that they are
/// computed from leaves (10 to 15 % of 4 K, and more where a month's days are alike).
#[derive(Clone, Copy, Debug, PartialEq)]
struct SpreadRule {
    coefficients: [f64; 4],
    /// Correlation of neighbouring days' mean temperature, in any month.
    lag1: f64,
    /// Coldest hour that can be, less the mean of the coldest month's daily minima: at no oceanity, and for each unit.
    coldest: Option<[f64; 2]>,
}

impl SpreadRule {
    /// The rule of some places; nothing if they are too few or too much alike to fix it.
    pub fn of(places: &[Normals]) -> Option<Self> {
        let known = || {
            let spreads = places
                .iter()
                .map(|normals| (normals, normals.spread.as_ref()));
            spreads.filter_map(|(normals, spread)| Some((normals, spread?)))
        };
        let rows = known().flat_map(|(normals, spread)| {
            let rows = predictors(normals.place.latitude_deg, &normals.monthly_mean_c());
            rows.into_iter().zip(spread.temp_daily_sd_k)
        });
        let of_coldest = places.iter().filter_map(|normals| {
            let coldest_c = normals.design?.coldest_possible_c()?;
            let above_k = coldest_c - extremes(&normals.temp_min_c).0;
            Some(([1.0, oceanity(normals)], above_k))
        });
        let lags: Vec<f64> = known().flat_map(|(_, of)| of.temp_daily_lag1).collect();
        Some(Self {
            coefficients: least_squares(
                rows.filter(|(_, sd)| *sd > 0.0)
                    .map(|(row, sd)| (row, sd.ln())),
            )?,
            lag1: mean(&lags),
            coldest: least_squares(of_coldest),
        })
    }

    /// Standard deviation of the daily mean temperature about each month's own mean, K, for a latitude (degrees) and
    /// monthly mean temperatures (°C).
    pub fn temp_daily_sd_k(&self, latitude_deg: f64, monthly_mean_c: &Monthly) -> Monthly {
        predictors(latitude_deg, monthly_mean_c).map(|row| {
            row.iter()
                .zip(&self.coefficients)
                .map(|(a, b)| a * b)
                .sum::<f64>()
                .exp()
        })
    }

    /// The coldest hour that can be, °C, for a place's monthly figures; nothing where no place had yearly extremes.
    pub fn coldest_possible_c(&self, normals: &Normals) -> Option<f64> {
        let [least, by_oceanity] = self.coldest?;
        let coldest_c = extremes(&normals.temp_min_c).0;
        Some(coldest_c + least + by_oceanity * oceanity(normals))
    }
}

/// The factors of each row's figures that come nearest to the rows' values by least squares; nothing where they are not fixed.
fn least_squares<const N: usize>(rows: impl Iterator<Item = ([f64; N], f64)>) -> Option<[f64; N]> {
    let mut normal = SMatrix::<f64, N, N>::zeros();
    let mut right = SVector::<f64, N>::zeros();
    for (row, value) in rows {
        let row = SVector::from(row);
        normal += row * row.transpose();
        right += row * value;
    }
    Some(normal.cholesky()?.solve(&right).into())
}

/// Autumn less spring over the yearly range: water lags behind the sun, land hardly.
fn oceanity(normals: &Normals) -> f64 {
    const APRIL: usize = 3;
    const OCTOBER: usize = 9;
    let means = normals.monthly_mean_c();
    let (low, high) = extremes(&means);
    let later = means[OCTOBER] - means[APRIL];
    let sign = if normals.place.latitude_deg < 0.0 {
        -1.0
    } else {
        1.0
    };
    sign * later / (high - low).max(LEAST_YEARLY_RANGE_K)
}

fn extremes(monthly: &Monthly) -> (f64, f64) {
    (lowest(monthly), highest(monthly))
}

fn predictors(latitude_deg: f64, monthly_mean_c: &Monthly) -> [[f64; 4]; 12] {
    let (low, high) = extremes(monthly_mean_c);
    let range_k = (high - low).max(LEAST_YEARLY_RANGE_K);
    monthly_mean_c.map(|mean| {
        let coldness = (high - mean) / range_k;
        [1.0, range_k.ln(), coldness, latitude_deg.abs() / 90.0]
    })
}

impl Normals {
    /// Fills what is missing from places of `shelf` with a like climate and says so, one sentence each.
    ///
    /// Alike in yearly range, daily range, latitude and humidity, each against its standard deviation among the places:
    /// a warm coast gets the spread of warm coasts, however near the mountains. How much days differ from the month
    /// follows [`SpreadRule`]. From the other hemisphere months are taken half a year apart.
    pub fn complete(self, shelf: &[Normals]) -> (Normals, Vec<String>) {
        let mut own = self;
        let mut notes = Vec::new();
        let lenders = alike(&own, shelf);
        let Some(&first) = lenders.first() else {
            return (own, notes);
        };
        let south = own.place.latitude_deg < 0.0;
        let turned = |lender: &Normals| south != (lender.place.latitude_deg < 0.0);
        let turn = |monthly: &Monthly, lender: &Normals| {
            if turned(lender) {
                half_year_on(monthly)
            } else {
                *monthly
            }
        };
        let mut note = |what: &str, from: &[&Normals]| {
            let names: Vec<String> = from
                .iter()
                .map(|lender| {
                    let apart = if turned(lender) {
                        " (months half a year apart)"
                    } else {
                        ""
                    };
                    format!("{}{apart}", lender.place.name)
                })
                .collect();
            notes.push(format!(
                "{what} borrowed by likeness of climate from {}",
                names.join("; ")
            ));
        };
        if own.wind_m_s.is_none() && first.wind_m_s.is_some() {
            note("wind", &lenders[..1]);
            own.wind_m_s = first.wind_m_s.as_ref().map(|wind| turn(wind, first));
        }
        if own.relative_humidity_pct.is_none() && first.relative_humidity_pct.is_some() {
            note("humidity", &lenders[..1]);
            own.relative_humidity_pct =
                (first.relative_humidity_pct.as_ref()).map(|humidity| turn(humidity, first));
        }
        if own.spread.is_none() {
            let known: Vec<(&Normals, &Spread)> = lenders
                .iter()
                .filter_map(|&lender| Some((lender, lender.spread.as_ref()?)))
                .collect();
            note("how days differ from the month's mean is", &lenders);
            own.spread = Some(spread_of(&own, SpreadRule::of(shelf), &known, &turn));
        }
        (own, notes)
    }
}

/// A spread from the rule, and from the mean of the lenders where it says nothing.
fn spread_of(
    own: &Normals,
    rule: Option<SpreadRule>,
    lenders: &[(&Normals, &Spread)],
    turn: &dyn Fn(&Monthly, &Normals) -> Monthly,
) -> Spread {
    let mean = |of: &dyn Fn(&Spread) -> Option<Monthly>| -> Option<Monthly> {
        let turned: Vec<Monthly> = lenders
            .iter()
            .filter_map(|(lender, spread)| Some(turn(&of(spread)?, lender)))
            .collect();
        let share = 1.0 / turned.len() as f64;
        (!turned.is_empty()).then(|| {
            std::array::from_fn(|month| turned.iter().map(|values| values[month] * share).sum())
        })
    };
    let must =
        |of: &dyn Fn(&Spread) -> Monthly| mean(&|spread| Some(of(spread))).unwrap_or_default();
    let (temp_daily_sd_k, temp_daily_lag1) = match rule {
        Some(rule) => (
            rule.temp_daily_sd_k(own.place.latitude_deg, &own.monthly_mean_c()),
            [rule.lag1; 12],
        ),
        None => (
            must(&|spread| spread.temp_daily_sd_k),
            must(&|spread| spread.temp_daily_lag1),
        ),
    };
    Spread {
        temp_daily_sd_k,
        temp_daily_lag1,
        clearness_daily_sd: must(&|spread| spread.clearness_daily_sd),
        clearness_daily_lag1: mean(&|spread| spread.clearness_daily_lag1),
        temp_clearness_correlation: mean(&|spread| spread.temp_clearness_correlation),
        range_clearness_correlation: mean(&|spread| spread.range_clearness_correlation),
        range_daily_cv: mean(&|spread| spread.range_daily_cv),
        coldest_possible_c: rule.and_then(|rule| rule.coldest_possible_c(own)),
    }
}

/// The places of the shelf with a spread of their own that are most like another, the most alike first.
fn alike<'a>(own: &Normals, shelf: &'a [Normals]) -> Vec<&'a Normals> {
    let known: Vec<(ClimateKind, &Normals)> = shelf
        .iter()
        .filter(|other| other.spread.is_some())
        .map(|other| (kind_of(other), other))
        .collect();
    let scale: [f64; 4] = std::array::from_fn(|figure| {
        let values: Vec<f64> = known.iter().filter_map(|(kind, _)| kind[figure]).collect();
        let middle = mean(&values);
        let squares: Vec<f64> = (values.iter())
            .map(|value| (value - middle).powi(2))
            .collect();
        // Of no values the mean is no number, and the least takes its place.
        mean(&squares).sqrt().max(1e-6)
    });
    let kind = kind_of(own);
    let mut ranked: Vec<(f64, &Normals)> = known
        .iter()
        .map(|(other, normals)| (unlikeness(&kind, other, &scale), *normals))
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    ranked
        .into_iter()
        .take(LENDERS)
        .map(|(_, normals)| normals)
        .collect()
}

fn half_year_on(monthly: &Monthly) -> Monthly {
    std::array::from_fn(|month| monthly[(month + 6) % 12])
}
