//! Light and heat through glazing: sheets, angles, losses.

mod kinds;
mod optics;
mod stack;

pub use kinds::{Kind, RIGID_SHEET_PER_H, air_change_per_h, kinds};
pub use optics::{Optics, OpticsShelf, Pane};
pub use stack::{SheetStack, extinction_for, surface_reflectance};

/// Share of the glazed area that frames and gutters shade where nothing is known.
///
/// Source: light house frames sit at the low end of 0.10 to 0.20 (NRAES-33, Aldrich & Bartok, from memory).
pub const USUAL_FRAME_SHARE: f64 = 0.10;
/// Share of the light that dirt takes where nothing is known. Common practice, no source.
pub const USUAL_DIRT_SHARE: f64 = 0.05;
/// Share of a face that drops cover while it sweats; water of their thickness lets no heat rays through, so that wet
/// film lets through less (measured in hot boxes: Feuilloley & Issanchou, abstract read).
///
/// Source: steady cover of growing drops, about 0.55 (Beysens & Knobler 1986, breath figures, from memory).
pub const DROPS_COVER_SHARE: f64 = 0.55;
/// Refractive index of window glass for sunlight (Duffie & Beckman, from memory).
pub const INDEX_GLASS: f64 = 1.526;
/// Refractive index of polycarbonate for sunlight (handbook value, from memory).
pub const INDEX_POLYCARBONATE: f64 = 1.586;
/// Refractive index of acrylic sheet for sunlight (handbook value, from memory).
pub const INDEX_ACRYLIC: f64 = 1.49;
/// Refractive index of polyethylene film for sunlight (handbook value, from memory).
pub const INDEX_POLYETHYLENE: f64 = 1.515;

/// Why a glazing cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GlazingError {
    /// A value outside its range, or no number.
    #[error("{what} is {value}, outside {low} to {high}")]
    Range {
        /// The property.
        what: &'static str,
        value: f64,
        /// Smallest value allowed.
        low: f64,
        /// Largest value allowed.
        high: f64,
    },
}

/// One kind of glazing as it is built in: sheets, frame and dirt.
#[derive(Clone, Debug, PartialEq)]
pub struct Glazing {
    /// Name as people say it.
    pub name: String,
    /// Number of sheets one behind the other, 1 to 10.
    pub sheets: usize,
    /// Refractive index of a sheet for sunlight, 1 to 3.
    pub refractive_index: f64,
    /// Extinction coefficient times thickness of one sheet for all sunlight, 0 to 10.
    pub extinction_solar: f64,
    /// The same for photosynthetic light, 0 to 10.
    pub extinction_par: f64,
    /// Share of the transmitted beam that is scattered on its way, 0 to 1.
    pub haze: f64,
    /// Transmittance of the dry glazing for heat rays at room temperature, 0 to 1.
    pub long_wave_transmittance: f64,
    /// Emissivity of its faces for heat rays, 0 to 1.
    pub long_wave_emissivity: f64,
    /// Heat transfer coefficient air to air, both films included, W/(m2 K).
    pub u_w_m2k: f64,
    /// Share of the light lost while the inner face is wet with drops, 0 to 1.
    pub condensation_loss: f64,
    /// Share of the glazed area that frames shade, 0 to 1.
    pub frame_share: f64,
    /// Share of the light that dirt takes, 0 to 1.
    pub dirt_share: f64,
}

/// Share of the light that frames and dirt keep where it meets them from inside: bright metal or wood, half (from memory).
pub const FRAME_ABSORPTANCE: f64 = 0.5;

impl Glazing {
    /// The common kind called `name` (case, spaces and dashes do not matter), with the usual frame and dirt.
    pub fn kind(name: &str) -> Option<Self> {
        kinds::find(name).map(Kind::glazing)
    }

    /// Sheets of glass or plastic known only by their transmittance at normal incidence, without frame and dirt.
    ///
    /// `sheets` 1 to 10; `transmittance` 0.01 to 0.99 for the whole glazing, sunlight and photosynthetic light alike;
    /// `u_w_m2k` 0.1 to 20 air to air. Where the transmittance is higher than reflection at untreated faces of
    /// `refractive_index` allows (a treated or structured face), the index is lowered until it fits.
    ///
    /// # Errors
    /// A value outside its range.
    pub fn from_transmittance(
        name: &str,
        sheets: usize,
        refractive_index: f64,
        transmittance: f64,
        u_w_m2k: f64,
    ) -> Result<Self, GlazingError> {
        check("number of sheets", sheets as f64, 1.0, 10.0)?;
        check("refractive index", refractive_index, 1.0, 3.0)?;
        check("solar transmittance", transmittance, 0.01, 0.99)?;
        check("U value in W/m2K", u_w_m2k, 0.1, 20.0)?;
        let kind = Kind {
            sheets,
            refractive_index,
            transmittance_solar: transmittance,
            transmittance_par: transmittance,
            long_wave_emissivity: 0.9,
            u_w_m2k,
            ..kinds::GLASS
        };
        Ok(Self {
            name: name.to_owned(),
            frame_share: 0.0,
            dirt_share: 0.0,
            ..kind.glazing()
        })
    }

    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field outside its range.
    pub fn check(&self) -> Result<(), GlazingError> {
        check("number of sheets", self.sheets as f64, 1.0, 10.0)?;
        check("refractive index", self.refractive_index, 1.0, 3.0)?;
        check("extinction per sheet", self.extinction_solar, 0.0, 10.0)?;
        check("PAR extinction per sheet", self.extinction_par, 0.0, 10.0)?;
        check("haze", self.haze, 0.0, 1.0)?;
        let (through, emissivity) = (self.long_wave_transmittance, self.long_wave_emissivity);
        check("long-wave transmittance", through, 0.0, 1.0)?;
        check("long-wave emissivity", emissivity, 0.0, 1.0)?;
        check("U value in W/m2K", self.u_w_m2k, 0.1, 20.0)?;
        check("condensation loss", self.condensation_loss, 0.0, 1.0)?;
        check("frame share", self.frame_share, 0.0, 0.95)?;
        check("dirt share", self.dirt_share, 0.0, 0.95)
    }

    /// Share of the light on the gross area that meets clean sheets, 0 to 1.
    pub fn clear_share(&self) -> f64 {
        (1.0 - self.frame_share.clamp(0.0, 1.0)) * (1.0 - self.dirt_share.clamp(0.0, 1.0))
    }
}

fn check(what: &'static str, value: f64, low: f64, high: f64) -> Result<(), GlazingError> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(GlazingError::Range {
            what,
            value,
            low,
            high,
        })
    }
}
