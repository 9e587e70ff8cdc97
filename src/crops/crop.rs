//! What the table knows of a crop.

use super::curve::Curve;
use super::growth::{Flower, Pollinator, warmth};
use super::needs::{
    Bolting, Bulbing, Cold, EmergenceCurve, FruitSet, GrowthFigures, Light, Spacing, Storage,
    Temperature, Timing, Water, Yield,
};
use crate::words::worded;

/// A published low and high figure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// Lower figure.
    pub low: f64,
    /// Higher figure; equal to `low` where only one was found.
    pub high: f64,
}

impl Range {
    /// A place between low (0) and high (1).
    pub fn at(self, share: f64) -> f64 {
        self.low + share * (self.high - self.low)
    }

    /// Halfway between low and high.
    pub fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }
}

worded! {
    /// How a crop is picked.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum Habit {
        /// The whole plant is taken once.
        #[default]
        "single" => Single,
        /// Leaves are cut and grow again.
        "cut" => Cut,
        /// Fruit, pods or flowers ripen week after week.
        "fruit" => Fruit,
    }
}

worded! {
    /// How a crop gets into its bed.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    #[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
    pub enum Way {
        /// Seed, clove or tuber straight into the bed.
        "direct" => Direct,
        /// Raised in a tray indoors (or bought as a young plant) and set out.
        "tray" => Tray,
    }
}

worded! {
    /// Grower's class of cold tolerance.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum Hardiness {
        /// Stands hard frost once hardened.
        #[default]
        "hardy" => Hardy,
        /// Stands light frost.
        "half-hardy" => HalfHardy,
        /// Killed by any frost.
        "tender" => Tender,
    }
}

/// One figure of a crop as `bedyear crops NAME` shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureRow {
    /// Section and key, such as `temperature.base_c`.
    pub key: String,
    /// The figure as text.
    pub value: String,
    /// Its unit.
    pub unit: &'static str,
    /// Where the figure comes from, in full.
    pub source: String,
}

/// One crop (or variety) with every figure the model uses.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crop {
    /// File stem, such as `spinach`.
    pub id: String,
    /// Common name.
    pub name: String,
    /// Two letters, a capital and a small one, that stand for the crop on charts; no two crops of a table share them.
    pub code: String,
    /// What goes into the ground, where it is not seed: `seed potatoes`, `cloves`, `bought plants`.
    pub planted_as: Option<String>,
    /// Scientific name.
    pub latin: String,
    /// Botanical family, for rotation.
    pub family: String,
    /// The rotation group as growers call it.
    pub rotation_group: String,
    /// Years until the group may return to a place.
    pub rotation_gap_years: f64,
    /// What the household would buy instead.
    pub food: String,
    /// Foods that stand in for each other, such as `salad greens`.
    pub group: String,
    /// The crop it is a variety of, if any.
    pub like: Option<String>,
    /// How it is picked.
    pub habit: Habit,
    /// How it can be started, best first.
    pub ways: Vec<Way>,
    /// Class of cold tolerance.
    pub hardiness: Hardiness,
    /// True if it lives on after a winter (strawberry).
    pub perennial: bool,
    /// What its flowers need to set.
    pub flower: Flower,
    /// Share of flowers that set by the pollinator of the house, the weather allowing, 0 to 1; where that is open vents, while they
    /// are shut.
    pub pollinated: f64,
    /// Air temperature, °C, at which the vents stand open, and the share that sets then, where insects come in by them.
    pub aired: Option<(f64, f64)>,
    /// True if all fruit sets in one flush (determinate sorts): picking ends `harvest_weeks.high` weeks by the calendar
    /// after it began, however slowly fruit ripens.
    pub sets_once: bool,
    /// True if winter leaves may be high in nitrate.
    pub nitrate: bool,
    /// What a grower or eater must know.
    pub cautions: Vec<String>,
    /// Build, leaves and mass.
    pub growth: GrowthFigures,
    pub cold: Cold,
    /// Temperature and growth.
    pub temperature: Temperature,
    /// Days to emergence; none for bought plants.
    pub emergence: Option<EmergenceCurve>,
    /// Share of seeds that come to a sound seedling in the bed, 0 to 1, by root-zone temperature, °C; none where nothing was
    /// found.
    pub seedlings: Option<Curve>,
    /// Weeks after the shortest day of the year between which it is planted, because seed tubers or young plants are at
    /// hand only then; none where seed keeps and can be sown at any time.
    pub planting_weeks: Option<Range>,
    /// Coldest root zone for setting out and rooting, °C.
    pub root_zone_min_c: Option<f64>,
    /// Times.
    pub timing: Timing,
    pub light: Light,
    /// Running to seed.
    pub bolting: Option<Bolting>,
    /// Bulbs.
    pub bulbing: Option<Bulbing>,
    /// Warmth at or above which no head of flower buds begins, °C; none for what makes none.
    pub curd_none_above_c: Option<f64>,
    pub fruit_set: Option<FruitSet>,
    pub yields: Yield,
    pub spacing: Spacing,
    pub water: Water,
    /// Keeping; none if nothing was found.
    pub storage: Option<Storage>,
    /// Every figure with its source, in the order of the schema.
    pub figures: Vec<FigureRow>,
}

