//! Changes to a building that a grower could make, each as another building.

use super::variants::{changed, floor_m2, tunnel_text};
use super::{Job, StudyError};
use crate::calendar::SECONDS_PER_HOUR;
use crate::file;
use crate::house::{Behind, Curtain, House, Layer, Make, PipeStore, Surface, SurfaceKind};
use crate::phrase::{Phrase, amount, phrase};

/// Share of the leaks that remain after sealing (own choice, no source).
const LEAKS_LEFT: f64 = 0.5;
/// Insulation added outside walls and solid roof, m2K/W: 5 cm of foam board at 0.03 W/mK, rounded (own choice).
const ADDED_M2K_W: f64 = 1.76;
/// Thickness of that insulation, m.
const ADDED_M: f64 = 0.05;
/// How much larger a store is tried where there is one already (own choice).
const STORE_FACTOR: f64 = 2.0;
/// Pipes for each m2 of floor of a store that is tried where there is none (own choice, no source).
const PIPES_PER_M2: f64 = 0.4;
/// Length of its pipes for each root of the floor area, m/m (own choice, no source).
const PIPE_LENGTH_PER_ROOT: f64 = 1.2;
/// Air flow of its fan for each m2 of floor, m3/s per m2 (own choice, no source).
const STORE_FLOW_M3_S_M2: f64 = 0.008;

/// Months by which winter is shifted in the south.
const HALF_YEAR_MONTHS: usize = 6;

/// A building changed by one measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Name as people say it.
    pub name: &'static str,
    /// What is done, with its figures.
    pub what: Phrase,
    pub house: House,
}

/// The measures that a building leaves room for, in a fixed order.
///
/// # Errors
/// [`StudyError::File`] if the floor is so small or large that no usual part fits it.
pub fn measures(job: &Job) -> Result<Vec<Measure>, StudyError> {
    let own = &job.project.house;
    let mut list = Vec::new();
    list.extend(night_curtain(job, own)?);
    list.extend(tighter(own));
    list.extend(insulated(own));
    list.extend(larger_store(job, own)?);
    Ok(list)
}

/// The building without fan and pipes; none where it has no store.
pub fn without_store(own: &House) -> Option<House> {
    own.store.as_ref()?;
    Some(House {
        store: None,
        ..own.clone()
    })
}

/// The building without its heater; none where it has none.
pub fn without_heater(own: &House) -> Option<House> {
    own.heater.as_ref()?;
    Some(House {
        heater: None,
        ..own.clone()
    })
}

/// The building with a curtain of the usual kind, or with a second one like its own.
pub fn night_curtain(job: &Job, own: &House) -> Result<Option<Measure>, StudyError> {
    let text = format!("{}[curtain]\n", tunnel_text(floor_m2(job)));
    let usual = file::parse("usual curtain", &text)?.house;
    let Some(mut usual) = usual.surfaces.into_iter().find_map(curtain_of) else {
        return Ok(None);
    };
    if job.site.place.latitude_deg < 0.0 {
        // The usual months are those of the north.
        usual.drawn.rotate_left(HALF_YEAR_MONTHS);
    }
    let mut house = own.clone();
    let (mut any, mut second) = (false, false);
    for surface in &mut house.surfaces {
        if let SurfaceKind::Glazed(face) = &mut surface.kind {
            any = true;
            second |= face.curtain.is_some();
            face.curtain = Some(match &face.curtain {
                Some(own) => Curtain {
                    resistance_m2k_w: own.resistance_m2k_w * 2.0,
                    long_wave_transmittance: own.long_wave_transmittance.powi(2),
                    drawn: own.drawn,
                    ..Curtain::default()
                },
                None => usual.clone(),
            });
        }
    }
    if !any {
        return Ok(None);
    }
    let (name, what) = match second {
        true => (
            "second night curtain",
            "a second curtain like the first, drawn with it".into(),
        ),
        false => (
            "night curtain",
            phrase![
                "a curtain of ",
                amount(usual.resistance_m2k_w, "m2K/W", 2),
                " inside the glazing, from sunset to sunrise in its months"
            ],
        ),
    };
    Ok(Some(Measure { name, what, house }))
}

fn curtain_of(surface: Surface) -> Option<Curtain> {
    match surface.kind {
        SurfaceKind::Glazed(face) => face.curtain,
        SurfaceKind::Opaque { .. } => None,
    }
}

