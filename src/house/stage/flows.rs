//! What a step did, as means over it.

/// Means over a step.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::house) struct Flows {
    pub air_c: f64,
    pub vapour_kpa: f64,
    pub leaf_c: [f64; 2],
    pub bed_air_c: [f64; 2],
    pub bed_kpa: [f64; 2],
    pub root_c: [f64; 2],
    pub face_c: f64,
    pub store_c: f64,
    pub sun_w: f64,
    pub gains_w: f64,
    pub lamp_w: f64,
    pub fan_heat_w: f64,
    pub fan_w: f64,
    pub heater_w: f64,
    pub cooler_w: f64,
    pub unmet_w: f64,
    pub glazing_w: f64,
    pub sky_w: f64,
    pub walls_w: f64,
    pub leaks_w: f64,
    pub vents_w: f64,
    pub ground_w: f64,
    pub latent_w: f64,
    pub floor_w: f64,
    pub store_w: f64,
    pub duty: f64,
    pub vent_m3_s: f64,
    pub leak_per_h: f64,
    pub condensation_kg_s: f64,
    pub evaporation_kg_s: f64,
    pub covered: f64,
    /// Heat gained by all nodes, J (a sum, not a mean).
    pub stored_j: f64,
}

impl Flows {
    /// Adds a step that is `share` of the time.
    pub fn add(&mut self, step: &Self, share: f64) {
        let stored_j = self.stored_j + step.stored_j;
        for bed in 0..2 {
            self.leaf_c[bed] += share * step.leaf_c[bed];
            self.bed_air_c[bed] += share * step.bed_air_c[bed];
            self.bed_kpa[bed] += share * step.bed_kpa[bed];
            self.root_c[bed] += share * step.root_c[bed];
        }
        let mut step = *step;
        self.condensation_kg_s += share * step.condensation_kg_s;
        self.evaporation_kg_s += share * step.evaporation_kg_s;
        for (own, more) in self.means().into_iter().zip(step.means()) {
            *own += share * *more;
        }
        self.stored_j = stored_j;
    }

    fn means(&mut self) -> [&mut f64; 25] {
        [
            &mut self.air_c,
            &mut self.vapour_kpa,
            &mut self.face_c,
            &mut self.store_c,
            &mut self.sun_w,
            &mut self.gains_w,
            &mut self.lamp_w,
            &mut self.fan_heat_w,
            &mut self.fan_w,
            &mut self.heater_w,
            &mut self.cooler_w,
            &mut self.unmet_w,
            &mut self.glazing_w,
            &mut self.sky_w,
            &mut self.walls_w,
            &mut self.leaks_w,
            &mut self.vents_w,
            &mut self.ground_w,
            &mut self.latent_w,
            &mut self.floor_w,
            &mut self.store_w,
            &mut self.duty,
            &mut self.vent_m3_s,
            &mut self.leak_per_h,
            &mut self.covered,
        ]
    }
}
