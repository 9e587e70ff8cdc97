//! Fruit, pods and berries: flowers open, set, hang, ripen and are picked week by week.

use super::class::Class;
use super::days::CropDay;
use super::outcome::{EventKind, Growth};
use super::plant::Plant;
use super::stand::Stand;
use super::trusses::Trusses;
use super::whole::not_ready;
use crate::calendar::DAYS_PER_WEEK;
use crate::crops::{Cause, Crop, Loss, Way};
use std::collections::VecDeque;

/// Days over which a fruiting crop must bear something to be worth its bed (common practice, no source: six weeks).
const LONGEST_PAUSE_DAYS: usize = 42;
/// Longest pause of a crop that lives through winters, days.
const LONGEST_PERENNIAL_PAUSE_DAYS: usize = 240;
/// How long a fruiting crop is followed from its bed day on: one year, or two where it lives through winters.
const FRUIT_DAYS: usize = 365;
/// Fruit below this share of a full week's is left to gather, and a crop that bears less for weeks is cleared (own choice,
/// no source).
const LEAST_WEEK_SHARE: f64 = 0.1;
/// Longest wait for the first fruit, days beyond the published ones: nobody nurses a crop through a winter without fruit
/// (common practice, no source).
const WAIT_DAYS: f64 = 30.0;
/// ... and so many times the published days.
const WAIT_TIMES: f64 = 1.5;
/// Fruit that hangs for so many times its days to ripeness, and as many days more, rots (own choice).
const HANG_TIMES: f64 = 1.5;
const HANG_DAYS: f64 = 30.0;
/// Set of the very first flowers against full bearing (own choice; full at the high end of the published days).
const FIRST_FLOWERS: f32 = 0.25;

/// Fruit of one day's flowers.
struct Cohort {
    day: usize,
    /// Share of a full day's flowers that set and still hang.
    set: f32,
    /// Ripening warmth, and mass offered to a full day's fruit, when they set.
    ripening_k_d: f32,
    offered_g: f32,
}

/// Flowers and fruit on the plants.
struct Hanging {
    cohorts: VecDeque<Cohort>,
    /// Fruit that hangs, in full days' flowers.
    load: f32,
    /// Load at which the plants give all they have to fruit.
    full_load: f32,
    /// Warmth that ripens, since the beginning, K d.
    ripening_k_d: f32,
    /// Mass offered to a full day's fruit since the beginning, g/m2.
    offered_g: f32,
    longest_days: usize,
    ripe_k_d: f32,
    /// Pull of a full load of fruit against that of shoots and roots; that of berries stays whatever hangs.
    pull: f32,
    berries: bool,
}

impl Hanging {
    fn new(crop: &Crop, best_k: f64) -> Self {
        let days = crop.timing.set_to_ripe_days.unwrap_or(1.0);
        Self {
            cohorts: VecDeque::new(),
            load: 0.0,
            full_load: full_load(crop) as f32,
            ripening_k_d: 0.0,
            offered_g: 0.0,
            longest_days: (HANG_TIMES * days + HANG_DAYS) as usize,
            ripe_k_d: (days * crop.ripening_k(best_k)) as f32,
            pull: pull(crop.growth.fruit_share) as f32,
            berries: crop.growth.class == Class::Berry,
        }
    }

    /// A day of opening flowers (in full days' flowers), growth and ripening; returns the dry mass ripe today, g/m2, and
    /// what the plants gave away.
    fn day(&mut self, day: usize, today: &CropDay, open: f32, gain_g: f32) -> (f32, f32) {
        if today.organ_lost > 0.0 {
            let left = 1.0 - today.organ_lost;
            self.load *= left;
            for cohort in &mut self.cohorts {
                cohort.set *= left;
            }
        }
        let set = open * today.set;
        if set > 0.0 {
            self.load += set;
            self.cohorts.push_back(Cohort {
                day,
                set,
                ripening_k_d: self.ripening_k_d,
                offered_g: self.offered_g,
            });
        }
        // Fewer fruits draw less, but each gets more.
        let hanging = if self.berries {
            1.0
        } else {
            (self.load / self.full_load).min(1.0)
        };
        let share = self.pull / (1.0 + self.pull * hanging);
        let offer = share * gain_g.max(0.0) / self.full_load.max(self.load);
        self.offered_g += offer;
        let given = offer * self.load;
        if today.ripens {
            self.ripening_k_d += today.organ;
        }
        let mut ripe = 0.0;
        while let Some(cohort) = self.cohorts.front() {
            let is_ripe = self.ripening_k_d - cohort.ripening_k_d >= self.ripe_k_d;
            let is_rotten = day > cohort.day + self.longest_days;
            if !is_ripe && !is_rotten {
                break;
            }
            self.load = (self.load - cohort.set).max(0.0);
            if is_ripe && !is_rotten {
                ripe += cohort.set * (self.offered_g - cohort.offered_g);
            }
            self.cohorts.pop_front();
        }
        (ripe, given)
    }
}

