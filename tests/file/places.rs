//! Where the building stands: towns, spots, what is asked back.

use bedyear::file::{self, SiteChoice};

fn with_site(site: &str) -> String {
    format!(
        "[site]\n{site}\n[building]\nlength = \"30 ft\"\nwidth = \"16 ft\"\nglazing = \"double-film\"\nbeds = 6\n"
    )
}

fn parsed(site: &str) -> file::Project {
    file::parse("town.toml", &with_site(site)).unwrap_or_else(|error| panic!("{site}: {error}"))
}

fn refused(site: &str) -> String {
    file::parse("town.toml", &with_site(site))
        .unwrap_err()
        .to_string()
}

fn asks_elevation(project: &file::Project) -> bool {
    let mut doubts = project.doubts.iter();
    doubts.any(|doubt| doubt.text.contains("write `elevation`"))
}

/// In a town the height is the town's; between mountains, or far from any town, it is asked for.
#[test]
fn the_height_is_asked_for_where_it_is_not_known() {
    for (site, asked) in [
        ("latitude = 47.15\nlongitude = 11.25", true),
        (
            "latitude = 47.15\nlongitude = 11.25\nelevation = 1400",
            false,
        ),
        ("latitude = 60.0\nlongitude = -115.0", true),
        ("place = \"La Paz, Bolivia\"", false),
    ] {
        assert_eq!(asks_elevation(&parsed(site)), asked, "{site}");
    }
}

#[test]
fn a_town_or_a_spot_is_enough() {
    for site in [
        "place = \"Bozeman, Montana\"",
        "place = \"Bozeman\"\nelevation = \"4800 ft\"",
        "place = { latitude = \"45.68 N\", longitude = \"111.04 W\" }",
        "place = { latitude = \"45.68 N\", longitude = \"111.04 W\", elevation = \"1460 m\" }",
        "latitude = \"45.68 N\"\nlongitude = \"111.04 W\"",
    ] {
        let project = parsed(site);
        let SiteChoice::Estimated(chosen) = &project.site else {
            panic!("{site}: {:?}", project.site);
        };
        assert!((chosen.spot.latitude_deg - 45.68).abs() < 0.01, "{site}");
        assert_eq!(chosen.utc_offset_h, -7.0, "{site}");
        let given = site.contains("elevation");
        assert_eq!(chosen.spot.elevation_m.is_some(), given, "{site}");
        assert!(!asks_elevation(&project), "{site}");
        let assumed = project
            .assumed
            .iter()
            .any(|assumed| assumed.key == "site.elevation");
        assert_eq!(assumed, !given, "{site}");
    }
}

#[test]
fn what_cannot_be_placed_says_what_would_do() {
    let several = refused("place = \"Springfield\"");
    assert!(several.contains("towns are called"), "{several}");
    assert!(
        several.contains("Springfield, Missouri, United States"),
        "{several}"
    );
    let near = refused("place = \"Bozemann\"");
    assert!(near.contains("Bozeman, Montana"), "{near}");
    let polar = refused("latitude = \"80 N\"\nlongitude = \"16 E\"");
    assert!(polar.contains("72 N"), "{polar}");
    let half = refused("place = { latitude = \"46 N\" }");
    assert!(half.contains("site.place.longitude"), "{half}");
}
