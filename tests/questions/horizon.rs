//! Plans from a day on, what stands in the beds, hard winters, the cellar, wishes that cannot be.

use std::collections::BTreeMap;

use bedyear::crops::Way;
use bedyear::file::{Cellar, Winter};
use bedyear::output::{build, terminal};
use bedyear::plan::{Closing, SolveOptions, verify};
use bedyear::study::{self, ClimateStudy, Job, PlanStudy, SideFiles};

const QUICK: SolveOptions = SolveOptions {
    gap: 0.2,
    work_limit: 10,
    seed: 1,
    seconds: None,
    former: None,
    keep_least: 0.0,
    fixed: None,
    anew: false,
    frontier: false,
    judge: None,
    stop: None,
    progress: None,
};

/// The example with some text put before its household.
fn job_with(more: &str, from: &str) -> Job {
    let text = super::HOUSE
        .replace("[household]\n", &format!("{more}\n[household]\n"))
        .replace("weather_years = 30", "weather_years = 5");
    let mut project = bedyear::file::parse("helena.toml", &text).unwrap();
    project.planning.from = Some(from.parse().unwrap());
    Job::new(project, &SideFiles::default()).unwrap()
}

fn planned(job: &Job) -> (ClimateStudy, PlanStudy) {
    let climate = super::simulated(job);
    let plan = study::plan(job, &climate, &QUICK).unwrap();
    (climate, plan)
}

#[test]
fn a_plan_from_a_day_on_takes_the_beds_as_they_stand() {
    let standing = "[[standing]]\nbed = \"north 1\"\ncrop = \"spinach\"\nsown = 2026-09-20\narea = \"2.2 m2\"\n";
    let job = job_with(standing, "2027-03-01");
    let (climate, plan) = planned(&job);
    let instance = &plan.problem.instance;
    assert_eq!((instance.weeks, instance.closing), (52, Closing::Open));
    assert_eq!(verify::check_rules(instance, &plan.found.plan), Vec::new());
    let spinach = &plan.problem.standing[0];
    assert!(
        spinach.free_week > 0 && spinach.free_week < 30,
        "{spinach:?}"
    );
    assert_eq!(instance.standing.len(), 1, "one of the bed's two sections");
    for patch in &instance.standing {
        let bed = plan.found.plan.beds.iter();
        let mut bed = bed.filter(|bed| (bed.class, bed.bed) == (patch.bed_class, patch.bed));
        let first = bed.next().unwrap().plantings.first();
        let begins = first.map(|&planting| instance.candidates[planting].bed_week);
        assert!(begins.is_none_or(|week| week >= spinach.free_week));
    }
    // Nothing sown on 1 March is ready in its first week: what is eaten then stood there.
    let food = instance
        .foods
        .iter()
        .position(|food| food.id == "spinach")
        .unwrap();
    assert!(plan.replay.eaten_kg[food][0] > 0.05);
    let view = build::plan(&job, &climate, &plan);
    assert!(!view.repeats && view.months[0].month.to_string() == "2027-03-01");
    assert!(
        view.plantings
            .iter()
            .any(|planting| planting.row.way == "standing")
    );
    assert!(
        view.plantings
            .iter()
            .all(|planting| planting.row.way == "standing" || planting.row.sow >= view.start)
    );
}

#[test]
fn the_first_year_on_new_ground_is_later() {
    let mut job = job_with("", "2026-09-01");
    job.project.planning.months = 24;
    let (_, plan) = planned(&job);
    let problem = &plan.problem;
    assert_eq!(problem.instance.weeks, 104);
    let mut firsts: BTreeMap<(usize, usize, Way, usize), [Option<usize>; 2]> = BTreeMap::new();
    for origin in &problem.origins {
        let outcome = &problem.outcomes[origin.outcome];
        if (0..2).contains(&origin.calendar_year) && (38..50).contains(&outcome.sow_week) {
            let sowing = (outcome.crop, outcome.climate, outcome.way, outcome.sow_week);
            let first = outcome.middle_weeks().map(|(first, _)| first);
            firsts.entry(sowing).or_default()[origin.calendar_year as usize] = first;
        }
    }
    let both: Vec<(usize, usize)> = firsts
        .values()
        .filter_map(|[new, settled]| new.zip(*settled))
        .collect();
    let weeks = |of: fn(&(usize, usize)) -> usize| both.iter().map(of).sum::<usize>();
    let (new, settled) = (weeks(|one| one.0), weeks(|one| one.1));
    assert!(
        both.len() > 50 && new > settled,
        "{new} {settled} of {}",
        both.len()
    );
    assert!(
        problem
            .notes
            .iter()
            .any(|note| note.to_string().contains("first year"))
    );
}

