//! The work by week.

use super::Look;
use super::table::{Align, Sheet};
use crate::output::text::short_date;
use crate::output::view::PlanView;
use crate::output::work::{Week, trays, weeks};

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
