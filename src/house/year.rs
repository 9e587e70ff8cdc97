//! A year of hours, written down.

use super::stage::Flows;
use super::vapour::relative_humidity_pct;
use super::{HeatFlows, House, HouseError, HouseYear, PartYear};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_YEAR, SECONDS_PER_HOUR, month_of_hour};

/// W over an hour to kWh.
const KWH_PER_W_H: f64 = 1e-3;
/// J to kWh.
const KWH_PER_J: f64 = 1.0 / 3.6e6;
/// Largest share of the throughput that may be missing from a run's heat balance.
pub(super) const BALANCE_ALLOWED: f64 = 1e-3;
/// Throughput below which the balance is judged by this much heat instead, kWh.
const LEAST_THROUGHPUT_KWH: f64 = 1.0;

impl HouseYear {
    /// A year of empty hours.
    pub(super) fn blank(house: &House) -> Self {
        let column = || vec![0.0; HOURS_PER_YEAR];
        Self {
            air_c: column(),
            leaf_c: column(),
            root_zone_c: column(),
            floor_surface_c: column(),
            store_c: column(),
            relative_humidity_pct: column(),
            light_mol_m2_h: column(),
            sun_entering_w: column(),
            heater_w: column(),
            cooler_w: column(),
            unmet_w: column(),
            fan_w: column(),
            lamp_w: column(),
            store_duty: column(),
            store_heat_w: column(),
            vent_m3_s: column(),
            infiltration_per_h: column(),
            carbon_dioxide_ppm: vec![super::carbon::OUTDOORS_PPM; HOURS_PER_YEAR],
            carbon_share: vec![1.0; DAYS_PER_YEAR],
            condensation_kg: column(),
            evaporation_kg: column(),
            parts: (0..house.parts.len())
                .map(|_| PartYear {
                    air_c: column(),
                    leaf_c: column(),
                    root_zone_c: column(),
                    relative_humidity_pct: column(),
                    light_mol_m2_h: column(),
                    on: column(),
                })
                .collect(),
            beside: house
                .beside
                .as_ref()
                .map(|beside| Box::new(Self::blank(&beside.room))),
            room_heat_paid: house.beside.as_ref().is_some_and(|beside| beside.heat_paid),
            months: vec![HeatFlows::default(); 12],
            ..Self::default()
        }
    }

    /// Forgets the sums, so that a year can be written over this one.
    pub(super) fn begin_again(&mut self) {
        self.months.fill(HeatFlows::default());
        if let Some(beside) = &mut self.beside {
            beside.begin_again();
        }
    }

    /// Sums the months, judges the balance and works out the carbon dioxide.
    pub(super) fn close(&mut self, house: &House, pressure_kpa: f64) -> Result<(), HouseError> {
        super::carbon::breathe(house, pressure_kpa, self);
        let mut year = HeatFlows::default();
        let mut worst: f64 = 0.0;
        for month in &self.months {
            year.add(month);
        }
        let whole = year.throughput_kwh().max(LEAST_THROUGHPUT_KWH);
        for sums in self.months.iter().chain([&year]) {
            let missing = (sums.net_kwh() - sums.stored_kwh).abs();
            let moved = sums.throughput_kwh().max(whole / 12.0 * 0.01);
            worst = worst.max(missing / moved);
        }
        self.year = year;
        self.balance_residual = worst;
        if worst.is_nan() || worst > BALANCE_ALLOWED {
            return Err(HouseError::Balance {
                residual_pct: 100.0 * worst,
                allowed_pct: 100.0 * BALANCE_ALLOWED,
            });
        }
        match (&mut self.beside, &house.beside) {
            (Some(year), Some(beside)) => year.close(&beside.room, pressure_kpa),
            _ => Ok(()),
        }
    }

    pub(super) fn write(&mut self, at: usize, flows: &Flows, entering_w: f64, light: f64) {
        self.air_c[at] = flows.air_c;
        self.leaf_c[at] = flows.leaf_c[0];
        self.root_zone_c[at] = flows.root_c[0];
        self.floor_surface_c[at] = flows.face_c;
        self.store_c[at] = flows.store_c;
        self.relative_humidity_pct[at] = relative_humidity_pct(flows.air_c, flows.vapour_kpa);
        self.light_mol_m2_h[at] = light;
        self.sun_entering_w[at] = entering_w;
        self.heater_w[at] = flows.heater_w;
        self.cooler_w[at] = flows.cooler_w;
        self.unmet_w[at] = flows.unmet_w;
        self.fan_w[at] = flows.fan_w;
        self.lamp_w[at] = flows.lamp_w;
        self.store_duty[at] = flows.duty;
        self.store_heat_w[at] = -flows.store_w;
        self.vent_m3_s[at] = flows.vent_m3_s;
        self.infiltration_per_h[at] = flows.leak_per_h;
        self.condensation_kg[at] = flows.condensation_kg_s * SECONDS_PER_HOUR;
        self.evaporation_kg[at] = flows.evaporation_kg_s * SECONDS_PER_HOUR;
        for (index, part) in (1..).zip(&mut self.parts) {
            let air_c = flows.bed_air_c[index];
            part.air_c[at] = air_c;
            part.leaf_c[at] = flows.leaf_c[index];
            part.root_zone_c[at] = flows.root_c[index];
            part.relative_humidity_pct[at] = relative_humidity_pct(air_c, flows.bed_kpa[index]);
        }
        self.months[month_of_hour(at)].count(flows);
    }
}

impl HeatFlows {
    fn add(&mut self, other: &Self) {
        let pairs = self.parts_mut().into_iter().zip(other.parts());
        for (sum, part) in pairs {
            *sum += part;
        }
    }

    fn count(&mut self, flows: &Flows) {
        let hour = [
            flows.sun_w,
            flows.gains_w,
            flows.lamp_w,
            flows.fan_heat_w,
            flows.heater_w,
            -flows.cooler_w,
            flows.glazing_w,
            flows.sky_w,
            flows.walls_w,
            flows.beside_w,
            flows.leaks_w,
            flows.vents_w,
            flows.ground_w,
            flows.latent_w,
            flows.floor_w,
            flows.store_w,
        ];
        for (sum, part) in self.parts_mut().into_iter().zip(hour) {
            *sum += part * KWH_PER_W_H;
        }
        self.stored_kwh += flows.stored_j * KWH_PER_J;
    }

    fn parts_mut(&mut self) -> [&mut f64; 17] {
        [
            &mut self.sun_kwh,
            &mut self.gains_kwh,
            &mut self.lamp_kwh,
            &mut self.fan_kwh,
            &mut self.heater_kwh,
            &mut self.cooler_kwh,
            &mut self.glazing_kwh,
            &mut self.sky_through_glazing_kwh,
            &mut self.walls_kwh,
            &mut self.beside_kwh,
            &mut self.air_change_kwh,
            &mut self.vents_kwh,
            &mut self.ground_kwh,
            &mut self.latent_kwh,
            &mut self.floor_kwh,
            &mut self.store_kwh,
            &mut self.stored_kwh,
        ]
    }

    /// All of them, those that pass the boundary first.
    pub(super) fn parts(&self) -> [f64; 17] {
        let mut copy = *self;
        copy.parts_mut().map(|part| *part)
    }
}
