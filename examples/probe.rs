#[path = "../tests/plan/synthetic.rs"]
mod synthetic;
use bedyear::plan::*;
fn main() {
    let args: Vec<f64> = std::env::args().skip(1).map(|a| a.parse().unwrap()).collect();
    let inst = synthetic::house(args[0] as usize, args[1] as usize, args.get(4).map_or(7, |s| *s as u64));
    println!("{} candidates", inst.candidates.len());
    let t = std::time::Instant::now();
    let last = std::sync::Mutex::new(0u64);
    let tell = |p: Progress| { let mut l = last.lock().unwrap(); if p.work >= *l { *l = (p.work as f64*1.3) as u64; println!("{:8} {:10.3} {:10.3} {:.4} {:.2}s", p.work, p.value, p.bound, (p.bound-p.value)/p.bound, t.elapsed().as_secs_f64()); } };
    let s = solve(&inst, &SolveOptions { gap: args[2], work_limit: args[3] as u64, progress: Some(&tell), ..Default::default() }).unwrap();
    println!("value {:.3} bound {:.3} gap {:.4} work {} {:.2}s plantings {}", s.value, s.bound, s.gap, s.work, t.elapsed().as_secs_f64(), s.plan.beds.iter().map(|b| b.plantings.len()).sum::<usize>());
}