#[test]
fn a_plan_before_the_building_is_no_plan() {
    let mut project = bedyear::file::parse("helena.toml", super::HOUSE).unwrap();
    project.planning.from = Some("2026-03-01".parse().unwrap());
    let error = Job::new(project, &SideFiles::default()).unwrap_err();
    assert!(error.is_input());
    assert!(error.to_string().contains("2026-08-15"), "{error}");
}

#[test]
fn hard_winters_are_the_fifth_that_bear_least() {
    let mut job = super::job(10);
    job.project.planning.winter = Winter::Hard;
    let climate = super::simulated(&job);
    let plan = study::plan(&job, &climate, &QUICK).unwrap();
    let winters = plan.problem.winters.as_ref().unwrap();
    assert_eq!(winters.chosen.iter().filter(|chosen| **chosen).count(), 2);
    let cold = |week: usize| week % 52 < 13 || week % 52 >= 39;
    let sum = |picks: Vec<(usize, f64)>| -> f64 {
        picks
            .into_iter()
            .filter(|(week, _)| cold(*week))
            .map(|(_, kg)| kg)
            .sum()
    };
    let outcomes = &plan.problem.outcomes;
    let hard: f64 = outcomes
        .iter()
        .map(|one| sum(one.mean_kg_m2_in(winters)))
        .sum();
    let usual: f64 = outcomes.iter().map(|one| sum(one.mean_kg_m2())).sum();
    assert!(hard < usual, "{hard} {usual}");
}

#[test]
fn a_warm_cellar_keeps_food_for_less_long() {
    let keeps = |cellar: Option<Cellar>| {
        let mut job = super::job(1);
        job.project.household.cellar = cellar;
        let climate = super::simulated(&job);
        let plan = study::plan(&job, &climate, &QUICK).unwrap();
        let mut foods = plan.problem.instance.foods.iter();
        foods.find(|food| food.id == "carrot").unwrap().keeps_weeks
    };
    let (best, cool, warm) = (
        keeps(None),
        keeps(Some(Cellar::SoilAt(2.0))),
        keeps(Some(Cellar::HeldAt(20.0))),
    );
    assert!(best > cool && cool > warm, "{best} {cool} {warm}");
}

#[test]
fn what_cannot_be_had_is_told_with_its_cause() {
    let mut job = super::job(2);
    job.project.shopping.wishes[0].kg_week = 40.0;
    let climate = super::simulated(&job);
    let plan = study::plan(&job, &climate, &QUICK).unwrap();
    assert!(
        !plan.plantings.is_empty(),
        "the nearest plan is still a plan"
    );
    let view = build::plan(&job, &climate, &plan);
    assert!(!view.gaps.is_empty());
    let told = |gap: &bedyear::output::view::GapRow| format!("{}; {}", gap.cause, gap.remedy);
    let words: Vec<String> = view.gaps.iter().map(told).collect();
    let words = words.join("\n");
    assert!(
        words.contains("beds hold") && words.contains("m2 more of"),
        "{words}"
    );
    let text = terminal::plan(&view, &terminal::Look::default());
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );

    // Nothing that is eaten, nothing that comes through.
    let mut job = super::job(2);
    job.project.shopping.eats = vec!["melon".to_owned()];
    job.project.shopping.wishes.clear();
    job.project.house.heater = None;
    let plan = study::plan(&job, &climate, &QUICK).unwrap();
    let words: Vec<String> = plan.found.remarks.iter().map(ToString::to_string).collect();
    let words = words.join("; ");
    assert!(
        plan.plantings.is_empty() == words.contains("the beds stay empty"),
        "{words}"
    );
    // Why is what was tried: nothing comes through, or what does is not worth its seed and the household's time.
    assert_eq!(
        plan.problem.instance.candidates.is_empty(),
        words.contains("no crop comes through"),
        "{words}"
    );

    // No bed: a building that is looked at for its climate alone; its plan is empty.
    job.project.beds.clear();
    let plan = study::plan(&job, &climate, &QUICK).unwrap();
    assert!(plan.plantings.is_empty());
}
