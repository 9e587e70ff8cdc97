//! What is sown and what became of it.

use crate::crops::{Loss, Way};
use crate::words::worded;

/// What is sown, when and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sowing {
    /// Day of sowing (in tray or bed), from 0 = 1 January of the sowing year.
    pub day: usize,
    /// In the bed or in a tray.
    pub way: Way,
}

/// A picking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Harvest {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// Fresh mass, kg/m2 of bed.
    pub kg_m2: f64,
}

worded! {
    /// What happened to a planting, for the grower to check.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum EventKind {
        "sown" => Sown,
        "seedlings up" => Emerged,
        "set out in the bed" => SetOut,
        "bulbs begin to fill" => Bulbs,
        /// The biggest of the bulbs are called to seed.
        "cold on big plants: a part of them runs to seed" => SomeSeed,
        /// Of leaves, or of flower buds (curds).
        "heads begin" => HeadsBegin,
        /// The first that may set.
        "first flowers" => Flowers,
        "ready to pick" => Ready,
        "ready for the next cut" => CutAgain,
        "nothing ripens: picking stops" => Pause,
        "picking resumes" => Resumes,
        "frost takes a good part of the leaves" => FrostDamage,
        /// See [`Growth::loss`].
        "lost" => Lost,
        "bed cleared" => Cleared,
    }
}

/// A dated event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// Day, from 1 January of the sowing year.
    pub day: usize,
    /// What happened.
    pub kind: EventKind,
}

/// What became of one sowing. All days count from 1 January of the sowing year and may pass 365.
#[derive(Clone, Debug, PartialEq)]
pub struct Growth {
    /// First day the bed is taken: sowing day, or the day of setting out for a tray.
    pub bed_from_day: usize,
    /// Seedlings up.
    pub emergence_day: Option<usize>,
    /// Share of a full stand that came up, 0 to 1 (1 for trays, whose gaps are filled before setting out).
    pub stand_share: f64,
    /// Set out, if raised in a tray.
    pub transplant_day: Option<usize>,
    /// First day it could be picked.
    pub ready_day: Option<usize>,
    /// Pickings, in order.
    pub harvests: Vec<Harvest>,
    /// Day of the last picking.
    pub last_harvest_day: Option<usize>,
    /// First day the bed is free again.
    pub clear_day: usize,
    /// What killed, spoiled or delayed it for good; pickings made before it count.
    pub loss: Option<Loss>,
    /// Dated events, in order; none of the many sowings that nobody looks at one by one.
    pub events: Vec<Event>,
}

impl Growth {
    /// Nothing but a sowing, whose events nobody asks for.
    pub(super) fn sown(sowing: Sowing) -> Self {
        Self {
            bed_from_day: sowing.day,
            emergence_day: None,
            stand_share: 1.0,
            transplant_day: None,
            ready_day: None,
            harvests: Vec::new(),
            last_harvest_day: None,
            clear_day: sowing.day + 1,
            loss: None,
            events: Vec::new(),
        }
    }

    /// All pickings together, kg/m2.
    pub fn kg_m2(&self) -> f64 {
        self.harvests
            .iter()
            .fold(0.0, |sum, harvest| sum + harvest.kg_m2)
    }

    /// True if anything was picked.
    pub fn bears(&self) -> bool {
        !self.harvests.is_empty()
    }

    pub(super) fn note(&mut self, day: usize, kind: EventKind) {
        // Whose sowing is not told, of that nothing is.
        if !self.events.is_empty() {
            self.events.push(Event { day, kind });
        }
    }

    /// The first day on which it could be picked.
    pub(super) fn ready(&mut self, day: usize) {
        self.ready_day = Some(day);
        self.note(day, EventKind::Ready);
    }

    pub(super) fn pick(&mut self, day: usize, kg_m2: f64) {
        let kg_m2 = kg_m2 * self.stand_share;
        if kg_m2 > 0.0 {
            self.harvests.push(Harvest { day, kg_m2 });
            self.last_harvest_day = Some(day);
        }
    }
}
