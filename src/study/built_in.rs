//! The variants of a building that are compared without another file.

use super::measures::{night_curtain, without_store};
use super::{Job, StudyError, Variant, variants};
use crate::house::{House, SurfaceKind};
use crate::value;

/// The building as it is and the built-in variants that differ from it: without store, with a night curtain,
/// heated, a plain tunnel of the same floor free-running and heated, outdoors; the heated ones hold `set_point_c`
/// (°C).
///
/// A tunnel costs what is published for one, its film and its upkeep too, in place of the file's building; open beds cost
/// no building.
///
/// # Errors
/// [`StudyError::File`] if no tunnel can stand on the floor, [`StudyError::Value`] if its cost cannot be turned into the
/// currency of the file.
pub fn built_in(job: &Job, set_point_c: f64) -> Result<Vec<Variant>, StudyError> {
    let own = &job.project.house;
    let with = |name: &str, house: House| {
        let mut job = job.clone();
        job.project.house = house;
        Variant {
            name: name.to_owned(),
            job,
            cost_known: false,
        }
    };
    let tunnel = variants::plain_tunnel(job)?;
    let warm_tunnel = variants::kept_warm(job, tunnel.clone(), set_point_c);
    let mut list = vec![Variant {
        cost_known: true,
        ..with("as it is", own.clone())
    }];
    list.extend(without_store(own).map(|house| with("no store", house)));
    list.extend(night_curtain(job, own)?.map(|measure| with(measure.name, measure.house)));
    list.push(with(
        "heated",
        variants::held_at(job, set_point_c, job.project.costs.fuel),
    ));
    list.push(as_tunnel(with("plain tunnel", tunnel))?);
    list.push(as_tunnel(with("heated tunnel", warm_tunnel))?);
    let mut outdoors = with("outdoors", variants::outdoors(job));
    let costs = &mut outdoors.job.project.costs;
    (costs.building, costs.cover) = (None, None);
    costs.upkeep_year = Some(0.0);
    list.push(outdoors);
    Ok(list)
}

/// A tunnel with the published cost of one: building by its floor, film by its glazed area and life, upkeep as a share.
fn as_tunnel(mut variant: Variant) -> Result<Variant, StudyError> {
    let household = variant.job.household();
    let floor_m2 = variants::floor_m2(&variant.job);
    let film_m2 = glazed_m2(&variant.job.project.house);
    let building = floor_m2 * value::published_cost(&household, "build_high_tunnel")?;
    let film = film_m2 * value::published_cost(&household, "cover_cost_film")?;
    let figure = |item| value::input(item).map_or(0.0, |row| row.value);
    let costs = &mut variant.job.project.costs;
    costs.building = Some(building);
    costs.cover = Some(value::Cover {
        cost: film,
        life_years: figure("cover_life_film"),
    });
    costs.upkeep_year = Some(figure("upkeep_share") * building);
    variant.cost_known = true;
    Ok(variant)
}

fn glazed_m2(house: &House) -> f64 {
    house
        .surfaces
        .iter()
        .filter(|surface| matches!(surface.kind, SurfaceKind::Glazed(_)))
        .map(|surface| surface.area_m2)
        .sum()
}
