//! Covers, edge beds, rooms beside the house: what the file may say of them.

use bedyear::file::parse;
use bedyear::house::{Behind, CoverTimes, Schedule, SurfaceKind};

const HOOP: &str = "[site]\nplace = \"Helena\"\n[building]\nshape = \"hoop\"\nlength = 11\nwidth = 5.5\nglazing = \"film\"\n";

fn problem(text: &str) -> String {
    parse("house.toml", text).expect_err(text).to_string()
}

#[test]
fn each_bed_names_its_cover() {
    let text = format!(
        "{HOOP}[[cover]]\nname = \"winter net\"\nkind = \"medium row cover\"\nbelow = \"3 C\"\n\
         [[bed]]\nname = \"greens\"\ncount = 2\narea = 4\ncover = \"winter net\"\n\
         [[bed]]\nname = \"carrots\"\narea = 4\ncover = \"inner tunnel\"\nposition = \"edge\"\nwidth = 0.9\nlength = 4\n\
         [[bed]]\nname = \"tomatoes\"\narea = 4\n"
    )
    .replace("area = 4\ncover = \"inner tunnel\"", "cover = \"inner tunnel\"");
    let project = parse("house.toml", &text).expect("a project");
    let parts = &project.house.parts;
    let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["winter net", "inner tunnel, edge"]);
    let climates: Vec<usize> = project.beds.iter().map(|bed| bed.climate).collect();
    assert_eq!(climates, [1, 1, 2, 0]);
    assert_eq!(parts[0].area_m2, 8.0);
    assert!(parts[1].at_edge && project.house.floor.unwrap().strip_m == 0.9);
    let Some(CoverTimes::Handled(handling)) = parts[0].cover.as_ref().map(|cover| cover.on) else {
        panic!("laid by hand");
    };
    assert_eq!((handling.lay_below_c, handling.lift_above_c), (3.0, 2.0));
}

#[test]
fn covers_that_cannot_be_are_refused_where_they_stand() {
    let bed = |keys: &str| format!("{HOOP}[[bed]]\narea = 4\n{keys}\n");
    let unknown = problem(&bed("cover = \"row covr\""));
    assert!(
        unknown.contains("did you mean \"row cover\"") && unknown.contains("10"),
        "{unknown}"
    );
    let cover = |keys: &str| format!("{}[[cover]]\n{keys}\n", bed("cover = \"row cover\""));
    assert!(problem(&cover("months = \"May\"\nbelow = \"3 C\"")).contains("more than once"));
    assert!(problem(&cover("from = \"16:00\"")).contains("`cover[1].to` is missing"));
    let twice = format!("{}[[cover]]\nkind = \"row cover\"\n", cover(""));
    assert!(problem(&twice).contains("two covers are called"));
    let many: String = (0..8)
        .map(|n| {
            format!(
                "[[cover]]\nname = \"c{n}\"\n[[bed]]\nname = \"b{n}\"\narea = 1\ncover = \"c{n}\"\n"
            )
        })
        .collect();
    assert!(problem(&format!("{HOOP}{many}")).contains("7 of them at most"));
}

#[test]
fn a_lean_to_borders_on_a_room() {
    let lean_to = HOOP
        .replace("hoop", "lean-to")
        .replace("\"film\"", "\"twin-wall-8mm\"");
    let house = parse("house.toml", &lean_to).expect("a project").house;
    let back = house
        .surfaces
        .iter()
        .find(|s| s.name == "back wall")
        .unwrap();
    assert_eq!(back.behind, Behind::Room(Schedule::Constant(20.0)));
    // The side at the house is no edge of the floor.
    assert_eq!(house.floor.unwrap().perimeter_m, 11.0 + 2.0 * 5.5);
    let hours: Vec<String> = (0..288).map(|n| (10 + n % 24 / 8).to_string()).collect();
    let by_hour = format!("{lean_to}room_temperature = [{}]\n", hours.join(", "));
    let house = parse("house.toml", &by_hour).expect("a project").house;
    let back = house
        .surfaces
        .iter()
        .find(|s| s.name == "back wall")
        .unwrap();
    let Behind::Room(schedule) = &back.behind else {
        panic!("a room");
    };
    assert_eq!(
        (schedule.at(0), schedule.at(23), schedule.at(4000)),
        (10.0, 12.0, 12.0)
    );
    assert!(problem(&format!("{HOOP}room_temperature = 18\n")).contains("no room behind"));
    assert!(problem(&format!("{lean_to}back = \"glazed\"\n")).contains("cannot be glazed"));
}

