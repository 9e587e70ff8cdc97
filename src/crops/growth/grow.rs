//! One sowing through one year.

use super::outcome::{EventKind, Growth, Sowing};
use super::plant::Plant;
use super::stand::{Stand, Watch};
use super::{cut, fruit, start, whole};
use crate::crops::{Crop, Habit, Loss, Prepared};

/// Follows one sowing.
///
/// `year` is the weather year of the sowing, from 0; years past the last wrap round.
pub fn grow(crop: &Crop, prepared: &Prepared, year: usize, sowing: Sowing) -> Growth {
    watched(crop, prepared, year, sowing, &mut ())
}

/// Follows one sowing while somebody looks on.
pub fn watched(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sowing: Sowing,
    watch: &mut impl Watch,
) -> Growth {
    let mut growth = Growth::sown(sowing);
    if let Err(loss) = grow_days(crop, prepared, year, sowing, &mut growth, watch) {
        growth.note(loss.day, EventKind::Lost);
        growth.clear_day = loss.day + 1;
        growth.loss = Some(loss);
    } else if let Some(last) = growth.last_harvest_day {
        growth.clear_day = last + 1;
    }
    let clear_day = growth.clear_day;
    growth.note(clear_day, EventKind::Cleared);
    growth.events.sort_by_key(|event| event.day);
    growth
}

fn grow_days(
    crop: &Crop,
    prepared: &Prepared,
    year: usize,
    sowing: Sowing,
    growth: &mut Growth,
    watch: &mut impl Watch,
) -> Result<(), Loss> {
    let young = start::start(crop, prepared, year, sowing, growth)?;
    let mut stand = Stand::new(crop, prepared, year, young, sowing.way);
    match crop.habit {
        Habit::Single => whole::pick(&mut stand, growth, watch)?,
        Habit::Cut => cut::pick(&mut stand, growth, watch)?,
        Habit::Fruit => fruit::pick(&mut stand, growth, watch)?,
    }
    stand.spoilt_by_heat(growth)
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
        match stand.step_day(day, &mut ()) {
            Ok(today) => kg_m2 = f64::from(stand.whole_kg_m2(today)) * growth.stand_share,
            Err(_) => return 0.0,
        }
    }
    kg_m2
}

/// Leaves and mass of a stand at the end of each day that it lives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// Day from 1 January of the sowing year, leaf area in m2/m2, dry mass in g/m2.
    pub days: Vec<(usize, f64, f64)>,
}

impl Watch for Record {
    fn day(&mut self, day: usize, plant: &Plant) {
        let (leaf, mass) = (f64::from(plant.leaf_m2_m2), f64::from(plant.mass_g_m2));
        self.days.push((day, leaf, mass));
    }
}

#[cfg(feature = "inner")]
/// Days from the bed to a first picking for a crop of either way, at a steady temperature in full light (nothing flowers, freezes
/// or is refused); none within 400 days.
pub fn steady_days(crop: &Crop, leaf_c: f64, way: crate::crops::Way) -> Option<usize> {
    super::rate::days_at(crop, leaf_c, way)
}
