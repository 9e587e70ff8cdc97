//! What an open horizon leaves standing: the search also weighs what is picked in the year after it.
//!
//! A plan that ends with its last week would count a bed of garlic in December for nothing, and so dig up in thought what
//! any gardener lets stand. The search therefore looks a year further: nothing more is sown there, appetite, prices and
//! wishes are those of the same weeks of the year, and of what is picked then a planting is given the share of its stay
//! that lies before the end, as it pays that share of its seed and of the household's time: the rest of its stay is the next
//! plan's. Over ends at all times of the year each planting so counts once. Where a former plan is near to which this one
//! is made, what that plan would bring in the year after, sown anew each year, is there already: the first kilogram that
//! the next plan will bring anyway is no gain of this one. What is shown of a plan ends with its horizon.

use super::Problem;
use crate::calendar::WEEKS_PER_YEAR;
use crate::plan::{Candidate, Closing, Harvest, Instance, Plan};

/// Weeks after an end that are still looked at: whatever stands then is picked within a year.
pub const WEEKS_AFTER: usize = WEEKS_PER_YEAR;

/// Share of a planting's stay in the bed that lies before a week, 0 to 1.
fn share_before(candidate: &Candidate, week: usize) -> f64 {
    let before = week.saturating_sub(candidate.bed_week);
    (before as f64 / candidate.weeks.max(1) as f64).min(1.0)
}

/// Ends a problem, made for a year more than is asked for, after so many weeks: the longer one is what the search weighs.
pub fn end_after(problem: &mut Problem, weeks: usize) {
    if problem.instance.closing == Closing::EachBed {
        return;
    }
    let all = std::mem::take(&mut problem.instance.candidates);
    let origins = std::mem::take(&mut problem.origins);
    let begun = all.into_iter().zip(origins);
    let begun = begun.filter(|(one, _)| one.sow_week < weeks && one.bed_week < weeks);
    (problem.instance.candidates, problem.origins) = begun.unzip();
    let shown = ended(&problem.instance, weeks);
    let mut searched = std::mem::replace(&mut problem.instance, shown);
    let planting = searched.effort.planting;
    for candidate in &mut searched.candidates {
        let share = share_before(candidate, weeks);
        for pick in &mut candidate.harvest {
            if pick.week >= weeks {
                pick.kg *= share;
            }
        }
        // The time that a planting takes is counted whole elsewhere: what the next plan pays of it comes off here.
        candidate.cost = (candidate.cost * share - planting * (1.0 - share)).max(0.0);
    }
    problem.searched = Some(searched);
    for standing in &mut problem.standing {
        standing.picks.retain(|(week, _)| *week < weeks);
    }
}

/// The same instance with nothing after so many weeks; candidates and standing crops keep their places in the lists.
fn ended(instance: &Instance, weeks: usize) -> Instance {
    let mut ended = instance.clone();
    ended.weeks = weeks;
    for food in &mut ended.foods {
        food.price_kg.truncate(weeks);
    }
    for wish in &mut ended.wishes {
        wish.kg_week.truncate(weeks);
    }
    for candidate in &mut ended.candidates {
        candidate.harvest.retain(|pick| pick.week < weeks);
        candidate.labour.retain(|work| work.week < weeks);
    }
    for standing in &mut ended.standing {
        standing.harvest.retain(|pick| pick.week < weeks);
    }
    ended
}

/// What a plan brings in the year after its end beside its own share: the rest of what then stands, and what is sown as a year
/// before. (With half of that rest the next year of the example keeps 36 % of its plan in place of all: weeks that nobody else
/// feeds draw the search away from it.)
fn next_year_of(searched: &Instance, weeks: usize, plan: &Plan) -> Vec<Harvest> {
    let mut coming = Vec::new();
    for &planting in plan.beds.iter().flat_map(|one| &one.plantings) {
        let candidate = &searched.candidates[planting];
        let share = share_before(candidate, weeks);
        for pick in &candidate.harvest {
            let (week, kg) = if pick.week >= weeks {
                (pick.week, pick.kg * (1.0 - share) / share)
            } else if candidate.sow_week + WEEKS_AFTER >= weeks {
                (pick.week + WEEKS_AFTER, pick.kg)
            } else {
                continue;
            };
            if (weeks..searched.weeks).contains(&week) && kg > 0.0 {
                coming.push(Harvest { week, kg, ..*pick });
            }
        }
    }
    coming
}

impl Problem {
    /// Counts on what a former plan, sown again each year, brings after an open end.
    pub fn goes_on_as(&mut self, former: &Plan) {
        let weeks = self.instance.weeks;
        if let Some(searched) = &mut self.searched {
            searched.coming = next_year_of(searched, weeks, former);
        }
    }

    /// Allows as many plantings of each family, and as many beds of each sowing, as a plan has that was agreed to.
    pub fn allow_families_of(&mut self, plan: &Plan) {
        self.instance.allow_families_of(plan);
        if let Some(searched) = &mut self.searched {
            searched.allow_families_of(plan);
        }
    }

    /// What the search weighs: the instance itself where the year repeats, else with the year after its end.
    pub fn searched(&self) -> &Instance {
        self.searched.as_ref().unwrap_or(&self.instance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn planting(bed_week: usize, weeks: usize) -> Candidate {
        Candidate {
            crop: "garlic".into(),
            family: 0,
            bed_class: 0,
            sow_week: bed_week,
            tray_weeks: 0,
            bed_week,
            weeks,
            cover: false,
            harvest: Vec::new(),
            survival: 1.0,
            cost: 0.0,
            labour: Vec::new(),
            shelf_m2: 0.0,
            beds_most: 1,
            begun: Vec::new(),
        }
    }

    #[test]
    fn a_stay_is_shared_by_the_plans_on_both_sides_of_an_end() {
        let garlic = planting(40, 38);
        assert_eq!(share_before(&garlic, 40), 0.0);
        assert_eq!(share_before(&garlic, 59), 0.5);
        assert_eq!(share_before(&garlic, 90), 1.0);
    }
}
