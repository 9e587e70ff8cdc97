//! Beds as equal patches of bed classes.

use crate::plan::{BedClass, BedSections};
use crate::study::Job;

/// Beds as equal patches; beds of the same patch size and cover share a class.
pub fn bed_classes(job: &Job, climates: usize) -> (Vec<BedClass>, Vec<BedSections>) {
    let mut classes: Vec<BedClass> = Vec::new();
    let mut places = Vec::new();
    let sections = job.project.household.gardening.sections;
    for bed in &job.project.beds {
        let count = match bed.patch_m2 {
            Some(patch_m2) => (bed.area_m2 / patch_m2).round() as usize,
            None => sections,
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
