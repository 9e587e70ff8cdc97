//! Growth classes: what crops of one build have in common, where nothing is published for the crop itself.

use crate::words::worded;

worded! {
    /// How a crop is built, which says how it gains and what of it is eaten, with the word that crop files use.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Class {
        /// Leaves taken as a whole plant: head lettuce, endive, pak choi, mâche.
        #[default]
        "leaf" => Leaf,
        /// Leaves cut again and again.
        "cut" => Cut,
        /// Herbs, cut again and again.
        "herb" => Herb,
        /// Heads of leaves: cabbage.
        "head" => Head,
        /// Heads of flower buds: cauliflower, broccoli.
        "curd" => Curd,
        /// Swollen roots and stems.
        "root" => Root,
        /// Bulbs.
        "bulb" => Bulb,
        /// Shafts of leaves: leek, scallion.
        "shaft" => Shaft,
        /// Tubers.
        "tuber" => Tuber,
        /// Pods and their seeds.
        "legume" => Legume,
        /// Fruit.
        "fruit" => Fruit,
        /// Berries on trusses that begin long before: strawberry.
        "berry" => Berry,
    }
}

/// Figures of a class.
///
/// Sources: leaf area per gram 250 to 600 cm2/g, shares eaten and rates are those of growth analyses (from memory); that
/// onions' leaves grow about half as fast as lettuce's is Brewster's (from memory). The lower two corners of
/// photosynthesis, 0 and 12 °C, were chosen beside winter trials of spinach in unheated houses, which were therefore seen
/// before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassFigures {
    /// Corners of photosynthesis against leaf temperature, °C: none, full from, full to, none.
    pub photosynthesis_c: [f64; 4],
    /// Leaf area that a gram of new dry mass can make, m2/g.
    pub leaf_m2_g: f64,
    /// Share of the dry mass that is eaten; of the whole plant, roots too.
    pub harvest_index: f64,
    /// Growth of young leaf area at best temperature, 1/day.
    pub rate_per_day: f64,
    /// Warmth for which a ready crop stays good, K d (own choice, no source: two to six weeks at best temperature).
    pub window_k_d: f64,
}

impl Class {
    /// Figures of the class.
    #[rustfmt::skip]
    pub fn figures(self) -> ClassFigures {
        let of = |photosynthesis_c, leaf_m2_g, harvest_index, rate_per_day, window_k_d| ClassFigures {
            photosynthesis_c, leaf_m2_g, harvest_index, rate_per_day, window_k_d,
        };
        match self {
            Class::Leaf => of([0.0, 12.0, 27.0, 37.0], 0.045, 0.85, 0.20, 350.0),
            Class::Cut => of([0.0, 12.0, 27.0, 37.0], 0.040, 1.0, 0.20, 350.0),
            Class::Herb => of([0.0, 12.0, 28.0, 38.0], 0.040, 1.0, 0.16, 350.0),
            Class::Head => of([0.0, 12.0, 27.0, 37.0], 0.025, 0.55, 0.18, 350.0),
            Class::Curd => of([0.0, 12.0, 27.0, 37.0], 0.025, 0.22, 0.18, 80.0),
            Class::Root => of([0.0, 12.0, 27.0, 37.0], 0.030, 0.60, 0.18, 350.0),
            Class::Bulb => of([0.0, 12.0, 28.0, 38.0], 0.018, 0.75, 0.11, 350.0),
            Class::Shaft => of([0.0, 12.0, 28.0, 38.0], 0.018, 0.75, 0.11, 900.0),
            Class::Tuber => of([3.0, 12.0, 26.0, 36.0], 0.030, 0.75, 0.20, 400.0),
            Class::Legume => of([2.0, 12.0, 28.0, 38.0], 0.030, 0.30, 0.16, 350.0),
            Class::Fruit => of([6.0, 16.0, 32.0, 42.0], 0.030, 0.55, 0.20, 350.0),
            Class::Berry => of([1.0, 12.0, 28.0, 38.0], 0.025, 0.45, 0.10, 350.0),
        }
    }

    /// True if the eaten part grows in the ground, where frost on the leaves does not reach it.
    pub fn is_below_ground(self) -> bool {
        matches!(self, Class::Root | Class::Bulb | Class::Tuber)
    }

    /// True if the eaten part is leaves, whose water follows light and warmth.
    pub fn is_leaves(self) -> bool {
        matches!(self, Class::Leaf | Class::Cut | Class::Herb)
    }
}

worded! {
    /// Who carries pollen in a house.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum Pollinator {
        /// Nobody: a still house.
        "none" => None,
        /// Insects and wind that find their way in while the vents are open; nobody while they are shut.
        "open vents" => OpenVents,
        /// The grower, with a brush or by shaking the trusses.
        #[default]
        "by hand" => Hand,
        /// Bumblebees or honeybees kept for it.
        "bumblebees" => Bumblebees,
    }
}

worded! {
    /// What a flower needs to set, with the word that crop files use.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
    pub enum Flower {
        /// Sets without pollen (parthenocarpic cucumber), or bears no fruit at all.
        "no pollen" => NoPollen,
        /// Pollinates itself: pea, bean.
        #[default]
        "own pollen" => Own,
        /// Pollinates itself when it is shaken: tomato, pepper, eggplant.
        "shaken" => Shaken,
        /// Has female flowers that only a carrier of pollen reaches: squash, melon.
        "carried pollen" => Carried,
        /// Sets in part by itself and fully with bees: strawberry.
        "partly own pollen" => Partly,
    }
}

impl Flower {
    /// Share of flowers that set by a pollinator, the weather allowing, 0 to 1; by open vents, while they are open.
    ///
    /// # Source
    /// Strawberry: 53 % by itself, 91 % with wind and bees (biobees.co.nz, read); all others from memory and own choice: a
    /// still house half of the tomato's trusses, female flowers of squash none; through open vents half of them.
    pub fn set_share(self, pollinator: Pollinator) -> f64 {
        match (self, pollinator) {
            (Flower::NoPollen | Flower::Own, _) => 1.0,
            (Flower::Shaken, Pollinator::None) => 0.5,
            (Flower::Shaken, Pollinator::OpenVents) => 0.8,
            (Flower::Carried, Pollinator::OpenVents) => 0.5,
            (Flower::Partly, Pollinator::OpenVents) => 0.9,
            (Flower::Shaken, Pollinator::Hand) => 0.9,
            (Flower::Carried, Pollinator::None) => 0.0,
            (Flower::Carried | Flower::Partly, Pollinator::Hand) => 0.8,
            (Flower::Partly, Pollinator::None) => 0.5,
            (_, Pollinator::Bumblebees) => 1.0,
        }
    }
}
