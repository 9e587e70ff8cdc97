//! probe
use crate::made::{Made, table, cold_house, crop};
use bedyear::crops::{Habit, Sowing, Way, grow, prepare};
use bedyear::crops::growth::steady_days;
#[test]
fn rates() {
    for crop in table().iter() {
        let best = crop.temperature.best_c.middle();
        let d = crop.ways.iter().map(|&w| format!("{w:?} {:?} pub {:.0}-{:.0}", steady_days(crop, best, w), crop.days_to_harvest(w,0.0), crop.days_to_harvest(w,1.0))).collect::<Vec<_>>().join("; ");
        println!("{:22} {:?} rate {:.3} {:?} fs {:.2} bestk {:.1}  {}", crop.id, crop.growth.class, crop.growth.leaf_rate_per_day, crop.growth.rate_from, crop.growth.fruit_share, crop.best_k(), d);
    }
}
#[test]
fn year_in_cold_house() {
    let house = cold_house();
    let only = std::env::var("CROP").ok();
    for crop in table().iter() {
        if only.as_ref().is_some_and(|o| *o != crop.id) { continue; }
        let p = prepare(crop, &house);
        for &way in &crop.ways {
            println!("== {} {way:?}", crop.id);
            for week in (0..52).step_by(if only.is_some() {1} else {4}) {
                let g = grow(crop, &p, 0, Sowing{day: week*7, way});
                println!("  wk {week:2} bed {:3} up {:?} ready {:?} last {:?} clear {} kg {:.2} n {} loss {:?}", g.bed_from_day, g.emergence_day, g.ready_day, g.last_harvest_day, g.clear_day, g.kg_m2(), g.harvests.len(), g.loss.map(|l| (l.cause, l.day, (l.found*10.0).round()/10.0)));
            }
        }
    }
    let _ = (Made::constant(18.0,1.0,1.0,1.0), Habit::Cut, crop("spinach"));
}
#[test]
fn one() {
    use bedyear::crops::growth::{Record, watched};
    let id = std::env::var("ONE").unwrap_or("potato".into());
    let day: usize = std::env::var("DAY").unwrap_or("168".into()).parse().unwrap();
    let way = if std::env::var("TRAY").is_ok() { Way::Tray } else { Way::Direct };
    let c = crop(&id);
    let p = prepare(c, &cold_house());
    let mut r = Record::default();
    let g = watched(c, &p, 0, Sowing{day, way}, &mut r);
    for (d,l,m) in r.days.iter().step_by(7) {
        let x = p.day(0,*d); let b=p.bed_day(0,*d);
        println!("{d} L {l:.3} W {m:.1} sup {:.2} leafing {:.3} lost {:.3} warm {:.1} fresh {:.4} I {:.1} T {:.1} cold {:.1} T3 {:.1} organ {:.4}", x.growth.supply_g_m2, x.growth.leafing, x.leaf_lost, x.warmth_k_d, x.fresh_kg_g, b.light_mol_m2_day, b.leaf_c, x.cold, b.coldest_c, x.organ);
    }
    println!("{:?} {:?} {:?}", g.ready_day, g.harvests, g.loss);
}
