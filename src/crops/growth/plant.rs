//! Leaf area and dry mass of a stand: the equations of one day.

/// Share of light that a square metre of leaf per square metre of ground keeps from passing (extinction coefficient);
/// rosettes and rows 0.6 to 0.8 (from memory).
const EXTINCTION: f32 = 0.7;
/// Mass beyond which upkeep no longer rises, g/m2: what is stored or woody asks for little (own choice, no source).
const LIVING_G_M2: f32 = 150.0;
/// Share of its mass below which a starving stand does not fall in a day (own choice, no source).
const LEAST_KEPT: f32 = 0.2;
/// How many times heavier than fresh leaf a stand may get for its leaf area: stems, roots and thick leaves (own choice, no
/// source: leaf mass a third of a plant at the least).
pub const HEAVIEST: f32 = 3.0;

/// Leaf area beyond which nothing more is caught, and what is caught by it: no division for the many days of a closed stand.
const CLOSED_LEAF: f32 = 12.0;
const CLOSED_COVER: f32 = 0.998_83;

/// Share of the light that leaves catch, 0 to 1: `1 - exp(-0.7 L)`, by a power of sixteen that stays within 0.02 of it.
///
/// # Source
/// Monsi & Saeki 1953 (from memory).
#[inline]
pub fn ground_cover(leaf_m2_m2: f32) -> f32 {
    if leaf_m2_m2 >= CLOSED_LEAF {
        return CLOSED_COVER;
    }
    let step = 1.0 + EXTINCTION / 16.0 * leaf_m2_m2;
    let four = step * step * step * step;
    let eight = four * four;
    1.0 - 1.0 / (eight * eight)
}

/// The lesser of two numbers, in one instruction: `f32::min` asks first whether either is no number, which none is here.
#[inline]
fn lesser(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The greater of two numbers, as [`lesser`].
#[inline]
fn greater(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// What a day offers and asks, for any stand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayGrowth {
    /// Share by which young leaf area grows where nothing else limits it.
    pub leafing: f32,
    /// Dry mass that full ground cover gains, g/m2.
    pub supply_g_m2: f32,
    /// Dry mass that a gram loses to upkeep, 1/day.
    pub upkeep: f32,
    /// Leaf area that a gram of new mass makes, m2/g.
    pub leaf_m2_g: f32,
}

/// Leaf area and living dry mass of a stand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Plant {
    /// Leaf area, m2 per m2 of bed.
    pub leaf_m2_m2: f32,
    /// Living dry mass, g/m2.
    pub mass_g_m2: f32,
}

impl Plant {
    /// Lives through one day; returns what it gained (or lost), g/m2.
    ///
    /// Young leaves in good light grow by warmth alone; in dull light what carbon there is sets how many; where it is
    /// bright and cold leaves get thick, and gain stops. `to_leaf` is the share of the wish for leaves that is left to a
    /// plant that fills a bulb. Nothing switches by date.
    #[inline]
    pub fn grow(&mut self, day: &DayGrowth, to_leaf: f32, leaf_m2_g: f32) -> f32 {
        let living_g_m2 = lesser(self.mass_g_m2, LIVING_G_M2);
        let gain = day.supply_g_m2 * ground_cover(self.leaf_m2_m2) - day.upkeep * living_g_m2;
        let wish = self.leaf_m2_m2 * day.leafing;
        let paid = day.leaf_m2_g * greater(gain, 0.0);
        self.leaf_m2_m2 += to_leaf * lesser(wish, paid);
        // Leaves as thick as they get hold gain back; a plant that fills a bulb puts it below.
        let heaviest = if to_leaf < 1.0 {
            f32::INFINITY
        } else {
            greater(HEAVIEST * self.leaf_m2_m2 / leaf_m2_g, self.mass_g_m2)
        };
        let before = self.mass_g_m2;
        self.mass_g_m2 = lesser(greater(before + gain, LEAST_KEPT * before), heaviest);
        self.mass_g_m2 - before
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_power_stands_for_the_exponential() {
        for step in 0..100 {
            let leaf = 0.1 * step as f32;
            let exact = 1.0 - (-EXTINCTION * leaf).exp();
            assert!((ground_cover(leaf) - exact).abs() < 0.025, "{leaf}");
        }
    }
}
