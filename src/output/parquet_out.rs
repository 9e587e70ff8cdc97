//! Parquet: one row group, compressed with Snappy, every column optional.

use std::io::Write;
use std::sync::Arc;

use chrono::NaiveDate;
use parquet::basic::{Compression, ConvertedType, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{
    BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int32Type, Int64Type,
};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{Type, TypePtr};

use super::row::{Cell, Column, Kind, Row};
use super::tables::DataTable;

/// The value of cells of one kind.
macro_rules! only {
    ($kind:ident) => {
        |cell| match cell {
            Cell::$kind(value) => Some(*value),
            _ => None,
        }
    };
}

/// A table as the bytes of a Parquet file: quantities DOUBLE, counts INT64, words UTF-8, days DATE, flags BOOLEAN. The file's
/// key-value metadata hold for each column `unit:NAME` and `meaning:NAME`, and `currency` where it is known.
///
/// # Errors
/// What the writer reports; writing to memory does not fail.
pub fn table_bytes(table: &DataTable, currency: Option<&str>) -> Result<Vec<u8>, ParquetError> {
    let mut bytes = Vec::new();
    let entry = |key: String, value: String| KeyValue::new(key, value);
    let units = table
        .columns
        .iter()
        .filter(|column| !column.unit.is_empty());
    let units =
        units.map(|column| entry(format!("unit:{}", column.name), column.unit_in(currency)));
    let meanings = table.columns.iter();
    let meanings = meanings.map(|column| entry(format!("meaning:{}", column.name), column.meant()));
    let currency_of = currency.map(|code| entry("currency".to_owned(), code.to_owned()));
    let metadata: Vec<KeyValue> = currency_of
        .into_iter()
        .chain(units)
        .chain(meanings)
        .collect();
    let properties = WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .set_key_value_metadata(Some(metadata))
        .set_created_by(format!("bedyear {}", env!("CARGO_PKG_VERSION")))
        .build();
    let schema = schema(&table.columns)?;
    let mut writer = SerializedFileWriter::new(&mut bytes, schema, Arc::new(properties))?;
    let mut group = writer.next_row_group()?;
    for (index, column) in table.columns.iter().enumerate() {
        let cells: Vec<&Cell> = table.column(index).collect();
        match column.kind {
            Kind::Number => write_column::<DoubleType, _>(&mut group, &cells, Cell::number)?,
            Kind::Count => write_column::<Int64Type, _>(&mut group, &cells, only!(Count))?,
            Kind::Text => write_column::<ByteArrayType, _>(&mut group, &cells, words)?,
            Kind::Date => write_column::<Int32Type, _>(&mut group, &cells, days)?,
            Kind::Flag => write_column::<BoolType, _>(&mut group, &cells, only!(Flag))?,
        }
    }
    group.close()?;
    writer.close()?;
    Ok(bytes)
}

/// Rows of one type as the bytes of a file.
///
/// # Errors
/// As [`table_bytes`].
pub fn to_bytes<R: Row>(rows: &[R]) -> Result<Vec<u8>, ParquetError> {
    table_bytes(&DataTable::of("rows", rows), None)
}

fn schema(columns: &[Column]) -> Result<TypePtr, ParquetError> {
    let fields = columns
        .iter()
        .map(field)
        .collect::<Result<Vec<TypePtr>, ParquetError>>()?;
    let root = Type::group_type_builder("bedyear")
        .with_fields(fields)
        .build()?;
    Ok(Arc::new(root))
}

fn field(column: &Column) -> Result<TypePtr, ParquetError> {
    let (physical, logical) = match column.kind {
        Kind::Number => (Physical::DOUBLE, None),
        Kind::Count => (Physical::INT64, None),
        Kind::Text => (
            Physical::BYTE_ARRAY,
            Some((LogicalType::String, ConvertedType::UTF8)),
        ),
        Kind::Date => (
            Physical::INT32,
            Some((LogicalType::Date, ConvertedType::DATE)),
        ),
        Kind::Flag => (Physical::BOOLEAN, None),
    };
    let mut builder =
        Type::primitive_type_builder(&column.name, physical).with_repetition(Repetition::OPTIONAL);
    if let Some((logical, converted)) = logical {
        builder = builder
            .with_logical_type(Some(logical))
            .with_converted_type(converted);
    }
    Ok(Arc::new(builder.build()?))
}

/// Writes the next column: the values that are known, and for each row whether it has one.
fn write_column<T: DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    cells: &[&Cell],
    value: fn(&Cell) -> Option<T::T>,
) -> Result<(), ParquetError> {
    let found: Vec<Option<T::T>> = cells.iter().map(|cell| value(cell)).collect();
    let levels: Vec<i16> = found
        .iter()
        .map(|value| i16::from(value.is_some()))
        .collect();
    let values: Vec<T::T> = found.into_iter().flatten().collect();
    let Some(mut column) = group.next_column()? else {
        return Err(ParquetError::General(
            "more columns than the schema has".to_string(),
        ));
    };
    column
        .typed::<T>()
        .write_batch(&values, Some(&levels), None)?;
    column.close()
}

fn words(cell: &Cell) -> Option<ByteArray> {
    cell.text().map(|text| ByteArray::from(text.as_ref()))
}

/// Days since 1970-01-01, as the format wants them.
fn days(cell: &Cell) -> Option<i32> {
    cell.date()
        .and_then(|date| i32::try_from((date - NaiveDate::default()).num_days()).ok())
}
