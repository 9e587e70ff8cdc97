//! Sheets one behind the other: Fresnel reflection, extinction, and every reflection between them.

use crate::numbers::halved;

/// Halvings of the range in which a figure of a sheet is looked for.
const STEPS: usize = 60;
/// Largest number of sheets worked out.
pub(super) const MOST_SHEETS: usize = 10;

/// Transmittance and reflectance of a stack, and what each sheet absorbs, for light of one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetStack {
    /// Share that comes out behind, 0 to 1.
    pub transmitted: f64,
    /// Share thrown back, 0 to 1.
    pub reflected: f64,
    /// Share absorbed in each sheet, outermost first; zeros beyond the last sheet.
    pub absorbed: [f64; MOST_SHEETS],
}

impl SheetStack {
    /// A stack of `sheets` equal sheets (1 to 10) at `cos_incidence` (0 to 1), the light unpolarized again before each
    /// sheet, as plastics leave it and as published window tables are computed, which is what panes are checked against.
    ///
    /// Flat panes of glass keep the polarization and pass more. Two of 0.06 extinction: 0.000 at the normal, 0.005 at 40
    /// degrees, 0.013 at 50, 0.027 at 60, 0.033 at 70, 0.014 at 80, 0.012 in even light; three: 0.011, 0.028, 0.053, 0.055,
    /// 0.017 and 0.022. It is left out: the figures of panes come from those tables, and frames and dirt are known less well.
    ///
    /// `extinction` is extinction coefficient times thickness of one sheet.
    ///
    /// # Source
    /// Fresnel and Bouguer as in Duffie & Beckman, *Solar Engineering of Thermal Processes*, chapter 5; the
    /// reflections between the sheets are summed in full (Finlayson et al. 1993, WINDOW 4.0, Lawrence Berkeley Laboratory).
    pub fn mixed(
        sheets: usize,
        refractive_index: f64,
        extinction: f64,
        cos_incidence: f64,
    ) -> Self {
        let [a, b] = both_polarizations(refractive_index, extinction, cos_incidence);
        let sheet = Sheet {
            transmitted: 0.5 * (a.transmitted + b.transmitted),
            reflected: 0.5 * (a.reflected + b.reflected),
        };
        stack_of(sheets, sheet)
    }

    /// Share absorbed in all sheets, 0 to 1.
    pub fn absorbed_total(&self) -> f64 {
        self.absorbed.iter().sum()
    }
}

/// Reflectance of one face between air and a sheet, for light polarized across and along the plane of incidence.
///
/// # Source
/// Fresnel's equations.
pub fn surface_reflectance(refractive_index: f64, cos_incidence: f64) -> (f64, f64) {
    let cos = cos_incidence.clamp(0.0, 1.0);
    let inside = cos_refracted(refractive_index, cos);
    let n = refractive_index.max(1.0);
    let across = (cos - n * inside) / (cos + n * inside);
    let along = (n * cos - inside) / (n * cos + inside);
    (across * across, along * along)
}

/// Cosine of the angle inside the sheet (Snell).
fn cos_refracted(refractive_index: f64, cos_incidence: f64) -> f64 {
    let cos = cos_incidence.clamp(0.0, 1.0);
    let n = refractive_index.max(1.0);
    (1.0 - (1.0 - cos * cos) / (n * n)).max(1e-12).sqrt()
}

/// One sheet for one polarization.
#[derive(Clone, Copy)]
struct Sheet {
    transmitted: f64,
    reflected: f64,
}

impl Sheet {
    /// From the reflectance of a face and the share that one passage leaves.
    fn new(face: f64, passing: f64) -> Self {
        let loop_share = 1.0 - (face * passing).powi(2);
        if loop_share <= 0.0 {
            return Self {
                transmitted: 0.0,
                reflected: 1.0,
            };
        }
        let transmitted = passing * (1.0 - face).powi(2) / loop_share;
        Self {
            transmitted,
            reflected: face * (1.0 + passing * transmitted),
        }
    }
}

/// One sheet for light polarized across and along the plane of incidence.
fn both_polarizations(refractive_index: f64, extinction: f64, cos_incidence: f64) -> [Sheet; 2] {
    let (across, along) = surface_reflectance(refractive_index, cos_incidence);
    let passing = (-extinction.max(0.0) / cos_refracted(refractive_index, cos_incidence)).exp();
    [Sheet::new(across, passing), Sheet::new(along, passing)]
}

/// Equal sheets: light going in and coming back between each pair of sheets.
fn stack_of(sheets: usize, sheet: Sheet) -> SheetStack {
    let sheets = sheets.clamp(1, MOST_SHEETS);
    // behind[k]: transmittance and reflectance of the last k sheets.
    let mut behind = [(1.0, 0.0); MOST_SHEETS + 1];
    for k in 1..=sheets {
        let (t, r) = behind[k - 1];
        let between = 1.0 - sheet.reflected * r;
        behind[k] = if between > 0.0 {
            (
                sheet.transmitted * t / between,
                sheet.reflected + sheet.transmitted * sheet.transmitted * r / between,
            )
        } else {
            (0.0, 1.0)
        };
    }
    let mut absorbed = [0.0; MOST_SHEETS];
    let mut inward = 1.0;
    for (k, share) in absorbed.iter_mut().enumerate().take(sheets) {
        // Light on this sheet from outside, and what the sheets behind it throw back.
        let rest = behind[sheets - k - 1].1;
        let between = 1.0 - sheet.reflected * rest;
        let onward = if between > 0.0 {
            inward * sheet.transmitted / between
        } else {
            0.0
        };
        let own = (1.0 - sheet.transmitted - sheet.reflected).max(0.0);
        *share = own * (inward + onward * rest);
        inward = onward;
    }
    let (transmitted, reflected) = behind[sheets];
    SheetStack {
        transmitted,
        reflected,
        absorbed,
    }
}

/// Extinction of one sheet, so that `sheets` of them pass `transmittance` at normal incidence; 0 where even clear
/// sheets pass less.
pub fn extinction_for(sheets: usize, refractive_index: f64, transmittance: f64) -> f64 {
    /// Largest extinction looked at.
    const LARGEST: f64 = 10.0;
    let passes =
        |extinction| SheetStack::mixed(sheets, refractive_index, extinction, 1.0).transmitted;
    if passes(0.0) <= transmittance {
        return 0.0;
    }
    let (low, high) = halved((0.0, LARGEST), STEPS, |middle| {
        passes(middle) > transmittance
    });
    0.5 * (low + high)
}

/// The refractive index, at most `refractive_index`, whose clear sheets pass at least `transmittance`.
pub(super) fn index_that_allows(sheets: usize, refractive_index: f64, transmittance: f64) -> f64 {
    let passes = |index| SheetStack::mixed(sheets, index, 0.0, 1.0).transmitted;
    if passes(refractive_index) >= transmittance {
        return refractive_index;
    }
    halved((1.0, refractive_index), STEPS, |middle| {
        passes(middle) >= transmittance
    })
    .0
}
