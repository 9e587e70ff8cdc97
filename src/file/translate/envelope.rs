//! The building's faces, from its shape or from a list.

use super::faces;
use crate::file::StarterShape;
use crate::file::edit::key_of;
use crate::file::keys::words::Of;
use crate::file::read::Cladding;
use crate::file::section::Section;
use crate::file::shape::{CrossSection, Face, Part, Shape};
use crate::house::{Behind, GlazedFace, Make, Surface, SurfaceKind};
use crate::sun::Outlook;
use crate::sun::glazing::{DROPS_COVER_SHARE, Glazing};
use crate::words::Word as _;

/// Direction of the equator in the north, and where the latitude is not known.
const SOUTH_DEG: f64 = 180.0;
const NORTH_DEG: f64 = 0.0;
/// R-20, m2K/W: the back of an insulated house where the file is silent. Common practice, no source.
const INSULATED_R_M2K_W: f64 = 20.0 * crate::file::quantity::US_R_M2_K_W;
/// R-10, m2K/W: the wall of an ordinary heated house where the file is silent. Common practice, no source.
const HOUSE_WALL_R_M2K_W: f64 = 10.0 * crate::file::quantity::US_R_M2_K_W;
/// Heights by shape, m, and rises as shares of the width. Common practice, no source; 0.25 is a 6 in 12 slope.
const SINGLE_SLOPE_LOW_WALL_M: f64 = 0.6;
const SINGLE_SLOPE_RISE: f64 = 0.6;
const GABLE_LOW_WALL_M: f64 = 1.8;
const GABLE_RISE: f64 = 0.25;
const HOOP_RISE: f64 = 0.5;
const GREATEST_DEFAULT_RISE_M: f64 = 4.5;
/// Long-wave emissivity of boards, paint and masonry (most building materials).
pub const EMISSIVITY: f64 = 0.9;
/// Sun that glazing keeps on its inner face: what is thrown back at it mostly leaves. Own choice, no source.
pub const GLAZING_ABSORPTANCE_INSIDE: f64 = 0.05;

/// What the envelope tells the rest of the building.
#[derive(Debug)]
pub struct Envelope {
    pub shape: Option<Shape>,
    pub facing_assumed: bool,
    pub surfaces: Vec<Surface>,
    /// Floor on the ground, where there is one.
    pub floor_m2: Option<f64>,
    pub volume_m3: f64,
    pub wall_thickness_m: Option<f64>,
}

impl Envelope {
    pub fn glazed_m2(&self) -> f64 {
        self.glazed().map(|(area_m2, _)| area_m2).sum()
    }

    /// Area and glazing of each glazed face.
    fn glazed(&self) -> impl Iterator<Item = (f64, &Glazing)> {
        let surfaces = self.surfaces.iter();
        surfaces.filter_map(|surface| match &surface.kind {
            SurfaceKind::Glazed(face) => Some((surface.area_m2, &face.glazing)),
            SurfaceKind::Opaque { .. } => None,
        })
    }

    /// Area of all faces, m2.
    pub fn area_m2(&self) -> f64 {
        self.surfaces.iter().map(|surface| surface.area_m2).sum()
    }

    /// Glazing of the largest glazed face.
    pub fn main_glazing(&self) -> Option<&Glazing> {
        let largest = self.glazed().max_by(|a, b| a.0.total_cmp(&b.0));
        largest.map(|(_, glazing)| glazing)
    }
}

/// The envelope; nothing where its size is missing.
pub fn envelope(root: &Section<'_, '_>, latitude_deg: Option<f64>) -> Option<Envelope> {
    let building = root.table("building");
    let listed = faces::listed(root, Of::House);
    if !building.present() {
        if listed.is_empty() {
            root.missing("building");
            return None;
        }
        return Some(Envelope {
            shape: None,
            facing_assumed: false,
            surfaces: listed,
            floor_m2: root.table("floor").number("area"),
            volume_m3: root.table("air").required("volume")?,
            wall_thickness_m: None,
        });
    }
    let shape = shape(&building, latitude_deg)?;
    let glazing = glazing(root, &building)?;
    let clad = Clad {
        building: &building,
        glazing: &glazing,
        shape: &shape,
        simulated_room: root.has("room"),
    };
    if root.has("room") && building.has("room_temperature") {
        let wrong = "the room is simulated: its temperature is not given";
        let right = "leave it out, or leave out the table `room`";
        building.problem("room_temperature", wrong, right);
    }
    let faces = shape.faces().into_iter();
    let mut surfaces: Vec<Surface> = faces.map(|face| clad.surface(face)).collect();
    let is_solid = |surface: &Surface| matches!(surface.kind, SurfaceKind::Opaque { .. });
    let (wall_m, why) = match surfaces.iter().any(is_solid) {
        true => (SOLID_WALL_M, "an insulated stud wall"),
        false => (LIGHT_WALL_M, "a sill under glazing"),
    };
    surfaces.extend(listed);
    let floor_m2 = root.table("floor").number("area");
    let volume_m3 = building.number("volume");
    Some(Envelope {
        facing_assumed: !building.has("facing"),
        surfaces,
        floor_m2: floor_m2.or(Some(shape.floor_m2())),
        volume_m3: volume_m3.unwrap_or_else(|| shape.volume_m3()),
        wall_thickness_m: Some(building.number_or("wall_thickness", wall_m, why)),
        shape: Some(shape),
    })
}

