//! Cautions: where a plan can hurt someone, said where it matters. They approve nothing; each names who decides.
//!
//! Facts are those of public guidance (extension services, product-safety and workplace-safety bodies, health
//! agencies); the wording is our own.

use crate::file::project::Project;
use crate::house::{EnergySource, VentKind};
use crate::phrase::{Phrase, amount, bare, phrase};

#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// What it is about.
    pub topic: &'static str,
    /// What to mind.
    pub text: Phrase,
    /// Who decides, and what was it taken from.
    pub decides: &'static str,
}

/// Depth of digging from which trenches are warned of, m, and from which they are warned of again (OSHA 29 CFR 1926
/// Subpart P: cave-in protection from 5 ft; read second hand).
const TRENCH_M: f64 = 1.2;
const DEEP_TRENCH_M: f64 = 1.5;
/// A usual barrel, L, and what a litre of water weighs, kg.
const BARREL_L: f64 = 200.0;
const WATER_KG_L: f64 = 1.0;
/// Water temperatures at which legionella multiply, °C (public health guidance; read second hand).
const LEGIONELLA_C: (f64, f64) = (25.0, 45.0);
/// Least distance of the spoil from the edge, m (the same rules: 2 ft; read second hand).
const SPOIL_FROM_EDGE_M: f64 = 0.6;

/// The cautions that a project calls for, in a fixed order.
pub fn cautions(project: &Project) -> Vec<Caution> {
    let depth_m = digging_m(project);
    let has_beds = !project.beds.is_empty();
    let when = |is: bool, [topic, text, decides]: Fixed| {
        is.then(|| Caution {
            topic,
            text: text.into(),
            decides,
        })
    };
    let list = [
        burns(project).then(|| combustion(project)),
        when(electric(project), ELECTRICITY),
        when(project.built.shape.is_some(), SNOW),
        when(depth_m > 0.0, SERVICES),
        (depth_m >= TRENCH_M).then(|| trench(depth_m)),
        when(project.house.store.is_some(), SOIL_AIR),
        (!project.house.heavy.is_empty()).then(water),
        when(has_beds, FOOD),
        when(has_beds, HEAT),
        when(has_beds, NUMBERS),
    ];
    list.into_iter().flatten().collect()
}

fn burns(project: &Project) -> bool {
    let heater = project.house.heater.iter().map(|heater| heater.energy);
    let gains = project.house.gains.iter().map(|gain| gain.energy);
    heater.chain(gains).any(|energy| energy.burns())
}

fn electric(project: &Project) -> bool {
    let house = &project.house;
    let from_mains = |energy: EnergySource| energy == EnergySource::Electricity;
    let vents = house.air.vents.as_ref().map(|vents| vents.kind);
    let heater = house.heater.as_ref().map(|heater| heater.energy);
    house.store.is_some()
        || house.lamp.is_some()
        || house.air.scheduled_fan.is_some()
        || matches!(vents, Some(VentKind::Fan { .. }))
        || heater.is_some_and(|energy| from_mains(energy) || energy.burns())
        || house.gains.iter().any(|gain| from_mains(gain.energy))
}

/// Deepest digging that the project asks for, m.
fn digging_m(project: &Project) -> f64 {
    let (store, floor) = (&project.house.store, &project.house.floor);
    let pipes = store.iter().flat_map(|store| store.depths_m.clone());
    let skirt = floor.iter().filter_map(|floor| Some(floor.skirt?.depth_m));
    pipes.chain(skirt).fold(0.0, f64::max)
}

fn combustion(project: &Project) -> Caution {
    let flue = if project.built.burner_without_flue {
        "The file says that the flue gases stay in the house: carbon monoxide and nitrogen dioxide harm people and plants, \
         and the water of the flame wets the leaves. Choose a heater with a flue or with separate combustion air. "
    } else {
        "Lead the flue gases outside and give the burner air of its own. "
    };
    let text = format!(
        "{flue}Have burner and flue looked over by a qualified person every year, fit a carbon monoxide alarm, and never \
         burn charcoal or run an engine inside; an open door does not make that safe. Keep film, sheet, curtain and foam \
         well away from hot parts."
    );
    Caution {
        topic: "combustion",
        text: text.into(),
        decides: "local fire and building authority, the appliance's listing and label",
    }
}

