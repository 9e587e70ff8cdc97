//! What can be wrong with a plan or a claim.

/// Something wrong with a plan or a claim.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// A bed is missing, named twice or does not exist.
    #[error("bed {bed} of class {class} is not in the plan exactly once")]
    Beds {
        /// Index of the class.
        class: usize,
        /// Bed, from 0.
        bed: usize,
    },
    /// A planting that does not exist or belongs to another kind of bed.
    #[error("planting {planting} cannot stand in a bed of class {class}")]
    Misplaced {
        /// Index of the class.
        class: usize,
        /// Index of the candidate.
        planting: usize,
    },
    /// Two plantings in one bed at once.
    #[error("bed {bed} of class {class} is over-full in week {week}")]
    OverFull {
        /// Index of the class.
        class: usize,
        /// Bed, from 0.
        bed: usize,
        /// Week, from 0.
        week: usize,
    },
    /// A family directly after itself.
    #[error("bed {bed} of class {class}: `{family}` directly after itself in week {week}")]
    Rotation {
        /// Index of the class.
        class: usize,
        /// Bed, from 0.
        bed: usize,
        /// Family.
        family: String,
        /// Week, from 0.
        week: usize,
    },
    /// A shared limit is broken.
    #[error("{what} in week {week}: {used} used, {limit} allowed")]
    Limit {
        /// Which limit.
        what: &'static str,
        /// Week, from 0.
        week: usize,
        /// Used.
        used: f64,
        /// Allowed.
        limit: f64,
    },
    /// Too many kinds of crop.
    #[error("{used} kinds of crop, {limit} allowed")]
    Kinds {
        /// In the plan.
        used: usize,
        /// Allowed.
        limit: usize,
    },
    /// A family so often that places cannot rest from it.
    #[error("class {class}: {used} plantings of `{family}`, {limit} let each place rest from it")]
    Family {
        /// Index of the class.
        class: usize,
        /// Family.
        family: String,
        /// Plantings in the plan.
        used: usize,
        /// Allowed.
        limit: usize,
    },
    /// A planting fills more beds than it may.
    #[error("planting {planting} fills {used} beds, {limit} allowed")]
    Size {
        /// Index of the candidate.
        planting: usize,
        /// Beds.
        used: usize,
        /// Allowed.
        limit: usize,
    },
    /// More eaten than was picked and kept.
    #[error("`{food}` in week {week}: {missing_kg} kg eaten that were never there")]
    Invented {
        /// Food.
        food: String,
        /// Week, from 0.
        week: usize,
        /// Kilograms missing.
        missing_kg: f64,
    },
    /// More eaten than there is appetite for.
    #[error("`{food}` in week {week}: {eaten_kg} kg eaten, appetite {appetite_kg}")]
    Appetite {
        /// Food or group.
        food: String,
        /// Week, from 0.
        week: usize,
        /// Eaten.
        eaten_kg: f64,
        /// Appetite.
        appetite_kg: f64,
    },
    /// The value does not follow from what is eaten.
    #[error("the value is {found}, claimed {claimed}")]
    Value {
        /// Recomputed.
        found: f64,
        /// Claimed.
        claimed: f64,
    },
    /// The bound does not follow from the prices.
    #[error("the prices prove {found}, claimed {claimed}")]
    Bound {
        /// Recomputed.
        found: f64,
        /// Claimed.
        claimed: f64,
    },
    /// Value above bound, or a proof that does not fit the instance.
    #[error("the proof does not hold: {0}")]
    Proof(&'static str),
}
