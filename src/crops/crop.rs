//! What the table knows of a crop.

/// A published low and high figure.
#[derive(Clone, Copy, Debug, PartialEq)]
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

/// A range of days.
pub type DayRange = Range;

/// How a crop is picked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Habit {
    /// The whole plant is taken once.
    Single,
    /// Leaves are cut and grow again.
    Cut,
    /// Fruit, pods or flowers ripen week after week.
    Fruit,
}

/// How a crop gets into its bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Seed, clove or tuber straight into the bed.
    Direct,
    /// Raised in a tray indoors (or bought as a young plant) and set out.
    Tray,
}

/// Grower's class of cold tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hardiness {
    /// Stands hard frost once hardened.
    Hardy,
    /// Stands light frost.
    HalfHardy,
    /// Killed by any frost.
    Tender,
}

/// Killing and chilling, at the leaf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// Leaf temperature that kills a hardened plant, °C.
    pub kill_c: f64,
    /// Leaf temperature that kills a plant that has not met cold, °C; equal to `kill_c` where nothing hardens.
    pub kill_unhardened_c: f64,
    /// Leaf temperature at which frost damage to the eaten part begins, °C.
    pub damage_from_c: Option<f64>,
    /// Air temperature below which a plant of warm origin is chilled, °C.
    pub chill_c: Option<f64>,
    /// Chilling that ends the crop, kelvin-hours below `chill_c` within 14 days.
    pub chill_dose_kh: Option<f64>,
}

/// Growth against temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Temperature {
    /// No growth at or below, °C.
    pub base_c: f64,
    /// Mean temperature of best growth and quality, °C.
    pub best_c: Range,
    /// Growth rises no further above, °C.
    pub upper_c: f64,
    /// No growth at or above, °C.
    pub ceiling_c: f64,
}

/// Published days to emergence against root-zone temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct EmergenceCurve {
    /// Temperatures at which emergence was seen, °C, rising.
    pub at_c: Vec<f64>,
    /// Days to emergence at each.
    pub days: Vec<f64>,
    /// No emergence at or below, °C.
    pub none_below_c: f64,
    /// No emergence at or above, °C.
    pub none_above_c: f64,
}

/// Published share of seeds that make a sound seedling, by root-zone temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Seedlings {
    /// Temperatures, °C, rising.
    pub at_c: Vec<f64>,
    /// Seeds that make a sound seedling at each, %.
    pub percent: Vec<f64>,
}

/// How long a crop takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// Days from sowing in the bed to first harvest at best temperature and full light.
    pub days_from_sowing: Option<DayRange>,
    /// Days from setting out to first harvest at best temperature and full light.
    pub days_from_transplanting: Option<DayRange>,
    /// Weeks in the tray.
    pub tray_weeks: Option<Range>,
    /// Published growing degree-days above the base to first harvest, K d, from sowing (or from setting out
    /// where the crop is only raised in trays); takes the place of the days.
    pub published_sum_kd: Option<Range>,
    /// Growth sum to first harvest against that of the days or sum above; 1 where one's own first harvests say nothing.
    pub sum_factor: f64,
    /// Share of the way to the whole crop at which leaves are first cut; 1 for crops that are not cut.
    pub first_cut_share: f64,
    /// Days at best temperature from one cut to the next.
    pub regrowth_days: Option<f64>,
    /// Cuts a planting bears.
    pub cuts: Range,
    /// Weeks of picking.
    pub harvest_weeks: Range,
    /// Days from seedlings up after which the plant dies down by age; none where it stands and waits.
    pub life_days: Option<f64>,
    /// Days at best temperature from set to ripe fruit.
    pub set_to_ripe_days: Option<f64>,
}

/// Growth against light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Daily light at which growth only pays for respiration, mol/m2/day.
    pub compensation_mol_m2_day: f64,
    /// Daily light beyond which the crop grows no faster, mol/m2/day.
    pub target_mol_m2_day: f64,
    /// Day length under which growers expect a standstill, h: shown, never a switch.
    pub warning_day_length_h: Option<f64>,
}

