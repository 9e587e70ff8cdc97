//! Every key a crop file can hold: shape, unit, range, the field it fills, meaning.

use super::assemble::fill::{Fill, field};
use super::{
    Bolting, Bulbing, Cold, Crop, FruitSet, GrowthFigures, Light, Spacing, Storage, Temperature,
    Timing, Water, Yield,
};

/// Shape of what a key holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// Words in quotes.
    Word,
    /// `true` or `false`
    Switch,
    /// A list of words in brackets.
    List,
    /// `{ value = 4.4, from = "key" }`
    Number,
    /// `{ low = 37, high = 45, from = "key" }`
    Range,
    /// `{ at_c = [...], days = [...], none_below_c = 0, none_above_c = 35, from = "key" }`
    Curve,
    /// `{ at_c = [...], percent = [...], from = "key" }`
    Points,
}

impl Shape {
    /// Keys of a figure's inline table besides `from`, and how it is written, for messages.
    pub(super) fn parts(self) -> (&'static [&'static str], &'static str) {
        match self {
            Shape::Range => (
                &["low", "high"],
                "`{ low = ..., high = ..., from = \"...\" }`",
            ),
            Shape::Curve => (
                &["at_c", "days", "none_below_c", "none_above_c"],
                "`{ at_c = [...], days = [...], none_below_c = ..., none_above_c = ..., from = \"...\" }`",
            ),
            Shape::Points => (
                &["at_c", "percent"],
                "`{ at_c = [...], percent = [...], from = \"...\" }`",
            ),
            _ => (&["value"], "`{ value = ..., from = \"...\" }`"),
        }
    }
}

/// A key of the schema.
#[derive(Debug)]
pub(super) struct Key {
    /// Section and key with a dot between; of what is no figure, the key at the top of the file.
    pub(super) path: &'static str,
    pub(super) shape: Shape,
    pub(super) unit: &'static str,
    /// Lowest and highest value that is believed (own choice, no source: wide enough for any garden crop).
    pub(super) low: f64,
    pub(super) high: f64,
    /// The field that it fills as it is read; what has none is read where more is made of it.
    pub(super) field: Option<Fill>,
    /// Must the file say it?
    pub(super) must: bool,
}

impl Key {
    /// The field of what must be said, unless the field may be empty.
    const fn fills(self, field: Fill) -> Self {
        Self {
            must: true,
            ..self.over(field)
        }
    }

    /// The field of what is taken as usual where the file is silent.
    const fn over(mut self, field: Fill) -> Self {
        self.field = Some(field);
        self
    }
}

const fn key(path: &'static str, shape: Shape, unit: &'static str, low: f64, high: f64) -> Key {
    Key {
        path,
        shape,
        unit,
        low,
        high,
        field: None,
        must: false,
    }
}

/// A key at the top of the file.
const fn top(path: &'static str, shape: Shape) -> Key {
    key(path, shape, "", 0.0, 0.0)
}

use Shape::{Curve, List, Number, Points, Range, Switch, Word};

