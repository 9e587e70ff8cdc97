//! Strawberries: trusses begin long before they flower, in short days or in any.

use super::class::Class;
use super::days::CropDay;
use crate::crops::{Crop, Prepared};
use std::collections::VecDeque;

/// Days of short days that begin a full crop of trusses (from memory: a month of autumn).
const FULL_DAYS: f32 = 30.0;
/// Chill that ends their rest, h at -1 to 7 °C, and by how much longer trusses take that meet less: plants chilled for 1080 h opened
/// their flowers in 45 and 38 % of the time of unchilled ones, in two seasons (Al-Madhagi et al. 2018, J. Hort. Res. 26:25-35,
/// abstract read). Without chill a strawberry is slow to flower, not barred from it.
const CHILL_H: f32 = 1080.0;
const UNCHILLED_TIMES: f32 = 2.4;
/// Degrees over 4 °C from the end of rest (or from the beginning of a truss of a day-neutral sort) to open flower, and those
/// over which all of a crop's flowers open, K d (from memory).
const TO_FLOWER_K_D: f32 = 280.0;
const FLOWERING_K_D: f32 = 180.0;

/// Trusses of a strawberry.
pub enum Trusses {
    /// June-bearing sorts: one crop a year.
    Yearly {
        /// Trusses begun against a full crop.
        begun: f32,
        /// Chill, h.
        chill_h: f32,
        /// Degrees since all trusses were there, and since the end of rest, K d.
        since_k_d: [f32; 2],
    },
    /// Day-neutral sorts: trusses in any warm and light weather.
    Always {
        /// Trusses on their way: degrees when they began, and how many against a full day's.
        begun: VecDeque<(f32, f32)>,
        /// Degrees so far, K d.
        sum_k_d: f32,
    },
}

impl Trusses {
    /// Of a young plant; none for other crops. What is planted before the longest day comes with its trusses begun and its
    /// chill met, as bought plants from the cold store do (common practice, no source); what is planted after it has had the short
    /// days before at its nursery, where trusses begin in September and October (plants dug there from September to October bore
    /// by the day length they had seen: ASHS, early-season yield of selected cultivars in Florida, abstract read).
    pub fn new(crop: &Crop, prepared: &Prepared, (year, from_day): (usize, usize)) -> Option<Self> {
        if crop.growth.class != Class::Berry {
            return None;
        }
        if crop.growth.short_day_h.is_none_or(|h| h >= 24.0) {
            return Some(Trusses::Always {
                begun: VecDeque::new(),
                sum_k_d: 0.0,
            });
        }
        let shortest = prepared.shortest_day.unwrap_or(0);
        let days = crate::calendar::DAYS_PER_YEAR;
        let since_shortest = (from_day + days - shortest) % days;
        let spring = since_shortest < days / 2;
        let short_h = crop.growth.short_day_h.unwrap_or(0.0);
        let at_nursery = since_shortest.saturating_sub(days / 2).min(from_day);
        let short = (from_day - at_nursery..from_day)
            .filter(|&day| prepared.bed_day(year, day).day_length_h < short_h)
            .count();
        Some(Trusses::Yearly {
            begun: if spring {
                1.0
            } else {
                (short as f32 / FULL_DAYS).min(1.0)
            },
            chill_h: if spring { CHILL_H } else { 0.0 },
            since_k_d: [0.0; 2],
        })
    }

    /// Flowers that open on a day, in full days' flowers.
    pub fn day(&mut self, today: &CropDay) -> f32 {
        match self {
            Trusses::Yearly {
                begun,
                chill_h,
                since_k_d: [there_k_d, rested_k_d],
            } => {
                let open_k_d = (*there_k_d / UNCHILLED_TIMES).max(*rested_k_d) - TO_FLOWER_K_D;
                if open_k_d < 0.0 {
                    *begun = (*begun + today.flower_after_cold / FULL_DAYS).min(1.0);
                }
                if *begun <= 0.0 {
                    return 0.0;
                }
                *chill_h += today.cold;
                if *begun >= 1.0 {
                    *there_k_d += today.organ;
                }
                if *chill_h >= CHILL_H {
                    *rested_k_d += today.organ;
                }
                if open_k_d > FLOWERING_K_D {
                    (*begun, *chill_h) = (0.0, 0.0);
                    (*there_k_d, *rested_k_d) = (0.0, 0.0);
                    return 0.0;
                }
                if open_k_d >= 0.0 { *begun } else { 0.0 }
            }
            Trusses::Always { begun, sum_k_d } => {
                if today.flower > 0.0 {
                    begun.push_back((*sum_k_d, today.flower));
                }
                *sum_k_d += today.organ;
                let mut open = 0.0;
                while let Some(&(since, share)) = begun.front()
                    && *sum_k_d - since >= TO_FLOWER_K_D
                {
                    open += share;
                    begun.pop_front();
                }
                open
            }
        }
    }
}
