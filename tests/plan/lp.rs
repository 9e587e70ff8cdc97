//! The same instance as a text that outside solvers read (LP format), for checking one solver by another.
//!
//! Each bed is a flow of one unit over (week, last family); in a settled year the flow goes round once. Beds that
//! nothing tells apart share a flow where the horizon is open. Eating is a flow of its own. All plans of the
//! instance are in it and no others, so the best values must agree.

use std::fmt::Write as _;

use bedyear::plan::Instance;
use bedyear::plan::model::{Model, RowKind};

/// Writes a valid instance as a mixed-integer program in LP format, to be maximised.
pub fn write_lp(instance: &Instance) -> String {
    let model = Model::new(instance);
    let mut program = Program::default();
    program.objective.push((model.nothing, "one".into()));
    program.bounds.push("one = 1".into());
    program.eating(&model);
    for (number, kind) in model.kinds.iter().enumerate() {
        if model.cyclic {
            for bed in 0..kind.beds.len() {
                program.bed(&model, number, &format!("{number}_{bed}"), 1);
            }
        } else {
            program.bed(&model, number, &number.to_string(), kind.beds.len());
        }
    }
    program.supply(&model);
    program.shared(&model);
    program.text()
}

type Terms = Vec<(f64, String)>;

#[derive(Default)]
struct Program {
    objective: Terms,
    rows: Vec<(Terms, &'static str, f64)>,
    bounds: Vec<String>,
    integers: Vec<String>,
    /// Per planting: the variables that count it.
    counts: std::collections::BTreeMap<usize, Vec<String>>,
    /// Per source: the variables that eat of it.
    from: std::collections::BTreeMap<usize, Vec<String>>,
}

impl Program {
    fn eating(&mut self, model: &Model) {
        let weeks = model.weeks;
        let mut into = std::collections::BTreeMap::<usize, Terms>::new();
        for source in 0..model.steps.len() {
            let food = source / weeks;
            for week in model.window(food, source % weeks) {
                let name = format!("eat_{source}_{week}");
                into.entry(food * weeks + week)
                    .or_default()
                    .push((1.0, name.clone()));
                self.from.entry(source).or_default().push(name);
            }
        }
        for (number, table) in model.tables.iter().enumerate() {
            for week in 0..weeks {
                let mut total: Terms = Vec::new();
                for &food in &table.foods {
                    let cell = food * weeks + week;
                    let mut balance = into.remove(&cell).unwrap_or_default();
                    for (at, step) in model.steps[cell].iter().enumerate() {
                        let name = format!("step_{cell}_{at}");
                        self.bounds.push(format!("0 <= {name} <= {}", step.kg));
                        self.objective.push((step.worth, name.clone()));
                        balance.push((-1.0, name.clone()));
                        total.push((1.0, name));
                    }
                    self.rows.push((balance, "=", 0.0));
                }
                for (at, segment) in table.total[week].iter().enumerate() {
                    let name = format!("total_{number}_{week}_{at}");
                    if segment.kg.is_finite() {
                        self.bounds.push(format!("0 <= {name} <= {}", segment.kg));
                    }
                    self.objective.push((segment.worth, name.clone()));
                    total.push((-1.0, name));
                }
                self.rows.push((total, "=", 0.0));
            }
        }
    }

    /// One flow of `units` beds of a kind.
    fn bed(&mut self, model: &Model, kind: usize, tag: &str, units: usize) {
        let kind = &model.kinds[kind];
        let (weeks, families) = (model.weeks, model.may_repeat.len());
        let end = |week: usize| {
            if model.cyclic {
                week % weeks
            } else {
                week.min(weeks)
            }
        };
        let nodes = if model.cyclic { weeks } else { weeks + 1 };
        // The last layer is a bed that has carried nothing yet.
        let layers = families + 1;
        let mut balance: Vec<Terms> = vec![Vec::new(); nodes * layers];
        let mut ready: std::collections::BTreeMap<(usize, usize), Terms> =
            std::collections::BTreeMap::new();
        let mut cut: Terms = Vec::new();
        for week in 0..weeks {
            for layer in 0..layers {
                let name = format!("idle_{tag}_{week}_{layer}");
                balance[week * layers + layer].push((-1.0, name.clone()));
                balance[end(week + 1) * layers + layer].push((1.0, name.clone()));
                if week + 1 == weeks {
                    cut.push((1.0, name.clone()));
                }
                self.integers.push(name);
            }
        }
        for &number in &kind.plantings {
            let planting = &model.plantings[number];
            let name = format!("plant_{tag}_{number}");
            self.counts.entry(number).or_default().push(name.clone());
            self.integers.push(name.clone());
            let stop = planting.start + planting.weeks;
            balance[end(stop) * layers + planting.family].push((1.0, name.clone()));
            if stop >= weeks {
                cut.push((1.0, name.clone()));
            }
            ready
                .entry((planting.start, planting.family))
                .or_default()
                .push((-1.0, name));
        }
        for ((week, family), mut terms) in ready {
            for layer in (0..layers).filter(|&layer| layer != family || model.may_repeat[family]) {
                let name = format!("next_{tag}_{week}_{family}_{layer}");
                balance[week * layers + layer].push((-1.0, name.clone()));
                self.integers.push(name.clone());
                terms.push((1.0, name));
            }
            self.rows.push((terms, "=", 0.0));
        }
        let units = units as f64;
        if model.cyclic {
            self.rows.push((cut, "=", units));
        }
        let first = kind.free_week.min(weeks) * layers + kind.family.unwrap_or(families);
        for (node, terms) in balance.into_iter().enumerate() {
            let given = if !model.cyclic && node == first {
                units
            } else {
                0.0
            };
            if model.cyclic || node < weeks * layers {
                self.rows.push((terms, "=", -given));
            }
        }
    }

