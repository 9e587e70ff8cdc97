//! Leaves that are cut and grow again, until the planting is worn out.

use super::outcome::{EventKind, Growth};
use super::plant::Plant;
use super::stand::Stand;
use super::whole::{not_ready, small};
use crate::calendar::DAYS_PER_WEEK;
use crate::crops::Loss;

/// Share of the mass that a cut takes; crown and small leaves stay (own choice).
const CUT_SHARE: f32 = 0.7;
/// Share of the leaf area that a cut takes (own choice, so that loose-leaf lettuce grows again in about a fortnight of summer:
/// 17 days in July, ronwilkiemsm650.com 2021, read).
const CUT_LEAF: f32 = 0.95;
/// A cut is brought in over so many weeks: leaves that stand longer age (own choice).
const CUT_WEEKS: usize = 2;
/// A planting is worn out after so many times its weeks of picking (own choice), and one that is not ready for its next cut
/// within so many days is given up.
const LIFE_TIMES: f64 = 2.0;

/// A stand that is cut again and again.
pub struct Cutting {
    low: f32,
    cuts: usize,
    life_days: usize,
    life_k_d: f32,
    /// Day and age of the first cut.
    first: Option<(usize, f32)>,
    made: usize,
    next_cut: usize,
    /// What is still to be brought in of the last cut: mass of a part, its due day.
    rest: Option<(f64, usize)>,
    day: usize,
}

impl Cutting {
    /// Not cut yet.
    pub fn new(stand: &Stand) -> Self {
        let crop = stand.crop;
        let weeks = crop.timing.harvest_weeks.high;
        Self {
            low: crop.yields.kg_m2.low as f32,
            cuts: crop.timing.cuts.high.round() as usize,
            life_days: (LIFE_TIMES * weeks * DAYS_PER_WEEK as f64) as usize,
            life_k_d: (weeks * DAYS_PER_WEEK as f64 * stand.prepared.best_k) as f32,
            first: None,
            made: 0,
            next_cut: 0,
            rest: None,
            day: stand.from_day,
        }
    }

    /// Lives through a day and cuts what is due; false once it is worn out.
    ///
    /// # Errors
    /// What ended it; cuts made before count.
    #[inline]
    pub fn day(
        &mut self,
        stand: &mut Stand,
        growth: &mut Growth,
        watch: &mut impl FnMut(usize, &Plant),
    ) -> Result<bool, Loss> {
        let day = self.day;
        let today = stand.step_day(day, watch)?;
        if let Some((kg_m2, due)) = self.rest
            && day >= due
            && today.thaws
        {
            stand.pick(growth, day, kg_m2);
            self.rest = None;
        }
        let cut_kg_m2 = CUT_SHARE * stand.whole_kg_m2(today);
        let may = self.made < self.cuts && self.rest.is_none() && day >= self.next_cut;
        if may && cut_kg_m2 >= self.low && today.thaws {
            if self.made == 0 {
                growth.ready(day);
                self.first = Some((day, stand.age_k_d));
            } else {
                growth.note(day, EventKind::CutAgain);
            }
            let part = f64::from(cut_kg_m2) / CUT_WEEKS as f64;
            stand.pick(growth, day, part);
            self.rest = Some((part, day + DAYS_PER_WEEK));
            stand.cut(CUT_SHARE, CUT_LEAF);
            self.made += 1;
            // The second half of the bed is cut a week later, and has no less time to grow again.
            self.next_cut = day + CUT_WEEKS * DAYS_PER_WEEK;
        }
        let day = day + 1;
        self.day = day;
        match self.first {
            None if stand.waited_out(day) => {
                let loss = not_ready(stand, day);
                Err(small(stand, growth, loss))
            }
            Some((since, age_k_d)) => {
                let over = day >= since + self.life_days || stand.age_k_d > age_k_d + self.life_k_d;
                let brought_in = || {
                    self.rest
                        .is_none_or(|(_, due)| day > due + 2 * DAYS_PER_WEEK)
                };
                Ok(!((over || self.made >= self.cuts) && brought_in()))
            }
            None => Ok(true),
        }
    }
}
