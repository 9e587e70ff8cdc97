//! What a plan bears in a weather year, and its rules in words.

use super::{Problem, calendar_week};
use crate::calendar::WEEKS_PER_YEAR;
use crate::plan::candidate::{Outcome, kg_of};
use crate::plan::fate::{Fate, LIVES, Planted};
use crate::plan::replay::Lived;
use crate::plan::verify::Fault;
use crate::plan::{BedPlan, BedSections, Closing, Harvest, Plan, Target};
use crate::study::StudyError;
use crate::value::{Counted, Course, FoodFlow, allocate_food_over, count_all};

/// Weather years in which a remedy is tried.
const SAMPLE_YEARS: usize = 5;

impl Problem {
    /// Years that a plan is lived through: the weather years once with each draw of luck, one draw after the other.
    pub fn lives(&self) -> usize {
        LIVES * self.weather_years()
    }

    /// What each planting of a plan bears in a year lived, in the order of the plan's beds.
    pub fn harvests(&self, plan: &Plan, life: usize) -> Vec<Vec<Harvest>> {
        let instance = &self.instance;
        let years = self.weather_years();
        let (weather_year, draw) = (life % years, life / years);
        let of = |one: &BedPlan, candidate: usize| {
            let planted = &instance.candidates[candidate];
            let bed = self.places.iter().position(|place| place.holds(one));
            let bed = bed.unwrap_or(0);
            let fate = |sown| self.fate(bed, self.outcome(candidate), (sown, draw));
            let area_m2 = instance.beds[planted.bed_class].area_m2;
            let Some(food) = planted.harvest.first().map(|pick| pick.food) else {
                return Vec::new();
            };
            let picks = self.picks_in(candidate, weather_year, fate).into_iter();
            let picks = picks.map(kg_of(area_m2));
            picks.map(|(week, kg)| Harvest { week, food, kg }).collect()
        };
        let of_bed = |one: &'_ BedPlan| -> Vec<Vec<Harvest>> {
            one.plantings
                .iter()
                .map(|&candidate| of(one, candidate))
                .collect()
        };
        plan.beds.iter().flat_map(of_bed).collect()
    }

    /// What befalls a sowing of a bed of the file beside the weather, when it is sown in a weather year; the first
    /// [`LIVES`] draws are those of the replay.
    pub fn fate(&self, bed: usize, outcome: &Outcome, (year, draw): (usize, usize)) -> Fate {
        let planted = Planted {
            crop: &self.crops[outcome.crop].id,
            way: Some(outcome.way),
            bed,
            sow_week: outcome.sow_week,
            year,
            draw,
        };
        Fate::drawn(&self.losses, self.seed, &planted)
    }

    /// What is picked in a year lived, per food and week of the horizon, kg; what already stands as expected.
    pub fn picked(&self, plan: &Plan, life: usize) -> Vec<Vec<f64>> {
        let planted = self.harvests(plan, life);
        self.by_week(planted.iter().flatten().chain(self.instance.given()))
    }

    fn by_week<'p>(&self, picks: impl Iterator<Item = &'p Harvest>) -> Vec<Vec<f64>> {
        let instance = &self.instance;
        let mut kg = vec![vec![0.0; instance.weeks]; instance.foods.len()];
        for pick in picks {
            kg[pick.food][pick.week] += pick.kg;
        }
        kg
    }

    /// Food at the table, by planning week of the calendar, in a year lived by who begins a settled year with empty beds: nothing
    /// that was sown or kept before the year is there.
    pub fn first_table(&self, plan: &Plan, life: usize) -> Vec<FoodFlow> {
        let planted = plan.beds.iter().flat_map(|one| &one.plantings);
        let planted = planted.map(|&number| &self.instance.candidates[number]);
        let harvests = self.harvests(plan, life);
        let picks = planted.zip(&harvests).flat_map(|(candidate, picks)| {
            let of_this_year = candidate.sow_week <= candidate.bed_week;
            let picks = picks.iter().filter(move |_| of_this_year);
            picks.filter(|pick| pick.week >= candidate.bed_week)
        });
        let course = Course {
            repeats: false,
            ..self.course()
        };
        self.by_calendar(self.eaten_over(&self.by_week(picks), &course))
    }

    /// What candidates bear by the weather alone in a weather year on so many m2 each, per food and week of the horizon, kg.
    pub fn bearing(
        &self,
        planted: impl Iterator<Item = (usize, f64)>,
        weather_year: usize,
    ) -> Vec<Vec<f64>> {
        let instance = &self.instance;
        let mut kg = vec![vec![0.0; instance.weeks]; instance.foods.len()];
        for (candidate, area_m2) in planted {
            let Some(food) = instance.candidates[candidate].harvest.first() else {
                continue;
            };
            let picks = self.picks_in(candidate, weather_year, |_| Fate::WEATHER_ALONE);
            for (week, picked_kg) in picks.into_iter().map(kg_of(area_m2)) {
                kg[food.food][week] += picked_kg;
            }
        }
        kg
    }

    /// The weeks over which the plan is eaten.
    pub fn course(&self) -> Course {
        Course {
            weeks: self.instance.weeks,
            first_week: calendar_week(&self.instance, 0),
            repeats: self.instance.closing == Closing::EachBed,
        }
    }

    /// How the household eats what is picked (per food and week of the horizon, kg): each food's flow, in the order of the
    /// instance's foods.
    ///
    /// # Errors
    /// [`StudyError::Value`] for a harvest that cannot be.
    pub fn eaten(&self, picked: &[Vec<f64>]) -> Result<Vec<FoodFlow>, StudyError> {
        Ok(self.eaten_over(picked, &self.course()))
    }

    fn eaten_over(&self, picked: &[Vec<f64>], course: &Course) -> Vec<FoodFlow> {
        let foods = self.instance.foods.iter().zip(picked);
        let harvests = foods.map(|(food, kg)| crate::value::Harvest {
            food: food.id.clone(),
            kg: kg.clone(),
            keeps_weeks: food.keeps_weeks,
        });
        let harvests: Vec<crate::value::Harvest> = harvests.collect();
        allocate_food_over(&self.market, &harvests, course)
    }

    /// One year of a plan as it is lived: what is picked, eaten and replaced, and each food's flow.
    pub fn lived(&self, plan: &Plan, life: usize) -> Result<(Lived, Vec<FoodFlow>), StudyError> {
        let picked = self.picked(plan, life);
        let flows = self.eaten(&picked)?;
        let counts = count_all(&self.market, &flows, self.course().first_week);
        let sums = |of: fn(&Counted) -> f64| -> Vec<f64> {
            let weeks = counts.weeks.iter();
            weeks.map(|week| week.iter().map(of).sum()).collect()
        };
        let mut lived = Lived {
            harvest_kg: picked,
            eaten_kg: flows.iter().map(|flow| flow.eaten_kg.clone()).collect(),
            replaced: sums(|one| one.replaced),
            beyond: sums(|one| one.beyond),
        };
        // Where nothing could be sown there is no food, and no week to count.
        lived.replaced.resize(self.instance.weeks, 0.0);
        lived.beyond.resize(self.instance.weeks, 0.0);
        Ok((lived, flows))
    }

    /// The first 52 weeks of flows over the horizon, by planning week of the calendar; weeks that a shorter horizon has not
    /// are empty.
    pub fn by_calendar(&self, flows: Vec<FoodFlow>) -> Vec<FoodFlow> {
        let course = self.course();
        let calendar = |kg: &Vec<f64>| {
            let mut own = vec![0.0; WEEKS_PER_YEAR];
            for (week, kg) in kg.iter().enumerate().take(WEEKS_PER_YEAR) {
                own[course.calendar_week(week)] = *kg;
            }
            own
        };
        let moved = |flow: FoodFlow| FoodFlow {
            harvested_kg: calendar(&flow.harvested_kg),
            eaten_kg: calendar(&flow.eaten_kg),
            kept_kg: calendar(&flow.kept_kg),
            surplus_kg: calendar(&flow.surplus_kg),
            food: flow.food,
        };
        flows.into_iter().map(moved).collect()
    }

    /// Which two crops stand in each other's way in a week, and the days that would do.
    fn clash(&self, plan: &Plan, (class, bed): (usize, usize), week: usize) -> String {
        let instance = &self.instance;
        let mut beds = plan.beds.iter();
        let own = beds.find(|one| (one.class, one.bed) == (class, bed));
        let stands = |number: &usize| {
            let one = &instance.candidates[*number];
            let mut stood = one.bed_week..one.bed_week + one.weeks;
            stood.any(|stood| instance.week_index(stood) == Some(week))
        };
        let numbers = own.map_or(&[][..], |one| &one.plantings);
        let mut there: Vec<usize> = numbers.iter().copied().filter(stands).collect();
        // The one that comes when the other still stands is the later one.
        there.sort_by_key(|&number| instance.candidates[number].bed_week == week);
        let Some((&later, &earlier)) = there.last().zip(there.first()) else {
            return String::new();
        };
        if there.len() < 2 {
            return ": what stood there at the start is still there".to_owned();
        }
        let (first, second) = (&instance.candidates[earlier], &instance.candidates[later]);
        let free = instance.week_index(first.bed_week + first.weeks);
        let free = free.unwrap_or(instance.weeks);
        let sow = |number: usize| instance.work_date(instance.candidates[number].sow_week);
        let name = |number: usize| self.crop_name(number);
        let (early, late) = (sow(earlier), sow(later));
        let (earlier, later) = (name(earlier), name(later));
        let mut text = format!(": {earlier} sown {early} and {later} sown {late}");
        let after = |candidate: &crate::plan::Candidate| {
            let wait = (candidate.bed_week + instance.weeks - free) % instance.weeks;
            (wait, candidate.sow_week)
        };
        let others = instance.candidates.iter().enumerate().filter(|(_, other)| {
            (&other.crop, other.bed_class) == (&second.crop, class)
                && (other.tray_weeks > 0) == (second.tray_weeks > 0)
        });
        if let Some((next, _)) = others.min_by_key(|(_, other)| after(other)) {
            text.push_str(&format!("; {later} sown {} would do", sow(next)));
        }
        let clear = instance.work_date(second.bed_week);
        text + &format!(
            ", or {earlier} cleared by {clear}; until then nothing of the later one counts"
        )
    }

    /// Name of a candidate's crop within a sentence.
    pub fn crop_name(&self, candidate: usize) -> String {
        self.crops[self.outcome(candidate).crop].name.to_lowercase()
    }

    /// Name of what a wish is about.
    pub fn target_name(&self, target: Target) -> String {
        match target {
            Target::Group(group) => self.instance.groups[group].name.clone(),
            Target::Food(food) => {
                let id = &self.instance.foods[food].id;
                self.market.food(id).map_or(id, |line| &line.name).clone()
            }
        }
    }

    /// A few weather years, spread over all.
    pub fn sample_years(&self) -> Vec<usize> {
        let years = self.weather_years();
        let count = years.min(SAMPLE_YEARS);
        (0..count).map(|at| at * years / count).collect()
    }

    /// A broken rule as the household knows its beds.
    pub fn in_words(&self, plan: &Plan, fault: &Fault) -> String {
        let day = |week: usize| self.instance.date_of_week(week);
        let patch = |class: usize, bed: usize| {
            let is = |place: &&BedSections| {
                place.class == class && (place.first..place.first + place.count).contains(&bed)
            };
            match self.places.iter().find(is) {
                Some(place) => format!("{}, section {}", place.name, bed - place.first + 1),
                None => format!("patch {}", bed + 1),
            }
        };
        match fault {
            Fault::OverFull { class, bed, week } => format!(
                "two crops stand in {} in the week of {}{}",
                patch(*class, *bed),
                day(*week),
                self.clash(plan, (*class, *bed), *week)
            ),
            Fault::Rotation {
                class,
                bed,
                family,
                week,
            } => format!(
                "{family} is back too soon in {} in the week of {}",
                patch(*class, *bed),
                day(*week)
            ),
            Fault::Limit {
                what,
                week,
                used,
                limit,
            } => format!(
                "{what} in the week of {}: {used:.1} used, {limit:.1} allowed",
                day(*week)
            ),
            Fault::Kinds { used, limit } => format!("{used} kinds of crop, {limit} asked for"),
            Fault::Family {
                class,
                family,
                used,
                limit,
            } => format!(
                "{family} {used} times in {}: with {limit} each place could rest from it for its years",
                self.instance.beds[*class].name
            ),
            other => other.to_string(),
        }
    }
}
