//! Files that once made a reader panic or hang, found by the fuzz targets (`fuzz/`): each is read or refused in words.
//!
//! Which reader a file broke is of no account: every reader gets every file.

use bedyear::crops::Table;
use bedyear::file;
use bedyear::output::ical;
use bedyear::plan::PlanFile;
use bedyear::site::{climates, epw};
use bedyear::value::receipts;

#[test]
fn what_was_found_is_read_or_refused() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/found");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        eprintln!("{}", path.display());
        let bytes = std::fs::read(&path).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        match file::parse_bytes("any.toml", &bytes) {
            Ok(project) => assert!(file::check::understood(&project).faces_w_k.is_finite()),
            Err(error) => assert!(!error.render(false).is_empty()),
        }
        let _ = Table::builtin().unwrap().with_override("any.toml", &text);
        let _ = climates::parse("any.toml", &text);
        let _ = epw::read("any.epw", &text);
        let _ = PlanFile::parse(&text);
        let _ = ical::read_earlier(&text);
        for row in receipts::read(&text).bought {
            assert!(row.kg.is_finite() && row.paid.is_finite());
        }
        count += 1;
    }
    assert!(count > 0);
}
