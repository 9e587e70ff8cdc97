//! Tables of a glazing over the angle of incidence, so that an hour costs no trigonometry.

use std::sync::Arc;

use super::Glazing;
use super::stack::SheetStack;

/// Steps of the table over the cosine of incidence.
const STEPS: usize = 128;
/// Resistance of the outer film, m2K/W (ISO 6946, horizontal heat flow).
const OUTER_FILM_M2K_W: f64 = 0.04;
/// Resistance of the inner film, m2K/W (ISO 6946, horizontal heat flow).
const INNER_FILM_M2K_W: f64 = 0.13;

/// What becomes of light on the gross area of a glazing, as shares of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pane {
    /// Comes in as light, 0 to 1.
    pub transmitted: f64,
    /// Heats the sheets, 0 to 1.
    pub absorbed: f64,
    /// The part of `absorbed` that flows in as heat, 0 to 1.
    pub inward: f64,
    /// Photosynthetic light that comes in, as a share of that on the glazing, 0 to 1.
    pub transmitted_par: f64,
}

/// A glazing's shares by angle of incidence and for even light from a whole hemisphere.
#[derive(Clone, Debug, PartialEq)]
pub struct Optics {
    beam: Vec<Pane>,
    /// For light that comes evenly from the hemisphere before the glazing.
    pub diffuse: Pane,
    /// Share of the transmitted beam that is scattered, 0 to 1.
    pub haze: f64,
}

impl Glazing {
    /// Tables for hourly use, frame and dirt taken off.
    pub fn optics(&self) -> Optics {
        let beam: Vec<Pane> = (0..=STEPS)
            .map(|step| pane(self, step as f64 / STEPS as f64))
            .collect();
        Optics {
            diffuse: hemisphere(&beam),
            beam,
            haze: self.haze.clamp(0.0, 1.0),
        }
    }
}

impl Optics {
    /// Shares for a beam at `cos_incidence` (0 to 1; clamped), linear between 129 table rows.
    pub fn beam(&self, cos_incidence: f64) -> Pane {
        let place = cos_incidence.clamp(0.0, 1.0) * STEPS as f64;
        let row = (place as usize).min(STEPS - 1);
        let share = place - row as f64;
        match (self.beam.get(row), self.beam.get(row + 1)) {
            (Some(a), Some(b)) => Pane {
                transmitted: a.transmitted + share * (b.transmitted - a.transmitted),
                absorbed: a.absorbed + share * (b.absorbed - a.absorbed),
                inward: a.inward + share * (b.inward - a.inward),
                transmitted_par: a.transmitted_par
                    + share * (b.transmitted_par - a.transmitted_par),
            },
            _ => Pane::default(),
        }
    }
}

/// Tables of glazings, each kind worked out once however many faces have it.
#[derive(Clone, Debug, Default)]
pub struct OpticsShelf {
    known: Vec<(Glazing, Arc<Optics>)>,
}

impl OpticsShelf {
    /// Tables of a glazing.
    pub fn of(&mut self, glazing: &Glazing) -> Arc<Optics> {
        if let Some((_, optics)) = self.known.iter().find(|(known, _)| known == glazing) {
            return Arc::clone(optics);
        }
        let optics = Arc::new(glazing.optics());
        self.known.push((glazing.clone(), Arc::clone(&optics)));
        optics
    }
}

/// Mean over the hemisphere, 2 x the integral of f(cos) cos d(cos), exact for a table read with straight lines.
fn hemisphere(beam: &[Pane]) -> Pane {
    let step = 1.0 / STEPS as f64;
    let mut mean = Pane::default();
    for (row, pair) in beam.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let cos = row as f64 * step;
        let (at_a, at_b) = (step * (cos + step / 3.0), step * (cos + 2.0 * step / 3.0));
        mean.transmitted += at_a * a.transmitted + at_b * b.transmitted;
        mean.absorbed += at_a * a.absorbed + at_b * b.absorbed;
        mean.inward += at_a * a.inward + at_b * b.inward;
        mean.transmitted_par += at_a * a.transmitted_par + at_b * b.transmitted_par;
    }
    mean
}

fn pane(glazing: &Glazing, cos_incidence: f64) -> Pane {
    let clear = glazing.clear_share();
    let (sheets, index) = (glazing.sheets, glazing.refractive_index);
    let stack = |extinction| SheetStack::mixed(sheets, index, extinction, cos_incidence);
    let solar = stack(glazing.extinction_solar);
    Pane {
        transmitted: clear * solar.transmitted,
        absorbed: clear * solar.absorbed_total(),
        inward: clear * inward(glazing, &solar),
        transmitted_par: clear * stack(glazing.extinction_par).transmitted,
    }
}

/// Share of the light that flows in as heat from the sheets: a sheet's heat parts in the inverse of the resistances
/// on its two sides, the sheets' own gaps sharing what the U value leaves beyond the films.
fn inward(glazing: &Glazing, stack: &SheetStack) -> f64 {
    let whole = 1.0 / glazing.u_w_m2k.max(1e-3);
    let films = OUTER_FILM_M2K_W + INNER_FILM_M2K_W;
    let (outer, gaps) = if glazing.sheets > 1 && whole > films {
        (OUTER_FILM_M2K_W, whole - films)
    } else {
        (whole * OUTER_FILM_M2K_W / films, 0.0)
    };
    let last = glazing.sheets.saturating_sub(1).max(1) as f64;
    stack
        .absorbed
        .iter()
        .take(glazing.sheets)
        .enumerate()
        .map(|(sheet, absorbed)| absorbed * (outer + gaps * sheet as f64 / last) / whole)
        .sum()
}