impl Crop {
    /// Growing degrees of a day at the middle of the best temperatures, K d.
    pub fn best_k(&self) -> f64 {
        warmth::growing_degrees(&self.temperature, self.best_leaf_c())
    }

    /// Middle of the best temperatures, °C.
    pub fn best_leaf_c(&self) -> f64 {
        let temperature = &self.temperature;
        temperature.best_c.middle().min(temperature.upper_c)
    }

    /// Degrees that ripen fruit on a day at best temperature, K d: growing degrees `best_k`, of strawberries those over 4 °C.
    pub fn ripening_k(&self, best_k: f64) -> f64 {
        /// Base of berries, °C (as of their trusses).
        const BERRY_BASE_C: f64 = 4.0;
        if self.growth.class == super::growth::Class::Berry {
            self.best_leaf_c() - BERRY_BASE_C
        } else {
            best_k
        }
    }

    /// Sets what carries pollen in the house, whose vents hold the air at `vents_c`, °C, where there are any.
    pub fn with_pollinator(mut self, pollinator: Pollinator, vents_c: Option<f64>) -> Self {
        let shares = |pollinator| self.flower.set_share(pollinator);
        (self.pollinated, self.aired) = match pollinator {
            Pollinator::OpenVents => (
                shares(Pollinator::None),
                vents_c.map(|vents_c| (vents_c, shares(Pollinator::OpenVents))),
            ),
            other => (shares(other), None),
        };
        self
    }

    /// Days at best temperature to a harvest that the crop file puts at `share` (0 low to 1 high) of its range: from seedlings
    /// up, or from setting out.
    ///
    /// A published sum or published days count from sowing, so the days to emergence at best temperature come off. Where no
    /// days from setting out are published, what a tray usually saves is taken off the days from sowing.
    pub fn days_to_harvest(&self, way: Way, share: f64) -> f64 {
        let timing = &self.timing;
        let degrees = self.best_leaf_c() - self.temperature.base_c;
        let by_sum = timing.published_sum_kd.map(|sum| sum.at(share) / degrees);
        let from_sowing = timing.days_from_sowing.map(|days| days.at(share));
        let from_setting_out = timing.days_from_transplanting.map(|days| days.at(share));
        let tray_days = self.tray_days() as f64;
        let after_tray = || {
            let middle = timing.days_from_sowing?.middle();
            let remaining = (1.0 - TRAY_SAVES * tray_days / middle).max(LEAST_REMAINING_SHARE);
            from_sowing.map(|days| days * remaining)
        };
        let set_out = from_setting_out.or_else(after_tray).or(by_sum);
        match way {
            Way::Tray => set_out.unwrap_or(0.0),
            Way::Direct => {
                let whole = by_sum.or(from_sowing).or(set_out).unwrap_or(0.0);
                (whole - self.best_emergence_days()).max(LEAST_REMAINING_SHARE * whole)
            }
        }
    }

    /// Days to emergence at the middle of the best temperatures; 0 where nothing is sown.
    pub fn best_emergence_days(&self) -> f64 {
        self.emergence_days(self.temperature.best_c.middle())
    }

    /// Whole days to emergence at a steady temperature; 0 where nothing is sown or nothing comes up.
    pub fn days_up(&self, temp_c: f64) -> usize {
        self.emergence_days(temp_c).ceil() as usize
    }

    fn emergence_days(&self, temp_c: f64) -> f64 {
        let curve = self.emergence.as_ref();
        let rate = curve.map_or(0.0, |curve| curve.rate_per_day(temp_c));
        if rate > 0.0 { 1.0 / rate } else { 0.0 }
    }

    /// Share of the way from sowing to harvest that is gone at setting out; 0 for what is sown in the bed.
    pub fn tray_share(&self, way: Way) -> f64 {
        let tray_days = self.tray_days() as f64;
        let after_days = self.days_to_harvest(Way::Tray, 0.5);
        match way {
            Way::Tray if tray_days + after_days > 0.0 => tray_days / (tray_days + after_days),
            _ => 0.0,
        }
    }

    /// Days in the tray.
    pub fn tray_days(&self) -> usize {
        self.timing
            .tray_weeks
            .map_or(0, |weeks| (weeks.middle() * 7.0).round() as usize)
    }
}

/// Days of the way to harvest that a day in the tray saves (computed: lettuce and kohlrabi, whose days the handbook gives both
/// ways, save 15 and 20 of 35 days).
const TRAY_SAVES: f64 = 0.5;
/// Least share of the way to harvest that remains after tray or emergence (assumption, no source).
const LEAST_REMAINING_SHARE: f64 = 0.4;
