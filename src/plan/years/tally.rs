//! Like sowings side by side: what an order of the sections costs, and the descent that exchanges them.

/// Rounds of exchanges at most.
const ROUNDS: usize = 12;

/// Which section carries which year, and how many sowings the beds then carry in all, kept up as sections are exchanged.
pub(super) struct Tally<'a> {
    /// For each section, its bed.
    bed_of: &'a [usize],
    /// For each section, whose year it carries.
    pub order: Vec<usize>,
    /// Sowings of each year, numbered from 0.
    sowings: Vec<Vec<usize>>,
    /// How many sections of each bed carry each sowing.
    sown: Vec<Vec<usize>>,
    /// Different sowings in each bed, summed.
    different_sowings: usize,
}

impl<'a> Tally<'a> {
    /// Every section with its own year.
    pub fn new(bed_of: &'a [usize], years: &[&[usize]]) -> Self {
        let mut numbers: Vec<usize> = years.iter().copied().flatten().copied().collect();
        numbers.sort_unstable();
        numbers.dedup();
        let number = |planting: &usize| numbers.partition_point(|other| other < planting);
        let beds = bed_of.iter().max().map_or(0, |last| last + 1);
        let mut tally = Self {
            bed_of,
            order: (0..years.len()).collect(),
            sowings: years
                .iter()
                .map(|year| year.iter().map(number).collect())
                .collect(),
            sown: vec![vec![0; numbers.len()]; beds],
            different_sowings: 0,
        };
        for section in 0..years.len() {
            tally.put(section);
        }
        tally
    }

    fn exchange(&mut self, a: usize, b: usize) {
        self.take(a);
        self.take(b);
        self.order.swap(a, b);
        self.put(a);
        self.put(b);
    }

    fn take(&mut self, section: usize) {
        let bed = &mut self.sown[self.bed_of[section]];
        for &sowing in &self.sowings[self.order[section]] {
            bed[sowing] -= 1;
            self.different_sowings -= usize::from(bed[sowing] == 0);
        }
    }

    fn put(&mut self, section: usize) {
        let bed = &mut self.sown[self.bed_of[section]];
        for &sowing in &self.sowings[self.order[section]] {
            self.different_sowings += usize::from(bed[sowing] == 0);
            bed[sowing] += 1;
        }
    }

    /// Exchanges sections that are not `fixed` as long as that helps.
    pub fn descend(&mut self, fixed: &[bool]) {
        let free: Vec<usize> = (0..self.order.len()).filter(|&at| !fixed[at]).collect();
        for _ in 0..ROUNDS {
            let before = self.different_sowings;
            for (place, &a) in free.iter().enumerate() {
                for &b in &free[place + 1..] {
                    if self.bed_of[a] == self.bed_of[b] {
                        continue;
                    }
                    let kept = self.different_sowings;
                    self.exchange(a, b);
                    if self.different_sowings >= kept {
                        self.exchange(a, b);
                    }
                }
            }
            if self.different_sowings == before {
                break;
            }
        }
    }
}
