//! A room that is simulated with the house: closed forms, both balances, and the sunspace of the published series.

use super::boxes::{heavy_face, light_face, standard_window};
use super::golden;
use super::shapes::{air, bare, between, glazed, opaque, tunnel, u};
use super::sky::{self, Sky};
use bedyear::house::*;
use bedyear::sun::Glazing;
use proptest::prelude::*;

const WALL: Layer = Layer {
    thickness_m: 0.2,
    conductivity_w_mk: 0.51,
    density_kg_m3: 1400.0,
    heat_capacity_j_kgk: 1000.0,
};
const WALL_M2: f64 = 20.0;
/// Specific heat of air as the program has it.
const SPECIFIC_HEAT_J_KGK: f64 = 1015.0;

fn shared(area_m2: f64, layers: Vec<Layer>) -> Surface {
    let mut wall = opaque("wall between", area_m2, 90.0, 180.0, Make::Layers(layers));
    wall.behind = Behind::Beside;
    wall.absorptance_inside = 0.6;
    wall
}

/// A house with a room beside it, each a box of the given UA, W/K.
fn two_boxes(house_w_k: f64, room_w_k: f64, film: InnerFilm) -> House {
    let wall = shared(WALL_M2, vec![WALL]);
    let outer = |ua: f64| opaque("outer", 50.0, 90.0, 0.0, u(ua / 50.0));
    let mut room = bare(
        vec![outer(room_w_k), wall.other_side()],
        None,
        air(60.0, 0.0),
    );
    let mut house = bare(vec![outer(house_w_k), wall], None, air(150.0, 0.0));
    (room.inner_film, house.inner_film) = (film, film);
    house.beside = Some(Box::new(Beside {
        name: "room".into(),
        room,
        door: None,
        fan: None,
        heat_paid: true,
        ..Beside::default()
    }));
    house
}

fn gain(heat_w: f64) -> Vec<Gain> {
    vec![Gain {
        name: "gain".into(),
        heat_w: Schedule::Constant(heat_w),
        radiant_share: 0.0,
        energy: EnergySource::Free,
        ..Gain::default()
    }]
}

fn settled(house: &House, sky: &Sky) -> HouseYear {
    let options = RunOptions::default();
    simulate(house, &sky.weather, &sky.sun, &sky.ground, &options)
        .expect("runs")
        .settled
}

fn room_of(year: &HouseYear) -> &HouseYear {
    year.beside.as_deref().expect("a room beside")
}

/// Both balances close, and what one gives the other takes, but for what the wall between holds.
fn agree(year: &HouseYear) {
    let room = room_of(year);
    assert!(year.balance_residual < 1e-6 && room.balance_residual < 1e-6);
    let (given, taken) = (room.year.beside_kwh, year.year.beside_kwh);
    let moved = given.abs().max(taken.abs()).max(1.0);
    assert!((given + taken).abs() < 1e-3 * moved, "{given} {taken}");
}

/// A steady heat source in one of two boxes: three resistances by hand (0.13 m2K/W at each face of the wall, ISO 6946).
#[test]
fn two_steady_boxes_stand_as_their_resistances_say() {
    let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    house.gains = gain(2000.0);
    let year = settled(&house, &sky::still(0.0));
    let between_w_k = WALL_M2 / (0.13 + 0.2 / 0.51 + 0.13);
    let through_w_k = 1.0 / (1.0 / between_w_k + 1.0 / 40.0);
    let house_c = 2000.0 / (100.0 + through_w_k);
    let room_c = house_c * between_w_k / (between_w_k + 40.0);
    assert!(
        (year.air_c[4000] - house_c).abs() < 1e-3,
        "{}",
        year.air_c[4000]
    );
    let room = room_of(&year);
    assert!(
        (room.air_c[4000] - room_c).abs() < 1e-3,
        "{}",
        room.air_c[4000]
    );
    let passed_kwh = 40.0 * room_c * 8.76;
    assert!((room.year.beside_kwh / passed_kwh - 1.0).abs() < 1e-3);
    agree(&year);
}

