//! A stand of plants in its bed, one day after another: what it gains and what kills it.

use super::days::CropDay;
use super::frost::{Chill, death};
use super::outcome::{EventKind, Growth};
use super::plant::{HEAVIEST, Plant};
use super::stages::{Flowering, Organ, Step, bolted};
use super::start::Young;
use crate::crops::response::month_fitness;
use crate::crops::{Cause, Crop, Hardiness, Loss, Prepared, Way};

/// Plants in a bed.
pub struct Stand<'a> {
    pub crop: &'a Crop,
    pub prepared: &'a Prepared,
    pub year: usize,
    pub way: Way,
    pub from_day: usize,
    /// Leaves and mass.
    pub plant: Plant,
    /// Warmth since it began to grow in the bed, K d.
    pub age_k_d: f32,
    /// What the day gained, g/m2.
    pub gain_g_m2: f32,
    /// Head, curd or bulb.
    pub organ: Organ,
    /// What the day did to it.
    pub step: Step,
    /// Share of heads that cold has left sound.
    sound: f32,
    /// Share of the leaves lost to frost, night upon night, since the last cut.
    pub leaves_lost: f32,
    frost_day: Option<usize>,
    rooting_k_d: f32,
    give_up: GiveUp,
    /// Least leaf area of a living crown, m2 per m2 of bed.
    crown_leaf: f32,
    /// True if the crown has reserves to shoot from: of a perennial, or of what was planted as a piece.
    reserves: bool,
    /// Age until which a tender shoot that frost takes comes again, where it has a tuber, K d.
    shoots_again_k_d: f32,
    flowering: Flowering,
    past_youth_k_d: f32,
    /// True if what is eaten grows in the ground.
    below_ground: bool,
    leaf_m2_g: f32,
    chill: Chill,
    /// What was picked, and what heat left unfit to be picked, kg/m2.
    picked_kg_m2: f64,
    unfit_kg_m2: f64,
}

/// Leaf area that a living crown puts out from its reserves, m2 a plant (own choice).
const CROWN_LEAF_M2: f64 = 4e-4;
/// Share of its first leaves that a clove, a tuber or a perennial's crown puts out anew from its reserves, and of the most leaves
/// that it has had (own choices; set after trials had shown strawberries that never came back from their winter, and gardens
/// strawberries of 24 g and garlic of nothing a plant).
const CROWN_OF_FIRST: f64 = 0.5;
const CROWN_OF_MOST: f32 = 0.1;
/// Share of the lowest published days for which a tuber shoots again (own choice: until it is spent).
const SHOOTS_AGAIN: f64 = 0.5;
/// Share of the lost leaf's mass that frost takes (own choice: stems and roots stay).
const FROZEN_MASS: f32 = 0.85;
/// A night that takes more of the leaves is told.
const TOLD_SHARE: f32 = 0.2;

impl<'a> Stand<'a> {
    pub fn new(
        crop: &'a Crop,
        prepared: &'a Prepared,
        year: usize,
        young: Young,
        way: Way,
    ) -> Self {
        let reserves = crop.perennial || crop.growth.from_piece;
        let stored = f64::from(u8::from(reserves)) * CROWN_OF_FIRST;
        let crown_leaf_m2 = CROWN_LEAF_M2.max(stored * crop.growth.seed_leaf_m2);
        let youth = crop.bolting.map_or(0.0, |bolting| bolting.juvenile_share);
        // A tray brings part of the way to harvest with it.
        let of_way = prepared.of_way(way);
        let in_bed = (youth - of_way.tray_share).max(0.0) / (1.0 - of_way.tray_share);
        Self {
            crop,
            prepared,
            year,
            way,
            from_day: young.day,
            plant: young.plant,
            age_k_d: 0.0,
            gain_g_m2: 0.0,
            organ: Organ::new(crop, young.cold),
            step: Step::On,
            sound: 1.0,
            leaves_lost: 0.0,
            frost_day: None,
            rooting_k_d: young.rooting_k_d,
            crown_leaf: (crop.spacing.plants_per_m2 * crown_leaf_m2) as f32,
            reserves,
            shoots_again_k_d: (SHOOTS_AGAIN * of_way.days[0] * prepared.best_k) as f32,
            flowering: Flowering::new(crop, prepared, (year, young.day), way, young.cold),
            past_youth_k_d: (in_bed * of_way.days[1] * prepared.best_k) as f32,
            give_up: GiveUp::of(crop, prepared, way),
            below_ground: crop.growth.class.is_below_ground(),
            leaf_m2_g: crop.growth.leaf_m2_g as f32,
            chill: Chill::new(crop, young.day),
            picked_kg_m2: 0.0,
            unfit_kg_m2: 0.0,
        }
    }