/// Pull of fruit against that of all else, by the share of a day's gain that it takes: organs share by what each could take.
///
/// # Source
/// Heuvelink 1997, Sci. Hort. 69:51 (abstract read): of tomatoes with `n` fruits a truss `n / (2.96 + n)` of the gain goes to fruit, in the
/// range of two to seven.
pub fn pull(share: f64) -> f64 {
    share / (1.0 - share)
}

/// Days' flowers that hang at once on a plant in full bearing: as many as ripen takes, or as the flush lasts.
pub fn full_load(crop: &Crop) -> f64 {
    let days = crop.timing.set_to_ripe_days.unwrap_or(1.0);
    if crop.sets_once {
        days.min(crop.timing.harvest_weeks.high * DAYS_PER_WEEK as f64)
    } else {
        days
    }
}

/// A fruiting crop that grows and is picked.
pub struct Fruiting {
    bearing: Bearing,
    trusses: Option<Trusses>,
    hanging: Hanging,
    week_kg_m2: f64,
    fresh_kg_g: f64,
    bearing_k_d: f32,
    longest: usize,
    last_day: usize,
    flowered: bool,
    /// Ripe and not yet picked, kg/m2.
    basket_kg_m2: f64,
    /// Flowers that opened, and that set, in full days' flowers.
    tried: f32,
    set: f32,
    next_pick: usize,
    last_pick: Option<usize>,
    /// Age at the first picking, K d.
    first_k_d: f32,
    day: usize,
}

impl Fruiting {
    /// Not in flower yet.
    pub fn new(stand: &Stand) -> Self {
        let crop = stand.crop;
        let best_k = stand.prepared.best_k;
        let longest = longest_wait(stand);
        let seasons = if crop.perennial { 2 } else { 1 };
        Self {
            bearing: Bearing::new(stand),
            trusses: Trusses::new(crop, stand.prepared, (stand.year, stand.from_day)),
            hanging: Hanging::new(crop, best_k),
            week_kg_m2: crop.yields.kg_m2.middle(),
            fresh_kg_g: 1.0 / (1000.0 * crop.growth.dry_share),
            bearing_k_d: (crop.timing.harvest_weeks.high * DAYS_PER_WEEK as f64 * best_k) as f32,
            longest,
            last_day: stand.from_day + (FRUIT_DAYS * seasons).max(longest),
            flowered: false,
            basket_kg_m2: 0.0,
            tried: 0.0,
            set: 0.0,
            next_pick: stand.from_day,
            last_pick: None,
            first_k_d: 0.0,
            day: stand.from_day,
        }
    }

    /// Lives through a day and picks what is ripe; false once it is borne out.
    ///
    /// # Errors
    /// What ended it before it bore, or killed it.
    #[inline]
    pub fn day(
        &mut self,
        stand: &mut Stand,
        growth: &mut Growth,
        watch: &mut impl FnMut(usize, &Plant),
    ) -> Result<bool, Loss> {
        let (crop, day) = (stand.crop, self.day);
        if day >= self.last_day {
            return if growth.bears() {
                Ok(false)
            } else {
                Err(no_fruit(stand, self.last_day, self.tried, self.set))
            };
        }
        self.day = day + 1;
        let today = stand.step_day(day, watch)?;
        let open = match &mut self.trusses {
            Some(trusses) => trusses.day(today),
            None => self.bearing.day(stand.age_k_d),
        };
        if open > 0.0 && !self.flowered {
            self.flowered = true;
            growth.note(day, EventKind::Flowers);
        }
        self.tried += open;
        self.set += open * today.set;
        let (ripe_g, given_g) = self.hanging.day(day, today, open, stand.gain_g_m2);
        stand.plant.mass_g_m2 -= given_g;
        self.basket_kg_m2 += f64::from(ripe_g) * self.fresh_kg_g;
        let least_kg_m2 = LEAST_WEEK_SHARE * self.week_kg_m2;
        if day >= self.next_pick && today.thaws && self.basket_kg_m2 >= least_kg_m2 {
            match self.last_pick {
                None => {
                    growth.ready(day);
                    self.first_k_d = stand.age_k_d;
                }
                Some(last) if day > last + 2 * DAYS_PER_WEEK => {
                    growth.note(last, EventKind::Pause);
                    growth.note(day, EventKind::Resumes);
                }
                Some(_) => {}
            }
            stand.pick(growth, day, self.basket_kg_m2);
            self.basket_kg_m2 = 0.0;
            self.last_pick = Some(day);
            self.next_pick = day + DAYS_PER_WEEK;
        }
        let Some(last) = self.last_pick else {
            if !crop.perennial && day >= stand.from_day + self.longest {
                return Err(no_fruit(stand, day, self.tried, self.set));
            }
            return Ok(true);
        };
        let borne_out = !crop.perennial
            && (self.bearing.flush_is_over(growth, day)
                || stand.age_k_d >= self.first_k_d + self.bearing_k_d);
        Ok(!(borne_out || is_over(crop, growth, day, last)))
    }
}

