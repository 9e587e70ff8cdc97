//! The same beds under other roofs: held at a temperature, in a plain tunnel, outdoors; and the project file behind a changed
//! building, so that what was shown can be run again.

use super::{Job, StudyError};
use crate::file::{self, Edit};
use crate::house::{
    Air, Behind, CoverTimes, EnergySource, Floor, GlazedFace, Heater, House, Infiltration, Make,
    Schedule, SnowOnGlazing, SunShares, Surface, SurfaceKind,
};
use crate::sun::{Glazing, Outlook};
use crate::value::Fuel;

/// Air temperature that a heater holds where none is asked for, °C: cucumber and basil are hurt below about 10 °C
/// (Horticulturae 6(4):94 for tomato; greenhouse chapters for cucumber, as collected in the crop files).
pub const HELD_AT_C: f64 = 10.0;
/// Length of the plain tunnel for each metre of its width (own choice, no source).
const TUNNEL_LENGTH_PER_WIDTH: f64 = 2.0;
/// Narrowest and widest plain tunnel, m: a cloche, and what a film still spans (own choice, no source).
const TUNNEL_WIDTH_M: (f64, f64) = (1.0, 20.0);
/// Longest plain tunnel, m: what a project file may name.
const TUNNEL_LENGTH_MOST_M: f64 = 500.0;
/// Height of the plain tunnel for each metre of its width: a half circle.
const TUNNEL_HEIGHT_PER_WIDTH: f64 = 0.5;
/// Coupling of the air over open beds to the outdoor air by conduction, W/(m2 K); the greatest the simulation takes.
const OPEN_AIR_U_W_M2K: f64 = 20.0;
/// Height of the layer of air over open beds, m.
const OPEN_AIR_HEIGHT_M: f64 = 2.0;
/// Air changes of that layer, 1/h: so many that it is the outdoor air.
const OPEN_AIR_CHANGES_PER_H: f64 = 200.0;

/// Floor area of a job's building, m2: of its floor on the ground, else of its beds, else of the faces that look down,
/// else of a room of usual height with its volume.
pub fn floor_m2(job: &Job) -> f64 {
    /// Tilt from which a face counts as a floor, degrees.
    const FLOOR_FROM_DEG: f64 = 135.0;
    /// Height of an ordinary room, m (common practice, no source).
    const ROOM_M: f64 = 2.5;
    let house = &job.project.house;
    if let Some(floor) = &house.floor {
        return floor.area_m2;
    }
    let beds_m2: f64 = job.project.beds.iter().map(|bed| bed.area_m2).sum();
    let faces = house.surfaces.iter();
    let faces = faces.filter(|face| face.tilt_deg >= FLOOR_FROM_DEG);
    let faces_m2: f64 = faces.map(|face| face.area_m2).sum();
    let mut areas_m2 = [beds_m2, faces_m2, house.air.volume_m3 / ROOM_M].into_iter();
    areas_m2.find(|area_m2| *area_m2 > 0.0).unwrap_or(1.0)
}

/// A building held at a set point (°C) by a heater as large as that takes, of the job's own kind where it has a heater.
pub fn kept_warm(job: &Job, mut house: House, set_point_c: f64) -> House {
    let own = job.project.house.heater.as_ref();
    let energy = own.map_or(EnergySource::Electricity, |own| own.energy);
    let efficiency = own.map_or(1.0, |own| own.efficiency);
    house.heater = large_heater(Schedule::Constant(set_point_c), energy, efficiency);
    covers_as_before(&mut house, set_point_c);
    house
}

/// Kelvin above the temperature held up to which covers are still laid for the night (own choice: the air of a heated house hovers
/// about its set point).
const COVERS_ABOVE_K: f64 = 2.0;

