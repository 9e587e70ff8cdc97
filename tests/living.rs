//! Living with the plan: the journal, the review, the logger.

#[path = "living/any_text.rs"]
mod any_text;
#[path = "cli/common.rs"]
#[allow(dead_code)]
mod common;
#[path = "living/journal.rs"]
mod journal;
#[path = "living/log.rs"]
mod log;
#[path = "living/logger.rs"]
mod logger;
#[path = "living/replan.rs"]
mod replan;
#[path = "living/review.rs"]
mod review;
#[path = "living/steady.rs"]
mod steady;
#[path = "living/trays.rs"]
mod trays;
#[path = "living/tune.rs"]
mod tune;
#[path = "living/tune_ranges.rs"]
mod tune_ranges;
#[path = "living/tune_verb.rs"]
mod tune_verb;