/// All keys, the figures in the order they are shown, with what they mean.
#[rustfmt::skip]
pub(super) const KEYS: &[Key] = &[
    top("name", Word).fills(field!(Crop.name)), // common name
    top("code", Word), // two letters that stand for it on charts
    top("planted_as", Word).over(field!(Crop.planted_as)), // what goes into the ground, where it is not seed
    top("latin", Word).fills(field!(Crop.latin)), // scientific name
    top("family", Word).fills(field!(Crop.family)), // botanical family
    top("rotation_group", Word).fills(field!(Crop.rotation_group)), // the rotation group as growers call it
    top("part", Word), // what of it is eaten
    top("food", Word).fills(field!(Crop.food)), // what the household would buy instead
    top("group", Word).fills(field!(Crop.group)), // foods that stand in for each other
    top("habit", Word).fills(field!(Crop.habit)), // how it is picked
    top("class", Word), // how it is built
    top("flower", Word).over(field!(Crop.flower)), // what its flowers need to set
    top("hardiness", Word).fills(field!(Crop.hardiness)), // class of cold tolerance
    top("perennial", Switch).over(field!(Crop.perennial)), // it lives on after a winter
    top("nitrate", Switch).over(field!(Crop.nitrate)), // winter leaves may be high in nitrate
    top("sets_once", Switch).over(field!(Crop.sets_once)), // all fruit sets in one flush
    top("ways", List).fills(field!(Crop.ways)), // how it can be started, best first
    top("cautions", List).over(field!(Crop.cautions)), // what a grower or eater must know
    key("cold.kill_c", Number, "°C", -40.0, 10.0).fills(field!(Cold.kill_c)), // leaf temperature (three coldest hours of a night) that kills half of the leaf of a hardened plant
    key("cold.kill_unhardened_c", Number, "°C", -40.0, 10.0), // the same of a plant that has met no cold
    key("cold.damage_from_c", Number, "°C", -40.0, 10.0).fills(field!(Cold.damage_from_c)), // leaf temperature at which damage to the eaten part begins
    key("cold.chill_c", Number, "°C", 0.0, 20.0).fills(field!(Cold.chill_c)), // air temperature below which a plant of warm origin is chilled
    key("cold.chill_dose_kh", Number, "K h", 1.0, 5000.0).fills(field!(Cold.chill_dose_kh)), // chilling within 14 days that ends the crop
    key("temperature.base_c", Number, "°C", -5.0, 20.0).fills(field!(Temperature.base_c)), // no growth at or below, as a straight line drawn through published points has it
    key("temperature.best_c", Range, "°C", 5.0, 35.0).fills(field!(Temperature.best_c)), // mean temperature of best growth and quality
    key("temperature.upper_c", Number, "°C", 10.0, 40.0).fills(field!(Temperature.upper_c)), // growth rises no further above
    key("temperature.ceiling_c", Number, "°C", 20.0, 50.0).fills(field!(Temperature.ceiling_c)), // no growth at or above
    key("temperature.month_max_c", Number, "°C", 10.0, 40.0).fills(field!(Temperature.month_max_c)), // warmest monthly mean in which the eaten part ripens to a good crop
    key("growth.seed_mg", Number, "mg", 0.1, 2000.0), // mass of a seed, which sets the leaf area of a seedling just up
    key("growth.piece_cm2", Number, "cm2", 1.0, 500.0), // leaf area that a clove, tuber or young plant puts out first; goes before the seed's
    key("growth.dry_share", Number, "", 0.02, 0.6).over(field!(GrowthFigures.dry_share)), // dry share of the fresh mass that is eaten
    key("growth.leaf_m2_g", Number, "m2/g", 0.005, 0.1).over(field!(GrowthFigures.leaf_m2_g)), // leaf area that a gram of new dry mass can make
    key("growth.harvest_index", Number, "", 0.05, 1.0).over(field!(GrowthFigures.harvest_index)), // share of the dry mass that is eaten
    key("growth.leaf_rate_per_day", Number, "1/day", 0.02, 0.5).over(field!(GrowthFigures.leaf_rate_per_day)), // growth of young leaf area at best temperature; goes before the one solved from days and yield
    key("organ.juvenile_kd", Number, "K d", 0.0, 3000.0).over(field!(GrowthFigures.juvenile_k_d)), // warmth from setting out to a plant that can head
    key("organ.fill_kd", Number, "K d", 10.0, 3000.0).over(field!(GrowthFigures.fill_k_d)), // warmth from the beginning of a head to a full one
    key("organ.window_kd", Number, "K d", 10.0, 3000.0).over(field!(GrowthFigures.window_k_d)), // warmth for which a ready crop stays good
    key("organ.none_above_c", Number, "°C", 10.0, 35.0), // no curd begins in warmth at or above
    key("organ.short_day_h", Number, "h", 6.0, 24.0).over(field!(GrowthFigures.short_day_h)), // day length under which trusses begin; 24: they begin in any
    key("emergence.curve", Curve, "days", 0.0, 400.0).over(field!(Crop.emergence)), // days to emergence by root-zone temperature
    key("emergence.seedlings", Points, "%", 0.0, 100.0).over(field!(Crop.seedlings)), // seeds that make a sound seedling, by root-zone temperature
    key("planting.weeks", Range, "weeks", 0.0, 52.0).over(field!(Crop.planting_weeks)), // weeks after the shortest day between which it is planted: seed tubers or young plants are at hand
    key("root_zone.min_c", Number, "°C", 0.0, 25.0).over(field!(Crop.root_zone_min_c)), // coldest root zone for setting out and rooting
    key("time.days_from_sowing", Range, "days", 5.0, 500.0).fills(field!(Timing.days_from_sowing)), // sowing to first harvest at best temperature, full light
    key("time.days_from_transplanting", Range, "days", 5.0, 500.0).fills(field!(Timing.days_from_transplanting)), // setting out to first harvest at best temperature, full light
    key("time.tray_weeks", Range, "weeks", 1.0, 20.0).fills(field!(Timing.tray_weeks)), // weeks in the tray
    key("time.published_sum_kd", Range, "K d", 50.0, 6000.0).fills(field!(Timing.published_sum_kd)), // published growing degree-days to first harvest
    key("time.sum_factor", Number, "", 0.3, 3.0).over(field!(Timing.sum_factor)), // growth sum to first harvest against that of the days or sum above, from one's own first harvests
    key("time.cuts", Range, "cuts", 1.0, 30.0).over(field!(Timing.cuts)), // cuts a planting bears; the high figure ends it
    key("time.harvest_weeks", Range, "weeks", 1.0, 60.0).fills(field!(Timing.harvest_weeks)), // weeks of picking; of crops that are cut, the high figure ends the planting
    key("time.set_to_ripe_days", Number, "days", 3.0, 120.0).fills(field!(Timing.set_to_ripe_days)), // set to ripe fruit at best temperature
    key("time.life_days", Number, "days", 30.0, 400.0).fills(field!(Timing.life_days)), // days from seedlings up to dying down: not ready by then, never ready
    key("light.target_mol_m2_day", Number, "mol/m2/day", 5.0, 50.0).fills(field!(Light.target_mol_m2_day)), // daily light that growers aim at: shown, and named where a crop had too little
    key("light.warning_day_length_h", Number, "h", 6.0, 16.0).fills(field!(Light.warning_day_length_h)), // day length under which growers expect a standstill (shown only)
    key("bolting.day_length_h", Number, "h", 6.0, 20.0).fills(field!(Bolting.day_length_h)), // day length that hastens flowering
    key("bolting.day_length_after_cold_h", Number, "h", 0.0, 20.0), // day length that hastens flowering in a plant that has met its cold; as above where it is not given
    key("bolting.days", Number, "days", 5.0, 200.0).fills(field!(Bolting.days)), // from the call to flower to a crop past use, day two hours longer
    key("bolting.days_without_cold", Number, "days", 5.0, 300.0).fills(field!(Bolting.days_without_cold)), // the same for a plant that has not met its cold; without this figure it does not run to seed then
    key("bolting.cold_days", Number, "days", 0.0, 200.0).over(field!(Bolting.cold_days)), // days of cold that call to flower, or hasten it
    key("bolting.cold_max_c", Number, "°C", 0.0, 25.0), // warmest temperature that counts as such cold
    key("bolting.juvenile_share", Number, "", 0.0, 1.0).over(field!(Bolting.juvenile_share)), // share of the way to harvest before which cold does not count; 0: it counts from the moist seed on
    key("bulbing.day_length_h", Number, "h", 6.0, 20.0).fills(field!(Bulbing.day_length_h)), // day length from which bulbs are called
    key("bulbing.cold_days", Number, "days", 0.0, 200.0).over(field!(Bulbing.cold_days)), // days of cold needed before bulbs form
    key("fruit_set.night_min_c", Number, "°C", 0.0, 25.0).fills(field!(FruitSet.night_min_c)), // coldest night that sets fruit
    key("fruit_set.night_max_c", Number, "°C", 10.0, 40.0).fills(field!(FruitSet.night_max_c)), // warmest night that sets fruit
    key("fruit_set.day_max_c", Number, "°C", 15.0, 50.0).fills(field!(FruitSet.day_max_c)), // hottest day that sets fruit
    key("yield.whole_crop_kg_m2", Range, "kg/m2", 0.0, 100.0), // whole crop
    key("yield.one_cut_kg_m2", Range, "kg/m2", 0.0, 100.0), // first cut
    key("yield.one_week_kg_m2", Range, "kg/m2", 0.0, 20.0), // one week of picking at best temperature, full light
    key("yield.season_max_kg_m2", Number, "kg/m2", 0.0, 100.0).over(field!(Yield.season_max_kg_m2)), // most that one planting is known to bear (shown only)
    key("spacing.in_row_cm", Number, "cm", 0.5, 300.0), // between plants in the row
    key("spacing.between_rows_cm", Number, "cm", 1.0, 300.0), // between rows
    key("spacing.plants_per_m2", Number, "1/m2", 0.1, 2000.0).fills(field!(Spacing.plants_per_m2)), // plants per m2 of bed
    key("spacing.seeds_per_g", Number, "1/g", 0.5, 5000.0).fills(field!(Spacing.seeds_per_g)), // seeds in a gram
    key("spacing.seeds_per_plant", Number, "", 1.0, 20.0).fills(field!(Spacing.seeds_per_plant)), // seeds sown for each plant kept
    key("water.kc_ini", Number, "", 0.1, 1.5).fills(field!(Water.kc_ini)), // crop coefficient of the young stand
    key("water.kc_mid", Number, "", 0.1, 1.5).fills(field!(Water.kc_mid)), // crop coefficient of the full stand
    key("water.kc_end", Number, "", 0.1, 1.5).fills(field!(Water.kc_end)), // crop coefficient at the end
    key("water.height_m", Number, "m", 0.02, 4.0).fills(field!(Water.height_m)), // height of the full stand
    key("keeping.temperature_c", Number, "°C", -2.0, 25.0).fills(field!(Storage.temperature_c)), // best storage temperature
    key("keeping.days", Range, "days", 0.0, 400.0).fills(field!(Storage.days)), // days it keeps there
    key("rotation.gap_years", Number, "years", 0.0, 10.0).fills(field!(Crop.rotation_gap_years)), // years until the group may return to a place
];