/// What makes a crop run to seed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolting {
    /// Day length from which flowering is hastened, h.
    pub day_length_h: f64,
    /// Days at best temperature and a day two hours longer than `day_length_h` from the call to flower to a crop past use.
    pub days: f64,
    /// Days of cold (at its best for the purpose) that the plant must have met first; 0 where none is needed.
    pub cold_days: f64,
    /// Warmest temperature that counts as such cold, °C.
    pub cold_max_c: f64,
    /// Share of the way to first harvest before which cold does not count.
    pub juvenile_share: f64,
}

/// What starts a bulb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bulbing {
    /// Day length from which bulbs fill, h.
    pub day_length_h: f64,
    /// Days of cold needed first; 0 where none is.
    pub cold_days: f64,
    /// Share of the way to harvest that can be gone before bulbing begins.
    pub leaf_share: f64,
}

/// Limits of fruit set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FruitSet {
    /// Coldest night that sets fruit, °C.
    pub night_min_c: Option<f64>,
    /// Warmest night that sets fruit, °C.
    pub night_max_c: Option<f64>,
    /// Hottest day that sets fruit, °C.
    pub day_max_c: Option<f64>,
}

/// What a yield figure refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YieldBasis {
    /// Whole crop.
    WholeCrop,
    /// First cut; later cuts are a share of it.
    OneCut,
    /// One week of picking at best temperature and full light.
    OneWeek,
}

/// What a bed bears, fresh mass as sold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Yield {
    /// What `kg_m2` refers to.
    pub basis: YieldBasis,
    /// Published or borrowed range for a family house, kg/m2.
    pub kg_m2: Range,
    /// A later cut against the first (cut crops).
    pub later_cut_share: f64,
    /// Most that one planting may bear, kg/m2.
    pub season_max_kg_m2: f64,
}

/// How densely a crop stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// Between plants in the row, m.
    pub in_row_m: f64,
    /// Between rows, m.
    pub between_rows_m: f64,
    /// Plants per m2 of bed.
    pub plants_per_m2: f64,
    /// Seeds sown for each plant kept.
    pub seeds_per_plant: f64,
}

/// Water use, FAO-56 table 12.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// Crop coefficient of the young stand.
    pub kc_ini: f64,
    /// Crop coefficient of the full stand.
    pub kc_mid: f64,
    /// Crop coefficient at the end.
    pub kc_end: f64,
    /// Height of the full stand, m.
    pub height_m: f64,
}

/// Keeping after harvest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Storage {
    /// Best temperature, °C.
    pub temperature_c: f64,
    /// Days it keeps there.
    pub days: DayRange,
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
    /// What the key means.
    pub meaning: &'static str,
    /// Where the figure comes from, in full.
    pub source: String,
}

/// One crop (or variety) with every figure the model uses.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    /// File stem, such as `spinach`.
    pub id: String,
    /// Common name.
    pub name: String,
    /// Scientific name.
    pub latin: String,
    /// Botanical family, for rotation.
    pub family: String,
    /// The rotation group as growers call it.
    pub rotation_group: String,
    /// Years until the group may return to a place.
    pub rotation_gap_years: f64,
    /// Part eaten.
    pub part: String,
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
    /// True if flowers need pollinating by hand in a closed house.
    pub hand_pollination: bool,
    /// True if all fruit sets in one flush (determinate sorts): picking ends `harvest_weeks.high` weeks by the calendar
    /// after it began, however slowly fruit ripens.
    pub sets_once: bool,
    /// True if winter leaves may be high in nitrate.
    pub nitrate: bool,
    /// What a grower or eater must know.
    pub cautions: Vec<String>,
    /// Cold.
    pub cold: Cold,
    /// Temperature and growth.
    pub temperature: Temperature,
    /// Days to emergence; none for bought plants.
    pub emergence: Option<EmergenceCurve>,
    /// Share of seeds that come to a sound seedling in the bed; none where nothing was found.
    pub seedlings: Option<Seedlings>,
    /// Weeks after the shortest day of the year between which it is planted, because seed tubers or young plants are at
    /// hand only then; none where seed keeps and can be sown at any time.
    pub planting_weeks: Option<Range>,
    /// Coldest root zone for setting out and rooting, °C.
    pub root_zone_min_c: Option<f64>,
    /// Times.
    pub timing: Timing,
    /// Light.
    pub light: Light,
    /// Running to seed.
    pub bolting: Option<Bolting>,
    /// Bulbs.
    pub bulbing: Option<Bulbing>,
    /// Fruit set.
    pub fruit_set: Option<FruitSet>,
    /// Yield.
    pub yields: Yield,
    /// Spacing.
    pub spacing: Spacing,
    /// Water.
    pub water: Water,
    /// Keeping; none if nothing was found.
    pub storage: Option<Storage>,
    /// Every figure with its source, in the order of the schema.
    pub figures: Vec<FigureRow>,
}

