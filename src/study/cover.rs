//! What it would take to cover a share of the household's spending.

use super::{Job, PlanStudy, StudyError, ValueStudy};
use crate::calendar::WEEKS_PER_YEAR;
use crate::value::{
    self, Answer, Endless, Harvest, Market, Running, ShortFood, Today, WeatherYear, Whole,
    YearInput, allocate_food,
};

/// A weekly harvest that no household eats up, kg.
const PLENTY_KG: f64 = 1e5;
/// Fewer weeks without a food are not worth a word; own choice.
const WEEKS_SAID: f64 = 0.5;

/// Says what it would take: beds, prices, appetite, eaters.
///
/// # Errors
/// [`StudyError::Value`] for a share out of range, or a household whose spending is not known or that nobody belongs to.
pub fn what_it_takes(
    job: &Job,
    plan: &PlanStudy,
    value: &ValueStudy,
    share: f64,
    whole: Whole,
) -> Result<Answer, StudyError> {
    let eaters: usize = job
        .project
        .household
        .eaters
        .iter()
        .map(|group| group.number)
        .sum();
    let today = Today {
        market: &plan.problem.market,
        year: &value.year,
        endless: endless(job, plan, value),
        bed_area_m2: job.project.beds.iter().map(|bed| bed.area_m2).sum(),
        eaters: eaters as f64,
    };
    Ok(value::what_it_takes(&today, share, whole)?)
}

/// The year of the same building with beds without end: plenty of every food in every week in which any sowing bears it.
fn endless(job: &Job, plan: &PlanStudy, value: &ValueStudy) -> Endless {
    let market = &plan.problem.market;
    let mut years = Vec::new();
    let mut weeks_with = vec![0.0; market.foods.len()];
    for year in 0..plan.problem.weather_years() {
        let harvests = plenty(plan, year);
        let foods = allocate_food(market, &harvests);
        for (line, weeks) in market.foods.iter().zip(&mut weeks_with) {
            let flow = foods.iter().find(|flow| flow.food == line.food);
            *weeks += flow.map_or(0.0, |flow| {
                flow.eaten_kg.iter().filter(|kg| **kg > 0.0).count() as f64
            });
        }
        years.push(WeatherYear {
            foods,
            running: Running::default(),
        });
    }
    let account = value::year(&YearInput {
        market,
        years: &years,
        tariff: &value.tariff,
        fixed: &[],
        work_h: [0.0; 12],
        pick_h_per_kg: 0.0,
        not_counted: &[],
    });
    let weeks_with: Vec<f64> = weeks_with
        .iter()
        .map(|weeks| weeks / years.len().max(1) as f64)
        .collect();
    Endless {
        value: account.value,
        short: short_foods(job, market, &weeks_with),
    }
}

/// Foods with a crop on file that are bought and not had all year, costliest gap first.
fn short_foods(job: &Job, market: &Market, weeks_with: &[f64]) -> Vec<ShortFood> {
    let grown: Vec<&str> = job
        .table
        .iter()
        .filter_map(|crop| market.line_of(crop))
        .map(|line| line.food.as_str())
        .collect();
    let all_weeks = crate::calendar::WEEKS_PER_YEAR as f64;
    let mut short: Vec<ShortFood> = market
        .foods
        .iter()
        .zip(weeks_with)
        .filter(|(line, _)| grown.contains(&line.food.as_str()))
        .map(|(line, weeks)| {
            let weeks = all_weeks - weeks;
            let price = line.price_per_kg.iter().sum::<f64>() / 12.0;
            ShortFood {
                name: line.name.clone(),
                weeks,
                money: weeks * line.bought_kg_week * price,
            }
        })
        .filter(|food| food.money > 0.0 && food.weeks >= WEEKS_SAID)
        .collect();
    short.sort_by(|a, b| b.money.total_cmp(&a.money));
    short
}

fn plenty(plan: &PlanStudy, year: usize) -> Vec<Harvest> {
    let instance = &plan.problem.instance;
    let all = (0..instance.candidates.len()).map(|candidate| (candidate, PLENTY_KG));
    let borne = plan.problem.bearing(all, year);
    let course = plan.problem.course();
    let harvest = |(food, weeks): (&crate::plan::Food, Vec<f64>)| {
        let mut kg = vec![0.0; WEEKS_PER_YEAR];
        for (week, borne) in weeks.into_iter().enumerate().take(WEEKS_PER_YEAR) {
            kg[course.calendar_week(week)] = if borne > 0.0 { PLENTY_KG } else { 0.0 };
        }
        Harvest {
            food: food.id.clone(),
            kg,
            keeps_weeks: food.keeps_weeks,
        }
    };
    instance.foods.iter().zip(borne).map(harvest).collect()
}
