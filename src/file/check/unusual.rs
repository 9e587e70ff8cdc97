//! Values that are allowed but unusual, each in one sentence. The limits are common practice without a source unless
//! one is named.

use super::{air_change_per_h, air_loss_w_k, part_losses, place_of};
use crate::calendar::{HOURS_PER_YEAR, MONTH_HEADS, month_of_hour};
use crate::file::project::Project;
use crate::file::quantity::US_R_M2_K_W;
use crate::file::shape::CrossSection;
use crate::house::{CoverTimes, House, Make, Schedule, SurfaceKind};
use crate::phrase::{Phrase, amount, bare, phrase};

/// Mean heights of houses, m.
const HEIGHT_M: (f64, f64) = (1.2, 8.0);
/// Least distance of the vents' set point from the heater's, K.
const VENTS_ABOVE_HEATER_K: f64 = 2.0;

/// What is unusual in a project.
pub fn unusual(project: &Project) -> Vec<Phrase> {
    let mut found = Vec::new();
    building(project, &mut found);
    beds(project, &mut found);
    store(&project.house, &mut found);
    heating(project, &mut found);
    study(project, &mut found);
    found
}

fn building(project: &Project, found: &mut Vec<Phrase>) {
    let house = &project.house;
    if let Some(floor_m2) = project.built.floor_m2 {
        let height_m = house.air.volume_m3 / floor_m2;
        if !(HEIGHT_M.0..=HEIGHT_M.1).contains(&height_m) {
            found.push(phrase![
                "the mean height is ",
                amount(height_m, "m", 1),
                " (volume over floor); houses have ",
                bare(HEIGHT_M.0, "m", 1),
                " to ",
                amount(HEIGHT_M.1, "m", 0)
            ]);
        }
        let parts = part_losses(house);
        let glazed = parts.iter().filter(|part| part.glazed);
        let per_floor = glazed.map(|part| part.area_m2).sum::<f64>() / floor_m2;
        if !project.beds.is_empty() && per_floor < 0.4 {
            found.push(format!(
                "the glazing is only {per_floor:.2} times the floor area: winter beds will be dark"
            ).into());
        }
    }
    let air_change = air_change_per_h(house);
    if !(0.05..=5.0).contains(&air_change) {
        found.push(format!("the air changes {air_change:.2} times an hour at a usual wind; in greenhouses 0.2 to 4 times").into());
    }
    for surface in &house.surfaces {
        let (
            SurfaceKind::Opaque { .. },
            Make::FaceToFace {
                resistance_m2k_w, ..
            },
        ) = (&surface.kind, &surface.make)
        else {
            continue;
        };
        let (name, r, us_r) = (
            &surface.name,
            *resistance_m2k_w,
            resistance_m2k_w / US_R_M2_K_W,
        );
        if r > 10.0 {
            found.push(format!("{name}: R {r:.1} m2K/W (US R-{us_r:.0}) is more than walls have; is it a US R without R-?").into());
        }
        if r < 0.3 {
            found.push(
                format!("{name}: R {r:.2} m2K/W (US R-{us_r:.1}) is hardly an insulated wall")
                    .into(),
            );
        }
    }
    facing(project, found);
}

/// A front that looks away from the sun.
fn facing(project: &Project, found: &mut Vec<Phrase>) {
    let (Some(shape), Some(latitude_deg)) = (project.built.shape, place_of(project).0) else {
        return;
    };
    let equator_deg: f64 = if latitude_deg < 0.0 { 0.0 } else { 180.0 };
    let off_deg = (shape.facing_deg - equator_deg + 540.0).rem_euclid(360.0) - 180.0;
    let off_deg = off_deg.abs();
    let lopsided = matches!(shape.section, CrossSection::SingleSlope { .. });
    if lopsided && off_deg > 45.0 {
        found.push(
            format!("the glazed slope looks {off_deg:.0} degrees away from the equator").into(),
        );
    }
}

fn beds(project: &Project, found: &mut Vec<Phrase>) {
    let bed_m2: f64 = project.beds.iter().map(|bed| bed.area_m2).sum();
    if project.beds.is_empty() {
        found.push("there is no bed: the year inside can be shown, but nothing can be planned; add a [[bed]], or `beds` under [building]".into());
    }
    if let Some(share) = project.built.floor_m2.map(|floor_m2| bed_m2 / floor_m2)
        && share > 0.8
    {
        let percent = share * 100.0;
        found.push(
            format!("beds take {percent:.0} % of the floor, which leaves little for paths").into(),
        );
    }
    for wish in &project.shopping.wishes {
        // Winter greens give some 0.1 to 0.3 kg/m2 a week at best (common practice, no source).
        let per_m2 = wish.kg_week / bed_m2.max(f64::MIN_POSITIVE);
        if bed_m2 > 0.0 && per_m2 > 0.5 {
            found.push(phrase![
                format!("the target \"{}\" is ", wish.text),
                amount(per_m2, "kg/m2", 1),
                " of bed a week: more than beds give"
            ]);
        }
    }
}

