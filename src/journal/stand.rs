//! From rows to plantings: which picking, loss or clearing belongs to which sowing.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::{Entry, Event};

/// A planting as the journal tells it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stand {
    /// Bed; none while it stands in a tray, or where the journal names none.
    pub bed: Option<String>,
    /// Crop id.
    pub crop: String,
    /// Day of sowing; none where the journal begins later.
    pub sown: Option<NaiveDate>,
    /// Day of setting out, where it was raised in a tray.
    pub set_out: Option<NaiveDate>,
    /// Area, m2, where given; what was lost is taken off.
    pub area_m2: Option<f64>,
    /// Area that was lost of it, m2, where what it had is not given.
    pub lost_m2: f64,
    /// Pickings: day and kg, in order.
    pub picks: Vec<(NaiveDate, f64)>,
    /// Losses: day and cause, in order.
    pub losses: Vec<(NaiveDate, String)>,
    /// Day on which it was gone: lost as a whole, or cleared.
    pub ended: Option<NaiveDate>,
    /// Whether it ended by a loss.
    pub died: bool,
    /// Lines of the journal that tell of it.
    pub lines: Vec<usize>,
}

impl Stand {
    /// First day it is told of.
    pub fn since(&self) -> Option<NaiveDate> {
        let first_pick = self.picks.first().map(|(day, _)| *day);
        [self.sown, self.set_out, first_pick]
            .into_iter()
            .flatten()
            .min()
    }

    /// Does it stand on a day, in a bed or in a tray?
    pub fn stands_on(&self, day: NaiveDate) -> bool {
        self.since().is_some_and(|since| since <= day) && self.ended.is_none_or(|ended| ended > day)
    }

    /// Kilograms picked until a day, the day itself included.
    pub fn kg_until(&self, day: NaiveDate) -> f64 {
        let until = self.picks.iter().take_while(|(picked, _)| *picked <= day);
        until.map(|(_, kg)| kg).sum()
    }

    fn in_bed(&self, bed: Option<&str>) -> bool {
        self.bed.as_deref() == bed
    }

    fn open(&self) -> bool {
        self.ended.is_none()
    }
}

/// Longest time that young plants wait in a tray before they are set out (common practice, no source).
const TRAY_DAYS_MAX: u64 = 120;

/// The plantings that the rows tell of, in the order of their first row.
///
/// A picking, a loss or a clearing belongs to the oldest planting of that crop in that bed that still stands; where
/// none does, it tells of one that stood before the journal began. Rows of a later day than `until` are left out.
pub fn stands(entries: &[Entry], until: NaiveDate) -> Vec<Stand> {
    let mut told = Told::default();
    for entry in entries.iter().filter(|entry| entry.date <= until) {
        match entry.event {
            Event::Sown => told.sown(entry),
            Event::Transplanted => told.set_out(entry),
            Event::Harvested => told.picked(entry),
            Event::Lost => told.lost(entry),
            Event::Cleared => told.cleared(entry),
            Event::Bought | Event::Note => {}
        }
    }
    told.stands
}

#[derive(Default)]
struct Told {
    stands: Vec<Stand>,
}

impl Told {
    /// The oldest that stands and fits, or one begun by this row.
    fn of(&mut self, entry: &Entry, fits: impl Fn(&Stand) -> bool) -> &mut Stand {
        let crop = entry.crop.as_deref().unwrap_or("");
        let fits = |stand: &Stand| stand.open() && stand.crop == crop && fits(stand);
        let found = self.stands.iter().position(fits);
        let at = found.unwrap_or_else(|| {
            self.stands.push(Stand {
                bed: entry.bed.clone(),
                crop: crop.to_owned(),
                ..Stand::default()
            });
            self.stands.len() - 1
        });
        let stand = &mut self.stands[at];
        stand.lines.push(entry.line);
        stand
    }

    fn sown(&mut self, entry: &Entry) {
        let stand = self.of(entry, |_| false);
        stand.sown = Some(entry.date);
        stand.area_m2 = entry.m2();
    }

    fn set_out(&mut self, entry: &Entry) {
        let bed = entry.bed.as_deref();
        let earliest = entry.date.checked_sub_days(Days::new(TRAY_DAYS_MAX));
        let is_young = |stand: &Stand| stand.sown.is_some_and(|sown| Some(sown) >= earliest);
        // Plants of one tray may go to several beds: the second comes from the same sowing.
        let of_tray = |stand: &&Stand| {
            let crop = entry.crop.as_deref() == Some(stand.crop.as_str());
            crop && is_young(stand) && stand.set_out.is_some()
        };
        let same_tray = self.stands.iter().rev().find(of_tray);
        let same_tray = same_tray.and_then(|stand| stand.sown);
        let stand = self.of(entry, |stand| {
            let young = is_young(stand);
            let waits = stand.set_out.is_none() && stand.picks.is_empty() && young;
            waits && (stand.bed.is_none() || stand.in_bed(bed))
        });
        stand.bed = entry.bed.clone();
        stand.sown = stand.sown.or(same_tray);
        stand.set_out = Some(entry.date);
        stand.area_m2 = entry.m2().or(stand.area_m2);
    }

    fn picked(&mut self, entry: &Entry) {
        let bed = entry.bed.as_deref();
        let stand = self.of(entry, |stand| bed.is_none() || stand.in_bed(bed));
        stand.picks.push((entry.date, entry.kg()));
    }

