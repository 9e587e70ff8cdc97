//! Years of single beds that the bound mixes: each with its share, so that a plan can be drawn from the mixture.

use super::path::Path;

/// Shares below this are forgotten.
const LEAST_SHARE: f64 = 1e-4;

/// Per kind of bed: plantings of a year, and its share in the running average.
#[derive(Clone, Debug, Default)]
pub(super) struct Columns {
    kinds: Vec<Vec<(Vec<usize>, f64)>>,
}

impl Columns {
    /// None yet, for so many kinds of bed.
    pub fn new(kinds: usize) -> Self {
        Columns {
            kinds: vec![Vec::new(); kinds],
        }
    }

    /// Whether nothing can be drawn.
    pub fn is_empty(&self) -> bool {
        self.kinds.is_empty() || self.kinds.iter().any(Vec::is_empty)
    }

    /// Takes in one path a kind, with its weight in the running average.
    pub fn add(&mut self, paths: Vec<Path>, weight: f64) {
        for (columns, path) in self.kinds.iter_mut().zip(paths) {
            for column in columns.iter_mut() {
                column.1 *= 1.0 - weight;
            }
            match columns.iter_mut().find(|column| column.0 == path.plantings) {
                Some(column) => column.1 += weight,
                None => columns.push((path.plantings, weight)),
            }
            columns.retain(|column| column.1 >= LEAST_SHARE);
        }
    }

    /// Years for `beds` beds of a kind in the proportions of the mixture; `shift` (0 to 1) moves where it is cut.
    pub fn spread(&self, kind: usize, beds: usize, shift: f64) -> Vec<&[usize]> {
        let columns = &self.kinds[kind];
        let total: f64 = columns.iter().map(|column| column.1).sum();
        let mut chosen = Vec::with_capacity(beds);
        let mut sum = 0.0;
        for (plantings, share) in columns {
            sum += share * beds as f64 / total;
            while chosen.len() < beds && (chosen.len() as f64 + shift) < sum {
                chosen.push(plantings.as_slice());
            }
        }
        while chosen.len() < beds {
            chosen.push(columns.last().map_or(&[], |column| column.0.as_slice()));
        }
        chosen
    }

    /// One year of the mixture, by a draw of 0 to 1.
    pub fn draw(&self, kind: usize, draw: f64) -> &[usize] {
        self.spread(kind, 1, draw)[0]
    }
}
