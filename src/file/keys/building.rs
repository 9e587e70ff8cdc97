//! Keys of the building: its shape or its surfaces, the ground under it, its air, vents and curtain.

use super::super::quantity::Dimension::*;
use super::Fallback::{Derived, Flag, Nothing, Number, Required, Word};
use super::Kind::{self, *};
use super::words::{BehindWord, Of, Pane, SOILS, words};
use super::{Key, NO_BOUND, SHARE, field, key};
use crate::file::StarterShape;
use crate::house::{Curtain, Floor, InnerFilm, OuterFilm, Soil};
use crate::words::Word as _;

/// Sizes of buildings that this program is meant for, from a cold frame to a hall.
const SIZE: Option<(f64, f64)> = Some((0.3, 500.0));
/// Factors beyond this say that the description is wrong, not that a figure is uncertain.
const FACTOR: Option<(f64, f64)> = Some((0.1, 10.0));
const PRACTICE: &str = "common practice, no source";

#[rustfmt::skip] // a table: one key a line
pub const KEYS: &[Key] = &[
    key("building", Table, Required("without a list of surfaces"), NO_BOUND, "the building by its shape"),
    key("building.shape", Kind::Word(StarterShape::NAMES), Word("gable", "the plainest shape"), NO_BOUND, "single slope: one glazed slope rising to a high back wall; lean-to: the same against a house, whose room lies behind the back wall; gable: two slopes and a ridge; hoop: film over bows"),
    key("building.length", Quantity(Length), Required("in building"), SIZE, "length along the ridge or the back wall, outside"),
    key("building.width", Quantity(Length), Required("in building"), SIZE, "width across the ridge, outside"),
    key("building.height", Quantity(Length), Derived("from shape and width"), Some((0.5, 30.0)), "greatest height above the ground inside: ridge, back wall or top of the bow"),
    key("building.low_wall", Quantity(Length), Derived("from the shape"), Some((0.0, 20.0)), "height of the front wall (single slope), the eaves (gable) or the upright sides (hoop)"),
    key("building.ridge_at", Quantity(Share), Number(0.5, "a gable with equal slopes"), Some((0.05, 0.95)), "where a gable's ridge stands, as a share of the width from the front"),
    key("building.facing", Quantity(Azimuth), Derived("towards the equator"), Some((0.0, 360.0)), "direction in which the front looks"),
    key("building.glazing", Kind::Glazing, Required("in building"), NO_BOUND, "kind of glazing"),
    key("building.glazing_u", Quantity(Transmittance), Derived("from the kind of glazing"), Some((0.2, 12.0)), "thermal transmittance of the glazing, air to air, inner film included"),
    key("building.front", Cladding, Derived("glazed"), NO_BOUND, "front wall"),
    key("building.back", Cladding, Derived("glazed; R-20 behind a single slope, R-10 between a lean-to and its house"), NO_BOUND, "back wall"),
    key("building.room_temperature", Schedule(Temperature), Number(20.0, "a heated living room; common practice, no source"), Some((-40.0, 60.0)), "air of the room behind the back wall of a lean-to"),
    key("building.ends", Cladding, Derived("glazed; R-20 at a single slope"), NO_BOUND, "end walls"),
    key("building.front_roof", Cladding, Derived("glazed"), NO_BOUND, "slope or half bow at the front"),
    key("building.back_roof", Cladding, Derived("glazed"), NO_BOUND, "slope or half bow at the back (gable, hoop)"),
    key("building.insulated_roof", Quantity(Share), Number(0.0, "the slope is glazed to the top"), Some((0.0, 0.95)), "share of a single slope's roof, at its upper end, that is solid and insulated like the back wall"),
    key("building.wall_capacity", Quantity(ArealHeatCapacity), Number(10_000.0, "boards inside the insulation: about 10 kJ/m2K; computed from 9 mm plywood at 1.0 MJ/m3K"), Some((0.0, 2e6)), "heat capacity inside the insulation of solid walls and roof"),
    key("building.back_capacity", Quantity(ArealHeatCapacity), Derived("wall_capacity"), Some((0.0, 2e6)), "heat capacity of the back wall inside its insulation, where it differs"),
    key("building.wall_absorptance", Quantity(Share), Number(0.6, "boards left as they are; common practice, no source"), SHARE, "share of sunlight that solid walls keep, inside and outside; 0.2 is white"),
    key("building.wall_thickness", Quantity(Length), Derived("0.15 m where walls are solid, else 0.05 m"), Some((0.0, 2.0)), "thickness of the wall over the edge of the floor"),
    key("building.volume", Quantity(Volume), Derived("from the shape"), Some((0.5, 1e6)), "volume of the air inside"),
    key("building.beds", Whole, Nothing("beds are listed one by one"), Some((1.0, 500.0)), "number of equal beds that fill the usual share of the floor"),
    key("building.bed_share", Quantity(Share), Number(0.6, "beds of 1.2 m and paths of 0.6 m, ends left free; common practice, no source"), Some((0.05, 0.95)), "share of the floor under the equal beds"),

    key("tuned", Table, Nothing("the building as described"), NO_BOUND, "factors that a logger taught, as `bedyear tune` writes them"),
    key("tuned.air_change", Kind::Number, Nothing("as described"), FACTOR, "factor on the leaks"),
    key("tuned.heat_loss", Kind::Number, Nothing("as described"), FACTOR, "factor on the thermal transmittance of every outer face"),
    key("tuned.heavy_mass", Kind::Number, Nothing("as described"), FACTOR, "factor on the heat capacity of walls inside, slab and heavy things"),
    key("tuned.edge_loss", Kind::Number, Nothing("as described"), FACTOR, "factor on the edge of the floor towards the outdoors"),
    key("tuned.store_exchange", Kind::Number, Nothing("as described"), FACTOR, "factor on the air that the store's fan moves through its pipes"),

    key("floor", Table, Nothing("every key at its default"), NO_BOUND, "the ground under the floor and the edge of the floor"),
    key("floor.area", Quantity(Area), Derived("from the shape; without a shape no floor on the ground"), Some((0.1, 250_000.0)), "floor on the ground"),
    key("floor.perimeter", Quantity(Length), Derived("from the shape, or of a square of that area"), Some((0.0, 5000.0)), "edge of the floor towards the outdoors"),
    key("floor.soil", Kind::Word(&words(&SOILS)), Word("moist loam", "a bed kept moist; mean of sand and clay"), NO_BOUND, "soil under and around the floor"),
    key("floor.soil_conductivity", Quantity(Conductivity), Derived("from the soil"), Some((0.02, 6.0)), "thermal conductivity of the soil").fills(field!(Soil.conductivity_w_mk)),
    key("floor.soil_heat_capacity", Quantity(VolumetricHeatCapacity), Derived("from the soil"), Some((1e5, 5e6)), "heat capacity of the soil per volume").fills(field!(Soil.heat_capacity_j_m3k)),
    key("floor.soil_water", Quantity(Share), Derived("from the soil"), Some((0.0, 0.6)), "water in the soil that freezes, m3 per m3").fills(field!(Soil.water_m3_m3)),
    key("floor.skirt_depth", Quantity(Length), Number(0.0, "no insulation down from the edge"), Some((0.0, 5.0)), "depth of the insulation down from the edge (skirt)"),
    key("floor.skirt", Quantity(Resistance), Number(1.76, "R-10, about 50 mm of extruded polystyrene; used only with a skirt_depth"), Some((0.0, 20.0)), "resistance of the skirt"),
    key("floor.slab_thickness", Quantity(Length), Nothing("no slab: beds and paths on the soil"), Some((0.01, 1.0)), "concrete slab on the soil"),
    key("floor.mulch", Quantity(Resistance), Number(0.0, "bare soil"), Some((0.0, 30.0)), "mulch, boards or insulation on the floor").fills(field!(Floor.mulch_m2k_w)),
    key("floor.depth", Quantity(Length), Number(5.0, "the yearly wave is small there"), Some((1.0, 15.0)), "depth of ground that is simulated").fills(field!(Floor.depth_m)),
    key("floor.layers", Whole, Number(25.0, "thin at the top, growing downwards"), Some((6.0, 80.0)), "layers of that ground").fills(field!(Floor.layers)),
    key("floor.absorptance", Quantity(Share), Number(0.8, "moist dark soil; common practice, no source"), SHARE, "share of sunlight that the floor keeps").fills(field!(Floor.absorptance)),
    key("floor.wet_share", Quantity(Share), Number(0.3, "beds watered, paths dry; common practice, no source"), SHARE, "share of the floor that stays moist at the surface").fills(field!(Floor.wet_share)),

    key("air", Table, Nothing("every key at its default"), NO_BOUND, "air change and how heat passes to the air"),
    key("air.infiltration", Schedule(AirChange), Derived("from the kind of glazing"), Some((0.0, 60.0)), "air change through leaks in still weather"),
    key("air.infiltration_wind", Kind::Number, Derived("a tenth of the still air change per m/s"), Some((0.0, 10.0)), "growth of the air change with wind, 1/h per m/s"),
    key("air.infiltration_stack", Kind::Number, Number(0.0, "contained in the still air change"), Some((0.0, 10.0)), "growth of the air change with the root of the difference to outdoors, 1/h per K^0.5"),
    key("air.volume", Quantity(Volume), Required("with surfaces, without a shape"), Some((0.5, 1e6)), "volume of the air inside"),
    key("air.light_capacity", Quantity(HeatCapacity), Derived("5 kJ/K per m2 of floor for frames, pots and benches; common practice, no source"), Some((0.0, 1e9)), "heat capacity of light things that follow the air"),
    key("air.inner_film", Kind::Word(InnerFilm::NAMES), Word("to air", "greenhouse practice: U is air to air"), NO_BOUND, "heat from the inner faces goes to the air alone, or to the air and by radiation among the faces (ordinary buildings)"),
    key("air.outer_film", Kind::Word(OuterFilm::NAMES), Derived("wind with a shape or the radiant node, else standard"), NO_BOUND, "outer film as contained in the U value, or growing with the wind of each hour: U then holds at 4 m/s"),

    key("vents", Table, Derived("vents that hold 27 C"), NO_BOUND, "vents or an exhaust fan that open above a set point"),
    key("vents.none", Kind::Flag, Flag(false, "a house without vents overheats"), NO_BOUND, "true: there are no vents"),
    key("vents.open_above", Schedule(Temperature), Number(27.0, PRACTICE), Some((-20.0, 60.0)), "air temperature that the vents hold"),
    key("vents.humidity", Quantity(Share), Nothing("never opened for humidity"), Some((0.3, 1.0)), "relative humidity above which they also open while outdoors is drier"),
    key("vents.air_change", Quantity(AirChange), Number(30.0, "one air change in two minutes; common practice, no source"), Some((0.0, 300.0)), "air changes an hour when fully open"),
    key("vents.opening", Quantity(Area), Nothing("air_change says it"), Some((0.01, 5000.0)), "area of the inlets, and of the outlets, of vents that wind and warm air drive"),
    key("vents.rise", Quantity(Length), Derived("half the height of the house"), Some((0.1, 30.0)), "height between the middles of inlets and outlets"),
    key("vents.flow", Quantity(Flow), Nothing("no exhaust fan"), Some((0.001, 500.0)), "flow of an exhaust fan"),
    key("vents.power", Quantity(Power), Derived("128 W per m3/s, the middle of tested ventilation fans (8 to 25 cfm/W)"), Some((0.0, 1e6)), "power of the exhaust fan at full flow"),

    key("fan", Table, Nothing("no fan by the clock"), NO_BOUND, "a fan that draws in outdoor air by the clock"),
    key("fan.flow", Quantity(Flow), Required("in fan"), Some((0.0, 500.0)), "flow while it runs"),
    key("fan.from", Quantity(ClockHour), Number(0.0, "all day"), Some((0.0, 24.0)), "hour at which it starts, local standard time"),
    key("fan.to", Quantity(ClockHour), Number(24.0, "all day"), Some((0.0, 24.0)), "hour at which it stops"),
    key("fan.power", Quantity(Power), Number(0.0, "neither its heat nor its power is counted"), Some((0.0, 1e6)), "power of the fan while it runs"),

    key("curtain", Table, Nothing("no curtain"), NO_BOUND, "curtain drawn inside the glazing at night"),
    key("curtain.resistance", Quantity(Resistance), Number(0.18, "single glass of 6.25 W/m2K with it 2.84 W/m2K (EP406.4, NRAES-33, from memory)"), Some((0.0, 5.0)), "resistance that it adds").fills(field!(Curtain.resistance_m2k_w)),
    key("curtain.long_wave", Quantity(Share), Number(0.1, "woven curtain with aluminium strips; common practice, no source"), SHARE, "share of long-wave radiation that passes through it").fills(field!(Curtain.long_wave_transmittance)),
    key("curtain.months", Season, Word("October to April", "the heating season"), NO_BOUND, "months in which it is drawn from sunset to sunrise").fills(field!(Curtain.drawn)),
];