const ROOM: &str = "[room]\nvolume = 40\n[[surface]]\nname = \"shell\"\nof = \"room\"\nkind = \"opaque\"\narea = 50\nu = 0.4\n";

/// The back wall of a lean-to stands between it and a room that is simulated, seen from both sides; elsewhere a face says so.
#[test]
fn a_room_beside_is_simulated_with_the_house() {
    let lean_to = HOOP
        .replace("hoop", "lean-to")
        .replace("\"film\"", "\"twin-wall-8mm\"");
    let text = format!("{lean_to}{ROOM}[[gain]]\nof = \"room\"\nheat = 100\n");
    let house = parse("house.toml", &text).expect("a project").house;
    let beside = house.beside.expect("a room");
    assert_eq!((beside.room.gains.len(), house.gains.len()), (1, 0));
    assert!(
        beside.heat_paid,
        "what warms the house is a cost of the house"
    );
    let anyway = text.replace("volume = 40", "volume = 40\nheat_paid = false");
    let house = parse("house.toml", &anyway).expect("a project").house;
    assert!(!house.beside.expect("a room").heat_paid);
    let back = house
        .surfaces
        .iter()
        .find(|s| s.name == "back wall")
        .unwrap();
    let names: Vec<&str> = beside
        .room
        .surfaces
        .iter()
        .map(|s| s.name.as_str())
        .collect();
    assert_eq!(names, ["shell", "back wall"]);
    let other = &beside.room.surfaces[1];
    assert_eq!(
        (&back.behind, &other.behind),
        (&Behind::Beside, &Behind::Beside)
    );
    assert_eq!(
        (back.area_m2, back.tilt_deg),
        (other.area_m2, 180.0 - other.tilt_deg)
    );
    let between = "[[surface]]\nof = \"both\"\nkind = \"opaque\"\narea = 8\nr = 1\n";
    let house = parse("house.toml", &format!("{HOOP}{ROOM}{between}"))
        .expect("a project")
        .house;
    let walls = |house: &bedyear::house::House| {
        let shared = house.surfaces.iter().filter(|s| s.behind == Behind::Beside);
        shared.count()
    };
    assert_eq!((walls(&house), walls(&house.beside.unwrap().room)), (1, 1));
}

#[test]
fn rooms_that_cannot_be_are_refused_where_they_stand() {
    assert!(problem(&format!("{HOOP}{ROOM}")).contains("nothing joins the room to the house"));
    let lonely = ROOM.replace("[room]\nvolume = 40\n", "");
    assert!(problem(&format!("{HOOP}{lonely}")).contains("there is no room beside"));
    let joined = format!("{HOOP}{ROOM}").replace("volume = 40", "volume = 40\ndoor_area = 2");
    assert!(parse("house.toml", &joined).is_ok());
    assert!(problem(&joined.replace("volume = 40\n", "")).contains("`room.volume` is missing"));
    assert!(
        problem(&joined.replace("door_area = 2", "door_open = 1"))
            .contains("without `room.door_area`")
    );
    let glass = "[[surface]]\nof = \"both\"\nkind = \"glazed\"\nglazing = \"film\"\narea = 8\n";
    let house = parse("house.toml", &format!("{joined}{glass}")).expect("glazing between");
    let pane = house.house.surfaces.last().unwrap();
    assert!(matches!(pane.kind, SurfaceKind::Glazed(_)) && pane.behind == Behind::Beside);
    let hot = format!("{joined}[[gain]]\nof = \"room\"\nheat = \"900 kW\"\n");
    assert!(
        problem(&hot).contains("would bring the room"),
        "{}",
        problem(&hot)
    );
    let lean_to = HOOP
        .replace("hoop", "lean-to")
        .replace("\"film\"", "\"film\"\nroom_temperature = 18");
    assert!(problem(&format!("{lean_to}{ROOM}")).contains("the room is simulated"));
}

#[test]
fn gains_that_no_house_bears_are_refused_at_their_key() {
    let text = format!("{HOOP}[[gain]]\nname = \"pump\"\nheat = \"900 kW\"\n");
    let found = problem(&text);
    assert!(
        found.contains("900000 W would bring the house") && found.contains("10"),
        "{found}"
    );
    assert!(parse("house.toml", &text.replace("900 kW", "9 kW")).is_ok());
}