/// A fan between them carries m c dT, whichever way it blows (arithmetic); its power warms the house.
#[test]
fn a_fan_carries_heat_by_its_flow() {
    for (house_w, room_w) in [(2000.0, 0.0), (0.0, 2000.0)] {
        let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
        house.gains = gain(house_w);
        let beside = house.beside.as_mut().unwrap();
        beside.room.gains = gain(room_w);
        beside.fan = Some(PassageFan {
            flow_m3_s: 0.1,
            power_w: 50.0,
            on: Schedule::Constant(1.0),
            runs: FanRuns::Always,
            ..PassageFan::default()
        });
        let year = settled(&house, &sky::still(0.0));
        let room = room_of(&year);
        let (house_c, room_c) = (year.air_c[4000], room.air_c[4000]);
        let wall_w_k = WALL_M2 / (0.13 + 0.2 / 0.51 + 0.13);
        // Density at the mean of both temperatures; both balances by hand.
        let density =
            101.325 / 0.287_055 * 0.5 * (1.0 / (273.15 + house_c) + 1.0 / (273.15 + room_c));
        let between = (wall_w_k + 0.1 * density * SPECIFIC_HEAT_J_KGK) * (house_c - room_c);
        let near = |got: f64, want: f64| (got / want - 1.0).abs() < 2e-3;
        assert!(
            near(house_w + 50.0 - 100.0 * house_c, between),
            "{house_c} {room_c} {between}"
        );
        assert!(
            near(40.0 * room_c - room_w, between),
            "{house_c} {room_c} {between}"
        );
        assert!((year.year.fan_kwh - 0.05 * 8760.0).abs() < 1e-6);
        agree(&year);
    }
}

/// A fan that warms the house runs no longer than it takes: the room stands the stated difference above the house.
#[test]
fn a_fan_with_limits_lands_on_them() {
    let with = |limits: FanLimits| {
        let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
        let beside = house.beside.as_mut().unwrap();
        beside.room.gains = gain(2000.0);
        beside.fan = Some(PassageFan {
            flow_m3_s: 0.5,
            power_w: 0.0,
            on: Schedule::Constant(1.0),
            runs: FanRuns::WarmingHouse(limits),
            ..PassageFan::default()
        });
        let year = settled(&house, &sky::still(0.0));
        agree(&year);
        (year.air_c[4000], room_of(&year).air_c[4000])
    };
    let (house_c, room_c) = with(FanLimits {
        by_k: 4.0,
        until_c: 40.0,
        ..FanLimits::default()
    });
    assert!((room_c - house_c - 4.0).abs() < 1e-2, "{house_c} {room_c}");
    let (house_c, room_c) = with(FanLimits {
        by_k: 4.0,
        until_c: 10.0,
        ..FanLimits::default()
    });
    assert!(
        (house_c - 10.0).abs() < 1e-2 && room_c > house_c + 4.0,
        "{house_c} {room_c}"
    );
}

/// A warm room behind an open door: the two-way flow through a doorway as its formula has it (Brown & Solvason 1962, from memory;
/// read with the same coefficient in an open building library, ibpsa/modelica-ibpsa): a door of 2 m2, 2 m high, passes about 0.2
/// m3/s at 5 K.
#[test]
fn a_door_passes_what_its_formula_says() {
    let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    let beside = house.beside.as_mut().unwrap();
    beside.room.gains = gain(2000.0);
    beside.door = Some(Door {
        area_m2: 2.0,
        height_m: 2.0,
        open: Schedule::Constant(1.0),
        ..Door::default()
    });
    let year = settled(&house, &sky::still(0.0));
    let room = room_of(&year);
    let (house_c, room_c) = (year.air_c[4000], room.air_c[4000]);
    let mean_k = 273.15 + 0.5 * (house_c + room_c);
    let flow = 0.65 / 3.0 * 2.0 * (9.81_f64 * 2.0 * (room_c - house_c) / mean_k).sqrt();
    let wall_w_k = WALL_M2 / (0.13 + 0.2 / 0.51 + 0.13);
    let between =
        (wall_w_k + flow * 101.325 / 0.287_055 / mean_k * SPECIFIC_HEAT_J_KGK) * (room_c - house_c);
    assert!(
        (100.0 * house_c / between - 1.0).abs() < 3e-3,
        "{house_c} {room_c} {between}"
    );
    agree(&year);
}

