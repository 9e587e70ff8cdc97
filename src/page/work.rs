//! The work behind the page: one thread that takes up what is asked for, gives up what no longer is, and tells how far
//! it is. The stages run on all cores by themselves.

use std::sync::Arc;
use std::sync::PoisonError;
use std::sync::atomic::Ordering;

use chrono::NaiveDate;

use super::answers::{Message, Need, Offer};
use super::ask::{Ask, Climate, Planned, ROUGH_YEARS, Ready, Search, journal};
use super::desk::{Desk, Inner};
use super::draft::State;
use crate::plan::{PlanFile, Progress};

/// One thing to do.
struct Order {
    need: Need,
    revision: u64,
    ready: Ready,
    plan: Option<PlanFile>,
    /// Locked sowings.
    held: Option<PlanFile>,
    day: NaiveDate,
}

/// Works until the desk ends.
pub fn run(desk: &Desk) {
    let mut ask = Ask::default();
    while let Some(order) = next(desk) {
        let doing = words(order.need);
        desk.tick.send_modify(|tick| {
            tick.doing = doing.to_owned();
            tick.work = None;
        });
        carry_out(desk, &mut ask, &order);
        let mut inner = desk.lock();
        let counts = order.counts(desk, &inner);
        if counts {
            inner.answers.give_up(order.need, order.revision);
        }
        // What was asked for anew, or given up, while it was worked out stays asked for.
        if counts || matches!(order.need, Need::Search | Need::Mend | Need::Replan) {
            inner.needs.remove(&order.need);
        }
        let idle = inner.needs.is_empty();
        drop(inner);
        desk.tick.send_modify(|tick| {
            tick.version += 1;
            tick.work = None;
            if idle {
                tick.doing.clear();
            }
        });
    }
}

fn words(need: Need) -> &'static str {
    match need {
        Need::Climate => "simulating the year inside",
        Need::Season => "growing every crop in every month",
        Need::Plan | Need::Search | Need::Mend | Need::Replan => "planning",
        Need::Value => "counting the money",
        Need::Review => "setting the plan against the journal",
        Need::Outage => "trying a failure of power",
        Need::Why => "trying each measure against the cold",
    }
}

/// Waits for something to do; none when the desk ends.
fn next(desk: &Desk) -> Option<Order> {
    let mut inner = desk.lock();
    loop {
        if desk.ended.load(Ordering::Relaxed) {
            return None;
        }
        if let Some(need) = inner.needs.first().copied() {
            desk.stop.store(false, Ordering::Relaxed);
            desk.given_up.store(false, Ordering::Relaxed);
            let mut job = (*inner.ready.job).clone();
            job.given_up = Some(desk.given_up.clone());
            return Some(Order {
                need,
                revision: inner.draft.revision,
                ready: Ready {
                    job: Arc::new(job),
                    side: inner.ready.side.clone(),
                },
                plan: inner.draft.now.plan.clone(),
                held: inner.draft.now.held(),
                day: inner.day,
            });
        }
        inner = desk
            .wake
            .wait(inner)
            .unwrap_or_else(PoisonError::into_inner);
    }
}

impl Order {
    /// Does what was worked out still answer what is asked? Not where the draft has moved on, nor where the work was told to
    /// give up on its way.
    fn counts(&self, desk: &Desk, inner: &Inner) -> bool {
        inner.draft.revision == self.revision && !desk.given_up.load(Ordering::Relaxed)
    }

    /// Puts an answer down where it counts; false where it does not.
    fn publish(&self, desk: &Desk, put: impl FnOnce(&mut Inner, u64)) -> bool {
        let mut inner = desk.lock();
        if !self.counts(desk, &inner) {
            return false;
        }
        put(&mut inner, self.revision);
        drop(inner);
        desk.told();
        true
    }

    fn years(&self) -> usize {
        self.ready.job.project.planning.weather_years
    }
}

fn carry_out(desk: &Desk, ask: &mut Ask, order: &Order) {
    match order.need {
        Need::Climate => {
            climate(desk, ask, order);
        }
        Need::Season => season(desk, ask, order),
        Need::Plan => {
            plan(desk, ask, order);
        }
        Need::Value => {
            let Some((climate, planned)) = plan(desk, ask, order) else {
                return;
            };
            let value = ask.value(&order.ready, &climate, &planned);
            order.publish(desk, |inner, revision| {
                inner.answers.value.put(value, revision, false)
            });
        }
        Need::Review => {
            let Some((climate, planned)) = plan(desk, ask, order) else {
                return;
            };
            let review = desk.disk.journal().and_then(|text| {
                let journal = journal(&order.ready, &text);
                Ask::review(&order.ready, &climate, &planned, &journal, order.day)
            });
            order.publish(desk, |inner, revision| {
                inner.answers.review.put(review, revision, false)
            });
        }
        Need::Outage => {
            if let Some(climate) = climate(desk, ask, order) {
                let outage = Ask::outage(&order.ready, &climate);
                order.publish(desk, |inner, revision| {
                    inner.answers.outage.put(outage, revision, false);
                });
            }
        }
        Need::Why => {
            if let Some(climate) = climate(desk, ask, order) {
                let why = ask.why(&order.ready, &climate);
                order.publish(desk, |inner, revision| {
                    inner.answers.why.put(why, revision, false)
                });
            }
        }
        Need::Search | Need::Mend => search(desk, ask, order),
        Need::Replan => replan(desk, ask, order),
    }
}

