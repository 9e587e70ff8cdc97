//! Reads the packed tables: compressed once, then numbers of one to five bytes and lists of words.

/// Bits of a number that a byte carries.
const BITS: u32 = 7;

/// Reads a table from its first byte on; past its end every number is 0 and every text empty.
#[derive(Debug)]
pub struct Reader {
    bytes: Vec<u8>,
    at: usize,
}

impl Reader {
    /// Opens a compressed table; one that is broken reads as empty (a test compares its counts with the lists it was
    /// made from).
    pub fn open(packed: &[u8]) -> Self {
        let bytes = miniz_oxide::inflate::decompress_to_vec_zlib(packed).unwrap_or_default();
        Self { bytes, at: 0 }
    }

    /// Next byte.
    pub fn byte(&mut self) -> u8 {
        let byte = self.bytes.get(self.at).copied().unwrap_or_default();
        self.at += 1;
        byte
    }

    /// Next number: seven bits a byte, lowest first, the sign in the lowest bit.
    pub fn number(&mut self) -> i32 {
        let (mut number, mut shift) = (0u32, 0);
        loop {
            let byte = self.byte();
            number |= u32::from(byte & 0x7f).checked_shl(shift).unwrap_or(0);
            shift += BITS;
            if byte < 0x80 || shift > u32::BITS {
                break;
            }
        }
        let half = (number >> 1).cast_signed();
        if number & 1 == 1 { -half - 1 } else { half }
    }

    /// Next numbers, each written as its difference from the one before.
    pub fn column(&mut self, count: usize) -> Vec<i32> {
        let mut last = 0;
        (0..count)
            .map(|_| {
                last += self.number();
                last
            })
            .collect()
    }

    /// Next lines of text.
    pub fn lines(&mut self) -> Lines {
        let length = usize::try_from(self.number()).unwrap_or(0);
        let end = (self.at + length).min(self.bytes.len());
        let bytes = self.bytes.get(self.at..end).unwrap_or_default();
        let text = String::from_utf8_lossy(bytes).into_owned();
        self.at = end;
        let ends = text
            .char_indices()
            .filter(|(_, c)| *c == '\n')
            .map(|(at, _)| at)
            .chain(std::iter::once(text.len()))
            .collect();
        Lines { text, ends }
    }
}

/// Lines of one text.
#[derive(Debug)]
pub struct Lines {
    text: String,
    ends: Vec<usize>,
}

impl Lines {
    /// How many.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// A line by its number, from 0; empty where there is none.
    pub fn get(&self, line: usize) -> &str {
        let start = match line.checked_sub(1) {
            Some(before) => self.ends.get(before).map_or(self.text.len(), |end| end + 1),
            None => 0,
        };
        let end = self.ends.get(line).copied().unwrap_or(start);
        self.text.get(start..end).unwrap_or_default()
    }

    /// All lines.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.len()).map(|line| self.get(line))
    }
}