/// Flowers of a crop that blooms by its age.
struct Bearing {
    /// Age at the first flower whose fruit is the first picked, and at full bearing, K d.
    first_k_d: f32,
    full_k_d: f32,
    /// Age at which a flush is over; none for what blooms on.
    last_k_d: f32,
    flush_days: Option<usize>,
}

impl Bearing {
    fn new(stand: &Stand) -> Self {
        let (crop, best_k, way) = (stand.crop, stand.prepared.best_k, stand.way);
        let to_ripe = crop.timing.set_to_ripe_days.unwrap_or(0.0);
        // Published days from setting out hold the days of rooting, in which nothing ages.
        let rooting = match way {
            Way::Tray => super::start::ROOTING_K_D / crop.best_leaf_c(),
            Way::Direct => 0.0,
        };
        let days = stand.prepared.of_way(way).days;
        let first = |days: f64| ((days - to_ripe - rooting).max(0.0) * best_k) as f32;
        let flush = crop
            .sets_once
            .then(|| crop.timing.harvest_weeks.high.round() as usize * DAYS_PER_WEEK);
        let (first_k_d, full_k_d) = (first(days[0]), first(days[2]));
        Self {
            first_k_d,
            full_k_d,
            last_k_d: flush.map_or(f32::INFINITY, |days| {
                first_k_d + days as f32 * best_k as f32
            }),
            flush_days: flush,
        }
    }

    fn day(&self, age_k_d: f32) -> f32 {
        if age_k_d < self.first_k_d || age_k_d > self.last_k_d {
            return 0.0;
        }
        if self.last_k_d.is_finite() || self.full_k_d <= self.first_k_d {
            return 1.0;
        }
        let way = (age_k_d - self.first_k_d) / (self.full_k_d - self.first_k_d);
        FIRST_FLOWERS + (1.0 - FIRST_FLOWERS) * way.min(1.0)
    }

    /// True if a flush has been picked for its weeks by the calendar.
    fn flush_is_over(&self, growth: &Growth, day: usize) -> bool {
        let since = growth.ready_day.zip(self.flush_days);
        since.is_some_and(|(first, days)| day + 1 >= first + days)
    }
}

fn longest_wait(stand: &Stand) -> usize {
    let days = stand.prepared.of_way(stand.way).days[2];
    (WAIT_DAYS + WAIT_TIMES * days).round() as usize
}

/// True if a crop that last bore on day `last` is no longer worth its bed on day `day`.
fn is_over(crop: &Crop, growth: &Growth, day: usize, last: usize) -> bool {
    if crop.perennial {
        return day > last + LONGEST_PERENNIAL_PAUSE_DAYS;
    }
    let first = growth.ready_day.unwrap_or(last);
    let since = day.saturating_sub(LONGEST_PAUSE_DAYS);
    let borne_kg_m2: f64 = growth
        .harvests
        .iter()
        .rev()
        .take_while(|harvest| harvest.day >= since)
        .map(|harvest| harvest.kg_m2)
        .sum();
    let weeks = (LONGEST_PAUSE_DAYS / DAYS_PER_WEEK) as f64;
    let least_kg_m2 = LEAST_WEEK_SHARE * weeks * crop.yields.kg_m2.middle() * growth.stand_share;
    first <= since && borne_kg_m2 < least_kg_m2
}

/// Flowers of which so few set that it is their set, not growth, that is lacking.
const POOR_SET: f32 = 0.3;

/// Why no fruit came: flowers that did not set, or a crop that never got there.
fn no_fruit(stand: &Stand, day: usize, tried: f32, set: f32) -> Loss {
    let crop = stand.crop;
    if tried <= 0.0 || set > POOR_SET * tried {
        return not_ready(stand, day);
    }
    if crop.pollinated <= 0.0 {
        return Loss::below(day, Cause::NoPollinator, 0.0, 100.0, "% of flowers");
    }
    let (prepared, year) = (stand.prepared, stand.year);
    let days = (day - stand.from_day).max(1);
    let night = prepared.mean_to(year, day, days, |day| day.air_min_c);
    let noon = prepared.mean_to(year, day, days, |day| day.air_max_c);
    let light = prepared.mean_to(year, day, days, |day| day.light_mol_m2_day);
    let dim = 1.5 * super::light::least_for_set(crop.growth.class);
    let limits = crop.fruit_set;
    match (
        limits.and_then(|set| set.night_min_c),
        limits.and_then(|set| set.day_max_c),
    ) {
        (Some(needed), _) if night < needed => {
            Loss::below(day, Cause::SetNightCold, night, needed, "°C")
        }
        (_, Some(most)) if noon > most => Loss::above(day, Cause::SetTooHot, noon, most, "°C"),
        _ if light < dim => Loss::below(day, Cause::TooDark, light, dim, "mol/m2/day"),
        _ => not_ready(stand, day),
    }
}
