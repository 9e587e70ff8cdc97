//! Cold and heat by dose: leaves by the coldest hours of every night, the crown by the ground, chilling over a fortnight.

use crate::crops::{Cause, Crop, Hardiness, Loss, Prepared};

/// Steepness of loss about the temperature that kills half, 1/K: 12 % a kelvin above it, 88 % a kelvin below (own choice; a
/// lost plant is a share that rises over three to four kelvin, reference table of cold organs).
const STEEPNESS_PER_K: f64 = 2.0;
/// Losses below this are not felt (own choice).
const LEAST_LOSS: f64 = 0.005;
/// Leaf temperature, mean of the three hottest hours, that scorches half of the leaf, °C (class figure, no source).
const SCORCH_C: f64 = 44.0;
/// Leaf temperature that scalds and ends any crop, °C (from memory: leaves of most crop plants die at 46 to 52 °C).
pub const HEAT_KILL_C: f64 = 50.0;
/// Share of the leaves beyond which a tender plant does not come back.
const TENDER_DEATH_SHARE: f64 = 0.9;

fn logistic(beyond_k: f64) -> f64 {
    /// From here on down the share is below what is felt.
    const NOT_FELT_K: f64 = -2.65;
    if beyond_k < NOT_FELT_K {
        return 0.0;
    }
    let share = 1.0 / (1.0 + (-STEEPNESS_PER_K * beyond_k).exp());
    if share < LEAST_LOSS { 0.0 } else { share }
}

/// Share of the leaf that a night takes whose three coldest hours have the mean `coldest_c`, where `half_c` takes half.
pub fn frost_share(coldest_c: f64, half_c: f64) -> f64 {
    logistic(half_c - coldest_c)
}

/// Share of the leaf that an afternoon scorches whose three hottest hours have the mean `hottest_c`.
pub fn scorch_share(hottest_c: f64) -> f64 {
    logistic(hottest_c - SCORCH_C)
}

/// Temperature of the crown, °C: it sits at the surface, three parts leaf to seven parts root zone (class figure, no source); what
/// shoots from a clove or tuber has it in the ground.
pub fn crown_c(crop: &Crop, coldest_c: f64, root_zone_min_c: f64) -> f64 {
    let leaf = if crop.growth.from_piece && crop.growth.class.is_below_ground() {
        0.0
    } else {
        0.3
    };
    leaf * coldest_c + (1.0 - leaf) * root_zone_min_c
}

/// How far below the leaves' limit the crown lives, K (class figure, no source; Fennell & Li 1985 warn against a wide gap).
fn crown_below_k(hardiness: Hardiness) -> f64 {
    match hardiness {
        Hardiness::Hardy => 3.0,
        Hardiness::HalfHardy => 2.0,
        Hardiness::Tender => 0.0,
    }
}

/// True if a night kills the plant and not only its leaves.
pub fn kills(crop: &Crop, leaves_lost: f64, crown_c: f64, half_c: f64) -> bool {
    match crop.hardiness {
        Hardiness::Tender => leaves_lost > TENDER_DEATH_SHARE,
        hardiness => crown_c < half_c - crown_below_k(hardiness),
    }
}

/// What ends a life in the bed on a day of its own: killing cold or scalding heat.
pub fn death(crop: &Crop, prepared: &Prepared, year: usize, day: usize) -> Option<Loss> {
    let today = prepared.day(year, day);
    if !today.kills {
        return None;
    }
    let bed = prepared.bed_day(year, day);
    if bed.leaf_max_c > HEAT_KILL_C {
        let found = bed.leaf_max_c;
        return Some(Loss::above(day, Cause::TooHot, found, HEAT_KILL_C, "°C"));
    }
    let half_c = crop.cold.kill_at(bed.hardening);
    let (found, needed) = match crop.hardiness {
        Hardiness::Tender => (bed.coldest_c, half_c),
        hardiness => (
            crown_c(crop, bed.coldest_c, bed.root_zone_min_c),
            half_c - crown_below_k(hardiness),
        ),
    };
    Some(Loss::below(day, Cause::NightCold, found, needed, "°C"))
}

/// Nights of chilling that add up; older ones are taken for healed (assumption, no source).
const CHILL_DAYS: usize = 14;
/// Share of the dose beyond which growth slows (own choice, no source).
const CHILL_SLOWS_FROM: f64 = 2.0 / 3.0;

/// Chilling of a plant of warm origin over the last fortnight in its bed.
pub struct Chill {
    from_day: usize,
    sum_kh: f32,
    /// Dose below which nothing is felt, K h; none where no dose is.
    free_kh: Option<f32>,
}

impl Chill {
    /// Nothing yet.
    pub fn new(crop: &Crop, from_day: usize) -> Self {
        Self {
            from_day,
            sum_kh: 0.0,
            // A little less than the dose that slows: whatever rounds, what is free leaves all.
            free_kh: crop
                .cold
                .chill_dose_kh
                .map(|dose_kh| (0.999 * CHILL_SLOWS_FROM * dose_kh) as f32),
        }
    }

    #[inline]
    /// Takes a day's chilling in; returns the share of growth it leaves, or the loss of the crop. Days are asked in order.
    pub fn day(
        &mut self,
        crop: &Crop,
        prepared: &Prepared,
        year: usize,
        day: usize,
    ) -> Result<f32, Loss> {
        let Some(free_kh) = self.free_kh else {
            return Ok(1.0);
        };
        self.sum_kh += prepared.day(year, day).chill_kh;
        if day >= self.from_day + CHILL_DAYS {
            self.sum_kh -= prepared.day(year, day - CHILL_DAYS).chill_kh;
        }
        let (Some(chill_c), Some(dose_kh)) = (crop.cold.chill_c, crop.cold.chill_dose_kh) else {
            return Ok(1.0);
        };
        if self.sum_kh < free_kh {
            return Ok(1.0);
        }
        let share = f64::from(self.sum_kh) / dose_kh;
        if share <= 1.0 {
            let left = (1.0 - share) / (1.0 - CHILL_SLOWS_FROM);
            return Ok(left.min(1.0) as f32);
        }
        let nights = CHILL_DAYS.min(day - self.from_day + 1);
        let found = prepared.mean_to(year, day, nights, |day| day.air_min_c);
        Err(Loss::below(day, Cause::Chilled, found, chill_c, "°C"))
    }
}