/// A grower who heats goes on covering the beds by night: a heater that holds the air above the temperature at which covers are laid
/// would else leave the plants colder than without it.
fn covers_as_before(house: &mut House, held_c: f64) {
    for cover in house
        .parts
        .iter_mut()
        .filter_map(|part| part.cover.as_mut())
    {
        if let CoverTimes::Handled(handling) = &mut cover.on {
            handling.lay_below_c = handling.lay_below_c.max(held_c + COVERS_ABOVE_K);
        }
    }
}

/// The building held at a set point (°C), or at its own where that is higher, by a heater as large as that takes; what it
/// burns is `fuel`, else its own.
pub fn held_at(job: &Job, set_point_c: f64, fuel: Fuel) -> House {
    let mut house = job.project.house.clone();
    if least_held_c(&house) < set_point_c {
        covers_as_before(&mut house, set_point_c);
    }
    let set_point_c = match &house.heater {
        Some(own) => changed(&own.set_point_c, |held_c| held_c.max(set_point_c)),
        None => Schedule::Constant(set_point_c),
    };
    let energy = match fuel {
        Fuel::Electricity | Fuel::HeatPump => EnergySource::Electricity,
        Fuel::Propane => EnergySource::Propane,
        Fuel::NaturalGas => EnergySource::NaturalGas,
        Fuel::HeatingOil | Fuel::Kerosene => EnergySource::Oil,
        Fuel::Firewood | Fuel::Pellets => EnergySource::Wood,
    };
    house.heater = large_heater(set_point_c, energy, fuel.usual_efficiency().0);
    house
}

fn large_heater(set_point_c: Schedule, energy: EnergySource, efficiency: f64) -> Option<Heater> {
    Some(Heater {
        set_point_c,
        capacity_w: f64::INFINITY,
        energy,
        efficiency,
        ..Heater::default()
    })
}

/// Lowest set point of a house's heater in any hour, °C; below all where it has none.
pub fn least_held_c(house: &House) -> f64 {
    house.heater.as_ref().map_or(f64::NEG_INFINITY, |heater| {
        let held = hours().map(|hour| heater.set_point_c.at(hour));
        held.fold(f64::INFINITY, f64::min)
    })
}

/// A schedule with each of its figures changed.
pub fn changed(schedule: &Schedule, change: impl Fn(f64) -> f64) -> Schedule {
    match schedule {
        Schedule::Constant(value) => Schedule::Constant(change(*value)),
        Schedule::Monthly(months) => Schedule::Monthly(months.map(change)),
        Schedule::Daily(hours) => Schedule::Daily(hours.map(change)),
        other => Schedule::Hourly(hours().map(|hour| change(other.at(hour))).collect()),
    }
}

fn hours() -> std::ops::Range<usize> {
    0..crate::calendar::HOURS_PER_YEAR
}

/// The text of a project that describes a plain tunnel of one film on a floor of `floor_m2` m2, without heat; on floors
/// smaller or larger than tunnels have, the smallest or the largest of them.
pub fn tunnel_text(floor_m2: f64) -> String {
    let width_m = (floor_m2 / TUNNEL_LENGTH_PER_WIDTH)
        .sqrt()
        .clamp(TUNNEL_WIDTH_M.0, TUNNEL_WIDTH_M.1);
    let length_m = (floor_m2 / width_m).clamp(TUNNEL_WIDTH_M.0, TUNNEL_LENGTH_MOST_M);
    let height_m = TUNNEL_HEIGHT_PER_WIDTH * width_m;
    format!(
        "[site]\nplace = \"Helena\"\n[building]\nshape = \"hoop\"\nlength = {length_m:?}\nwidth = {width_m:?}\n\
         height = {height_m:?}\nglazing = \"film\"\nbeds = 1\n"
    )
}

