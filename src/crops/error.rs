//! What can be wrong with a crop file.

/// A crop file that cannot be used; line and column count from 1.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{file}:{line}:{column}: {message}")]
pub struct CropError {
    /// File as the person named it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the text that are at fault.
    pub span: std::ops::Range<usize>,
    /// What is wrong, with the value and what would be right.
    pub message: String,
}