    fn lost(&mut self, entry: &Entry) {
        let bed = entry.bed.as_deref();
        let stand = self.of(entry, |stand| stand.in_bed(bed));
        stand.losses.push((entry.date, entry.note.clone()));
        match (stand.area_m2, entry.m2()) {
            (Some(area), Some(lost)) if lost < area => stand.area_m2 = Some(area - lost),
            // A part of an unknown area is a part.
            (None, Some(lost)) => stand.lost_m2 += lost,
            _ => {
                stand.ended = Some(entry.date);
                stand.died = true;
            }
        }
    }

    fn cleared(&mut self, entry: &Entry) {
        let bed = entry.bed.as_deref();
        let crop = entry.crop.as_deref();
        for stand in &mut self.stands {
            let meant = stand.in_bed(bed) && crop.is_none_or(|crop| stand.crop == crop);
            if meant && stand.open() {
                stand.ended = Some(entry.date);
                stand.lines.push(entry.line);
            }
        }
    }
}

/// Kilograms picked by crop and day, whatever bed they came from.
pub fn picked(entries: &[Entry], until: NaiveDate) -> BTreeMap<(String, NaiveDate), f64> {
    let mut kg = BTreeMap::new();
    for entry in entries.iter().filter(|entry| entry.date <= until) {
        if let (Event::Harvested, Some(crop)) = (entry.event, &entry.crop) {
            *kg.entry((crop.clone(), entry.date)).or_insert(0.0) += entry.kg();
        }
    }
    kg
}

#[cfg(test)]
mod tests {
    use super::super::Amount;
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn m2(area: f64) -> Option<Amount> {
        Some(Amount::M2(area))
    }

    fn kg(mass: f64) -> Option<Amount> {
        Some(Amount::Kg(mass))
    }

    fn row(date: &str, event: Event, bed: &str, crop: &str, amount: Option<Amount>) -> Entry {
        Entry {
            line: 0,
            date: day(date),
            event,
            bed: (!bed.is_empty()).then(|| bed.to_owned()),
            crop: (!crop.is_empty()).then(|| crop.to_owned()),
            amount,
            note: String::new(),
        }
    }

    #[test]
    fn a_tray_goes_to_its_bed_and_is_picked_there() {
        let rows = [
            row("2027-03-01", Event::Sown, "", "lettuce_head", None),
            row(
                "2027-03-29",
                Event::Transplanted,
                "north",
                "lettuce_head",
                m2(1.0),
            ),
            row(
                "2027-05-10",
                Event::Harvested,
                "north",
                "lettuce_head",
                kg(2.0),
            ),
            row("2027-05-20", Event::Cleared, "north", "", None),
            row(
                "2027-05-21",
                Event::Harvested,
                "north",
                "lettuce_head",
                kg(0.5),
            ),
        ];
        let found = stands(&rows, day("2027-12-31"));
        assert_eq!(found.len(), 2);
        let first = &found[0];
        assert_eq!(
            (first.sown, first.set_out),
            (Some(day("2027-03-01")), Some(day("2027-03-29")))
        );
        assert_eq!(
            (first.picks.len(), first.ended),
            (1, Some(day("2027-05-20")))
        );
        assert!(
            !first.died
                && first.stands_on(day("2027-04-01"))
                && !first.stands_on(day("2027-05-20"))
        );
        assert_eq!(found[1].sown, None);
    }

    #[test]
    fn a_tray_may_go_to_two_beds_or_be_lost() {
        let rows = [
            row("2027-03-01", Event::Sown, "", "kale", None),
            row("2027-03-01", Event::Sown, "", "lettuce_head", None),
            row("2027-03-29", Event::Transplanted, "north", "kale", None),
            row("2027-04-02", Event::Transplanted, "south", "kale", None),
            row("2027-04-03", Event::Lost, "", "lettuce_head", None),
        ];
        let found = stands(&rows, day("2027-12-31"));
        assert_eq!(found.len(), 3);
        let sown: Vec<_> = found.iter().map(|stand| stand.sown).collect();
        assert_eq!(sown, [Some(day("2027-03-01")); 3]);
        assert!(found[1].died && found[1].crop == "lettuce_head");
        assert_eq!(found[2].bed.as_deref(), Some("south"));
    }

    #[test]
    fn a_part_lost_of_an_unknown_area_is_remembered() {
        let rows = [
            row("2027-03-27", Event::Sown, "north", "potato", None),
            row("2027-04-20", Event::Lost, "north", "potato", m2(2.0)),
        ];
        let found = stands(&rows, day("2027-12-31"));
        assert_eq!((found[0].area_m2, found[0].lost_m2), (None, 2.0));
        assert!(!found[0].died);
    }

    #[test]
    fn a_part_lost_leaves_the_rest() {
        let mut rows = vec![
            row("2027-03-01", Event::Sown, "north", "spinach", m2(2.0)),
            row("2027-04-01", Event::Lost, "north", "spinach", m2(0.5)),
        ];
        let found = stands(&rows, day("2027-12-31"));
        assert_eq!((found[0].area_m2, found[0].ended), (Some(1.5), None));
        rows.push(row("2027-04-02", Event::Lost, "north", "spinach", None));
        let found = stands(&rows, day("2027-12-31"));
        assert!(found[0].died);
        assert!(!stands(&rows, day("2027-04-01"))[0].died);
    }
}