/// The heat of a room that is heated for the house is bought with the house's own; that of a room which is heated anyway is told
/// apart.
#[test]
fn the_heat_of_a_room_is_bought_or_told_apart() {
    let heater = |set_point_c: f64| {
        Some(Heater {
            set_point_c: Schedule::Constant(set_point_c),
            capacity_w: f64::INFINITY,
            energy: EnergySource::Free,
            efficiency: 1.0,
            ..Heater::default()
        })
    };
    let bought_kwh = |year: &HouseYear| year.bought_heat_by_month_kwh().iter().sum::<f64>();
    let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    house.heater = heater(5.0);
    house.beside.as_mut().unwrap().room.heater = heater(18.0);
    let sky = sky::shelf("helena");
    let paid = settled(&house, &sky);
    let room_kwh = room_of(&paid).year.heater_kwh;
    let sum_kwh = paid.year.heater_kwh + room_kwh;
    assert!(room_kwh > 1000.0 && paid.unpaid_heat_kwh() == 0.0);
    assert!((bought_kwh(&paid) - sum_kwh).abs() < 1e-6);
    house.beside.as_mut().unwrap().heat_paid = false;
    let anyway = settled(&house, &sky);
    assert!((bought_kwh(&anyway) - paid.year.heater_kwh).abs() < 1e-6);
    assert!((anyway.unpaid_heat_kwh() - room_kwh).abs() < 1e-6);
}

/// A room held at 20 °C stands for a room of a given 20 °C.
#[test]
fn a_held_room_is_a_room_of_given_temperature() {
    let sky = sky::shelf("helena");
    let held = |house: &mut House| {
        house.heater = Some(Heater {
            set_point_c: Schedule::Constant(20.0),
            capacity_w: f64::INFINITY,
            energy: EnergySource::Free,
            efficiency: 1.0,
            ..Heater::default()
        });
        house.cooler = Some(Cooler {
            set_point_c: Schedule::Constant(20.0),
            capacity_w: f64::INFINITY,
            ..Cooler::default()
        });
    };
    let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    held(&mut house.beside.as_mut().unwrap().room);
    let both = settled(&house, &sky);
    let mut alone = house.clone();
    alone.beside = None;
    alone.surfaces[1].behind = Behind::Room(Schedule::Constant(20.0));
    let alone = settled(&alone, &sky);
    let worst = both
        .air_c
        .iter()
        .zip(&alone.air_c)
        .fold(0.0_f64, |worst, (a, b)| worst.max((a - b).abs()));
    assert!(worst < 1e-3, "{worst}");
}

/// A greenhouse with all that it can have and a sunlit room beside it, door and fan: whole years of hours close in both.
#[test]
fn a_house_and_a_room_in_the_sun_close_their_balances() {
    for place in ["fairbanks", "helena", "miami"] {
        let sky = sky::shelf(place);
        for film in [InnerFilm::ToAir, InnerFilm::RadiantNode] {
            let mut house = tunnel();
            house.inner_film = film;
            let wall = shared(18.0, vec![WALL]);
            let glass = Glazing::kind("double-glass").expect("a kind");
            let mut room = bare(
                vec![
                    opaque("roof", 20.0, 20.0, 180.0, u(0.3)),
                    opaque("floor", 20.0, 180.0, 0.0, u(0.4)),
                    glazed("window", 8.0, 90.0, 180.0, glass),
                    wall.other_side(),
                ],
                None,
                air(50.0, 0.5),
            );
            room.inner_film = film;
            house.surfaces.push(wall);
            house.beside = Some(Box::new(Beside {
                name: "sunspace".into(),
                room,
                door: Some(Door {
                    area_m2: 2.0,
                    height_m: 2.0,
                    open: between(9, 16, 1.0, 0.0),
                    ..Door::default()
                }),
                fan: Some(PassageFan {
                    flow_m3_s: 0.15,
                    power_w: 40.0,
                    on: Schedule::Constant(1.0),
                    runs: FanRuns::WarmingHouse(FanLimits {
                        by_k: 3.0,
                        until_c: 22.0,
                        ..FanLimits::default()
                    }),
                    ..PassageFan::default()
                }),
                heat_paid: true,
                ..Beside::default()
            }));
            let year = settled(&house, &sky);
            let room = room_of(&year);
            println!(
                "{place}: house {:.0} kWh from the room, the room {:.0} from the house",
                year.year.beside_kwh, room.year.beside_kwh
            );
            assert!(year.balance_residual < 1e-6 && room.balance_residual < 1e-6);
            assert!(year.year.beside_kwh > 0.0);
        }
    }
}