/// Walls over the edge of the floor, m. Common practice, no source.
const SOLID_WALL_M: f64 = 0.15;
const LIGHT_WALL_M: f64 = 0.05;

fn shape(building: &Section<'_, '_>, latitude_deg: Option<f64>) -> Option<Shape> {
    let (length, width) = (building.required("length"), building.required("width"));
    if !building.has("glazing") {
        building.missing("glazing");
    }
    let (length_m, width_m): (f64, f64) = (length?, width?);
    let shape: StarterShape = building.get_or_default("shape");
    let name = StarterShape::NAMES[shape as usize];
    let facing = facing(building, latitude_deg);
    let (low_m, rise, section) = match shape {
        StarterShape::SingleSlope | StarterShape::LeanTo => {
            let solid_share = building.number_or_default("insulated_roof");
            let section = CrossSection::SingleSlope { solid_share };
            (SINGLE_SLOPE_LOW_WALL_M, SINGLE_SLOPE_RISE, section)
        }
        StarterShape::Hoop => (0.0, HOOP_RISE, CrossSection::Hoop),
        StarterShape::Gable => {
            let ridge_at = building.number_or_default("ridge_at");
            (
                GABLE_LOW_WALL_M,
                GABLE_RISE,
                CrossSection::Gable { ridge_at },
            )
        }
    };
    let rise_m = (rise * width_m).min(GREATEST_DEFAULT_RISE_M);
    let why = format!("usual for a {name}; common practice, no source");
    let low_wall_m = building.number_or("low_wall", low_m, why);
    let why = format!(
        "low_wall and a usual rise of a {name} over this width; common practice, no source"
    );
    let height_m = building.number_or("height", low_wall_m + rise_m, why);
    if height_m < low_wall_m {
        let wrong = format!(
            "`building.height` ({height_m} m) is below `building.low_wall` ({low_wall_m} m)"
        );
        let right = "the height is measured from the ground to the highest point";
        building.problem("height", wrong, right);
        return None;
    }
    let leans = shape == StarterShape::LeanTo;
    if building.has("room_temperature") && !leans {
        let wrong = format!("a {name} has no room behind its back wall");
        let right = "write shape = \"lean-to\", or leave it out";
        building.problem("room_temperature", wrong, right);
    }
    if leans && building.get("back") == Some(Cladding(None)) {
        let wrong = "the back wall of a lean-to is the house's, and cannot be glazed";
        building.problem("back", wrong, "give its resistance, such as \"R-10\"");
        return None;
    }
    Some(Shape {
        section,
        length_m,
        width_m,
        height_m,
        low_wall_m,
        facing_deg: facing,
        leans,
    })
}

fn facing(building: &Section<'_, '_>, latitude_deg: Option<f64>) -> f64 {
    let (equator_deg, more) = match latitude_deg {
        Some(latitude) if latitude < 0.0 => (NORTH_DEG, ", on the southern half of the earth"),
        Some(_) => (SOUTH_DEG, ""),
        None => {
            let more = "; turned about if the weather file turns out to be southern";
            (SOUTH_DEG, more)
        }
    };
    building.number_or("facing", equator_deg, format!("towards the equator{more}"))
}

fn glazing(root: &Section<'_, '_>, building: &Section<'_, '_>) -> Option<Glazing> {
    let name = building.text("glazing")?;
    let mut glazing = Glazing::kind(&name)?;
    let frame = "light frame (NRAES-33, from memory)";
    set_losses(root, &mut glazing, frame, "common practice, no source");
    glazing.u_w_m2k = building.number_or("glazing_u", glazing.u_w_m2k, format!("{name} as built"));
    Some(glazing)
}

