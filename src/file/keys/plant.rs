//! Keys of what the building holds: store, heavy things, gains, heater, cooler, lamp, covers, crop, light.

use super::super::quantity::Dimension::*;
use super::Fallback::{Derived, Flag, Nothing, Number, Required, Word};
use super::Kind::{self, *};
use super::words::{ENERGIES, Of, words};
use super::{Key, NO_BOUND, SHARE, field, key};
use crate::house::cover_kinds::NAMES as COVERS;
use crate::house::{
    AirCollector, Beside, Canopy, Cooler, Door, FanLimits, Gain, Handling, Heater, HeavyNode,
    Infiltration, Lamp, PassageFan, PipeStore, SnowOnGlazing, SunShares,
};
use crate::words::Word as _;

/// Where a thing stands: nothing stands in both.
const HOUSE_OR_ROOM: &[&str] = Of::NAMES.split_at(2).0;
const SET_POINT: Option<(f64, f64)> = Some((-30.0, 60.0));

#[rustfmt::skip] // a table: one key a line
pub const KEYS: &[Key] = &[
    key("store", Table, Nothing("no store"), NO_BOUND, "fan and pipes that store the day's heat in the soil under the floor"),
    key("store.pipes", Whole, Required("in store"), Some((1.0, 500.0)), "number of pipes").fills(field!(PipeStore.pipes)),
    key("store.pipe_length", Quantity(Length), Required("in store"), Some((1.0, 200.0)), "length of each").fills(field!(PipeStore.length_m)),
    key("store.pipe_diameter", Quantity(Length), Number(0.1, "drain pipe of 100 mm; common practice, no source"), Some((0.02, 1.0)), "inner diameter").fills(field!(PipeStore.diameter_m)),
    key("store.depths", Quantities(Length), Number(0.6, "below the roots; common practice, no source"), Some((0.1, 4.0)), "depths of the pipe layers; the pipes are shared out evenly").fills(field!(PipeStore.depths_m)),
    key("store.flow", Quantity(Flow), Required("in store"), Some((0.001, 50.0)), "flow of the fan through all pipes together").fills(field!(PipeStore.flow_m3_s)),
    key("store.fan_power", Quantity(Power), Derived("286 W per m3/s: 100 Pa at an efficiency of 0.35, by definition of fan power"), Some((0.0, 100_000.0)), "electric power of the fan"),
    key("store.charge_above", Schedule(Temperature), Number(20.0, "common practice, no source"), SET_POINT, "stores heat while the air is above this and warmer than the store").fills(field!(PipeStore.charge_above_c)),
    key("store.draw_below", Schedule(Temperature), Number(8.0, "common practice, no source"), SET_POINT, "gives heat back while the air is below this and colder than the store").fills(field!(PipeStore.draw_below_c)),

    key("collector", Table, Nothing("no collector"), NO_BOUND, "an inner face that warms the air which the store's fan draws in"),
    key("collector.beam_share", Quantity(Share), Required("in collector"), SHARE, "share of the beam entering the house that it takes").fills(field!(AirCollector.beam_share)),
    key("collector.effectiveness", Quantity(Share), Number(0.5, "common practice, no source"), SHARE, "share of that heat which the drawn air takes up").fills(field!(AirCollector.effectiveness)),

    key("heavy[]", Tables, Nothing("no heavy things"), NO_BOUND, "heavy things in the room: water barrels, inner walls"),
    key("heavy[].name", Text, Derived("heavy 1, heavy 2 and so on"), NO_BOUND, "its name"),
    key("heavy[].of", Kind::Word(HOUSE_OR_ROOM), Word("house", "it stands in the house"), NO_BOUND, "where it stands: in the house, or in the room that is simulated with it"),
    key("heavy[].water", Quantity(Volume), Required("in heavy, without capacity"), Some((0.001, 1e5)), "volume of water"),
    key("heavy[].capacity", Quantity(HeatCapacity), Nothing("water says it"), Some((1.0, 1e12)), "heat capacity"),
    key("heavy[].area", Quantity(Area), Derived("6 m2 per m3 of water to the power 2/3: about what a barrel shows"), Some((0.001, 1e5)), "surface towards the room"),
    key("heavy[].film", Quantity(Transmittance), Number(8.0, "indoor film of ISO 6946, convection and radiation, upright (from memory: 7.7)"), Some((0.1, 100.0)), "film between surface and room").fills(field!(HeavyNode.film_w_m2k)),
    key("heavy[].sun_share", Quantity(Share), Number(0.0, "not in the sun"), SHARE, "share of the sun entering the house that it keeps").fills(field!(HeavyNode.sun_share)),

    key("gain[]", Tables, Nothing("no gains"), NO_BOUND, "heat given off in the house by the clock or the month"),
    key("gain[].name", Text, Derived("gain 1, gain 2 and so on"), NO_BOUND, "its name"),
    key("gain[].of", Kind::Word(HOUSE_OR_ROOM), Word("house", "it is given off in the house"), NO_BOUND, "where it is given off: in the house, or in the room that is simulated with it"),
    key("gain[].heat", Schedule(Power), Required("in gain"), Some((-1e6, 1e6)), "sensible heat").fills(field!(Gain.heat_w)),
    key("gain[].radiant_share", Quantity(Share), Number(0.0, "all to the air"), SHARE, "share given off by radiation").fills(field!(Gain.radiant_share)),
    key("gain[].energy", Kind::Word(&words(&ENERGIES)), Word("free", "nothing to pay"), NO_BOUND, "where its energy comes from"),

    key("room", Table, Nothing("no room is simulated with the house"), NO_BOUND, "a room beside that is simulated with the house, such as a sunspace, a head house or a heated workshop; its faces, heavy things and gains say of = room"),
    key("room.name", Text, Derived("room beside"), NO_BOUND, "its name"),
    key("room.volume", Quantity(Volume), Required("in room"), Some((0.5, 1e5)), "volume of its air"),
    key("room.infiltration", Schedule(AirChange), Number(0.5, "an ordinary building; the value of the published test boxes"), Some((0.0, 60.0)), "its air change with outdoors through leaks in still weather").fills(field!(Infiltration.constant_per_h)),
    key("room.infiltration_wind", Kind::Number, Number(0.0, "contained in the still air change"), Some((0.0, 10.0)), "growth of that with wind, 1/h per m/s").fills(field!(Infiltration.per_wind_s_m_h)),
    key("room.light_capacity", Quantity(HeatCapacity), Number(0.0, "its faces and heavy things say it"), Some((0.0, 1e9)), "heat capacity of light things in it that follow its air, such as furniture"),
    key("room.set_point", Schedule(Temperature), Nothing("it is not heated"), SET_POINT, "air temperature that its own heater holds"),
    key("room.capacity", Quantity(Power), Nothing("as much as is needed"), Some((0.0, 1e8)), "greatest heat of its heater"),
    key("room.heat_paid", Kind::Flag, Flag(true, "what warms the house is a cost of the house"), NO_BOUND, "is its heat bought for the house, at the price of the house's fuel? false where it is heated anyway: the money then says what it leaves out").fills(field!(Beside.heat_paid)),
    key("room.open_above", Schedule(Temperature), Nothing("its windows stay shut"), Some((-20.0, 60.0)), "air temperature above which its windows are opened to outdoors"),
    key("room.air_change", Quantity(AirChange), Number(5.0, "common practice, no source"), Some((0.0, 300.0)), "air changes an hour with its windows wide open"),
    key("room.door_area", Quantity(Area), Nothing("no door between"), Some((0.01, 500.0)), "area of a door to the house through which warm and cold air pass each other"),
    key("room.door_height", Quantity(Length), Number(2.0, "a door"), Some((0.05, 20.0)), "its height").fills(field!(Door.height_m)),
    key("room.door_open", Schedule(Share), Number(1.0, "it stands open"), SHARE, "share of the time that it stands open").fills(field!(Door.open)),
    key("room.fan_flow", Quantity(Flow), Nothing("no fan between"), Some((0.001, 500.0)), "flow of a fan between room and house; as much air comes back"),
    key("room.fan_power", Quantity(Power), Derived("as an exhaust fan"), Some((0.0, 1e6)), "its electric power"),
    key("room.fan_on", Schedule(Share), Number(1.0, "it may run at any time"), SHARE, "share of the time that it may run").fills(field!(PassageFan.on)),
    key("room.fan_warms", Kind::Word(Of::NAMES), Word("house", "a sunspace that warms the house"), NO_BOUND, "what it warms: it runs while the other is warmer by fan_difference; both: it runs whenever it may"),
    key("room.fan_difference", Quantity(TemperatureDifference), Number(3.0, "below that it moves more air than heat; common practice, no source"), Some((0.0, 50.0)), "how much warmer the other must be").fills(field!(FanLimits.by_k)),
    key("room.fan_until", Quantity(Temperature), Number(22.0, "warm enough; common practice, no source"), Some((-40.0, 60.0)), "air temperature of what it warms above which it stops").fills(field!(FanLimits.until_c)),

    key("heater", Table, Nothing("no heater"), NO_BOUND, "backup heater"),
    key("heater.set_point", Schedule(Temperature), Number(2.0, "keeps hardy greens from freezing; common practice, no source"), SET_POINT, "air temperature that it holds").fills(field!(Heater.set_point_c)),
    key("heater.capacity", Quantity(Power), Nothing("as much as is needed"), Some((0.0, 1e8)), "greatest heat output").fills(field!(Heater.capacity_w)),
    key("heater.energy", Kind::Word(&words(&ENERGIES)), Word("electricity", "needs no flue"), NO_BOUND, "where its energy comes from"),
    key("heater.efficiency", Quantity(Share), Derived("over the season, by fuel: 1 for electricity, 2.5 for a heat pump, 0.80 for propane and gas, 0.78 for oil, 0.63 for wood"), Some((0.05, 6.0)), "heat per energy bought; above 1 for a heat pump"),
    key("heater.vented", Kind::Flag, Flag(true, "a burner without a flue is no heater for a house with people and plants"), NO_BOUND, "do the flue gases of a burner leave the house?"),

    key("cooler", Table, Nothing("no cooler"), NO_BOUND, "cooler, sensible heat only"),
    key("cooler.set_point", Schedule(Temperature), Required("in cooler"), SET_POINT, "air temperature that it holds").fills(field!(Cooler.set_point_c)),
    key("cooler.capacity", Quantity(Power), Nothing("as much as is needed"), Some((0.0, 1e8)), "greatest heat taken away").fills(field!(Cooler.capacity_w)),

    key("lamp", Table, Nothing("no lamps"), NO_BOUND, "lamps over the beds"),
    key("lamp.photon_flux", Quantity(PhotonFlux), Required("in lamp"), Some((0.0, 3000.0)), "photosynthetic photon flux density at the bed").fills(field!(Lamp.ppfd_umol_m2_s)),
    key("lamp.power", Quantity(Power), Required("in lamp"), Some((0.0, 1e6)), "electric power of all lamps together").fills(field!(Lamp.power_w)),
    key("lamp.from", Quantity(ClockHour), Number(16.0, "lengthens the day at its end"), Some((0.0, 24.0)), "hour at which they go on"),
    key("lamp.to", Quantity(ClockHour), Number(20.0, "lengthens the day at its end"), Some((0.0, 24.0)), "hour at which they go off"),
    key("lamp.months", Season, Word("November to February", "the dark weeks"), NO_BOUND, "months in which they are used"),

    key("cover[]", Tables, Derived("those that the beds name, by their kind"), NO_BOUND, "covers over beds, one table for each"),
    key("cover[].name", Text, Derived("the kind"), NO_BOUND, "its name, by which beds ask for it"),
    key("cover[].kind", Kind::Word(&COVERS), Word("row cover", "light fabric on wires"), NO_BOUND, "what it is made of"),
    key("cover[].below", Quantity(Temperature), Number(5.0, "laid before a frost; judgement after growers' diaries"), Some((-30.0, 30.0)), "laid when the house falls below this, or an hour before dark if it did the day or night before").fills(field!(Handling.lay_below_c)),
    key("cover[].lift_above", Quantity(Temperature), Number(2.0, "lifted as the house warms in the sun; judgement after a farm diary"), Some((-30.0, 40.0)), "lifted by day when the house is above this and warmer than the soil under the cover").fills(field!(Handling.lift_above_c)),
    key("cover[].months", Season, Nothing("below says when"), NO_BOUND, "months in which it lies on by day and night"),
    key("cover[].night_months", Season, Nothing("below says when"), NO_BOUND, "months in which it lies on from sunset to sunrise, or from one hour to another"),
    key("cover[].from", Quantity(ClockHour), Nothing("sunset"), Some((0.0, 24.0)), "hour at which it is laid by hand in its night_months"),
    key("cover[].to", Quantity(ClockHour), Nothing("sunrise"), Some((0.0, 24.0)), "hour at which it is lifted"),
    key("cover[].light", Quantity(Share), Derived("by its kind"), SHARE, "sunlight let through"),
    key("cover[].long_wave", Quantity(Share), Derived("by its kind"), SHARE, "long-wave radiation let through in a cold night"),
    key("cover[].height", Quantity(Length), Derived("by its kind"), Some((0.01, 3.0)), "height of the air under it"),
    key("cover[].air_change", Quantity(AirChange), Derived("by its kind"), Some((0.0, 500.0)), "air changes of the air under it"),

    key("crop", Table, Nothing("every key at its default"), NO_BOUND, "standing crop as the simulation of the house sees it"),
    key("crop.leaf_area", Schedule(LeafArea), Number(1.5, "mixed beds, young and full-grown; common practice, no source"), Some((0.0, 8.0)), "leaf area per bed area, m2 per m2"),
    key("crop.transpires", Kind::Flag, Flag(true, "leaves do"), NO_BOUND, "does the crop transpire?").fills(field!(Canopy.transpires)),

    key("crop.band_from", Quantity(Temperature), Number(10.0, "leafy crops grow from about there; common practice, no source"), Some((-20.0, 50.0)), "sunlit hours are counted while the air is above this"),
    key("crop.band_to", Quantity(Temperature), Number(28.0, "above it most crops of the cool season suffer; common practice, no source"), Some((-20.0, 60.0)), "and below this"),

    key("light", Table, Nothing("every key at its default"), NO_BOUND, "light lost on its way in, and where it falls"),
    key("light.frame_loss", Quantity(Share), Derived("0.10 with a shape; 0 with surfaces alone"), Some((0.0, 0.9)), "share of light kept out by frame, gutters and gear"),
    key("light.dirt_loss", Quantity(Share), Derived("0.05 with a shape; 0 with surfaces alone"), Some((0.0, 0.9)), "share of light kept out by dirt and age"),
    key("light.condensation_loss", Quantity(Share), Derived("0.03 for glass, 0.09 for plastic sheet, 0.15 for film"), SHARE, "share of light that drops keep out while the glazing is wet with the house's own condensation; 0: none"),
    key("light.snow", Kind::Word(SnowOnGlazing::NAMES), Word("swept", "swept off each morning, as its weight asks; common practice, no source"), NO_BOUND, "snow on sloping glazing: swept the next morning, left until it slides or melts, or none"),
    key("light.walls_share", Quantity(Share), Derived("by the view between glazing, walls and floor"), SHARE, "share of the entered sun that falls on walls rather than floor and beds").fills(field!(SunShares.walls)),
    key("light.air_share", Quantity(Share), Number(0.05, "frames, pots and litter; common practice, no source"), SHARE, "share of the entered sun that light things give to the air at once"),
];
