//! The mark that ends a row: made from the row itself, so that a row cut short is known, and a row written twice.

use super::Entry;

/// Characters of a mark.
const DIGITS: usize = 8;

/// The mark of a row that is the `again`-th of its kind, from 0.
///
/// FNV-1a, 32 bits (Fowler, Noll, Vo; figures from memory): it guards against a slip, not against a forger.
pub(super) fn mark(cells: &[String], again: usize) -> String {
    const OFFSET: u32 = 0x811c_9dc5;
    const PRIME: u32 = 0x0100_0193;
    let again = again.to_string();
    let whole = cells.iter().map(String::as_str).chain([again.as_str()]);
    // Parted by a character no cell holds.
    let bytes = whole.flat_map(|cell| cell.bytes().chain([0x1f]));
    let hash = bytes.fold(OFFSET, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(PRIME)
    });
    format!("{hash:0DIGITS$x}")
}

/// Could a text be a mark that was written whole?
pub(super) fn is_whole(text: &str) -> bool {
    text.len() == DIGITS && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// The same row: everything but line and mark.
pub(super) fn same(a: &Entry, b: &Entry) -> bool {
    let line = 0;
    let bare = |entry: &Entry| Entry {
        line,
        ..entry.clone()
    };
    bare(a) == bare(b)
}
