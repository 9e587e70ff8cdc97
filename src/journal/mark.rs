//! The mark that ends a row: made from the row itself, so that a row cut short is known, and a row written twice.

use std::hash::Hasher;

use fnv::FnvHasher;

use super::Entry;

/// Characters of a mark.
const DIGITS: usize = 8;

/// The mark of a row that is the `again`-th of its kind, from 0.
///
/// It guards against a slip, not against a forger: half of a hash of 64 bits is enough.
pub(super) fn mark(cells: &[String], again: usize) -> String {
    let again = again.to_string();
    let mut hasher = FnvHasher::default();
    for cell in cells.iter().chain([&again]) {
        hasher.write(cell.as_bytes());
        // Parts the cells: no cell holds it.
        hasher.write(b"\x1f");
    }
    let half = hasher.finish() & u64::from(u32::MAX);
    format!("{half:0DIGITS$x}")
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
