//! `season`: crops against months.

use crate::crops::Way;
use crate::file::quantity::{self, Dimension};
use crate::output::view::SeasonView;
use crate::output::{build, tables, terminal};
use crate::study::{self, ExplainQuestion, HeatAsked};
use crate::value::Fuel;
use chrono::NaiveDate;

use super::common::{Asked, Format, More, day};
use super::failure::Failure;
use super::load::printable;
use super::print::Screen;
use super::{offer, print, project, whole};

/// Crops against months, with the reason for every no, and how long warm crops can stay in
///
/// Example: bedyear season greenhouse.toml --why tomato, or bedyear season greenhouse.toml --explain spinach --sow 2027-09-01
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    asked: Asked,
    /// Only these crops: an id of the shelf, or a plain name such as tomato for all its kinds
    #[arg(value_name = "CROP", conflicts_with = "explain", value_parser = offer::crops(), hide_possible_values = true)]
    crops: Vec<String>,
    /// What holds this crop back, and in which months
    #[arg(long, value_name = "CROP", conflicts_with_all = ["crops", "explain"], value_parser = offer::crops(), hide_possible_values = true)]
    why: Option<String>,
    /// Hold the air at this temperature in the comparison of roofs, by a heater as large as that takes, such as "40 F"
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, conflicts_with = "explain", allow_hyphen_values = true)]
    heat: Option<f64>,
    /// What that heater burns: electricity, heat pump, propane, natural gas, oil, kerosene, wood or pellets
    #[arg(long, value_name = "FUEL", value_parser = fuel, requires = "heat")]
    fuel: Option<Fuel>,
    /// Follow one sowing of this crop: what it brings, how sure it is, its days and what ends it; --all month by month
    #[arg(long, value_name = "CROP", value_parser = offer::crops(), hide_possible_values = true)]
    explain: Option<String>,
    /// Day of that sowing; the surest over the weather years where none is named
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day, requires = "explain")]
    sow: Option<NaiveDate>,
    /// Bed of that sowing, by its name in the file; the first where none is named
    #[arg(long, value_name = "BED", requires = "explain")]
    bed: Option<String>,
    /// Way of that sowing; the crop's usual one where none is named
    #[arg(long, value_enum, requires = "explain")]
    way: Option<Way>,
}

/// Width from which the months of a sowing are shown with all their columns.
const WIDE: usize = 110;

/// A temperature that a greenhouse is heated to.
fn temperature(text: &str) -> Result<f64, String> {
    const FROM_TO_C: std::ops::RangeInclusive<f64> = -10.0..=35.0;
    let found = quantity::parse(text, Dimension::Temperature).ok();
    let found = found.filter(|found| FROM_TO_C.contains(found));
    found.ok_or_else(|| "a temperature such as \"40 F\" or \"5 C\", from -10 C to 35 C".to_owned())
}

fn fuel(text: &str) -> Result<Fuel, String> {
    Fuel::named(text).ok_or_else(|| {
        "one of electricity, heat pump, propane, natural gas, oil, kerosene, wood, pellets"
            .to_owned()
    })
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let names = match args.explain {
        Some(_) => tables::names::EXPLAIN,
        None => tables::names::SEASON,
    };
    let (job, screen) = project::asked(&args.asked, names)?;
    let asked = args.crops.iter().chain(&args.why);
    let asked: Vec<String> = asked.map(|name| printable(name.as_ref())).collect();
    let only = study::crops_named(&job.table, &asked)?;
    if let Some(crop) = &args.explain {
        let question = ExplainQuestion {
            crop: printable(crop.as_ref()),
            sow: args.sow,
            bed: args.bed.as_ref().map(|bed| printable(bed.as_ref())),
            way: args.way,
        };
        let (climate, _) = whole::climate(&job)?;
        let studied = study::explain(&job, &climate, &question)?;
        let view = build::explain(&job, &studied);
        let words = (terminal::explain, terminal::explain_notes);
        let tables = tables::explain(&view, screen.show.table_width() >= WIDE);
        return screen.answer(&view, words, &tables);
    }
    let heat = args.heat.map(|set_point_c| HeatAsked {
        set_point_c,
        fuel: args.fuel,
    });
    let (weathers, climate, mut studied) = whole::climate_and_season(&job, heat)?;
    if !only.is_empty() {
        studied.keep(&only);
    }
    if args.why.is_some() {
        let turns = whole::told("trying what would turn a no", || {
            study::turns(&job, &climate, &weathers, &studied)
        });
        studied.turns = Some(turns?);
    }
    let view = build::season(&job, &studied);
    if let Some(name) = &args.why {
        return why(&view, name, screen);
    }
    let words = (terminal::season, print::no_notes);
    screen.answer(&view, words, &tables::season(&view))
}

/// What holds one crop back, month by month.
fn why(view: &SeasonView, name: &str, mut screen: Screen) -> Result<(), Failure> {
    let crop = printable(name.as_ref());
    let mut of_crop = tables::season(view);
    for table in &mut of_crop {
        table.title = format!("{}: {crop}", table.title);
    }
    let causes = of_crop.iter().find(|table| table.name == "why");
    let causes = causes.filter(|table| !table.rows.is_empty());
    let is_answer = !screen.more.all && screen.more.list.is_none();
    match (screen.show.format, causes) {
        (Format::Table, None) => {
            let words = format!(
                "No month keeps {crop} out: in each it can be sown, stand or be picked. `--list season` tells which; \
                 `--explain {crop}` follows one sowing.\n"
            );
            return print::text(words);
        }
        (Format::Table, Some(causes)) if is_answer => {
            return print::text(terminal::fitted(causes, &print::look(&screen.show)));
        }
        _ => {}
    }
    screen.more = More {
        all: false,
        list: Some("why".to_owned()),
    };
    screen.answer(view, (print::no_notes, print::no_notes), &of_crop)
}