/// A plain tunnel of one film on the same floor, without heat.
///
/// # Errors
/// [`StudyError::File`] if the floor is so small or large that no tunnel can stand on it.
pub fn plain_tunnel(job: &Job) -> Result<House, StudyError> {
    let text = tunnel_text(floor_m2(job));
    let mut house = file::parse("plain tunnel", &text)?.house;
    if let (Some(floor), Some(own)) = (&mut house.floor, &job.project.house.floor) {
        floor.soil = own.soil;
    }
    house.horizon.clone_from(&job.project.house.horizon);
    house.parts.clone_from(&job.project.house.parts);
    // A floor larger than tunnels have is not theirs.
    let fits = (house.floor.as_ref().map_or(0.0, |floor| floor.area_m2) / floor_m2(job)).min(1.0);
    for part in &mut house.parts {
        part.area_m2 *= fits;
    }
    Ok(house)
}

/// Open beds on the same soil, as a house whose roof lets everything through.
pub fn outdoors(job: &Job) -> House {
    let own = &job.project.house;
    let area_m2 = floor_m2(job);
    let nothing = Glazing {
        name: "open sky".to_owned(),
        sheets: 1,
        refractive_index: 1.0,
        extinction_solar: 0.0,
        extinction_par: 0.0,
        haze: 0.0,
        long_wave_transmittance: 1.0,
        long_wave_emissivity: 0.0,
        u_w_m2k: OPEN_AIR_U_W_M2K,
        condensation_loss: 0.0,
        frame_share: 0.0,
        dirt_share: 0.0,
    };
    House {
        surfaces: vec![Surface {
            name: "open sky".to_owned(),
            area_m2,
            tilt_deg: 0.0,
            azimuth_deg: 180.0,
            make: Make::AirToAir {
                u_w_m2k: OPEN_AIR_U_W_M2K,
                inner_capacity_j_m2k: 0.0,
            },
            behind: Behind::Outdoor,
            kind: SurfaceKind::Glazed(GlazedFace {
                glazing: nothing,
                long_wave_transmittance: 1.0,
                long_wave_wet: 1.0,
                emissivity_outside: 0.0,
                curtain: None,
            }),
            emissivity_inside: 0.0,
            absorptance_inside: 0.0,
            outlook: Outlook::default(),
        }],
        floor: own.floor.clone().map(|floor| Floor {
            perimeter_m: 0.0,
            skirt: None,
            ..floor
        }),
        air: Air {
            volume_m3: OPEN_AIR_HEIGHT_M * area_m2,
            light_capacity_j_k: 0.0,
            infiltration: Infiltration {
                constant_per_h: Schedule::Constant(OPEN_AIR_CHANGES_PER_H),
                per_wind_s_m_h: 0.0,
                per_root_k_h: 0.0,
                ..Infiltration::default()
            },
            ..Air::default()
        },
        // Leaves that gave off no water would scald in the sun of a summer's day.
        canopy: own.canopy.clone(),
        horizon: own.horizon.clone(),
        snow: SnowOnGlazing::None,
        sun_shares: SunShares {
            walls: Some(0.0),
            air: 0.0,
            ..SunShares::default()
        },
        ..House::default()
    }
}

/// The text of the job's project file, `text` as it was read, changed so that it describes `house`.
///
/// Weather years and seed are those of the job. The text is read again and must give the very same building.
///
/// # Errors
/// [`StudyError::Edit`] or [`StudyError::NotTheSame`] for a building that the file's keys cannot describe by changing this file.
pub fn variant_text(job: &Job, text: &str, house: &House) -> Result<String, StudyError> {
    let mut edit = Edit::new(text)?;
    edit.change_house(&job.project, house)?;
    let planning = &job.project.planning;
    edit.whole("year", "weather_years", planning.weather_years as i64)?;
    let seed = i64::try_from(planning.seed).map_err(|_| StudyError::NotTheSame)?;
    edit.whole("year", "seed", seed)?;
    let text = edit.text();
    let mut read = file::parse("changed project", &text)?;
    read.turn_to_equator(job.site.place.latitude_deg);
    match read.house == *house {
        true => Ok(text),
        false => Err(StudyError::NotTheSame),
    }
}
