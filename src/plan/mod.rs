//! Successions by bed: candidates, prices and one-bed longest paths, a proven bound, replay, verification.
//!
//! [`Instance`] says what could be sown where and what food is worth; [`solve()`] picks the plan and proves how
//! far it can be from the best; [`verify::check`] checks both without knowing how they were found.
//!
//! The method is the textbook decomposition of a scheduling problem with shared limits: a price for every food
//! and week separates the beds, one bed's best year is a longest path over (week, last family), and the prices
//! that make the sum smallest give a bound (Dantzig and Wolfe 1960; Held and Karp 1971; Barahona and Anbil 2000). Where sections
//! are large beside a week's appetite, rents of the beds in place of their paths, and each food's plantings taken together,
//! give a lower one; cut in parts by how many beds a food fills, a lower one still.

mod ask;
pub mod assess;
mod bound;
pub mod candidate;
mod choose;
mod columns;
mod eat;
pub mod fate;
mod file_rows;
pub mod gaps;
mod improve;
mod instance;
mod lives;
pub mod model;
mod path;
pub mod picks;
pub mod planfile;
mod prices;
pub mod replay;
pub mod schedule;
mod solution;
mod solve;
mod subgradient;
mod unmet;
pub mod verify;
mod weeks;
pub mod years;

pub use ask::{Instead, Questions};
pub use choose::{AS_GOOD, KINDS_LEAST};
pub use instance::{
    BedClass, Candidate, Closing, Effort, Family, FamilyLimit, Food, Group, Harvest, Instance,
    Labour, Limits, MAX_WEEKS, Simplicity, Standing, Step, Target, Wanted, Wish,
};
pub use planfile::{BedSections, PlanFile, PlanFileError};
pub use solution::{
    BedPlan, DEFAULT_WORK_LIMIT, FormerPlan, Judge, Plan, Prices, Progress, Proof, Simpler,
    Solution, SolveOptions, gap,
};
pub use solve::{solve, solve_beside};
pub use unmet::unmet;