/// A dark house behind a sunspace: light comes through the glazing between them, and both balances close. In the sunspace all faces
/// but the panes are black, so that light is caught where it falls first: on the floor, else on walls (55 m2), the glazing between (10 m2,
/// even light 0.62) and the window (15 m2) by area. Of what misses the floor the glazing between passes 10/80 of 0.62, 0.078; a window
/// sends a fifth to three quarters of its light past the floor, so that 0.016 to 0.06 of all passes on.
#[test]
fn light_passes_through_glazing_between() {
    let sky = golden::hours();
    let glass = Glazing::kind("double-glass").expect("a kind");
    let between = |glass: Option<Glazing>| {
        let mut wall = match glass {
            Some(glass) => glazed("between", 10.0, 90.0, 180.0, glass),
            None => opaque("between", 10.0, 90.0, 180.0, u(2.0)),
        };
        wall.make = Make::Layers(wall.make.into_layers(0.26));
        wall.behind = Behind::Beside;
        wall
    };
    let house_with = |wall: Surface| {
        let black = |mut face: Surface| {
            face.absorptance_inside = 1.0;
            face
        };
        let mut room = bare(
            vec![
                black(opaque("roof", 20.0, 0.0, 180.0, u(0.3))),
                black(opaque("walls", 35.0, 90.0, 90.0, u(0.3))),
                black(opaque("floor", 20.0, 180.0, 0.0, u(0.4))),
                glazed("window", 15.0, 90.0, 180.0, glass.clone()),
                wall.other_side(),
            ],
            None,
            air(50.0, 0.5),
        );
        room.inner_film = InnerFilm::ToAir;
        let mut house = tunnel();
        house.inner_film = InnerFilm::ToAir;
        house.surfaces = vec![opaque("shell", 120.0, 90.0, 0.0, u(0.3)), wall];
        house.beside = Some(Box::new(Beside {
            name: "sunspace".into(),
            room,
            door: None,
            fan: None,
            heat_paid: true,
            ..Beside::default()
        }));
        house
    };
    let dark = settled(&house_with(between(None)), &sky);
    let lit = settled(&house_with(between(Some(glass.clone()))), &sky);
    let mol = |year: &HouseYear| year.light_mol_m2_h.iter().sum::<f64>() / 365.0;
    let entering = |year: &HouseYear| year.sun_entering_w.iter().sum::<f64>();
    let share = entering(&lit) / entering(room_of(&lit));
    println!(
        "light at the bed {:.2} mol/m2/day; {share:.3} of the sunspace's sun passes on",
        mol(&lit)
    );
    assert_eq!(mol(&dark), 0.0);
    assert!(
        mol(&lit) > 0.01 && (0.016..0.06).contains(&share),
        "{share}"
    );
    assert!(lit.year.sun_kwh > 0.0 && dark.year.sun_kwh == 0.0);
    agree(&lit);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Cupboards to halls beside a tunnel, any door and fan: both balances close, and what the one gives the other gets.
    #[test]
    fn any_room_agrees_with_its_house(
        (volume, wall_m2, thick) in (0.5_f64..2000.0, 0.1_f64..200.0, 0.01_f64..0.6),
        (u_room, window_m2, leaks) in (0.1_f64..6.0, 0.0_f64..60.0, 0.0_f64..5.0),
        (door_m2, fan_m3_s, warms) in (0.0_f64..50.0, 0.0_f64..50.0, 0_usize..3),
        (heat_w, set_c, film) in (0.0_f64..5000.0, 0.0_f64..25.0, 0_usize..2),
        place in 0_usize..3,
    ) {
        let sky = sky::shelf(["fairbanks", "golden", "miami"][place]);
        let film = [InnerFilm::ToAir, InnerFilm::RadiantNode][film];
        let mut house = tunnel();
        house.inner_film = film;
        let wall = shared(wall_m2, vec![Layer { thickness_m: thick, ..WALL }]);
        let glass = Glazing::kind("double-glass").expect("a kind");
        let mut surfaces = vec![
            opaque("shell", 4.0 * volume.powf(2.0 / 3.0), 90.0, 0.0, u(u_room)),
            wall.other_side(),
        ];
        if window_m2 > 1.0 {
            surfaces.push(glazed("window", window_m2, 90.0, 180.0, glass));
        }
        let mut room = bare(surfaces, None, air(volume, leaks));
        room.inner_film = film;
        room.gains = gain(heat_w);
        room.heater = Some(Heater {
            set_point_c: Schedule::Constant(set_c),
            capacity_w: 3000.0,
            energy: EnergySource::Free,
            efficiency: 1.0, ..Heater::default() });
        house.surfaces.push(wall);
        let limits = FanLimits { by_k: 2.0, until_c: 20.0, ..FanLimits::default() };
        house.beside = Some(Box::new(Beside {
            name: "room".into(),
            room,
            door: (door_m2 > 1.0).then_some(Door {
                area_m2: door_m2,
                height_m: 2.0,
                open: between(8, 18, 1.0, 0.0), ..Door::default() }),
            fan: (fan_m3_s > 1.0).then_some(PassageFan {
                flow_m3_s: fan_m3_s,
                power_w: 100.0,
                on: Schedule::Constant(1.0),
                runs: [FanRuns::Always, FanRuns::WarmingHouse(limits), FanRuns::WarmingRoom(limits)][warms], ..PassageFan::default() }),
            heat_paid: true, ..Beside::default() }));
        let year = settled(&house, &sky);
        let room = room_of(&year);
        prop_assert!(year.balance_residual < 1e-5 && room.balance_residual < 1e-5);
        let (given, taken) = (room.year.beside_kwh, year.year.beside_kwh);
        let moved = room.year.throughput_kwh().max(given.abs()).max(1.0);
        prop_assert!((given + taken).abs() < 2e-3 * moved, "{given} {taken} {moved}");
    }
}

