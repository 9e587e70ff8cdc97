//! `schema`, `columns`, `crops`, `climates`: what is on the shelf, and where each figure comes from.

use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::file::quantity::{self, Dimension, QuantityError};
use crate::output::view::{PlaceView, ShelfView};
use crate::output::{Row, build, tables, terminal};
use crate::site::climates;
use crate::site::places::Spot;
use crate::study;
use crate::suggest::{meant, nearest};
use serde::Serialize;

use super::common::{Format, More, Show};
use super::failure::Failure;
use super::load::{printable, read_folder};
use super::print::Screen;
use super::{offer, print, project};

/// Year whose sun the weather years of `climates --design` follow; it moves by half a minute from year to year.
const SUN_YEAR: i32 = 2027;

/// The tables of the project file; with a name, what one table or key means, its unit, default and range
///
/// Example: bedyear schema building, bedyear schema building.length, or bedyear schema --all
#[derive(clap::Args)]
pub struct SchemaArgs {
    /// A table such as building, or a key such as building.length
    name: Option<String>,
    /// Every key, with all there is to say of it
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    show: Show,
}

/// Crops on file; with a name, what that crop needs and bears, and every figure with its source
///
/// Example: bedyear crops spinach
#[derive(clap::Args)]
pub struct CropsArgs {
    /// A crop by its identifier
    #[arg(value_parser = offer::crops(), hide_possible_values = true)]
    name: Option<String>,
    /// Folder of your own crop files, which add to or replace those on file
    #[arg(long, value_name = "FOLDER")]
    own: Option<PathBuf>,
    #[command(flatten)]
    show: Show,
    /// Every crop on a line of its own, with family and food; of one crop, every figure with its source
    #[arg(long)]
    all: bool,
    /// Of one crop, the figures of this section with their sources, such as cold
    #[arg(long, value_name = "NAME", requires = "name")]
    list: Option<String>,
}

/// Places on the shelf; with a town or a spot its months, their source and the error to expect
///
/// Example: bedyear climates "Bozeman, Montana"
#[derive(clap::Args)]
pub struct ClimatesArgs {
    /// A place on the shelf, or a town such as "Innsbruck AT"
    #[arg(conflicts_with = "design", value_parser = offer::places(), hide_possible_values = true)]
    name: Option<String>,
    /// A latitude and longitude, such as "46.6 N 112 W"
    #[arg(long, value_name = "SPOT", conflicts_with_all = ["name", "design"], allow_hyphen_values = true)]
    near: Option<String>,
    /// Height above sea level of that place, such as "1250 m"
    #[arg(long, value_name = "HEIGHT", conflicts_with = "design")]
    elevation: Option<String>,
    /// Cold of the weather years beside the design temperatures of each place's weather file, differences explained
    #[arg(long)]
    design: bool,
    /// Weather years to try for it
    #[arg(long, value_name = "N", default_value_t = 30, requires = "design",
          value_parser = clap::value_parser!(u16).range(1..=1000))]
    weather_years: u16,
    /// Seed of the weather years
    #[arg(long, default_value_t = 1, requires = "design")]
    seed: u64,
    /// Where the figures come from and how far they may be off; with --design, why the figures differ
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    show: Show,
}

/// The tables for machines; with a name, every column of that table with its unit and meaning
///
/// Example: bedyear columns plantings, or bedyear columns --format csv
#[derive(clap::Args)]
pub struct ColumnsArgs {
    /// A table
    name: Option<String>,
    /// Every column of every table
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    show: Show,
}

pub fn schema(args: &SchemaArgs) -> Result<(), Failure> {
    let mut view = build::schema();
    let is_table = args.show.format == Format::Table;
    let look = print::look(&args.show);
    if let Some(name) = &args.name {
        let name = printable(name.as_ref());
        let inside = format!("{name}.");
        let under = format!(".{name}");
        let keys: Vec<String> = view.rows.iter().map(|row| row.key.clone()).collect();
        view.rows.retain(|row| {
            let bare = row.key.replace("[]", "");
            [&row.key, &bare]
                .into_iter()
                .any(|key| *key == name || key.starts_with(&inside) || key.ends_with(&under))
        });
        if view.rows.is_empty() {
            // Tables by their plain names too: `bed` for `bed[]`.
            let tables = keys.iter().filter_map(|key| key.split(['.', '[']).next());
            let names = keys.iter().map(String::as_str).chain(tables);
            let near = meant(nearest(&name, names));
            let wrong = format!("error: there is no key or table `{name}`{near}");
            return Err(Failure::input(wrong));
        }
        if is_table {
            return print::text(terminal::keys(&view.rows, args.all, &look));
        }
    } else if is_table && !args.all {
        return print::text(terminal::key_tables(&view.rows, &look));
    }
    print_rows(&view, &args.show)
}