/// Takes over the file's own losses by frame, dirt and drops; `frame` and `dirt` say why those of the glazing are taken where
/// it has none.
pub fn set_losses(root: &Section<'_, '_>, glazing: &mut Glazing, frame: &str, dirt: &str) {
    let light = root.table("light");
    let drops = format!("{} wet with drops", glazing.name);
    glazing.frame_share = light.number_or("frame_loss", glazing.frame_share, frame);
    glazing.dirt_share = light.number_or("dirt_loss", glazing.dirt_share, dirt);
    glazing.condensation_loss =
        light.number_or("condensation_loss", glazing.condensation_loss, drops);
}

/// How the shape's faces are clad.
struct Clad<'c> {
    building: &'c Section<'c, 'c>,
    glazing: &'c Glazing,
    shape: &'c Shape,
    /// Is there a room that is simulated with the house?
    simulated_room: bool,
}

impl Clad<'_> {
    fn surface(&self, face: Face) -> Surface {
        match self.resistance(face.part) {
            Some(resistance_m2k_w) => self.solid(face, resistance_m2k_w),
            None => {
                let place = (face.area_m2, face.tilt_deg, face.azimuth_deg);
                glazed_surface(face.name, place, self.glazing.clone())
            }
        }
    }

    /// R of a part; nothing where it is glazed.
    fn resistance(&self, part: Part) -> Option<f64> {
        let key = key_of(part);
        if let Some(Cladding(cladding)) = self.building.get(key) {
            // A solid roof is solid even where the back wall under it is glazed.
            return match part {
                Part::SolidRoof => cladding.or(Some(INSULATED_R_M2K_W)),
                _ => cladding,
            };
        }
        let (leans, section) = (self.shape.leans, self.shape.section);
        let single = matches!(section, CrossSection::SingleSlope { .. });
        let (usual, shown, why) = match part {
            Part::Back if leans => {
                let why = "the wall of a heated house; common practice, no source";
                (Some(HOUSE_WALL_R_M2K_W), "R-10", why)
            }
            Part::Back | Part::SolidRoof | Part::Ends
                if single && !(leans && part == Part::Ends) =>
            {
                let why = "the insulated house of a cold place; common practice, no source";
                (Some(INSULATED_R_M2K_W), "R-20", why)
            }
            _ => (None, "glazed", "the plainest building of this shape"),
        };
        self.building.assume(key, shown, "", why);
        usual
    }

    fn solid(&self, face: Face, resistance_m2k_w: f64) -> Surface {
        let usual = self.building.number_or_default("wall_capacity");
        let inner_capacity_j_m2k = match face.part {
            Part::Back => self.building.number("back_capacity").unwrap_or(usual),
            _ => usual,
        };
        let absorptance = self.building.number_or_default("wall_absorptance");
        let against_house = self.shape.leans && face.part == Part::Back;
        let surface = Surface {
            name: face.name,
            area_m2: face.area_m2,
            tilt_deg: face.tilt_deg,
            azimuth_deg: face.azimuth_deg,
            make: Make::FaceToFace {
                resistance_m2k_w,
                inner_capacity_j_m2k,
            },
            behind: if against_house && !self.simulated_room {
                faces::given_room(self.building, "room_temperature")
            } else {
                Behind::Outdoor
            },
            kind: SurfaceKind::Opaque {
                absorptance_outside: absorptance,
                emissivity_outside: EMISSIVITY,
            },
            emissivity_inside: EMISSIVITY,
            absorptance_inside: absorptance,
            outlook: Outlook::default(),
        };
        match against_house && self.simulated_room {
            true => faces::to_the_room(surface),
            false => surface,
        }
    }
}

/// A glazed face of a kind; `place` is area (m2), tilt and azimuth (degrees).
pub fn glazed_surface(name: String, place: (f64, f64, f64), glazing: Glazing) -> Surface {
    let (area_m2, tilt_deg, azimuth_deg) = place;
    let emissivity = glazing.long_wave_emissivity;
    Surface {
        name,
        area_m2,
        tilt_deg,
        azimuth_deg,
        make: Make::AirToAir {
            u_w_m2k: glazing.u_w_m2k,
            inner_capacity_j_m2k: 0.0,
        },
        behind: Behind::Outdoor,
        kind: SurfaceKind::Glazed(GlazedFace {
            long_wave_transmittance: glazing.long_wave_transmittance,
            long_wave_wet: glazing.long_wave_transmittance * (1.0 - DROPS_COVER_SHARE),
            emissivity_outside: emissivity,
            glazing,
            curtain: None,
        }),
        emissivity_inside: emissivity,
        absorptance_inside: GLAZING_ABSORPTANCE_INSIDE,
        outlook: Outlook::default(),
    }
}