    /// Lives through a day: its night first, then its growth. `watch` is shown the plants at its end: nothing looks on at the many
    /// sowings of a plan.
    ///
    /// # Errors
    /// What ended it.
    #[inline]
    pub fn step_day(
        &mut self,
        day: usize,
        watch: &mut impl FnMut(usize, &Plant),
    ) -> Result<&'a CropDay, Loss> {
        let today = self.prepared.day(self.year, day);
        if today.kills
            && let Some(loss) = death(self.crop, self.prepared, self.year, day)
            && !(self.crop.growth.from_piece
                && self.crop.hardiness == Hardiness::Tender
                && loss.cause == Cause::NightCold
                && self.age_k_d < self.shoots_again_k_d)
        {
            return Err(loss);
        }
        let left = self.chill.day(self.crop, self.prepared, self.year, day)?;
        self.freeze(day, today);
        if self
            .flowering
            .day(today, self.age_k_d >= self.past_youth_k_d)
        {
            return Err(bolted(self.crop, self.prepared, self.year, day));
        }
        if self.rooting_k_d > 0.0 {
            let root_zone_c = self.prepared.bed_day(self.year, day).root_zone_c;
            self.rooting_k_d -= root_zone_c.max(0.0) as f32;
            self.gain_g_m2 = 0.0;
        } else {
            self.age_k_d += today.warmth_k_d;
            self.step = self.organ.day(self.crop, today, self.age_k_d, self.way);
            let mut growth = today.growth;
            if left < 1.0 {
                growth.supply_g_m2 *= left;
                growth.leafing *= left;
            }
            self.gain_g_m2 = self
                .plant
                .grow(&growth, self.organ.leaf_share(), self.leaf_m2_g);
        }
        watch(day, &self.plant);
        Ok(today)
    }

    /// What the night takes; a living crown keeps a few small leaves, paid from what it holds.
    fn freeze(&mut self, day: usize, today: &CropDay) {
        // Frost on a plant that has no head yet leaves the head to come sound.
        if matches!(self.organ, Organ::Head { full, .. } if full > 0.0) {
            self.sound *= 1.0 - today.organ_lost;
        }
        let lost = today.leaf_lost;
        if lost <= 0.0 {
            return;
        }
        if lost > TOLD_SHARE && self.frost_day.is_none() {
            self.frost_day = Some(day);
        }
        self.leaves_lost = 1.0 - (1.0 - self.leaves_lost) * (1.0 - lost);
        let leaves_g_m2 = if self.below_ground {
            self.plant
                .mass_g_m2
                .min(self.plant.leaf_m2_m2 / self.leaf_m2_g)
        } else {
            self.plant.mass_g_m2
        };
        self.plant.mass_g_m2 -= FROZEN_MASS * lost * leaves_g_m2;
        if self.reserves {
            self.crown_leaf = self.crown_leaf.max(CROWN_OF_MOST * self.plant.leaf_m2_m2);
        }
        self.plant.leaf_m2_m2 *= 1.0 - lost;
        let short = self.crown_leaf - self.plant.leaf_m2_m2;
        if short > 0.0 {
            let paid = (short / self.leaf_m2_g).min(self.plant.mass_g_m2 * 0.5);
            let grown = if self.reserves {
                short
            } else {
                paid * self.leaf_m2_g
            };
            self.plant.leaf_m2_m2 += grown;
            self.plant.mass_g_m2 = self
                .plant
                .mass_g_m2
                .max(self.plant.leaf_m2_m2 / self.leaf_m2_g);
        }
        if !self.below_ground {
            // What held up the leaves that died is no use to the rest.
            let heaviest = HEAVIEST * self.plant.leaf_m2_m2 / self.leaf_m2_g;
            self.plant.mass_g_m2 = self.plant.mass_g_m2.min(heaviest);
        }
    }

    /// What would be eaten if the whole stand were taken on a day, kg/m2.
    #[inline]
    pub fn whole_kg_m2(&self, today: &CropDay) -> f32 {
        let organ = match self.organ {
            Organ::None => 1.0,
            _ => self.organ.full() * self.organ.not_seeding() * self.sound,
        };
        self.plant.mass_g_m2 * today.fresh_kg_g * organ
    }

    /// The loss of heads of which cold has left less than half sound.
    pub fn frozen_heads(&self, day: usize) -> Option<Loss> {
        const HALF: f32 = 0.5;
        if self.sound >= HALF {
            return None;
        }
        let cold = &self.crop.cold;
        let limit = cold.damage_from_c.unwrap_or(cold.kill_c);
        Some(self.frozen(day, limit))
    }

    /// Frost that took too much by a day, with the coldest of its nights.
    pub fn frozen(&self, day: usize, limit_c: f64) -> Loss {
        let nights =
            (self.from_day..day).map(|day| self.prepared.bed_day(self.year, day).coldest_c);
        let coldest = nights.fold(f64::INFINITY, f64::min);
        Loss::below(day, Cause::LeavesFrozen, coldest, limit_c, "°C")
    }

    /// Takes a share of the mass and of the leaves away.
    pub fn cut(&mut self, mass_share: f32, leaf_share: f32) {
        self.plant.mass_g_m2 *= 1.0 - mass_share;
        self.plant.leaf_m2_m2 *= 1.0 - leaf_share;
        self.leaves_lost = 0.0;
    }

    /// Picks what heat has left fit of a mass, and tells of frost before.
    pub fn pick(&mut self, growth: &mut Growth, day: usize, kg_m2: f64) {
        if let Some(frost_day) = self.frost_day.take() {
            growth.note(frost_day, EventKind::FrostDamage);
        }
        let fitness = self.fitness(day);
        self.unfit_kg_m2 += kg_m2 * (1.0 - fitness);
        self.picked_kg_m2 += kg_m2 * fitness;
        if fitness > 0.0 {
            growth.pick(day, kg_m2 * fitness);
        }
    }

    /// Share of what is ripe on a day that the warmth of the month before has left fit for the kitchen.
    fn fitness(&self, day: usize) -> f64 {
        let max_c = self.crop.temperature.month_max_c;
        max_c.map_or(1.0, |_| month_fitness(max_c, self.month_c(day)))
    }

    /// Mean air of the month before a day, °C.
    fn month_c(&self, day: usize) -> f64 {
        self.prepared.bed_day(self.year, day).month_air_c
    }

    /// The loss of a stand of which heat left more unfit than fit.
    pub fn spoilt_by_heat(&self, growth: &Growth) -> Result<(), Loss> {
        let Some(max_c) = self.crop.temperature.month_max_c else {
            return Ok(());
        };
        if self.unfit_kg_m2 <= self.picked_kg_m2 {
            return Ok(());
        }
        let day = growth.ready_day.unwrap_or(self.from_day);
        let last = growth.last_harvest_day.unwrap_or(day).max(day);
        let found_c = self.month_c(day);
        Err(Loss::above(last, Cause::TooHot, found_c, max_c, "°C"))
    }

    /// True if it is no longer waited for.
    pub fn waited_out(&self, day: usize) -> bool {
        day - self.from_day >= self.give_up.days || self.age_k_d > self.give_up.age_k_d
    }
}

/// When a stand that is not ready is given up.
struct GiveUp {
    days: usize,
    age_k_d: f32,
}

impl GiveUp {
    /// After the warmth of so many times the published days, or so many days in the bed; bulbs cross the winter and wait for
    /// their days whatever their age (own choice).
    fn of(crop: &Crop, prepared: &Prepared, way: Way) -> Self {
        /// Times the longest published days.
        const TIMES: f64 = 2.5;
        /// Days in the bed, and of bulbs.
        const DAYS: f64 = 270.0;
        const BULB_DAYS: f64 = 340.0;
        let bulb = crop.bulbing.is_some();
        let days = if bulb { BULB_DAYS } else { DAYS };
        let life = crop.timing.life_days.unwrap_or(f64::INFINITY);
        let age_k_d = if bulb {
            f64::INFINITY
        } else {
            TIMES * prepared.of_way(way).days[2] * prepared.best_k
        };
        Self {
            days: days.min(life) as usize,
            age_k_d: age_k_d as f32,
        }
    }
}