    /// What is eaten of a week's picking is at most what the plantings give.
    fn supply(&mut self, model: &Model) {
        let mut given: std::collections::BTreeMap<usize, (Terms, f64)> =
            std::collections::BTreeMap::new();
        for (&number, names) in &self.counts {
            for item in &model.plantings[number].items {
                let terms = &mut given.entry(item.source).or_default().0;
                terms.extend(names.iter().map(|name| (-item.kg, name.clone())));
            }
            let cost = model.plantings[number].cost;
            self.objective
                .extend(names.iter().map(|name| (-cost, name.clone())));
        }
        for item in &model.given {
            given.entry(item.source).or_default().1 += item.kg;
        }
        for (source, names) in std::mem::take(&mut self.from) {
            let (mut terms, there) = given.remove(&source).unwrap_or_default();
            terms.extend(names.into_iter().map(|name| (1.0, name)));
            self.rows.push((terms, "<=", there));
        }
    }

    /// Work, shelf, sowings, wanted crops.
    fn shared(&mut self, model: &Model) {
        let mut rows: Vec<Terms> = vec![Vec::new(); model.rows.len()];
        let mut jobs = std::collections::BTreeMap::<(usize, usize), Vec<String>>::new();
        for (&number, names) in &self.counts {
            let planting = &model.plantings[number];
            for &(row, weight) in &planting.rows {
                if matches!(model.rows[row].kind, RowKind::Sowings(_)) {
                    jobs.entry((row, planting.sowing))
                        .or_default()
                        .extend(names.iter().cloned());
                } else {
                    rows[row].extend(names.iter().map(|name| (weight, name.clone())));
                }
            }
        }
        let beds = model.instance.bed_count() as f64;
        for ((row, job), names) in jobs {
            let name = format!("job_{job}");
            self.bounds.push(format!("0 <= {name} <= 1"));
            self.integers.push(name.clone());
            let mut terms: Terms = names.into_iter().map(|name| (1.0, name)).collect();
            terms.push((-beds, name.clone()));
            self.rows.push((terms, "<=", 0.0));
            rows[row].push((1.0, name));
        }
        for (row, mut terms) in model.rows.iter().zip(rows) {
            if let RowKind::Wanted(number) = row.kind {
                let wanted = &model.instance.wanted[number];
                let name = format!("granted_{number}");
                self.bounds
                    .push(format!("0 <= {name} <= {}", wanted.plantings));
                self.objective.push((row.price_max, name.clone()));
                terms.push((1.0, name));
                self.rows.push((terms, "<=", 0.0));
            } else {
                self.rows.push((terms, "<=", row.limit));
            }
        }
    }

    fn text(&self) -> String {
        let mut text = String::from("Maximize\n obj:");
        write_terms(&mut text, &self.objective);
        text.push_str("\nSubject To\n");
        for (number, (terms, sense, right)) in self
            .rows
            .iter()
            .enumerate()
            .filter(|(_, row)| !row.0.is_empty())
        {
            let _ = write!(text, " r{number}:");
            write_terms(&mut text, terms);
            let _ = writeln!(text, " {sense} {right}");
        }
        text.push_str("Bounds\n");
        for bound in &self.bounds {
            let _ = writeln!(text, " {bound}");
        }
        text.push_str("General\n");
        for name in &self.integers {
            let _ = writeln!(text, " {name}");
        }
        text.push_str("End\n");
        text
    }
}

/// Terms with their signs, a few to a line: readers of the format limit its length.
fn write_terms(text: &mut String, terms: &[(f64, String)]) {
    const PER_LINE: usize = 8;
    for (at, (factor, name)) in terms.iter().enumerate() {
        let sign = if *factor < 0.0 { '-' } else { '+' };
        let _ = write!(text, " {sign} {} {name}", factor.abs());
        if at % PER_LINE == PER_LINE - 1 && at + 1 < terms.len() {
            text.push('\n');
        }
    }
}
