//! `tables`: everything behind the report as files for other programs, with a data dictionary.

use std::io::IsTerminal;
use std::path::PathBuf;

use crate::output::tables::{DataTable, dictionary, of_report};
use crate::output::{csv_out, parquet_out};
use clap::ValueEnum;

use super::common::{ColorChoice, Source};
use super::failure::Failure;
use super::whole::{self, Passes};
use super::{print, project};

/// Every table behind the report as CSV or Parquet files, with a dictionary of the columns
///
/// Units are SI and stand in the column names.
/// Example: bedyear tables greenhouse.toml --folder figures
#[derive(clap::Args)]
pub struct Args {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    passes: Passes,
    /// Folder to write to; made if it is not there
    #[arg(long, value_name = "FOLDER")]
    folder: PathBuf,
    /// Kind of file
    #[arg(long = "as", value_enum, default_value_t = FileKind::Parquet)]
    kind: FileKind,
}

/// Kind of file to write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum FileKind {
    /// Columns with types, as data engines read them.
    Parquet,
    /// Comma-separated values, RFC 4180.
    Csv,
}

impl FileKind {
    fn ending(self) -> &'static str {
        match self {
            FileKind::Parquet => "parquet",
            FileKind::Csv => "csv",
        }
    }

    fn bytes(self, table: &DataTable, currency: &str) -> Result<Vec<u8>, Failure> {
        match self {
            FileKind::Parquet => {
                parquet_out::table_bytes(table, Some(currency)).map_err(Failure::work)
            }
            FileKind::Csv => csv_out::table_text(table)
                .map(String::into_bytes)
                .map_err(Failure::work),
        }
    }
}

pub fn run(args: &Args) -> Result<(), Failure> {
    let colour = ColorChoice::Auto.wanted(std::io::stderr().is_terminal());
    let mut job = project::open(&args.source, colour)?;
    args.passes.search.set_over(&mut job)?;
    print::try_folder(&args.folder)?;
    let view = whole::report_view(&job, &args.passes)?;
    print::folder(&args.folder)?;
    let currency = &view.value.currency;
    let mut files = Vec::new();
    for table in of_report(&view) {
        let path = args.folder.join(table.name);
        let path = path.with_extension(args.kind.ending());
        files.push((path, args.kind.bytes(&table, currency)?, None));
    }
    let words = csv_out::to_string(&dictionary(Some(currency))).map_err(Failure::work)?;
    files.push((args.folder.join("dictionary.csv"), words.into_bytes(), None));
    print::files(&files)
}
