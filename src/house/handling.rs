//! When covers are laid and lifted.
//!
//! Sunrise is the wrong hour: the house is then at its coldest, and on a January day in a hoop house the covered bed stayed
//! 5 K below the house until it was uncovered at nine, two and a half hours later, and was level with it half an hour after
//! (farm diary, gemtactics.net, 9 February 2020; Au Naturel Farm, 27 January 2000). So somebody who handles a cover lifts it
//! when the house's air has passed a limit, is warmer than the soil under the cover and still rises, and lays it when the air
//! falls below another, or an hour before dark if the last day and night were as cold as that. On a dull frosty day it
//! stays; on a dull mild one, with the house above both limits, it comes off. Growers name 0 to 10 °C for the lifting
//! (trial at Vincennes, Indiana; diary from north Wisconsin); the limits are keys.

use super::{CoverTimes, Handling};
use crate::calendar::{HOURS_PER_DAY, HOURS_PER_YEAR, month_of_hour};
use crate::solar::SunYear;

/// Share of an hour with sun from which it counts as day.
const DAY: f64 = 0.5;
/// An evening is like the last if the house was cold within so many hours: a day and a night.
const AS_COLD_H: f64 = 24.0;
/// No figure is told apart beyond this, h.
const LONG_AGO_H: f64 = 48.0;

/// A cover in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Laid {
    /// Does it lie on?
    pub on: bool,
    /// Hours since the house's air was last below the laying temperature.
    cold_h: f64,
    /// The house's air an hour ago, °C.
    before_c: f64,
}

impl Default for Laid {
    fn default() -> Self {
        Self {
            on: false,
            cold_h: LONG_AGO_H,
            before_c: f64::INFINITY,
        }
    }
}

impl Laid {
    /// Lays or lifts it at the beginning of hour `at`, the air of the house at `air_c` and the soil under the cover at
    /// `under_c`: the diary's sensor lay on the soil; air under a cover in sun is warm from the first ray on.
    pub fn begin_hour(
        &mut self,
        times: &CoverTimes,
        sun: &SunYear,
        at: usize,
        (air_c, under_c): (f64, f64),
    ) {
        let up = |hour: usize| {
            let hour = sun.hours.get(hour % HOURS_PER_YEAR);
            hour.is_some_and(|hour| hour.up_share > DAY)
        };
        let month = month_of_hour(at);
        self.on = match times {
            CoverTimes::Handled(handling) => {
                self.handled(handling, (up(at), up(at + 1)), (air_c, under_c))
            }
            CoverTimes::Months(months) => months[month],
            CoverTimes::Nights(months) => months[month] && !up(at),
            CoverTimes::Clock {
                months,
                from_h,
                to_h,
            } => {
                let middle_h = (at % HOURS_PER_DAY) as f64 + 0.5;
                let (from, to) = (middle_h >= *from_h, middle_h < *to_h);
                months[month]
                    && if from_h < to_h {
                        from && to
                    } else {
                        from || to
                    }
            }
        };
        self.before_c = air_c;
    }

    fn handled(
        &mut self,
        handling: &Handling,
        (day, then_day): (bool, bool),
        (air_c, under_c): (f64, f64),
    ) -> bool {
        let Handling {
            lay_below_c,
            lift_above_c,
        } = *handling;
        self.cold_h = if air_c < lay_below_c {
            0.0
        } else {
            (self.cold_h + 1.0).min(LONG_AGO_H)
        };
        let rises = air_c > self.before_c;
        let evening = day && !then_day;
        if self.on {
            let mild = air_c > lay_below_c.max(lift_above_c);
            let warmer = air_c > lift_above_c && air_c > under_c;
            !(day && !evening && rises && (warmer || mild))
        } else {
            let falls = air_c < lay_below_c && !(day && rises);
            falls || evening && self.cold_h < AS_COLD_H
        }
    }

    /// Visits the figures of the state.
    pub fn visit(&mut self, mut figure: impl FnMut(&mut f64)) {
        let mut on = f64::from(u8::from(self.on));
        figure(&mut on);
        self.on = on > 0.5;
        figure(&mut self.cold_h);
        figure(&mut self.before_c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A frosty day in sun: the cover stays at sunrise, comes off when the house passes it, goes on as the house cools.
    /// The diary's hours: bed -2.2 °C under a house at +2.8 °C at nine.
    #[test]
    fn a_cover_is_lifted_after_the_house_has_passed_it() {
        let handling = Handling {
            lay_below_c: 5.0,
            lift_above_c: 2.0,
        };
        let mut laid = Laid {
            on: true,
            cold_h: 0.0,
            before_c: -6.7,
        };
        let mut hour = |day: bool, then: bool, air_c: f64, under_c: f64| {
            laid.on = laid.handled(&handling, (day, then), (air_c, under_c));
            laid.before_c = air_c;
            laid.on
        };
        assert!(hour(true, true, -6.0, -3.0), "at sunrise");
        assert!(hour(true, true, 0.0, -2.5), "still frosty");
        assert!(!hour(true, true, 2.8, -2.2), "at nine");
        assert!(!hour(true, true, 22.0, 21.0), "at eleven");
        assert!(!hour(true, true, 12.0, 12.0), "in the afternoon");
        assert!(hour(true, false, 7.0, 7.0), "an hour before dark");
        // A dull frosty day: the house never passes its limit.
        assert!(hour(false, false, -5.0, 0.0) && hour(true, true, 1.0, 3.0));
        // A dull mild one.
        assert!(!hour(true, true, 6.0, 7.0));
    }
}