#[rustfmt::skip] // a table: one key a line
pub const SURFACE_KEYS: &[Key] = &[
    key("surface[]", Tables, Derived("from the shape"), NO_BOUND, "the building face by face; alone, or beside a shape"),
    key("surface[].name", Text, Derived("surface 1, surface 2 and so on"), NO_BOUND, "its name"),
    key("surface[].of", Kind::Word(Of::NAMES), Word("house", "a face of the house"), NO_BOUND, "what it encloses: the house, the room that is simulated with it, or both: a wall between them, its layers from the room to the house"),
    key("surface[].kind", Kind::Word(Pane::NAMES), Required("in surface"), NO_BOUND, "solid, or letting light through"),
    key("surface[].area", Quantity(Area), Required("in surface"), Some((0.01, 250_000.0)), "area"),
    key("surface[].tilt", Quantity(Angle), Number(90.0, "upright"), Some((0.0, 180.0)), "tilt: 0 looks up, 90 is upright, 180 looks down"),
    key("surface[].facing", Quantity(Azimuth), Number(180.0, "counts only where it is tilted"), Some((0.0, 360.0)), "direction of its outward side"),
    key("surface[].u", Quantity(Transmittance), Required("without r and layers; a glazed one takes its kind's"), Some((0.01, 15.0)), "thermal transmittance from air to air, inner film included"),
    key("surface[].r", Quantity(Resistance), Nothing("u or layers say it"), Some((0.0, 100.0)), "resistance from face to face, films not counted"),
    key("surface[].layer[]", Tables, Nothing("u or r say it"), NO_BOUND, "layers from outside to inside"),
    key("surface[].layer[].name", Text, Nothing("no name"), NO_BOUND, "its name"),
    key("surface[].layer[].thickness", Quantity(Length), Required("in layer, without r"), Some((1e-5, 20.0)), "thickness"),
    key("surface[].layer[].conductivity", Quantity(Conductivity), Required("in layer, without r"), Some((0.001, 500.0)), "thermal conductivity"),
    key("surface[].layer[].density", Quantity(Density), Number(0.0, "a layer without mass"), Some((0.0, 20_000.0)), "density"),
    key("surface[].layer[].heat_capacity", Quantity(SpecificHeat), Number(0.0, "a layer without mass"), Some((0.0, 10_000.0)), "specific heat"),
    key("surface[].layer[].r", Quantity(Resistance), Nothing("thickness and conductivity say it"), Some((0.0, 100.0)), "resistance of a layer without mass"),
    key("surface[].capacity", Quantity(ArealHeatCapacity), Number(0.0, "no heavy inner side"), Some((0.0, 5e6)), "heat capacity on the inner side, with u or r"),
    key("surface[].absorptance", Quantity(Share), Number(0.6, "the value of the published test boxes"), SHARE, "share of sunlight that the outer face keeps"),
    key("surface[].absorptance_inside", Quantity(Share), Number(0.6, "the value of the published test boxes"), SHARE, "share of sunlight that the inner face keeps"),
    key("surface[].emissivity", Quantity(Share), Number(0.9, "most building materials; the value of the published test boxes"), SHARE, "long-wave emissivity of the outer face"),
    key("surface[].emissivity_inside", Quantity(Share), Number(0.9, "most building materials; the value of the published test boxes"), SHARE, "long-wave emissivity of the inner face"),
    key("surface[].behind", Kind::Word(BehindWord::NAMES), Word("outdoor", "an outer face"), NO_BOUND, "what lies behind: outdoor air with sun, sky and wind; outdoor air without them; ground; a room of given temperature; nothing (no heat passes)"),
    key("surface[].room_temperature", Schedule(Temperature), Number(20.0, "a heated living room; common practice, no source"), Some((-40.0, 60.0)), "air of the room, with behind = room"),
    key("surface[].depth", Quantity(Length), Number(1.0, "the middle of a wall 2 m deep; counts only against ground"), Some((0.0, 15.0)), "depth of its middle in the ground"),
    key("surface[].ground_temperature", Schedule(Temperature), Nothing("undisturbed ground at the depth"), Some((-40.0, 60.0)), "temperature right behind the face, with behind = ground: one, 12 by month or 24 by hour"),
    key("surface[].horizon", Kind::Horizon, Nothing("the site's horizon"), NO_BOUND, "skyline before this face, in place of the site's: azimuth from north and elevation, degrees"),
    key("surface[].width", Quantity(Length), Required("with an overhang or fins"), Some((0.01, 500.0)), "width of one window (or stretch of wall) that overhang and fins shade; the area may hold several alike"),
    key("surface[].height", Quantity(Length), Required("with an overhang or fins"), Some((0.01, 500.0)), "its height along the wall"),
    key("surface[].overhang", Quantity(Length), Nothing("no overhang"), Some((0.0, 100.0)), "depth of an overhang above it"),
    key("surface[].overhang_above", Quantity(Length), Number(0.0, "at the top of the window"), Some((0.0, 100.0)), "height of the overhang above the top of the window"),
    key("surface[].overhang_beyond", Quantities(Length), Number(0.0, "as wide as the window"), Some((0.0, 500.0)), "how far the overhang reaches beyond the window's sides, or a list of two: left, right as seen from outside"),
    key("surface[].fins", Quantities(Length), Nothing("no fins"), Some((0.0, 100.0)), "depth of the upright fins at its sides, or a list of two: left, right as seen from outside"),
    key("surface[].fins_beside", Quantities(Length), Number(0.0, "at the edges of the window"), Some((0.0, 500.0)), "distance of the fins from the window's edges, or a list of two: left, right"),
    key("surface[].fins_above", Quantity(Length), Number(0.0, "to the top of the window"), Some((0.0, 100.0)), "how far the fins reach above the top of the window"),
    key("surface[].fins_below", Quantity(Length), Number(0.0, "to the sill"), Some((0.0, 100.0)), "how far the fins reach below the sill"),
    key("surface[].glazing", Kind::Glazing, Nothing("transmittance and sheets, or g, say it"), NO_BOUND, "kind of glazing"),
    key("surface[].transmittance", Quantity(Share), Derived("from the kind, or from sheets and refractive index"), Some((0.0, 1.0)), "sunlight let through at right angles"),
    key("surface[].sheets", Whole, Number(1.0, "one sheet"), Some((1.0, 5.0)), "number of sheets"),
    key("surface[].refractive_index", Kind::Number, Number(1.526, "glass (Duffie & Beckman, from memory)"), Some((1.0, 2.5)), "refractive index of the sheets"),
    key("surface[].g", Quantity(Share), Nothing("transmittance and absorption say it"), SHARE, "total solar transmittance at right angles (g-value), inward flowing heat of the glazing included"),
    key("surface[].long_wave", Quantity(Share), Number(0.0, "glass and twin-wall sheet"), SHARE, "share of long-wave radiation that passes straight through"),
    key("surface[].long_wave_wet", Quantity(Share), Derived("0.45 of long_wave: drops cover the rest"), SHARE, "the same while its inner face is wet with drops"),
];
