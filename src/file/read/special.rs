//! Values that are no plain number, text or list: what a wall is clad with, prices of fuel, a skyline.

use super::{Parsed, ValueReader, collect};
use crate::document::Problem;
use crate::document::{Node, Value};
use crate::file::quantity::{self, Dimension};

/// R of a solid face, m2K/W: from a bare board to more than any wall built.
const CLADDING_R_M2_K_W: (f64, f64) = (0.02, 30.0);

impl ValueReader<'_, '_> {
    pub(super) fn cladding(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        if let Value::Text(text) = &node.value {
            if text.trim().eq_ignore_ascii_case("glazed") {
                return Ok(Parsed::Cladding(None));
            }
            return match quantity::parse(text, Dimension::Resistance) {
                Ok(r) => self
                    .check_range(node, r, CLADDING_R_M2_K_W, "m2K/W")
                    .map(|r| Parsed::Cladding(Some(r))),
                Err(_) => {
                    let wrong = format!("`{}` is \"{text}\"", self.shown);
                    Err(self.problem(
                        node,
                        wrong,
                        Some(format!("it takes {}", self.key.kind.in_words())),
                    ))
                }
            };
        }
        let r = self.bare(node)?;
        self.check_range(node, r, CLADDING_R_M2_K_W, "m2K/W")
            .map(|r| Parsed::Cladding(Some(r)))
    }

    pub(super) fn fuel_price(&self, node: &Node) -> Result<Parsed, Vec<Problem>> {
        let Value::Text(text) = &node.value else {
            return self
                .bare(node)
                .map(|price| Parsed::FuelPrice(price, Dimension::PerEnergy));
        };
        let mut first_error = None;
        for dimension in [
            Dimension::PerEnergy,
            Dimension::PerVolume,
            Dimension::PerMass,
        ] {
            match quantity::parse_price(text, dimension, self.context.currency) {
                Ok(price) => {
                    return self
                        .in_range(node, price)
                        .map(|price| Parsed::FuelPrice(price, dimension));
                }
                Err(error) => first_error = first_error.or(Some(error)),
            }
        }
        let wrong =
            first_error.map_or_else(String::new, |error| format!("`{}`: {error}", self.shown));
        let units = [
            Dimension::PerEnergy,
            Dimension::PerVolume,
            Dimension::PerMass,
        ]
        .map(Dimension::fitting_units);
        Err(self.problem(
            node,
            wrong,
            Some(format!("units that fit: {}", units.join(", "))),
        ))
    }

    pub(super) fn horizon(&self, items: &[Node]) -> Result<Parsed, Vec<Problem>> {
        let points = collect(items.iter().map(|item| match item.items() {
            [azimuth, elevation] => {
                let azimuth = self
                    .bare(azimuth)
                    .and_then(|a| self.check_range(item, a, (0.0, 360.0), "degrees"))?;
                let elevation = self
                    .bare(elevation)
                    .and_then(|e| self.check_range(item, e, (0.0, 90.0), "degrees"))?;
                Ok((azimuth, elevation))
            }
            _ => Err(self.mismatch(item)),
        }))?;
        Ok(Parsed::Points(points))
    }
}