fn store(house: &House, found: &mut Vec<Phrase>) {
    let Some(store) = &house.store else { return };
    let bore_m2 = std::f64::consts::PI / 4.0 * store.diameter_m.powi(2) * store.pipes as f64;
    let speed_m_s = store.flow_m3_s / bore_m2;
    if !(0.5..=6.0).contains(&speed_m_s) {
        found.push(phrase![
            "the air in the store's pipes moves at ",
            amount(speed_m_s, "m/s", 1),
            "; ",
            bare(1.0, "m/s", 0),
            " to ",
            bare(4.0, "m/s", 0),
            " is usual"
        ]);
    }
    let per_h = store.flow_m3_s * 3600.0 / house.air.volume_m3;
    if !(2.0..=25.0).contains(&per_h) {
        found.push(
            format!(
                "the store's fan moves the house's air {per_h:.1} times an hour; 4 to 15 is usual"
            )
            .into(),
        );
    }
    let power_w_per_m3_s = store.fan_w / store.flow_m3_s;
    if !(50.0..=2000.0).contains(&power_w_per_m3_s) {
        found.push(
            format!("the store's fan takes {power_w_per_m3_s:.0} W per m3/s; 100 to 700 is usual")
                .into(),
        );
    }
    let deepest_m = store.depths_m.iter().copied().fold(0.0, f64::max);
    let floor = house.floor.as_ref();
    if floor.is_some_and(|floor| deepest_m >= floor.depth_m) {
        found.push("pipes lie below the ground that is simulated; raise floor.depth".into());
    }
}

fn heating(project: &Project, found: &mut Vec<Phrase>) {
    let Some(heater) = &project.house.heater else {
        return;
    };
    let set_point_c = heater.set_point_c.at(0);
    if !project.beds.is_empty() && set_point_c > 15.0 {
        found.push(phrase![
            "the heater is set to ",
            amount(set_point_c, "°C", 0),
            " in January, which costs much fuel"
        ]);
    }
    let parts = part_losses(&project.house);
    let faces_w_k: f64 = parts.iter().map(|part| part.loss_w_k).sum();
    let lift_k = heater.capacity_w / (faces_w_k + air_loss_w_k(project));
    if lift_k < 10.0 {
        found.push(phrase![
            "the heater alone lifts the house by ",
            amount(lift_k, "K", 0),
            " over outdoors: little for a cold night"
        ]);
    }
    if let Some(vents) = &project.house.air.vents
        && (0..HOURS_PER_YEAR).any(|hour| {
            vents.set_point_c.at(hour) < heater.set_point_c.at(hour) + VENTS_ABOVE_HEATER_K
        })
    {
        found.push(phrase![
            "vents open at, or less than ",
            amount(VENTS_ABOVE_HEATER_K, "K", 0),
            " above, what the heater is set to: they will fight"
        ]);
    }
    covers_never_laid(&project.house, &heater.set_point_c, found);
    if heater.energy.burns() && project.built.burner_without_flue {
        found.push("the heater burns without a flue: see the caution on combustion".into());
    }
}

/// Covers that are laid below a temperature to which the air does not fall while a heater keeps up.
fn covers_never_laid(house: &House, set_point_c: &Schedule, found: &mut Vec<Phrase>) {
    let hours = 0..HOURS_PER_YEAR;
    let held_c: [f64; 12] = hours.fold([f64::INFINITY; 12], |mut least_c, hour| {
        let month = month_of_hour(hour);
        least_c[month] = least_c[month].min(set_point_c.at(hour));
        least_c
    });
    let covers = house.parts.iter().filter_map(|part| part.cover.as_ref());
    let mut named = Vec::new();
    for cover in covers {
        let CoverTimes::Handled(handling) = &cover.on else {
            continue;
        };
        let below_c = handling.lay_below_c;
        let months: Vec<usize> = (0..12).filter(|month| held_c[*month] >= below_c).collect();
        if months.is_empty() || named.contains(&&cover.name) {
            continue;
        }
        named.push(&cover.name);
        let heads: Vec<&str> = months.iter().map(|month| MONTH_HEADS[*month]).collect();
        let in_months = match heads.len() {
            12 => "all year".to_owned(),
            _ => format!("in {}", heads.join(", ")),
        };
        let held = months.iter().map(|month| held_c[*month]);
        let least_c = held.fold(f64::INFINITY, f64::min);
        found.push(phrase![
            format!("the {} is laid when the house falls below ", cover.name),
            amount(below_c, "°C", 1),
            ", and the heater is set to ",
            amount(least_c, "°C", 1),
            format!(" or more {in_months}: it will not be laid then while the heater keeps up; set `cover.below` above the heater, or the heater lower")
        ]);
    }
}

fn study(project: &Project, found: &mut Vec<Phrase>) {
    let years = project.planning.weather_years;
    if years < 10 && !project.beds.is_empty() {
        found.push(format!("{years} weather years say little of rare winters; 30 is usual").into());
    }
    let shopping = &project.shopping;
    if let (Some(produce), Some(groceries)) = (shopping.produce_month, shopping.groceries_month)
        && produce > 0.4 * groceries
    {
        // Fresh vegetables and fruit are about 13 % of US food at home (BLS Consumer Expenditure Survey 2017).
        let percent = produce / groceries * 100.0;
        found.push(
            format!("produce is {percent:.0} % of the groceries; about 13 % is usual").into(),
        );
    }
}
