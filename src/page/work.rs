//! The work behind the page: one thread that takes up what is asked for, gives up what no longer is, and tells how far
//! it is. The stages run on all cores by themselves.

use std::sync::atomic::Ordering;
use std::sync::{Arc, PoisonError};

use super::answers::{Answers, Message, Need, Offer, Slot};
use super::ask::{Ask, Climate, Found, Planned, ROUGH_YEARS, journal};
use super::desk::{Desk, Inner};
use crate::plan::{PlanFile, Progress, SolveOptions};

/// One thing to do, with the desk as it was when it was taken up.
struct Order {
    need: Need,
    at: Inner,
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
            inner.answers.give_up(order.need, order.at.draft.revision);
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
            let mut at = inner.clone();
            Arc::make_mut(&mut at.ready.job).given_up = Some(desk.given_up.clone());
            return Some(Order { need, at });
        }
        let woken = desk.wake.wait(inner);
        inner = woken.unwrap_or_else(PoisonError::into_inner);
    }
}

impl Order {
    /// Does what was worked out still answer what is asked? Not where the draft has moved on, nor where the work was told to
    /// give up on its way.
    fn counts(&self, desk: &Desk, inner: &Inner) -> bool {
        inner.draft.revision == self.at.draft.revision && !desk.given_up.load(Ordering::Relaxed)
    }

    /// Puts an answer down where it counts; false where it does not.
    fn publish(&self, desk: &Desk, put: impl FnOnce(&mut Inner, u64)) -> bool {
        let mut inner = desk.lock();
        if !self.counts(desk, &inner) {
            return false;
        }
        put(&mut inner, self.at.draft.revision);
        drop(inner);
        desk.told();
        true
    }

    /// Puts down what was found of one question.
    fn answer<T>(
        &self,
        desk: &Desk,
        slot: impl FnOnce(&mut Answers) -> &mut Slot<Arc<T>>,
        (found, rough): (Found<T>, bool),
    ) -> bool {
        self.publish(desk, |inner, revision| {
            slot(&mut inner.answers).put(found, revision, rough);
        })
    }

    fn agreed(&self) -> Option<&PlanFile> {
        self.at.draft.now.plan.as_ref()
    }

    fn years(&self) -> usize {
        self.at.ready.job.project.planning.weather_years
    }
}

