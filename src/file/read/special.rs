//! Values that are no plain number, text or list: what a wall is clad with, prices of fuel, a skyline.

use super::{Cladding, Parsed, ValueReader, collect};
use crate::document::{Node, Problem, Value};
use crate::file::quantity::{self, Dimension};

/// R of a solid face, m2K/W: from a bare board to more than any wall built.
const CLADDING_R_M2_K_W: (f64, f64) = (0.02, 30.0);
/// What fuel is sold by.
const FUEL_BY: [Dimension; 3] = [
    Dimension::PerEnergy,
    Dimension::PerVolume,
    Dimension::PerMass,
];

impl ValueReader<'_, '_> {
    pub(super) fn cladding(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        let r_m2k_w = match node.text() {
            Some(text) if text.trim().eq_ignore_ascii_case("glazed") => {
                return Ok(Parsed::Cladding(Cladding(None)));
            }
            Some(text) => quantity::parse(text, Dimension::Resistance)
                .map_err(|_| self.takes(node, format!("`{}` is \"{text}\"", self.shown)))?,
            None => self.bare(node)?,
        };
        let r_m2k_w = self.check_range(node, r_m2k_w, CLADDING_R_M2_K_W, "m2K/W")?;
        Ok(Parsed::Cladding(Cladding(Some(r_m2k_w))))
    }

    pub(super) fn fuel_price(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        let Value::Text(text) = &node.value else {
            return Ok(Parsed::FuelPrice((self.bare(node)?, Dimension::PerEnergy)));
        };
        let mut wrong = None;
        for dimension in FUEL_BY {
            match quantity::parse_price(text, dimension, self.context.currency) {
                Ok(price) => {
                    return Ok(Parsed::FuelPrice((self.in_range(node, price)?, dimension)));
                }
                Err(error) => wrong = wrong.or(Some(format!("`{}`: {error}", self.shown))),
            }
        }
        let units = FUEL_BY.map(Dimension::fitting_units).join(", ");
        let right = format!("units that fit: {units}");
        Err(self.problem(node, wrong.unwrap_or_default(), right))
    }

    pub(super) fn horizon(&self, items: &[Node]) -> Result<Parsed, Vec<Problem>> {
        let points = collect(items.iter().map(|item| match item.items() {
            [azimuth, elevation] => {
                let (azimuth, elevation) = (self.bare(azimuth)?, self.bare(elevation)?);
                Ok((
                    self.check_range(item, azimuth, (0.0, 360.0), "degrees")?,
                    self.check_range(item, elevation, (0.0, 90.0), "degrees")?,
                ))
            }
            _ => Err(self.mismatch(item)),
        }))?;
        Ok(Parsed::Points(points))
    }
}