/// Keys of files written for the growth of before: read, checked, and no longer used.
#[rustfmt::skip]
pub(super) const OLD_KEYS: &[Key] = &[
    top(OLD_SWITCH, Switch), // before flowers had kinds: true where they were shaken
    key("time.first_cut_share", Number, "", 0.2, 1.0), // share of the way to the whole crop at which leaves are first cut
    key("time.regrowth_days", Number, "days", 5.0, 100.0), // one cut to the next at best temperature
    key("light.compensation_mol_m2_day", Number, "mol/m2/day", 0.0, 5.0), // daily light that only pays for respiration
    key("heading.max_c", Number, "°C", 5.0, 35.0), // warmest temperature at which heads begin
    key("heading.days", Number, "days", 1.0, 60.0), // days at the best temperature for it that begin a head
    key("heading.leaf_share", Number, "", 0.1, 0.95), // share of the way to harvest from setting out by which a plant is leafy enough for a full head
    key("heading.button_c", Number, "°C", 0.0, 20.0), // daily mean at or below which a young plant may be forced to a small head, a button
    key("heading.button_days", Number, "days", 1.0, 60.0), // days as cold as that which force it
    key("bulbing.leaf_share", Number, "", 0.1, 0.95), // share of the way to harvest gone when a plant is leafy enough for full bulbs
    key("yield.later_cut_share", Number, "", 0.05, 1.5), // a later cut against the first
];

/// A switch of files written before flowers had kinds.
pub(super) const OLD_SWITCH: &str = "hand_pollination";