/// Does what an order asks for; none where it was given up, or what it rests on cannot be had.
fn carry_out(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<()> {
    let ready = &order.at.ready;
    match order.need {
        Need::Climate => {
            climate(desk, ask, order)?;
        }
        Need::Season => season(desk, ask, order)?,
        Need::Plan => {
            plan(desk, ask, order)?;
        }
        Need::Value => {
            let (climate, planned) = plan(desk, ask, order)?;
            let value = ask.value(ready, &climate, &planned);
            order.answer(desk, |all| &mut all.value, (value, false));
        }
        Need::Review => {
            let (climate, planned) = plan(desk, ask, order)?;
            let review = desk.disk.journal().and_then(|text| {
                let journal = journal(ready, &text);
                Ask::review(ready, &climate, &planned, &journal, order.at.day)
            });
            order.answer(desk, |all| &mut all.review, (review, false));
        }
        Need::Outage => {
            let outage = Ask::outage(ready, &*climate(desk, ask, order)?);
            order.answer(desk, |all| &mut all.outage, (outage, false));
        }
        Need::Why => {
            let climate = climate(desk, ask, order)?;
            let why = ask.why(ready, &climate);
            order.answer(desk, |all| &mut all.why, (why, false));
        }
        Need::Search | Need::Mend => search(desk, ask, order)?,
        Need::Replan => replan(desk, ask, order)?,
    }
    Some(())
}

/// The year inside: first from few weather years, then from all.
fn climate(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<Arc<Climate>> {
    let known = ask.known_climate(&order.at.ready);
    if known.is_none() && order.years() > ROUGH_YEARS {
        let rough = ask.climate(&order.at.ready, ROUGH_YEARS);
        if !order.answer(desk, |all| &mut all.climate, (rough, true)) {
            return None;
        }
    }
    let full = match known {
        Some(known) => Ok(known),
        None => ask.climate(&order.at.ready, order.years()),
    };
    let climate = full.clone().ok();
    let goes_on = order.answer(desk, |all| &mut all.climate, (full, false));
    climate.filter(|_| goes_on && !desk.ended.load(Ordering::Relaxed))
}

fn season(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<()> {
    if !ask.knows_season(&order.at.ready) && order.years() > ROUGH_YEARS {
        let rough = ask
            .climate(&order.at.ready, ROUGH_YEARS)
            .and_then(|climate| ask.season(&order.at.ready, &climate));
        if !order.answer(desk, |all| &mut all.season, (rough, true)) {
            return None;
        }
    }
    let climate = climate(desk, ask, order)?;
    let season = ask.season(&order.at.ready, &climate);
    order.answer(desk, |all| &mut all.season, (season, false));
    Some(())
}

/// The agreed plan as it does now; where none is agreed to, a first one, rough and then in full.
fn plan(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<(Arc<Climate>, Arc<Planned>)> {
    if order.agreed().is_none() {
        let tell = |rough| order.answer(desk, |all| &mut all.plan, (rough, true));
        if !ask.rough_plan(&order.at.ready, &desk.stop, tell) {
            return None;
        }
    }
    let climate = climate(desk, ask, order)?;
    let found = match order.agreed() {
        Some(file) => ask.plan(&order.at.ready, &climate, file),
        None => searching(desk, |search| {
            ask.search(&order.at.ready, &climate, (search, None, None))
        }),
    };
    let planned = found.clone().ok();
    let first = order.agreed().is_none();
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

/// Gives `then` a search that may be stopped, and tells how far it is.
fn searching<T>(desk: &Desk, then: impl FnOnce(SolveOptions<'_>) -> T) -> T {
    let progress = |progress: Progress| {
        desk.tick.send_modify(|tick| {
            tick.work = Some((progress.work.min(progress.work_limit), progress.work_limit));
        });
    };
    then(SolveOptions {
        stop: Some(&desk.stop),
        progress: Some(&progress),
        ..SolveOptions::default()
    })
}

/// A new plan, offered beside the agreed one.
fn search(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<()> {
    let climate = climate(desk, ask, order)?;
    let former = order.agreed().filter(|_| order.need == Need::Mend);
    let found = searching(desk, |search| {
        ask.search(
            &order.at.ready,
            &climate,
            (search, former, order.at.draft.now.held()),
        )
    });
    let effect = match (&found, order.agreed()) {
        (Ok(new), Some(old)) => Some(Ask::hold_against(&order.at.ready, new, old)),
        _ => None,
    };
    order.publish(desk, |inner, revision| match found {
        Ok(planned) if inner.draft.now.plan.is_none() => {
            inner.draft.now.plan = Some(planned.file.clone());
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
    Some(())
}

/// The rest of the year anew from the journal, offered beside the agreed plan.
fn replan(desk: &Desk, ask: &mut Ask, order: &Order) -> Option<()> {
    let (climate, agreed) = (climate(desk, ask, order)?, order.agreed()?);
    let found = desk.disk.journal().and_then(|text| {
        let journal = journal(&order.at.ready, &text);
        let asked = (&journal, agreed, order.at.day);
        searching(desk, |search| {
            Ask::replan(&order.at.ready, &climate, asked, search)
        })
    });
    order.publish(desk, |inner, revision| match found {
        Ok((file, replanned)) => {
            inner.offer = Some(Offer {
                what: format!("The rest of the year, from {} on.", order.at.day),
                file,
                effect: None,
                planned: None,
                replan: Some(Arc::new(replanned)),
                revision,
            });
        }
        Err(error) => inner.message = Some(Message::bad(error)),
    });
    Some(())
}
