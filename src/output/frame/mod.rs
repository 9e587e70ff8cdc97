//! Tables as data frames, for programs that go on computing with them: the columns asked for of all parts of a sweep, one part behind
//! the other, and questions to them.

mod ask;
mod question;

pub use ask::ask;
pub use question::{AskError, Question, usual};

use parquet::basic::Type as Physical;
use parquet::column::reader::ColumnReader;
use parquet::errors::ParquetError;
use parquet::file::reader::{ChunkReader, FileReader, SerializedFileReader};
use polars::prelude::{Column as FrameColumn, DataFrame, NamedFrom, PolarsResult, Series};
use rayon::prelude::*;

/// A column of the parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartColumn {
    /// Its name.
    pub name: String,
    /// Does it hold words?
    pub words: bool,
}

/// The columns of a part.
///
/// # Errors
/// [`ParquetError`] for a file that is none.
pub fn columns<R: ChunkReader + 'static>(part: R) -> Result<Vec<PartColumn>, ParquetError> {
    let reader = SerializedFileReader::new(part)?;
    let schema = reader.metadata().file_metadata().schema_descr_ptr();
    Ok(schema
        .columns()
        .iter()
        .map(|column| PartColumn {
            name: column.name().to_owned(),
            words: column.physical_type() == Physical::BYTE_ARRAY,
        })
        .collect())
}

/// Cells of one column.
enum Cells {
    Numbers(Vec<Option<f64>>),
    Words(Vec<Option<String>>),
}

impl Cells {
    fn of(words: bool) -> Self {
        if words {
            Cells::Words(Vec::new())
        } else {
            Cells::Numbers(Vec::new())
        }
    }

    fn append(&mut self, other: Cells) {
        match (self, other) {
            (Cells::Numbers(all), Cells::Numbers(more)) => all.extend(more),
            (Cells::Words(all), Cells::Words(more)) => all.extend(more),
            // A part of another sweep cannot lie here; what does not fit is not known.
            (Cells::Numbers(all), Cells::Words(more)) => all.extend(more.iter().map(|_| None)),
            (Cells::Words(all), Cells::Numbers(more)) => all.extend(more.iter().map(|_| None)),
        }
    }

    fn series(self, name: &str) -> Series {
        match self {
            Cells::Numbers(cells) => Series::new(name.into(), cells),
            Cells::Words(cells) => Series::new(name.into(), cells),
        }
    }
}

/// Some columns of all parts as one frame, in the order of the parts; `open` gives a part by its number.
///
/// # Errors
/// [`ParquetError`] for a part that cannot be read.
pub fn gather<R, E>(
    parts: usize,
    wanted: &[PartColumn],
    open: impl Fn(usize) -> Result<R, E> + Sync,
) -> Result<PolarsResult<DataFrame>, E>
where
    R: ChunkReader + 'static,
    E: From<ParquetError> + Send,
{
    let read: Vec<Vec<Cells>> = (0..parts)
        .into_par_iter()
        .map(|part| Ok::<_, E>(of_part(open(part)?, wanted)?))
        .collect::<Result<_, E>>()?;
    let mut all: Vec<Cells> = wanted
        .iter()
        .map(|column| Cells::of(column.words))
        .collect();
    let mut height = 0;
    for part in read {
        for (index, (whole, more)) in all.iter_mut().zip(part).enumerate() {
            if index == 0 {
                height += match &more {
                    Cells::Numbers(cells) => cells.len(),
                    Cells::Words(cells) => cells.len(),
                };
            }
            whole.append(more);
        }
    }
    let columns = wanted
        .iter()
        .zip(all)
        .map(|(column, cells)| FrameColumn::from(cells.series(&column.name)))
        .collect();
    Ok(DataFrame::new(height, columns))
}

fn of_part<R: ChunkReader + 'static>(
    part: R,
    wanted: &[PartColumn],
) -> Result<Vec<Cells>, ParquetError> {
    let reader = SerializedFileReader::new(part)?;
    let schema = reader.metadata().file_metadata().schema_descr_ptr();
    let at = |name: &str| {
        schema
            .columns()
            .iter()
            .position(|column| column.name() == name)
    };
    let mut all: Vec<Cells> = wanted
        .iter()
        .map(|column| Cells::of(column.words))
        .collect();
    for group in 0..reader.num_row_groups() {
        let group = reader.get_row_group(group)?;
        let rows = usize::try_from(group.metadata().num_rows()).unwrap_or(0);
        for (column, cells) in wanted.iter().zip(&mut all) {
            let index = at(&column.name).ok_or_else(|| {
                ParquetError::General(format!("a part has no column `{}`", column.name))
            })?;
            cells.append(of_column(group.get_column_reader(index)?, rows)?);
        }
    }
    Ok(all)
}

/// All cells of a column chunk, the unknown ones among them.
fn of_column(reader: ColumnReader, rows: usize) -> Result<Cells, ParquetError> {
    macro_rules! read_all {
        ($reader:expr, $rows:expr) => {{
            let (mut levels, mut values) = (Vec::new(), Vec::new());
            let mut reader = $reader;
            let mut found = 0;
            while found < $rows {
                let (records, _, _) =
                    reader.read_records($rows - found, Some(&mut levels), None, &mut values)?;
                if records == 0 {
                    break;
                }
                found += records;
            }
            (levels, values)
        }};
    }
    macro_rules! numbers {
        ($reader:expr, $of:expr) => {{
            let (levels, values) = read_all!($reader, rows);
            Cells::Numbers(spread(&levels, values.into_iter().map($of)))
        }};
    }
    Ok(match reader {
        ColumnReader::DoubleColumnReader(reader) => numbers!(reader, |value: f64| value),
        ColumnReader::Int64ColumnReader(reader) => numbers!(reader, |value: i64| value as f64),
        ColumnReader::Int32ColumnReader(reader) => numbers!(reader, f64::from),
        ColumnReader::BoolColumnReader(reader) => {
            numbers!(reader, |value: bool| f64::from(u8::from(value)))
        }
        ColumnReader::ByteArrayColumnReader(reader) => {
            let (levels, values) = read_all!(reader, rows);
            let words = values
                .into_iter()
                .map(|value| String::from_utf8_lossy(value.data()).into_owned());
            Cells::Words(spread(&levels, words))
        }
        _ => {
            return Err(ParquetError::General(
                "a part has a column of a kind that sweeps do not write".to_owned(),
            ));
        }
    })
}

/// Values in their rows: a level above 0 says that the row has one.
fn spread<T>(levels: &[i16], values: impl Iterator<Item = T>) -> Vec<Option<T>> {
    let mut values = values;
    levels
        .iter()
        .map(|level| (*level > 0).then(|| values.next()).flatten())
        .collect()
}
