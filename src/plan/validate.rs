//! Checks of an instance: every index, length and range, with words for what is wrong.

use super::instance::{Candidate, Closing, Harvest, Instance, MAX_WEEKS, Target};

/// Why an instance cannot be planned as it is written.
#[derive(Debug, thiserror::Error, PartialEq)]
#[non_exhaustive]
pub enum InstanceError {
    /// The horizon is empty or longer than two years.
    #[error("the horizon has {0} weeks, outside 1 to {MAX_WEEKS}")]
    Horizon(usize),
    /// A number is outside its range.
    #[error("{what} is {value}, {expected}")]
    Number {
        /// What the number is, with the name of its owner.
        what: String,
        /// The value found.
        value: f64,
        /// What was expected.
        expected: &'static str,
    },
    /// An index points past the end of its list.
    #[error("{what} points to {kind} {index}, but there are only {len}")]
    Index {
        /// What holds the index.
        what: String,
        /// The list pointed into.
        kind: &'static str,
        /// The index.
        index: usize,
        /// The length of the list.
        len: usize,
    },
    /// A list by week has the wrong length.
    #[error("{what} has {found} weekly figures, the horizon has {weeks} weeks")]
    WeekCount {
        /// Whose list it is.
        what: String,
        /// Figures found.
        found: usize,
        /// Weeks of the horizon.
        weeks: usize,
    },
    /// Two things stand in one bed, or something stands in a settled year.
    #[error("bed {bed} of `{class}`: {problem}")]
    Standing {
        /// Name of the bed class.
        class: String,
        /// Bed, from 1.
        bed: usize,
        /// What is wrong.
        problem: &'static str,
    },
}

impl Instance {
    /// Checks every index, length and range.
    ///
    /// # Errors
    /// The first thing found wrong, in the order of the fields.
    pub fn validate(&self) -> Result<(), InstanceError> {
        if self.weeks == 0 || self.weeks > MAX_WEEKS {
            return Err(InstanceError::Horizon(self.weeks));
        }
        self.validate_beds()?;
        self.validate_foods()?;
        for (number, candidate) in self.candidates.iter().enumerate() {
            self.validate_candidate(number, candidate)?;
        }
        self.validate_wishes()?;
        self.validate_standing()?;
        let limits = [
            ("hours of work a week", self.limits.labour_h_week),
            ("shelf, m2", self.limits.shelf_m2),
        ];
        for (what, limit) in limits {
            not_negative(|| format!("the limit on {what}"), limit.unwrap_or(0.0))?;
        }
        Ok(())
    }

    fn validate_beds(&self) -> Result<(), InstanceError> {
        for class in &self.beds {
            let name = &class.name;
            above_zero(
                || format!("the number of beds of `{name}`"),
                class.count as f64,
            )?;
            above_zero(
                || format!("the area of a bed of `{name}`, m2,"),
                class.area_m2,
            )?;
        }
        Ok(())
    }

    fn validate_foods(&self) -> Result<(), InstanceError> {
        for group in &self.groups {
            not_negative(
                || format!("the appetite for `{}`, kg a week,", group.name),
                group.appetite_kg_week,
            )?;
        }
        for food in &self.foods {
            let id = &food.id;
            if let Some(group) = food.group {
                index(|| format!("food `{id}`"), "group", group, self.groups.len())?;
            }
            self.week_count(|| format!("the price of `{id}`"), food.price_kg.len())?;
            for &price in &food.price_kg {
                not_negative(|| format!("a price of `{id}`"), price)?;
            }
            let mut last = 1.0;
            for step in &food.appetite {
                above_zero(
                    || format!("an appetite step of `{id}`, kg a week,"),
                    step.kg_week,
                )?;
                if !(0.0..=last).contains(&step.worth) {
                    return Err(InstanceError::Number {
                        what: format!("the worth of an appetite step of `{id}`"),
                        value: step.worth,
                        expected: "but worth must lie in 0 to 1 and fall from step to step",
                    });
                }
                last = step.worth;
            }
        }
        Ok(())
    }

