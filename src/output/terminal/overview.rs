//! The whole job in one screen, and the work by week.

use super::Look;
use super::draw::{LINES, draw, lines};
use super::table::{Align, Sheet};
use crate::output::answer;
use crate::output::text::short_date;
use crate::output::view::{PlanView, ReportView};
use crate::output::work::{Week, trays, weeks};

/// Matters of which less is said where the screen is full, the first first, down to one sentence each.
const CUT_SHORT: [&str; 3] = ["Risks", "Money", "Short"];

/// What is eaten when, what falls short, what to sow, how long warm crops stay, money, risks, the coldest night.
pub fn overview(view: &ReportView, look: &Look) -> String {
    let mut said = answer::lines(view, look.units);
    let mut text = drawn(view, &said, look);
    for about in CUT_SHORT {
        let Some(at) = said.iter().position(|line| line.about == about) else {
            continue;
        };
        while said[at].said.len() > 1 && text.lines().count() > LINES {
            said[at].said.pop();
            text = drawn(view, &said, look);
        }
    }
    text
}

fn drawn(view: &ReportView, said: &[answer::Line], look: &Look) -> String {
    let mut text = look.head(&format!("{}, from {}", view.title, view.plan.start));
    let table = answer::eaten(view, look.units);
    text.push_str(&draw(&table.bare(), look));
    text.push_str(&lines(said, look));
    text.push_str(
        &look.prose("More: overview --all; or ask climate, season, plan, value, calendar, report."),
    );
    text
}

/// The next weeks of work.
pub fn work_soon(view: &PlanView, look: &Look) -> String {
    /// Weeks that make one screen.
    const WEEKS: usize = 4;
    let weeks = weeks(view, look.units);
    let shown = &weeks[..weeks.len().min(WEEKS)];
    format!(
        "{}{}{}",
        look.head(&format!("The next weeks of work, {}", view.project)),
        list(shown, look),
        look.prose(&trays(view, look.units))
    )
}

/// The work list: every week, with a box to tick for each line.
pub fn work_list(view: &PlanView, look: &Look) -> String {
    let circle = if view.repeats { CIRCLE } else { "" };
    let foot = look.prose(&format!("{}{circle}", trays(view, look.units)));
    format!(
        "{}{}{foot}",
        look.head(&format!("Work by week, {}", view.project)),
        list(&weeks(view, look.units), look)
    )
}

/// Where the first weeks' harvest is.
const CIRCLE: &str = "\nThe year repeats: what is picked in the first months was sown before the list begins, and its pickings stand \
                      at the end of the list.\n";

fn list(weeks: &[Week], look: &Look) -> String {
    let mut sheet = Sheet::new(&[("", Align::Right), ("", Align::Key), ("", Align::Left)]);
    for week in weeks {
        for (number, line) in week.lines.iter().enumerate() {
            let day = if number == 0 {
                short_date(week.day)
            } else {
                String::new()
            };
            let work = if line.place.is_empty() {
                line.work.clone()
            } else {
                format!("{}: {}", line.place, line.work)
            };
            sheet.row(vec![day, "[ ]".to_owned(), work]);
        }
    }
    sheet.render(look)
}
