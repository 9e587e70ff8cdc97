//! `season`: crops against months.

use std::io::Write;

use crate::crops::Way;
use crate::file::quantity::{self, Dimension};
use crate::output::terminal;
use crate::output::view::SeasonView;
use crate::output::{build, tables};
use crate::study::{self, ExplainQuestion, HeatAsked};
use crate::value::Fuel;
use chrono::NaiveDate;

use super::common::{Asked, Format, More, Show, day};
use super::failure::Failure;
use super::load::printable;
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
    let right = || "a temperature such as \"40 F\" or \"5 C\", from -10 C to 35 C".to_owned();
    let found = quantity::parse(text, Dimension::Temperature).map_err(|_| right())?;
    if FROM_TO_C.contains(&found) {
        Ok(found)
    } else {
        Err(right())
    }
}

fn fuel(text: &str) -> Result<Fuel, String> {
    Fuel::named(text).ok_or_else(|| {
        "one of electricity, heat pump, propane, natural gas, oil, kerosene, wood, pellets"
            .to_owned()
    })
}

/// Runs the verb.
pub fn run(args: &Args, out: &mut impl Write) -> Result<(), Failure> {
    let names = match args.explain {
        Some(_) => tables::names::EXPLAIN,
        None => tables::names::SEASON,
    };
    let (job, show) = project::asked(&args.asked, names)?;
    let asked: Vec<String> = args
        .crops
        .iter()
        .chain(&args.why)
        .map(|name| printable(name.as_ref()))
        .collect();
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
        return print::answer(
            &view,
            (&show, &args.asked.more),
            (terminal::explain, terminal::explain_notes),
            &tables::explain(&view, show.table_width() >= WIDE),
            names,
            out,
        );
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
        return why(&view, name, (&show, &args.asked.more), out);
    }
    print::answer(
        &view,
        (&show, &args.asked.more),
        (terminal::season, print::no_notes),
        &tables::season(&view),
        names,
        out,
    )
}

/// What holds one crop back, month by month.
fn why(
    view: &SeasonView,
    name: &str,
    (show, asked): (&Show, &More),
    out: &mut impl Write,
) -> Result<(), Failure> {
    let more = More {
        all: false,
        list: Some("why".to_owned()),
    };
    let mut of_crop = tables::season(view);
    for table in &mut of_crop {
        table.title = format!("{}: {}", table.title, printable(name.as_ref()));
    }
    let causes = of_crop.iter().find(|table| table.name == "why");
    if show.format == Format::Table && causes.is_none_or(|table| table.rows.is_empty()) {
        return Ok(writeln!(
            out,
            "Nothing holds {} back in any month.",
            printable(name.as_ref())
        )?);
    }
    if let (Format::Table, Some(causes), false, None) =
        (show.format, causes, asked.all, &asked.list)
    {
        return Ok(write!(
            out,
            "{}",
            terminal::fitted(causes, &print::look(show))
        )?);
    }
    print::answer(
        view,
        (show, &more),
        (print::no_notes, print::no_notes),
        &of_crop,
        tables::names::SEASON,
        out,
    )
}
