//! Rows of a CSV text, each read on its own: a broken one never takes the next with it.

/// A cell with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Its text, without quotation marks and outer blanks.
    pub text: String,
    /// Column of the text at which it begins, in characters from 1.
    pub column: usize,
}

/// A row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Line of the text at which it begins, from 1.
    pub number: usize,
    pub cells: Vec<Cell>,
    /// A quotation mark is open at its end.
    pub open: bool,
}

impl Line {
    /// Text of a cell, from 0; nothing where there is none.
    pub fn text(&self, at: usize) -> &str {
        self.cells.get(at).map_or("", |cell| cell.text.as_str())
    }

    /// The first cell with a text beyond so many columns.
    pub fn surplus(&self, columns: usize) -> Option<&Cell> {
        let mut beyond = self.cells.iter().skip(columns);
        beyond.find(|cell| !cell.text.is_empty())
    }
}

/// The separator of a text, from its first line: semicolon, tab or comma, whichever stands there most often.
pub fn separator(text: &str) -> char {
    let first = text.lines().find(|line| !line.trim().is_empty());
    let first = first.unwrap_or("");
    let outside: Vec<char> = outside_quotes(first).collect();
    let count = |mark: char| outside.iter().filter(|c| **c == mark).count();
    [',', ';', '\t']
        .into_iter()
        .max_by_key(|mark| (count(*mark), *mark == ','))
        .unwrap_or(',')
}

fn outside_quotes(line: &str) -> impl Iterator<Item = char> {
    let mut quoted = false;
    line.chars().filter(move |c| {
        if *c == '"' {
            quoted = !quoted;
        }
        !quoted
    })
}

/// Most lines that one cell with line ends may run over; a quotation mark open for longer is a slip (own choice).
const CELL_LINES_MAX: usize = 50;

/// Rows of a text, blank lines left out.
///
/// A cell in quotation marks may hold line ends. A row whose quotation mark stays open ends at the next line that
/// `starts_row` takes for the start of a row, or at its own end where the mark is never closed.
pub fn lines(text: &str, separator: char, starts_row: impl Fn(&str) -> bool) -> Vec<Line> {
    let text = crate::plain::without_mark(text);
    let physical: Vec<&str> = text.split_inclusive('\n').collect();
    let mut rows = Vec::new();
    let mut at = 0;
    while at < physical.len() {
        let taken = row_length(&physical[at..], &starts_row);
        let whole = physical[at..at + taken].concat();
        let row = whole.trim_end_matches(['\n', '\r']);
        if !row.trim().is_empty() {
            rows.push(Line {
                number: at + 1,
                cells: cells(row, separator),
                open: is_open(row),
            });
        }
        at += taken;
    }
    rows
}

/// Physical lines of the row that begins here.
fn row_length(ahead: &[&str], starts_row: &impl Fn(&str) -> bool) -> usize {
    let mut open = false;
    for (taken, line) in ahead.iter().enumerate().take(CELL_LINES_MAX) {
        if taken > 0 && starts_row(line) {
            return 1;
        }
        open ^= is_open(line);
        if !open {
            return taken + 1;
        }
    }
    1
}

fn is_open(text: &str) -> bool {
    text.matches('"').count() % 2 == 1
}

fn cells(row: &str, separator: char) -> Vec<Cell> {
    let mut cells = Vec::new();
    let (mut text, mut column, mut quoted) = (String::new(), 1, false);
    let mut ahead = row.chars().zip(1..).peekable();
    let cell = |text: &str, column| Cell {
        text: text.trim().to_owned(),
        column,
    };
    while let Some((c, at)) = ahead.next() {
        match c {
            '"' if quoted && matches!(ahead.peek(), Some(('"', _))) => {
                text.push('"');
                ahead.next();
            }
            '"' => quoted = !quoted,
            c if c == separator && !quoted => {
                cells.push(cell(&text, column));
                text.clear();
                column = at + 1;
            }
            c => text.push(c),
        }
    }
    cells.push(cell(&text, column));
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(line: &Line) -> Vec<&str> {
        line.cells.iter().map(|cell| cell.text.as_str()).collect()
    }

    fn dated(line: &str) -> bool {
        line.starts_with("20")
    }

    #[test]
    fn quotation_marks_as_the_standard_has_them() {
        // RFC 4180, section 2: marks round cells with separators, line ends and doubled marks.
        let text = "a,b\r\n2027-01-01,\"say \"\"no\"\", or\nyes\"\r\n2027-01-02,x";
        let rows = lines(text, ',', dated);
        assert_eq!(rows.len(), 3);
        assert_eq!(texts(&rows[1]), ["2027-01-01", "say \"no\", or\nyes"]);
        assert_eq!(rows[2].number, 4);
        assert_eq!(rows[2].cells[1].column, 12);
    }

    #[test]
    fn an_open_mark_does_not_swallow_the_next_row() {
        let rows = lines(
            "2027-01-01,\"cut\n2027-01-02,x\n2027-01-03,\"y\"\n",
            ',',
            dated,
        );
        assert_eq!(rows.len(), 3);
        assert!(rows[0].open && !rows[1].open && !rows[2].open);
    }

    #[test]
    fn separators_are_told_from_the_first_line() {
        assert_eq!(separator("\u{feff}date;event;note\n1,2;x"), ';');
        assert_eq!(separator("date\tevent"), '\t');
        assert_eq!(separator("date,\"a;b;c\",event"), ',');
        assert_eq!(separator("alone"), ',');
    }
}
