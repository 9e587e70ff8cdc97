//! Sections of the project file that are there or not: what a house holds.

use std::fmt::Write;

use proptest::prelude::*;

/// A figure for each m2 of floor: [`for_floor`] writes it for the whole floor.
fn a_m2(figure: f64) -> String {
    format!("<{figure}>")
}

/// Writes the figures in pointed brackets for a floor of so many m2.
pub fn for_floor(text: &str, floor_m2: f64) -> String {
    let mut parts = text.split('<');
    let mut whole = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (figure, rest) = part.split_once('>').unwrap();
        let figure = figure.parse::<f64>().unwrap() * floor_m2;
        write!(whole, "{figure:.3}{rest}").unwrap();
    }
    whole
}

/// A section that is there in half of all buildings.
fn section<S: Strategy<Value = String> + 'static>(text: S) -> BoxedStrategy<Option<String>> {
    prop::option::of(text).boxed()
}

fn store_and_collector() -> impl Strategy<Value = String> {
    (1..60_u32, 2.0..40.0_f64, 0.01..4.0_f64, 0.2..2.0_f64, prop::option::of(0.0..1.0_f64)).prop_map(
        |(pipes, length_m, flow_m3_s, depth_m, collector)| {
            let mut text = format!(
                "[store]\npipes = {pipes}\npipe_length = {length_m:.2}\nflow = {flow_m3_s:.4}\ndepths = [{depth_m:.2}]\n"
            );
            if let Some(share) = collector {
                write!(text, "[collector]\nbeam_share = {share:.2}\n").unwrap();
            }
            text
        },
    )
}

/// What stands in the house, the store first.
pub fn parts() -> impl Strategy<Value = Vec<Option<String>>> {
    let heater = (-5.0..25.0_f64, prop::option::of(0.0..500.0_f64)).prop_map(|(set_c, w)| {
        let capacity = w.map_or_else(String::new, |w| format!("capacity = {}\n", a_m2(w)));
        format!("[heater]\nset_point = \"{set_c:.1} C\"\n{capacity}")
    });
    let cooler = (26.0..40.0_f64, prop::option::of(0.0..500.0_f64)).prop_map(|(set_c, w)| {
        let capacity = w.map_or_else(String::new, |w| format!("capacity = {}\n", a_m2(w)));
        format!("[cooler]\nset_point = \"{set_c:.1} C\"\n{capacity}")
    });
    let curtain = (0.0..2.0_f64, 0.0..1.0_f64).prop_map(|(r, long_wave)| {
        format!(
            "[curtain]\nresistance = {r:.3}\nlong_wave = {long_wave:.2}\nmonths = \"all year\"\n"
        )
    });
    let barrels = (0.01..0.5_f64, 0.0..0.5_f64).prop_map(|(m3, share)| {
        format!("[[heavy]]\nwater = {}\nsun_share = {share:.2}\n", a_m2(m3))
    });
    let lamp = (0.0..600.0_f64, 0.0..100.0_f64).prop_map(|(flux, w)| {
        format!(
            "[lamp]\nphoton_flux = \"{flux:.1} umol/m2s\"\npower = {}\nmonths = \"all year\"\n",
            a_m2(w)
        )
    });
    let vents = prop_oneof![
        Just("none = true\n".to_owned()),
        (15.0..35.0_f64, 0.0..150.0_f64)
            .prop_map(|(above, ach)| format!("open_above = {above:.1}\nair_change = {ach:.1}\n")),
        (15.0..35.0_f64, 0.02..0.4_f64).prop_map(|(above, share)| format!(
            "open_above = {above:.1}\nopening = {}\n",
            a_m2(share)
        )),
        (0.3..1.0_f64, 0.002..0.05_f64).prop_map(|(humidity, flow)| format!(
            "humidity = {humidity:.2}\nflow = {}\n",
            a_m2(flow)
        )),
    ]
    .prop_map(|keys| format!("[vents]\n{keys}"));
    let leaks = (0.0..15.0_f64, 0.0..2.0_f64).prop_map(|(still, wind)| {
        format!("[air]\ninfiltration = {still:.2}\ninfiltration_wind = {wind:.3}\n")
    });
    let crop = (0.0..8.0_f64, any::<bool>())
        .prop_map(|(leaf, on)| format!("[crop]\nleaf_area = {leaf:.1}\ntranspires = {on}\n"));
    let light = (0.0..0.9_f64, 0.0..0.9_f64, 0.0..0.5_f64).prop_map(|(frame, dirt, air)| {
        format!("[light]\nframe_loss = {frame:.2}\ndirt_loss = {dirt:.2}\nair_share = {air:.2}\n")
    });
    let gain = (-20.0..100.0_f64, 0.0..1.0_f64).prop_map(|(w, share)| {
        format!("[[gain]]\nheat = {}\nradiant_share = {share:.2}\n", a_m2(w))
    });
    (
        section(store_and_collector()),
        section(heater),
        section(cooler),
        section(curtain),
        section(barrels),
        section(lamp),
        section(vents),
        section(leaks),
        section(crop),
        section(light),
        section(gain),
    )
        .prop_map(|(a, b, c, d, e, f, g, h, i, j, k)| vec![a, b, c, d, e, f, g, h, i, j, k])
}

/// What the house stands on.
pub fn floor() -> impl Strategy<Value = Option<String>> {
    let soil = (0.2..3.0_f64, 1.0..4.0_f64, 0.0..0.6_f64);
    let floor = (
        0.0..2.0_f64,
        prop::option::of(0.05..0.3_f64),
        0.0..1.0_f64,
        6..80_u32,
        2.5..15.0_f64,
        prop::option::of((0.1..3.0_f64, 0.1..10.0_f64)),
    );
    let text = (soil, floor).prop_map(|(soil, (mulch, slab, wet, layers, depth_m, skirt))| {
        let slab = slab.map_or_else(String::new, |m| format!("slab_thickness = {m:.2}\n"));
        let skirt = skirt.map_or_else(String::new, |(deep, r)| {
            format!("skirt_depth = {deep:.2}\nskirt = {r:.2}\n")
        });
        format!(
            "soil_conductivity = {:.2}\nsoil_heat_capacity = \"{:.2} MJ/m3K\"\nsoil_water = {:.2}\n\
             mulch = {mulch:.2}\nwet_share = {wet:.2}\nlayers = {layers}\ndepth = {depth_m:.1}\n{slab}{skirt}",
            soil.0, soil.1, soil.2
        )
    });
    section(text)
}
