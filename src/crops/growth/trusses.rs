//! Strawberries: trusses begin long before they flower, in short days or in any.

use super::class::Class;
use super::days::CropDay;
use crate::crops::{Crop, Prepared};
use std::collections::VecDeque;

/// Days of short days that begin a full crop of trusses (from memory: a month of autumn).
const FULL_DAYS: f32 = 30.0;
/// Chill that breaks their rest, h (from memory: 300 to 1000).
const CHILL_H: f32 = 600.0;
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
        /// Degrees since the end of rest, K d.
        forced_k_d: f32,
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
    /// rest broken, as bought plants from the cold store do (common practice, no source).
    pub fn new(crop: &Crop, prepared: &Prepared, from_day: usize) -> Option<Self> {
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
        let year = crate::calendar::DAYS_PER_YEAR;
        let spring = (from_day + year - shortest) % year < year / 2;
        Some(Trusses::Yearly {
            begun: if spring { 1.0 } else { 0.0 },
            chill_h: if spring { CHILL_H } else { 0.0 },
            forced_k_d: 0.0,
        })
    }

    /// Flowers that open on a day, in full days' flowers.
    pub fn day(&mut self, today: &CropDay) -> f32 {
        match self {
            Trusses::Yearly {
                begun,
                chill_h,
                forced_k_d,
            } => {
                if *chill_h < CHILL_H || *begun < 1.0 && *forced_k_d == 0.0 {
                    *begun = (*begun + today.flower_after_cold / FULL_DAYS).min(1.0);
                }
                if *begun > 0.0 {
                    *chill_h += today.cold;
                }
                if *chill_h < CHILL_H {
                    return 0.0;
                }
                *forced_k_d += today.organ;
                if *forced_k_d > TO_FLOWER_K_D + FLOWERING_K_D {
                    (*begun, *chill_h, *forced_k_d) = (0.0, 0.0, 0.0);
                    return 0.0;
                }
                if *forced_k_d >= TO_FLOWER_K_D {
                    *begun
                } else {
                    0.0
                }
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
