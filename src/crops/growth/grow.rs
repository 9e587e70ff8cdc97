//! One sowing through one year, or through several side by side.

use super::cut::Cutting;
use super::fruit::Fruiting;
use super::outcome::{Event, EventKind, Growth, Sowing};
use super::plant::Plant;
use super::stand::Stand;
use super::start;
use super::whole::Whole;
use crate::crops::{Crop, Habit, Loss, Prepared};

/// Follows one sowing.
///
/// `year` is the weather year of the sowing, from 0; years past the last wrap round.
pub fn grow(crop: &Crop, prepared: &Prepared, year: usize, sowing: Sowing) -> Growth {
    watched(crop, prepared, year, sowing, &mut |_, _| {})
}

/// Follows one sowing while `watch` looks on: it is shown the plants at the end of each day that they live, from 1 January of the
/// sowing year.
pub fn watched(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sowing: Sowing,
    watch: &mut impl FnMut(usize, &Plant),
) -> Growth {
    let mut growth = Growth::sown(sowing);
    growth.events.push(Event {
        day: sowing.day,
        kind: EventKind::Sown,
    });
    let mut lane = Lane::sown(crop, prepared, (year, sowing), growth);
    while lane.day(watch) {}
    lane.growth
}

/// Years that are followed side by side: a day of one waits for the day before, and the others fills that wait (own choice: the
/// fastest of 1, 2, 3 and 6).
const LANES: usize = 2;

/// Follows the same sowing through several weather years, each as [`grow`] does; no events are told.
pub fn grow_years(
    crop: &Crop,
    prepared: &Prepared,
    years: impl Iterator<Item = usize>,
    sowing: Sowing,
) -> Vec<Growth> {
    let growth = || Growth::sown(sowing);
    let mut years = years.map(|year| Lane::sown(crop, prepared, (year, sowing), growth()));
    let mut grown = Vec::with_capacity(years.size_hint().0);
    let mut lanes = Vec::with_capacity(LANES);
    loop {
        lanes.extend(years.by_ref().take(LANES));
        if lanes.is_empty() {
            return grown;
        }
        let mut lives = true;
        while lives {
            lives = false;
            for lane in &mut lanes {
                lives |= lane.day(&mut |_, _| {});
            }
        }
        grown.extend(lanes.drain(..).map(|lane: Lane| lane.growth));
    }
}

/// One sowing in one year, as far as it has come.
struct Lane<'a> {
    growth: Growth,
    /// The stand while it lives.
    life: Option<(Stand<'a>, Picking)>,
}

/// How a stand is picked.
enum Picking {
    Whole(Whole),
    Cut(Cutting),
    Fruit(Fruiting),
}

impl<'a> Lane<'a> {
    fn sown(
        crop: &'a Crop,
        prepared: &'a Prepared,
        (year, sowing): (usize, Sowing),
        mut growth: Growth,
    ) -> Self {
        let life = match start::start(crop, prepared, year, sowing, &mut growth) {
            Ok(young) => {
                let stand = Stand::new(crop, prepared, year, young, sowing.way);
                let picking = match crop.habit {
                    Habit::Single => Picking::Whole(Whole::new(&stand)),
                    Habit::Cut => Picking::Cut(Cutting::new(&stand)),
                    Habit::Fruit => Picking::Fruit(Fruiting::new(&stand)),
                };
                Some((stand, picking))
            }
            Err(loss) => {
                clear(&mut growth, Err(loss));
                None
            }
        };
        Self { growth, life }
    }

    /// Lives through a day; false once the bed is free.
    #[inline]
    fn day(&mut self, watch: &mut impl FnMut(usize, &Plant)) -> bool {
        let Some((stand, picking)) = &mut self.life else {
            return false;
        };
        let growth = &mut self.growth;
        let goes_on = match picking {
            Picking::Whole(whole) => whole.day(stand, growth, watch),
            Picking::Cut(cutting) => cutting.day(stand, growth, watch),
            Picking::Fruit(fruiting) => fruiting.day(stand, growth, watch),
        };
        let over = match goes_on {
            Ok(true) => return true,
            Ok(false) => stand.spoilt_by_heat(growth),
            Err(loss) => Err(loss),
        };
        clear(growth, over);
        self.life = None;
        false
    }
}

/// The end of a sowing.
fn clear(growth: &mut Growth, over: Result<(), Loss>) {
    if let Err(loss) = over {
        growth.note(loss.day, EventKind::Lost);
        growth.clear_day = loss.day + 1;
        growth.loss = Some(loss);
    } else if let Some(last) = growth.last_harvest_day {
        growth.clear_day = last + 1;
    }
    let clear_day = growth.clear_day;
    growth.note(clear_day, EventKind::Cleared);
    growth.events.sort_by_key(|event| event.day);
}

/// What stands in the bed on a day if nothing is picked before, kg/m2; nought where it is not up or dead.
pub fn standing_kg_m2(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sowing: Sowing,
    until: usize,
) -> f64 {
    let mut growth = Growth::sown(sowing);
    let Ok(young) = start::start(crop, prepared, year, sowing, &mut growth) else {
        return 0.0;
    };
    let mut stand = Stand::new(crop, prepared, year, young, sowing.way);
    let mut kg_m2 = 0.0;
    for day in stand.from_day..until {
        match stand.step_day(day, &mut |_, _| {}) {
            Ok(today) => kg_m2 = f64::from(stand.whole_kg_m2(today)) * growth.stand_share,
            Err(_) => return 0.0,
        }
    }
    kg_m2
}
