//! What sowings bear year by year, held compactly.

/// Weekly pickings of a sowing year by year: week (counted from 1 January of the year of sowing) and kg/m2, in rows side by
/// side. Thousands of sowings are followed through a hundred years, and a list for each would fill the memory.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YearPicks {
    /// Where the pickings of each year end.
    ends: Box<[u32]>,
    weeks: Box<[u16]>,
    kg_m2: Box<[f64]>,
}

impl YearPicks {
    /// Of each year its pickings in order of weeks; those of one week are put together.
    pub fn of<P: Iterator<Item = (usize, f64)>>(years: impl Iterator<Item = P>) -> Self {
        let (mut ends, mut weeks, mut kg_m2) = (Vec::new(), Vec::<u16>::new(), Vec::new());
        for picks in years {
            let begun = weeks.len();
            for (week, picked) in picks {
                let week = u16::try_from(week).unwrap_or(u16::MAX);
                match (weeks[begun..].last(), kg_m2.last_mut()) {
                    (Some(last), Some(sum)) if *last == week => *sum += picked,
                    _ => {
                        weeks.push(week);
                        kg_m2.push(picked);
                    }
                }
            }
            ends.push(weeks.len() as u32);
        }
        Self {
            ends: ends.into(),
            weeks: weeks.into(),
            kg_m2: kg_m2.into(),
        }
    }

    /// How many years.
    pub fn count(&self) -> usize {
        self.ends.len()
    }

    /// The pickings of a year, from 0.
    pub fn year(&self, year: usize) -> impl DoubleEndedIterator<Item = (usize, f64)> + Clone {
        let end = |year: usize| self.ends[year] as usize;
        self.within(year.checked_sub(1).map_or(0, end)..end(year))
    }

    /// Year by year.
    pub fn iter(
        &self,
    ) -> impl Iterator<Item = impl DoubleEndedIterator<Item = (usize, f64)> + Clone> {
        (0..self.count()).map(|year| self.year(year))
    }

    /// The pickings of all years.
    pub fn all(&self) -> impl Iterator<Item = (usize, f64)> {
        self.within(0..self.weeks.len())
    }

    fn within(
        &self,
        places: std::ops::Range<usize>,
    ) -> impl DoubleEndedIterator<Item = (usize, f64)> + Clone {
        let weeks = self.weeks[places.clone()].iter();
        let kg_m2 = self.kg_m2[places].iter();
        weeks
            .zip(kg_m2)
            .map(|(week, kg_m2)| (usize::from(*week), *kg_m2))
    }

    /// What is picked before a week.
    pub fn before(&self, end: usize) -> Self {
        Self::of(self.iter().map(|year| year.filter(|(week, _)| *week < end)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn years_keep_their_own_pickings() {
        let years = [
            vec![(30, 1.0), (30, 0.5), (32, 2.0)],
            vec![],
            vec![(32, 3.0)],
        ];
        let picks = YearPicks::of(years.into_iter().map(Vec::into_iter));
        let year = |at| picks.year(at).collect::<Vec<_>>();
        assert_eq!(picks.count(), 3);
        assert_eq!(year(0), [(30, 1.5), (32, 2.0)]);
        assert_eq!(year(1), []);
        assert_eq!(year(2), [(32, 3.0)]);
        assert_eq!(picks.all().count(), 3);
        let early = picks.before(32);
        assert_eq!(early.count(), 3);
        assert_eq!(early.all().collect::<Vec<_>>(), [(30, 1.5)]);
    }
}
