//! Leaves that are cut and grow again, until the planting is worn out.

use super::outcome::{EventKind, Growth};
use super::stand::{Stand, Watch};
use super::start::WEEK;
use super::whole::{not_ready, small};
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

/// Cuts a stand again and again.
///
/// # Errors
/// What ended it; cuts made before count.
pub fn pick(stand: &mut Stand, growth: &mut Growth, watch: &mut impl Watch) -> Result<(), Loss> {
    let crop = stand.crop;
    let low = crop.yields.kg_m2.low as f32;
    let cuts = crop.timing.cuts.high.round() as usize;
    let weeks = crop.timing.harvest_weeks.high;
    let life_days = (LIFE_TIMES * weeks * WEEK as f64) as usize;
    let life_k_d = (weeks * WEEK as f64 * stand.prepared.best_k) as f32;
    let mut first: Option<(usize, f32)> = None;
    let mut made = 0;
    let mut next_cut = 0;
    // What is still to be brought in of the last cut: mass of a part, its due day.
    let mut rest: Option<(f64, usize)> = None;
    let mut day = stand.from_day;
    loop {
        let today = stand.step_day(day, watch)?;
        if let Some((kg_m2, due)) = rest
            && day >= due
            && today.thaws
        {
            stand.pick(growth, day, kg_m2);
            rest = None;
        }
        let cut_kg_m2 = CUT_SHARE * stand.whole_kg_m2(today);
        if made < cuts && cut_kg_m2 >= low && today.thaws && rest.is_none() && day >= next_cut {
            if made == 0 {
                growth.ready(day);
                first = Some((day, stand.age_k_d));
            } else {
                growth.note(day, EventKind::CutAgain);
            }
            let part = f64::from(cut_kg_m2) / CUT_WEEKS as f64;
            stand.pick(growth, day, part);
            rest = Some((part, day + WEEK));
            stand.cut(CUT_SHARE, CUT_LEAF);
            made += 1;
            // The second half of the bed is cut a week later, and has no less time to grow again.
            next_cut = day + CUT_WEEKS * WEEK;
        }
        day += 1;
        match first {
            None if stand.waited_out(day) => {
                let loss = not_ready(stand, day);
                return Err(small(stand, growth, loss));
            }
            Some((since, age_k_d)) => {
                let over = day >= since + life_days || stand.age_k_d > age_k_d + life_k_d;
                if (over || made >= cuts) && rest.is_none_or(|(_, due)| day > due + 2 * WEEK) {
                    return Ok(());
                }
            }
            None => {}
        }
    }
}
