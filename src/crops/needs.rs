//! What a crop needs, does and suffers: the groups of figures of the table.

use super::crop::Range;
use super::curve::Curve;
use super::growth::{Class, RateFrom};

/// Build of a crop: how it gains leaves and mass. What is not published for the crop is its class's.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GrowthFigures {
    pub class: Class,
    /// Leaf area of a seedling just up, or of the piece planted, m2.
    pub seed_leaf_m2: f64,
    /// True if a piece with reserves is planted: a clove, a tuber, a rooted plant.
    pub from_piece: bool,
    /// Dry share of the fresh mass that is eaten, 0 to 1.
    pub dry_share: f64,
    /// Leaf area that a gram of new dry mass can make, m2/g.
    pub leaf_m2_g: f64,
    /// Share of the dry mass that is eaten, 0 to 1.
    pub harvest_index: f64,
    /// Growth of young leaf area at best temperature, 1/day.
    pub leaf_rate_per_day: f64,
    /// Where that comes from.
    pub rate_from: RateFrom,
    /// Share of a day's gain that a crop in full bearing puts into fruit, 0 to 1; 0 for others.
    pub fruit_share: f64,
    /// Warmth for which a ready crop stays good, K d.
    pub window_k_d: f64,
    /// Warmth from setting out to a plant that can head, K d.
    pub juvenile_k_d: Option<f64>,
    /// Warmth from the beginning of a head to a full one, K d; none for what makes no head.
    pub fill_k_d: Option<f64>,
    /// Day length under which a strawberry's trusses begin, h; none or 24 where they begin in any.
    pub short_day_h: Option<f64>,
}

/// Killing and chilling, at the leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cold {
    /// Leaf temperature (three coldest hours of a night) that kills half of the leaf of a hardened plant, °C.
    pub kill_c: f64,
    /// The same of a plant that has not met cold, °C; equal to `kill_c` where nothing hardens.
    pub kill_unhardened_c: f64,
    /// Leaf temperature at which frost damage to the eaten part begins, °C.
    pub damage_from_c: Option<f64>,
    /// Air temperature below which a plant of warm origin is chilled, °C.
    pub chill_c: Option<f64>,
    /// Chilling that ends the crop, kelvin-hours below `chill_c` within 14 days.
    pub chill_dose_kh: Option<f64>,
}

impl Cold {
    /// Leaf temperature that kills half of the leaf at a degree of hardening, °C.
    pub fn kill_at(&self, hardening: f64) -> f64 {
        self.kill_unhardened_c + hardening * (self.kill_c - self.kill_unhardened_c)
    }
}

/// Growth against temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Temperature {
    /// No growth at or below, °C.
    pub base_c: f64,
    /// Mean temperature of best growth and quality, °C.
    pub best_c: Range,
    /// Growth rises no further above, °C.
    pub upper_c: f64,
    /// No growth at or above, °C.
    pub ceiling_c: f64,
    /// Warmest monthly mean in which the eaten part ripens to a good crop, °C; none where heat does no harm to it.
    pub month_max_c: Option<f64>,
}

/// Published days to emergence against root-zone temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct EmergenceCurve {
    /// Progress to emergence by temperature, °C: 1/day, the inverse of the published days.
    pub rate_per_day: Curve,
    /// No emergence at or below, °C.
    pub none_below_c: f64,
    /// No emergence at or above, °C.
    pub none_above_c: f64,
}

/// How long a crop takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Timing {
    /// Days from sowing in the bed to first harvest at best temperature and full light.
    pub days_from_sowing: Option<Range>,
    /// Days from setting out to first harvest at best temperature and full light.
    pub days_from_transplanting: Option<Range>,
    /// Weeks in the tray.
    pub tray_weeks: Option<Range>,
    /// Published growing degree-days above the base to first harvest, K d, from sowing (or from setting out
    /// where the crop is only raised in trays); takes the place of the days.
    pub published_sum_kd: Option<Range>,
    /// Growth sum to first harvest against that of the days or sum above; 1 where one's own first harvests say nothing.
    pub sum_factor: f64,
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
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Light {
    /// Daily light that growers aim at for a good crop, mol/m2/day: shown, and named where a crop had too little; never a
    /// switch.
    pub target_mol_m2_day: f64,
    /// Day length under which growers expect a standstill, h: shown, never a switch.
    pub warning_day_length_h: Option<f64>,
}

/// What makes a crop run to seed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bolting {
    /// Day length from which flowering is hastened, h.
    pub day_length_h: f64,
    /// The same for a plant that has met its cold, h.
    pub day_length_after_cold_h: f64,
    /// Days at best temperature and a day two hours longer than `day_length_h` from the call to flower to a crop past use.
    pub days: f64,
    /// The same for a plant that has not met its cold; none where it does not run to seed without.
    pub days_without_cold: Option<f64>,
    /// Days of cold (at its best for the purpose) that call to flower, or hasten it; 0 where cold plays no part.
    pub cold_days: f64,
    /// Warmest temperature that counts as such cold, °C.
    pub cold_max_c: f64,
    /// Share of the way to first harvest before which cold does not count.
    pub juvenile_share: f64,
}

/// What starts a bulb.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bulbing {
    /// Day length from which bulbs are called, h.
    pub day_length_h: f64,
    /// Days of cold needed first; 0 where none is.
    pub cold_days: f64,
}

/// Limits of fruit set.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FruitSet {
    /// Coldest night that sets fruit, °C.
    pub night_min_c: Option<f64>,
    /// Warmest night that sets fruit, °C.
    pub night_max_c: Option<f64>,
    /// Hottest day that sets fruit, °C.
    pub day_max_c: Option<f64>,
}

/// What a bed bears, fresh mass as sold.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Yield {
    /// Published or borrowed range for a family house, kg/m2: of the whole crop, of the first cut, or of one week of
    /// picking at best temperature and full light, as the crop is picked.
    pub kg_m2: Range,
    /// Most that one planting is known to bear, kg/m2: shown only.
    pub season_max_kg_m2: f64,
}

/// How densely a crop stands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spacing {
    /// Between plants in the row, m.
    pub in_row_m: f64,
    /// Between rows, m.
    pub between_rows_m: f64,
    /// Plants per m2 of bed.
    pub plants_per_m2: f64,
    /// Seeds sown for each plant kept.
    pub seeds_per_plant: f64,
    /// Seeds in a gram, where seed is sown.
    pub seeds_per_g: Option<f64>,
}

/// Water use, FAO-56 table 12.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
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
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Storage {
    /// Best temperature, °C.
    pub temperature_c: f64,
    /// Days it keeps there.
    pub days: Range,
}