/// Years one after the other carry the room's state along.
#[test]
fn weather_years_take_the_room_with_them() {
    let sky = sky::shelf("helena");
    let mut house = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    house.beside.as_mut().unwrap().room.gains = gain(500.0);
    let options = RunOptions::default();
    let run = simulate(&house, &sky.weather, &sky.sun, &sky.ground, &options).unwrap();
    let weathers = vec![sky.weather.clone(); 7];
    let years = sky::simulate_years(&house, &weathers, (&sky.sun, &sky.ground), &run).unwrap();
    for year in &years {
        let worst = room_of(year)
            .air_c
            .iter()
            .zip(&room_of(&run.settled).air_c)
            .fold(0.0_f64, |worst, (a, b)| worst.max((a - b).abs()));
        assert!(worst < 0.05, "{worst}");
    }
}

#[test]
fn a_wall_to_no_room_and_a_room_that_does_not_fit_are_refused() {
    let mut lonely = two_boxes(100.0, 40.0, InnerFilm::ToAir);
    let beside = lonely.beside.take();
    assert!(matches!(
        check_house(&lonely),
        Err(HouseError::NoRoomBeside { .. })
    ));
    lonely.beside = beside;
    assert!(check_house(&lonely).is_ok());
    lonely.beside.as_mut().unwrap().room.surfaces[1].area_m2 = 3.0;
    assert!(matches!(
        check_house(&lonely),
        Err(HouseError::RoomBeside { .. })
    ));
}