fn trench(depth_m: f64) -> Caution {
    let again = if depth_m >= DEEP_TRENCH_M {
        "At this depth the sides of a cut must be sloped or shored unless the ground is sound rock. "
    } else {
        "Cuts of this depth need a ladder close by, and loose ground gives way in shallower ones. "
    };
    Caution {
        topic: "digging deep",
        text: phrase![
            "The file asks for a cut ",
            amount(depth_m, "m", 1),
            " deep. ",
            again,
            "Keep the spoil at least ",
            amount(SPOIL_FROM_EDGE_M, "m", 1),
            " from the edge and water out, do not undercut footings, never work in it alone."
        ],
        decides: "workplace-safety rules of the place (in the United States OSHA 29 CFR 1926 Subpart P)",
    }
}

/// Words of a caution that do not depend on the project: its topic, what to mind, who decides.
type Fixed = [&'static str; 3];

const ELECTRICITY: Fixed = [
    "electricity and water",
    "A growing house is a wet place: every socket, heater, fan and lamp needs ground-fault (residual-current) \
     protection and a housing made for water. When such a device trips, heater and fan stop too: add a \
     low-temperature alarm that works without mains.",
    "the electrical code in force and a licensed electrician",
];

const SNOW: Fixed = [
    "snow and wind",
    "The program knows nothing of strength. Many frames are rated on the assumption that the house is heated while \
     it snows; a house that may freeze, a curtain that slows melting, an insulating cover or gear hung from the \
     frame need the frame's rating checked. Open a curtain when it snows and clear both sides evenly.",
    "local building department and a licensed engineer",
];

const SERVICES: Fixed = [
    "digging",
    "Have cables and pipes in the ground located before digging (in North America the free call-before-you-dig \
     service).",
    "the owners of the lines and the place's digging rules",
];

const SOIL_AIR: Fixed = [
    "air through soil",
    "Air moved through pipes in the ground can carry radon: test where the house joins a dwelling or people stay in \
     it for long. Warm damp air leaves water in cold pipes: lay them with a fall to a drain, leave access for \
     cleaning, and watch for mould.",
    "the health authority of the place (radon is acted on from 100 to 200 Bq/m3, by country)",
];

fn water() -> Caution {
    Caution {
        topic: "standing water",
        text: phrase![
            "A small child drowns in very little water: close barrels and tanks with a lid that a child cannot lift. A \
             full barrel of ",
            amount(BARREL_L, "L", 0),
            " weighs over ",
            amount(BARREL_L * WATER_KG_L, "kg", 0),
            ": set it on level ground and do not stack it. Water that stands at ",
            bare(LEGIONELLA_C.0, "°C", 0),
            " to ",
            amount(LEGIONELLA_C.1, "°C", 0),
            " for weeks must not feed mist or spray (legionella)."
        ],
        decides: "the public health authority",
    }
}

const FOOD: Fixed = [
    "food safety",
    "Raw manure belongs in the soil at least 120 days before a harvest that touches it, 90 days before others. Green \
     or sprouted potatoes, rhubarb leaves and the leaves of tomato and potato are not food. Vegetables kept in jars \
     need pressure canning. Test soil near old buildings for lead. Wash what is eaten raw.",
    "food-safety and extension guidance of the place",
];

const HEAT: Fixed = [
    "heat",
    "A closed house grows hot within minutes of sun. Never leave children or animals in it; for work in heat take \
     water, rest and shade.",
    "workplace-safety guidance; the simulated air is no measure of heat stress",
];

const NUMBERS: Fixed = [
    "what the numbers cannot promise",
    "A simulated coldest hour is an estimate: keep a thermometer with an alarm and another source of heat for crops \
     that must not freeze. Prices, yields and weather differ by place and year.",
    "building, electrical, gas, plumbing and health rules of the place come before anything printed here",
];