pub fn crops(args: &CropsArgs) -> Result<(), Failure> {
    let own = args.own.as_deref().map(|own| read_folder(own, "toml"));
    let table = project::crop_table(&own.transpose()?.unwrap_or_default())?;
    let Some(name) = &args.name else {
        let view = build::crops(&table);
        if args.show.format == Format::Table && !args.all {
            return print::text(terminal::crops(&view.rows, &print::look(&args.show)));
        }
        return print_rows(&view, &args.show);
    };
    let crop = study::one_crop(&table, &printable(name.as_ref()))?;
    let view = build::crop(crop);
    let screen = Screen {
        show: args.show.clone(),
        more: More {
            all: args.all,
            list: args.list.clone(),
        },
        names: tables::names::CROP,
    };
    let answer = |_: &_, look: &_| terminal::crop(crop, look);
    screen.answer(&view, (answer, print::no_notes), &tables::crop(&view))
}

pub fn columns(args: &ColumnsArgs) -> Result<(), Failure> {
    let mut view = ShelfView {
        rows: tables::dictionary(None),
    };
    let is_answer = args.show.format == Format::Table && !args.all;
    let look = print::look(&args.show);
    if let Some(name) = &args.name {
        let names: BTreeSet<String> = view.rows.iter().map(|row| row.table.clone()).collect();
        view.rows.retain(|row| row.table == *name);
        if view.rows.is_empty() {
            let near = meant(nearest(name, names.iter().map(String::as_str)));
            let name = printable(name.as_ref());
            let wrong = format!("error: there is no table `{name}`{near}");
            return Err(Failure::input(wrong));
        }
        if is_answer {
            return print::text(terminal::columns(&view.rows, &look));
        }
    } else if is_answer {
        return print::text(terminal::data_tables(&view.rows, &look));
    }
    print_rows(&view, &args.show)
}

pub fn climates(args: &ClimatesArgs) -> Result<(), Failure> {
    let wrong =
        |option: &str, error: QuantityError| Failure::input(format!("error: --{option}: {error}"));
    let elevation = args.elevation.as_deref();
    let elevation_m = elevation.map(|text| quantity::parse(text, Dimension::Length));
    let elevation_m = elevation_m.transpose();
    let elevation_m = elevation_m.map_err(|error| wrong("elevation", error))?;
    let found = match (&args.near, &args.name) {
        (Some(text), _) => {
            let (latitude_deg, longitude_deg) =
                quantity::parse_spot(text).map_err(|error| wrong("near", error))?;
            let spot = Spot {
                latitude_deg,
                longitude_deg,
                elevation_m,
            };
            Some(study::spot(&printable(text.as_ref()), &spot))
        }
        (None, Some(name)) => Some(study::place(&printable(name.as_ref()), elevation_m)),
        (None, None) => None,
    };
    if let Some(found) = found {
        let view = build::place(&found?);
        let rows = |view: &PlaceView| view.months.clone();
        let shown = |view: &_, look: &_| terminal::place(view, args.all, look);
        return print::view(&view, &args.show, shown, rows);
    }
    let shelf = climates::all().map(|(name, normals)| (name.to_owned(), normals));
    let shelf: Vec<_> = shelf.collect();
    if args.design {
        let years = usize::from(args.weather_years);
        let places = study::design(&shelf, years, args.seed, SUN_YEAR);
        return print::view(
            &build::design(&places),
            &args.show,
            |view, look| terminal::design(view, args.all, look),
            |view| view.rows.clone(),
        );
    }
    print::view(
        &build::places(&shelf),
        &args.show,
        terminal::places,
        |view| view.rows.clone(),
    )
}

fn print_rows<R: Row + Serialize + Clone>(view: &ShelfView<R>, show: &Show) -> Result<(), Failure> {
    print::view(
        view,
        show,
        |view, look| terminal::rows(&view.rows, look),
        |view| view.rows.clone(),
    )
}