/// Case 960: the light box without windows, heated and cooled, behind a heavy sunspace 2 m deep with the south windows, 0.2 m of
/// concrete between them. Input figures as in an open model of the case (lbl-srg/modelica-buildings).
fn sunspace() -> House {
    let mut back = super::boxes::conditioned(false);
    let wall = {
        let mut wall = shared(21.6, vec![WALL]);
        wall.azimuth_deg = 180.0;
        wall
    };
    back.surfaces
        .retain(|surface| surface.name != "south" && surface.name != "window");
    let mut room = super::boxes::standard_box(true);
    room.gains.clear();
    room.air = air(43.2, 0.5);
    room.surfaces = vec![
        heavy_face("south", 9.6, 90.0, 180.0),
        heavy_face("east", 5.4, 90.0, 90.0),
        heavy_face("west", 5.4, 90.0, 270.0),
        light_face("roof", 16.0, 0.0, 180.0),
        heavy_face("floor", 16.0, 180.0, 0.0),
        standard_window(),
        wall.other_side(),
    ];
    back.surfaces.push(wall);
    back.beside = Some(Box::new(Beside {
        name: "sunspace".into(),
        room,
        door: None,
        fan: None,
        heat_paid: true,
        ..Beside::default()
    }));
    back
}

/// Golden is not Denver: its south wall gets 1309 kWh/m2 a year against 1370 published for the standard's weather, and it is a
/// kelvin colder (see the other boxes). A sunspace lives on small differences of both, so that the case is run on this
/// file's hours brought to the standard's sun and air; as they stand, the sunspace is 2 to 4 K colder.
fn like_denver() -> Sky {
    let mut sky = golden::hours();
    let weather = &mut sky.weather;
    for column in [
        &mut weather.ghi_w_m2,
        &mut weather.dni_w_m2,
        &mut weather.dhi_w_m2,
    ] {
        column.iter_mut().for_each(|w_m2| *w_m2 *= 1370.0 / 1309.0);
    }
    for (air_c, sky_w_m2) in weather
        .temp_air_c
        .iter_mut()
        .zip(&mut weather.sky_long_wave_w_m2)
    {
        let warmer = (*air_c + 274.15) / (*air_c + 273.15);
        *air_c += 1.0;
        *sky_w_m2 *= warmer.powi(4);
    }
    sky
}

fn mwh(column: &[f64]) -> f64 {
    column.iter().sum::<f64>() / 1.0e6
}

/// Coldest, mean, hottest of a year's air, °C.
fn course(air_c: &[f64]) -> [f64; 3] {
    let hottest = air_c.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let coldest = air_c.iter().copied().fold(f64::INFINITY, f64::min);
    [
        coldest,
        air_c.iter().sum::<f64>() / air_c.len() as f64,
        hottest,
    ]
}

/// Published spread of the programs that the standard was tried with, edition 2020, Denver (tables B8-1, B8-2 and B8-5, read in
/// an open rendering of them, and the same figures in an open model of the case), widened as for the other boxes. The coldest
/// hour of a weather file is its own: compared is how much warmer than the heavy box the sunspace stays in it, program by
/// program 3.4 to 5.8 K. Nothing was set to fit them; with Golden's hours as they stand the case takes 2.94 MWh of heat and
/// 0.56 of cooling, and the sunspace is at -0.1, 26.2 and 50.6 °C.
#[test]
fn the_published_sunspace_lies_in_its_bands() {
    let sky = like_denver();
    let heavy_box = course(&settled(&super::boxes::standard_box(true), &sky).air_c);
    let year = settled(&sunspace(), &sky);
    assert!(year.balance_residual < 1e-6 && room_of(&year).balance_residual < 1e-6);
    let [coldest, mean, hottest] = course(&room_of(&year).air_c);
    let rows = [
        (
            "heating, MWh",
            mwh(&year.heater_w),
            2.522 * 0.95,
            2.860 * 1.05,
        ),
        (
            "cooling, MWh",
            mwh(&year.cooler_w),
            0.789 * 0.95,
            0.950 * 1.05,
        ),
        ("sunspace hottest, °C", hottest, 48.1 - 1.0, 53.2 + 1.0),
        ("sunspace mean, °C", mean, 26.8 - 1.0, 29.4 + 1.0),
        (
            "sunspace coldest above the heavy box, K",
            coldest - heavy_box[0],
            3.4,
            5.8,
        ),
    ];
    for (what, got, low, high) in rows {
        println!("960 {what}: {got:.2}, {low:.2} to {high:.2}");
        assert!((low..=high).contains(&got), "{what}: {got}");
    }
}
