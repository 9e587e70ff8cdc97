//! What a food by itself is worth on the table: the best eating of a year's pickings.

use crate::plan::model::{Model, Segment};

/// So many kilograms of a week at a worth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    pub week: usize,
    pub kg: f64,
    pub worth: f64,
}

/// Steps of a food, no more in a week than its whole table eats.
pub(super) fn slots(model: &Model, food: usize, total: &[Vec<Segment>]) -> Vec<Slot> {
    let mut slots = Vec::new();
    for week in 0..model.weeks {
        let mut room: f64 = total[week].iter().map(|segment| segment.kg).sum();
        for step in &model.steps[food * model.weeks + week] {
            let kg = step.kg.min(room);
            room -= kg;
            slots.push(Slot {
                week,
                kg,
                worth: step.worth,
            });
        }
    }
    slots.retain(|slot| slot.worth > 0.0 && slot.kg > 0.0);
    slots.sort_by(|a, b| b.worth.total_cmp(&a.worth).then(a.week.cmp(&b.week)));
    slots
}

/// Weeks at most, for arrays of a fixed size.
const WEEKS_MOST: usize = crate::plan::MAX_WEEKS;
/// Less is nothing, kg.
const EPSILON_KG: f64 = 1e-9;

/// How a food is eaten: slots in order of worth, weeks it keeps.
#[derive(Clone, Debug)]
pub(super) struct Eating {
    pub slots: Vec<Slot>,
    pub weeks: usize,
    pub keeps: usize,
    pub cyclic: bool,
}

impl Eating {
    /// Worth of the best eating of so many kilograms picked in each week.
    ///
    /// The dearest week is fed first, as far as what is picked in reach of it is not needed by dearer ones: demands can be met
    /// where no run of weeks asks for more than is picked in it and in the weeks that keep into it.
    pub fn worth(&self, picked: &[f64]) -> f64 {
        let weeks = self.weeks;
        let all: f64 = picked.iter().sum();
        let mut left = all;
        if left <= EPSILON_KG {
            return 0.0;
        }
        // Picked up to a week less eaten up to it; picked before the weeks that keep into it less eaten before it.
        let mut upto = [0.0; WEEKS_MOST];
        let mut before = [0.0; WEEKS_MOST];
        let mut reached = [false; WEEKS_MOST];
        let mut sum = 0.0;
        for week in 0..weeks {
            before[week] = sum;
            sum += picked[week];
            upto[week] = sum;
        }
        let starts = before;
        for week in 0..weeks {
            before[week] = match week.checked_sub(self.keeps) {
                Some(first) => starts[first],
                None if self.cyclic => starts[week + weeks - self.keeps] - all,
                None => 0.0,
            };
            reached[week] = upto[week] - before[week] > EPSILON_KG;
        }
        let mut worth = 0.0;
        for slot in &self.slots {
            let at = slot.week;
            if !reached[at] {
                continue;
            }
            let mut least = f64::INFINITY;
            for value in &upto[at..weeks] {
                least = least.min(*value);
            }
            let mut most = f64::NEG_INFINITY;
            for value in &before[..=at] {
                most = most.max(*value);
            }
            if self.cyclic {
                for value in &upto[..at] {
                    least = least.min(*value + left);
                }
                for value in &before[at + 1..weeks] {
                    most = most.max(*value - left);
                }
            }
            let kg = slot.kg.min(left).min(least - most);
            if kg <= 0.0 {
                continue;
            }
            worth += kg * slot.worth;
            left -= kg;
            for value in &mut upto[at..weeks] {
                *value -= kg;
            }
            for value in &mut before[at + 1..weeks] {
                *value -= kg;
            }
            if left <= EPSILON_KG {
                break;
            }
        }
        worth
    }
}
