//! Against the trade's own habit on three climates, in kilograms and money.

#[path = "../plan/habit.rs"]
mod rules;

use bedyear::plan::SolveOptions;
use bedyear::plan::assess::assess;
use bedyear::study::{self, Job, SideFiles};

/// A plain house of one film with a row cover on every bed, for two adults and two children.
fn project(place: &str) -> String {
    format!(
        "[site]\nplace = \"{place}\"\n[year]\nplan = 2027\nweather_years = 3\n\
         [building]\nshape = \"hoop\"\nlength = \"9 m\"\nwidth = \"5 m\"\nglazing = \"film-infrared\"\n\
         [[bed]]\nname = \"bed\"\ncount = 4\narea = \"4.4 m2\"\ncover = \"row cover\"\n\
         [household]\neaters = [{{ number = 2, age = 40 }}, {{ number = 2, age = 9 }}]\n\
         rotation = \"none\"\nwant = [\"1 kg salad greens a week from October to April\"]\n"
    )
}

#[test]
fn planned_beats_sown_every_two_weeks_on_three_climates() {
    println!("{:<14} {:>22} {:>22}", "", "every two weeks", "planned");
    println!(
        "{:<14} {:>11} {:>10} {:>11} {:>10}",
        "place", "kg eaten", "USD", "kg eaten", "USD"
    );
    for place in ["Helena", "Seattle", "Boston"] {
        let project = bedyear::file::parse("habit.toml", &project(place)).unwrap();
        let job = Job::new(project, &SideFiles::default()).unwrap();
        let climate = super::simulated(&job);
        let options = SolveOptions {
            gap: 0.05,
            work_limit: 200,
            ..SolveOptions::default()
        };
        let planned = study::plan(&job, &climate, &options).unwrap();
        let instance = &planned.problem.instance;
        let habit = assess(instance, &rules::by_habit(instance));
        let ours = assess(instance, &planned.found.plan);
        let kg = |eaten: &[f64]| eaten.iter().sum::<f64>();
        println!(
            "{place:<14} {:>11.0} {:>10.0} {:>11.0} {:>10.0}",
            kg(&habit.eaten_kg),
            habit.food_worth - habit.costs,
            kg(&ours.eaten_kg),
            ours.food_worth - ours.costs,
        );
        assert!(habit.faults.is_empty() && ours.faults.is_empty());
        assert!(ours.value > habit.value, "{place}");
        let money = |found: &bedyear::plan::assess::Assessment| found.food_worth - found.costs;
        assert!(money(&ours) > money(&habit), "{place}: money");
        assert!(
            kg(&ours.eaten_kg) > kg(&habit.eaten_kg),
            "{place}: kilograms"
        );
    }
}