/// Half the leaks; none where the house has no leaks.
fn tighter(own: &House) -> Option<Measure> {
    let mut house = own.clone();
    let leaks = &mut house.air.infiltration;
    leaks.constant_per_h = changed(&leaks.constant_per_h, |leak| leak * LEAKS_LEFT);
    leaks.per_wind_s_m_h *= LEAKS_LEFT;
    leaks.per_root_k_h *= LEAKS_LEFT;
    (house != *own).then(|| Measure {
        name: "tighter building",
        what: "joints, doors and laps sealed: half the leaks".into(),
        house,
    })
}

/// More insulation outside walls and solid roof; none for a house that is all glazing.
fn insulated(own: &House) -> Option<Measure> {
    let mut house = own.clone();
    let mut area_m2 = 0.0;
    for surface in &mut house.surfaces {
        let outside = matches!(surface.behind, Behind::Outdoor | Behind::ShelteredAir);
        if outside && matches!(surface.kind, SurfaceKind::Opaque { .. }) {
            area_m2 += surface.area_m2;
            insulate(&mut surface.make);
        }
    }
    (area_m2 > 0.0).then(|| Measure {
        name: "more insulation",
        what: phrase![
            "insulation of ",
            amount(ADDED_M2K_W, "m2K/W", 2),
            " more outside the ",
            amount(area_m2, "m2", 0),
            " of walls and solid roof"
        ],
        house,
    })
}

fn insulate(make: &mut Make) {
    match make {
        Make::AirToAir { u_w_m2k, .. } => *u_w_m2k = 1.0 / (1.0 / *u_w_m2k + ADDED_M2K_W),
        Make::FaceToFace {
            resistance_m2k_w, ..
        } => *resistance_m2k_w += ADDED_M2K_W,
        Make::Layers(layers) => {
            let added = Layer {
                thickness_m: ADDED_M,
                conductivity_w_mk: ADDED_M / ADDED_M2K_W,
                density_kg_m3: 0.0,
                heat_capacity_j_kgk: 0.0,
            };
            layers.insert(0, added);
        }
    }
}

/// Twice the pipes and flow, or a store of the usual kind where there is none; none for a box without floor.
fn larger_store(job: &Job, own: &House) -> Result<Option<Measure>, StudyError> {
    if own.floor.is_none() {
        return Ok(None);
    }
    let (name, store) = match &own.store {
        Some(store) => (
            "larger store",
            PipeStore {
                pipes: (store.pipes as f64 * STORE_FACTOR) as usize,
                flow_m3_s: store.flow_m3_s * STORE_FACTOR,
                fan_w: store.fan_w * STORE_FACTOR,
                ..store.clone()
            },
        ),
        None => match usual_store(job)? {
            Some(store) => ("heat store", store),
            None => return Ok(None),
        },
    };
    Ok(Some(Measure {
        name,
        what: phrase![
            format!("{} pipes of ", store.pipes),
            amount(store.length_m, "m", 1),
            " under the floor, ",
            amount(store.flow_m3_s * SECONDS_PER_HOUR, "m3/h", 0),
            format!(", fan {:.0} W", store.fan_w)
        ],
        house: House {
            store: Some(store),
            ..own.clone()
        },
    }))
}

fn usual_store(job: &Job) -> Result<Option<PipeStore>, StudyError> {
    let floor_m2 = floor_m2(job);
    // On floors smaller or larger than a store is described for, the least or the largest of them.
    let within = |key: &str, value: f64| match file::range_of(key) {
        Some((least, most)) => value.clamp(least, most),
        None => value,
    };
    let pipes = within("store.pipes", (PIPES_PER_M2 * floor_m2).ceil());
    let length_m = within("store.pipe_length", PIPE_LENGTH_PER_ROOT * floor_m2.sqrt());
    let flow_m3_s = within("store.flow", STORE_FLOW_M3_S_M2 * floor_m2);
    let text = format!(
        "{}[store]\npipes = {pipes}\npipe_length = \"{length_m:?} m\"\nflow = \"{flow_m3_s:?} m3/s\"\n",
        tunnel_text(floor_m2)
    );
    Ok(file::parse("usual store", &text)?.house.store)
}