impl Crop {
    /// Growing degrees of a day at the middle of the best temperatures, K d.
    pub fn best_k(&self) -> f64 {
        let best_c = self
            .temperature
            .best_c
            .middle()
            .min(self.temperature.upper_c);
        best_c - self.temperature.base_c
    }

    /// Growth sum from emergence to a harvest that the crop file puts at `share` (0 low to 1 high) of its range,
    /// K d.
    ///
    /// A published sum or published days count from sowing, so the days to emergence at best temperature come
    /// off.
    pub fn sum_from_emergence_k_d(&self, share: f64) -> f64 {
        let emergence_days = self.best_emergence_days();
        let whole_k_d = match (self.timing.published_sum_kd, self.timing.days_from_sowing) {
            (Some(sum), _) => sum.at(share),
            (None, Some(days)) => days.at(share) * self.best_k(),
            (None, None) => self.published_from_setting_out_k_d(share),
        };
        let least_k_d = LEAST_REMAINING_SHARE * whole_k_d;
        self.timing.sum_factor * (whole_k_d - emergence_days * self.best_k()).max(least_k_d)
    }

    /// Days to emergence at the middle of the best temperatures; 0 where nothing is sown.
    pub fn best_emergence_days(&self) -> f64 {
        let best_c = self.temperature.best_c.middle();
        self.emergence.as_ref().map_or(0.0, |curve| {
            let rate = curve.rate_per_day(best_c);
            if rate > 0.0 { 1.0 / rate } else { 0.0 }
        })
    }

    /// Growth sum from setting out to a harvest at `share` (0 low to 1 high) of the file's range, K d.
    ///
    /// Where no days from setting out are published, the tray's share of the days from sowing is taken off.
    pub fn sum_from_setting_out_k_d(&self, share: f64) -> f64 {
        self.timing.sum_factor * self.published_from_setting_out_k_d(share)
    }

    /// The same without what one's own first harvests say.
    fn published_from_setting_out_k_d(&self, share: f64) -> f64 {
        let tray_days = self.tray_days() as f64;
        match (
            self.timing.days_from_transplanting,
            self.timing.days_from_sowing,
        ) {
            (Some(days), _) => days.at(share) * self.best_k(),
            (None, Some(days)) => {
                let remaining = (1.0 - tray_days / days.middle()).max(LEAST_REMAINING_SHARE);
                days.at(share) * remaining * self.best_k()
            }
            (None, None) => self
                .timing
                .published_sum_kd
                .map_or(0.0, |sum| sum.at(share)),
        }
    }

    /// True if the eaten part grows in the ground, where frost on the leaves does not reach it.
    pub fn is_below_ground(&self) -> bool {
        matches!(self.part.as_str(), "root" | "tuber" | "bulb")
    }

    /// Days in the tray.
    pub fn tray_days(&self) -> usize {
        self.timing
            .tray_weeks
            .map_or(0, |weeks| (weeks.middle() * 7.0).round() as usize)
    }
}

/// Least share of the way to harvest that remains after tray or emergence (assumption, no source).
const LEAST_REMAINING_SHARE: f64 = 0.4;