    fn validate_candidate(&self, number: usize, c: &Candidate) -> Result<(), InstanceError> {
        let name = || format!("candidate {number} (`{}`)", c.crop);
        index(name, "family", c.family, self.families.len())?;
        index(name, "bed class", c.bed_class, self.beds.len())?;
        index(name, "week", c.bed_week, self.weeks)?;
        index(name, "week", c.sow_week, self.weeks)?;
        for &bed in &c.begun {
            index(name, "bed", bed, self.beds[c.bed_class].count)?;
        }
        above_zero(|| format!("weeks in bed of {}", name()), c.weeks as f64)?;
        if self.closing == Closing::EachBed && c.weeks > self.weeks {
            return Err(InstanceError::Number {
                what: format!("weeks in bed of {}", name()),
                value: c.weeks as f64,
                expected: "but a settled year cannot hold more weeks than it has",
            });
        }
        if !(0.0..=1.0).contains(&c.survival) {
            return Err(InstanceError::Number {
                what: format!("survival of {}", name()),
                value: c.survival,
                expected: "but a chance lies in 0 to 1",
            });
        }
        not_negative(|| format!("cost of {}", name()), c.cost)?;
        not_negative(|| format!("shelf of {}, m2,", name()), c.shelf_m2)?;
        for pick in &c.harvest {
            self.validate_harvest(name, pick)?;
        }
        for work in &c.labour {
            index(name, "week", work.week, self.weeks)?;
            not_negative(|| format!("hours of {}", name()), work.hours)?;
        }
        Ok(())
    }

    fn validate_harvest(
        &self,
        name: impl Fn() -> String,
        pick: &Harvest,
    ) -> Result<(), InstanceError> {
        index(&name, "food", pick.food, self.foods.len())?;
        index(&name, "week", pick.week, self.weeks)?;
        not_negative(|| format!("a harvest of {}, kg,", name()), pick.kg)
    }

    fn validate_wishes(&self) -> Result<(), InstanceError> {
        for wish in &self.wishes {
            let (kind, at, len) = match wish.target {
                Target::Food(food) => ("food", food, self.foods.len()),
                Target::Group(group) => ("group", group, self.groups.len()),
            };
            index(|| "a wish".into(), kind, at, len)?;
            self.week_count(|| "a wish".into(), wish.kg_week.len())?;
            for &kg in &wish.kg_week {
                not_negative(|| "a wish, kg a week,".into(), kg)?;
            }
            not_negative(|| "the penalty of a wish".into(), wish.penalty_kg)?;
        }
        for wanted in &self.wanted {
            not_negative(
                || format!("the penalty for `{}` missing", wanted.crop),
                wanted.penalty,
            )?;
        }
        Ok(())
    }

    fn validate_standing(&self) -> Result<(), InstanceError> {
        for pick in self.given() {
            self.validate_harvest(|| "what is picked whatever is planted".to_owned(), pick)?;
        }
        let mut taken = std::collections::BTreeSet::new();
        for standing in &self.standing {
            let name = || format!("what stands there now (`{}`)", standing.crop);
            index(name, "bed class", standing.bed_class, self.beds.len())?;
            let class = &self.beds[standing.bed_class];
            index(name, "bed", standing.bed, class.count)?;
            index(name, "family", standing.family, self.families.len())?;
            let problem = if self.closing == Closing::EachBed {
                Some("a settled year has no beginning, so nothing can stand there before it")
            } else if !taken.insert((standing.bed_class, standing.bed)) {
                Some("two things stand there at once; name the one that leaves last")
            } else {
                None
            };
            if let Some(problem) = problem {
                return Err(InstanceError::Standing {
                    class: class.name.clone(),
                    bed: standing.bed + 1,
                    problem,
                });
            }
        }
        Ok(())
    }

    fn week_count(&self, what: impl Fn() -> String, found: usize) -> Result<(), InstanceError> {
        if found == self.weeks {
            return Ok(());
        }
        Err(InstanceError::WeekCount {
            what: what(),
            found,
            weeks: self.weeks,
        })
    }
}

fn index(
    what: impl Fn() -> String,
    kind: &'static str,
    index: usize,
    len: usize,
) -> Result<(), InstanceError> {
    if index < len {
        return Ok(());
    }
    Err(InstanceError::Index {
        what: what(),
        kind,
        index,
        len,
    })
}

fn not_negative(what: impl Fn() -> String, value: f64) -> Result<(), InstanceError> {
    if value >= 0.0 && value.is_finite() {
        return Ok(());
    }
    Err(InstanceError::Number {
        what: what(),
        value,
        expected: "but must be a number of 0 or more",
    })
}

fn above_zero(what: impl Fn() -> String, value: f64) -> Result<(), InstanceError> {
    if value > 0.0 && value.is_finite() {
        return Ok(());
    }
    Err(InstanceError::Number {
        what: what(),
        value,
        expected: "but must be a number above 0",
    })
}
