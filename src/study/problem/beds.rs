//! Beds as equal patches of bed classes.

use crate::plan::{BedClass, BedSections};
use crate::study::Job;

/// Beds as equal patches; beds of the same patch size and cover share a class.
pub fn bed_classes(job: &Job, climates: usize) -> (Vec<BedClass>, Vec<BedSections>) {
    let mut classes: Vec<BedClass> = Vec::new();
    let mut places = Vec::new();
    for bed in &job.project.beds {
        let count = match bed.patch_m2 {
            Some(patch_m2) => (bed.area_m2 / patch_m2).round() as usize,
            None => sections(job, bed.area_m2),
        }
        .max(1);
        let area_m2 = bed.area_m2 / count as f64;
        let climate = if bed.climate < climates {
            bed.climate
        } else {
            0
        };
        let same = |class: &BedClass| class.climate == climate && class.area_m2 == area_m2;
        let class = match classes.iter().position(same) {
            Some(class) => class,
            None => {
                classes.push(BedClass {
                    name: bed.name.clone(),
                    count: 0,
                    area_m2,
                    climate,
                });
                classes.len() - 1
            }
        };
        if classes[class].count > 0 {
            classes[class].name = format!("{} + {}", classes[class].name, bed.name);
        }
        places.push(BedSections {
            name: bed.name.clone(),
            class,
            first: classes[class].count,
            count,
        });
        classes[class].count += count;
    }
    (classes, places)
}

/// Sections of a bed of which neither the bed nor the household says how many: halves, but none larger than the household eats of
/// at a time.
fn sections(job: &Job, area_m2: f64) -> usize {
    let household = &job.project.household;
    let eaters: usize = household.eaters.iter().map(|eater| eater.number).sum();
    let most_m2 = SECTION_M2.max(SECTION_M2_EATER * eaters as f64);
    let usual = (area_m2 / most_m2).ceil() as usize;
    household
        .gardening
        .sections
        .unwrap_or(usual.clamp(2, USUAL_SECTIONS_MAX))
}

/// A section is no larger than this, m2, nor than so much for each eater, m2: more of one salad than a family eats while it is
/// good (own choice).
const SECTION_M2: f64 = 2.5;
const SECTION_M2_EATER: f64 = 0.6;
/// Most sections of a bed where the file does not ask for more (own choice: the plan stays one that can be read).
const USUAL_SECTIONS_MAX: usize = 6;