/// The year inside: first from few weather years, then from all.
fn climate(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<Arc<Climate>> {
    let known = ask.known_climate(&order.ready);
    if known.is_none() && order.years() > ROUGH_YEARS {
        let rough = ask.climate(&order.ready, ROUGH_YEARS);
        let goes_on = order.publish(desk, |inner, revision| {
            inner.answers.climate.put(rough, revision, true);
        });
        if !goes_on {
            return None;
        }
    }
    let full = match known {
        Some(known) => Ok(known),
        None => ask.climate(&order.ready, order.years()),
    };
    let climate = full.clone().ok();
    let goes_on = order.publish(desk, |inner, revision| {
        inner.answers.climate.put(full, revision, false)
    });
    climate.filter(|_| goes_on && !desk.ended.load(Ordering::Relaxed))
}

fn season(desk: &Desk, ask: &mut Ask, order: &Order) {
    if !ask.knows_season(&order.ready) && order.years() > ROUGH_YEARS {
        let rough = ask
            .climate(&order.ready, ROUGH_YEARS)
            .and_then(|climate| ask.season(&order.ready, &climate));
        let goes_on = order.publish(desk, |inner, revision| {
            inner.answers.season.put(rough, revision, true);
        });
        if !goes_on {
            return;
        }
    }
    let Some(climate) = climate(desk, ask, order) else {
        return;
    };
    let season = ask.season(&order.ready, &climate);
    order.publish(desk, |inner, revision| {
        inner.answers.season.put(season, revision, false)
    });
}

/// The agreed plan as it does now; where none is agreed to, a first one, rough and then in full.
fn plan(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<(Arc<Climate>, Arc<Planned>)> {
    if order.plan.is_none() {
        let tell = |rough| {
            order.publish(desk, |inner, revision| {
                inner.answers.plan.put(rough, revision, true);
            })
        };
        if !ask.rough_plan(&order.ready, &desk.stop, tell) {
            return None;
        }
    }
    let climate = climate(desk, ask, order)?;
    let found = match &order.plan {
        Some(file) => ask.plan(&order.ready, &climate, file),
        None => {
            let progress = |progress: Progress| tell(desk, progress);
            let search = Search {
                stop: &desk.stop,
                progress: &progress,
            };
            ask.search(&order.ready, &climate, (&search, None, None))
        }
    };
    let planned = found.clone().ok();
    let first = order.plan.is_none();
    let there = order.publish(desk, |inner, revision| {
        if let (true, Some(planned)) = (first, &planned) {
            // The first plan is no change of the person's: it goes down without a step of its own.
            inner.draft.now.plan = Some(planned.file.clone());
        }
        inner.answers.plan.put(found, revision, false);
    });
    there.then_some(())?;
    Some((climate, planned?))
}

fn tell(desk: &Desk, progress: Progress) {
    desk.tick.send_modify(|tick| {
        tick.work = Some((progress.work.min(progress.work_limit), progress.work_limit));
    });
}

/// A new plan, offered beside the agreed one.
fn search(desk: &Desk, ask: &mut Ask, order: &Order) {
    let Some(climate) = climate(desk, ask, order) else {
        return;
    };
    let progress = |progress: Progress| tell(desk, progress);
    let search = Search {
        stop: &desk.stop,
        progress: &progress,
    };
    let former = order.plan.as_ref().filter(|_| order.need == Need::Mend);
    let found = ask.search(
        &order.ready,
        &climate,
        (&search, former, order.held.clone()),
    );
    let effect = match (&found, &order.plan) {
        (Ok(new), Some(old)) => Ask::hold_against(&order.ready, new, old).ok(),
        _ => None,
    };
    order.publish(desk, |inner, revision| match found {
        Ok(planned) if inner.draft.now.plan.is_none() => {
            let next = State {
                plan: Some(planned.file.clone()),
                ..inner.draft.now.clone()
            };
            inner.draft.now = next;
            inner.answers.plan.put(Ok(planned), revision, false);
        }
        Ok(planned) => {
            inner.offer = Some(Offer {
                what: match order.need {
                    Need::Mend => "The plan mended: changed only where it no longer works or another is clearly better.",
                    _ => "A new plan, made from the beginning.",
                }
                .to_owned(),
                file: planned.file.clone(),
                effect: effect.map(Arc::new),
                planned: Some(planned),
                replan: None,
                revision,
            });
        }
        Err(error) => inner.message = Some(Message::bad(error)),
    });
}

/// The rest of the year anew from the journal, offered beside the agreed plan.
fn replan(desk: &Desk, ask: &mut Ask, order: &Order) {
    let (Some(climate), Some(agreed)) = (climate(desk, ask, order), &order.plan) else {
        return;
    };
    let progress = |progress: Progress| tell(desk, progress);
    let search = Search {
        stop: &desk.stop,
        progress: &progress,
    };
    let found = desk.disk.journal().and_then(|text| {
        let journal = journal(&order.ready, &text);
        let asked = (&journal, agreed, order.day);
        Ask::replan(&order.ready, &climate, asked, &search)
    });
    order.publish(desk, |inner, revision| match found {
        Ok((file, replanned)) => {
            inner.offer = Some(Offer {
                what: format!("The rest of the year, from {} on.", order.day),
                file,
                effect: None,
                planned: None,
                replan: Some(Arc::new(replanned)),
                revision,
            });
        }
        Err(error) => inner.message = Some(Message::bad(error)),
    });
}
