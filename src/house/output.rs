//! What a run hands on: years of hours, written down.

use super::stage::Flows;
use super::vapour::relative_humidity_pct;
use super::{HeatedWeeks, House, HouseError};
use crate::calendar::{DAYS_PER_YEAR, HOURS_PER_YEAR, SECONDS_PER_HOUR, month_of_hour};

/// W over an hour to kWh.
const KWH_PER_W_H: f64 = 1e-3;
/// J to kWh.
const KWH_PER_J: f64 = 1.0 / 3.6e6;
/// Largest share of the throughput that may be missing from a run's heat balance.
const BALANCE_ALLOWED: f64 = 1e-3;
/// Throughput below which the balance is judged by this much heat instead, kWh.
const LEAST_THROUGHPUT_KWH: f64 = 1.0;

/// A run: the year that begins when the building is finished, and the year that repeats itself.
#[derive(Clone, Debug, PartialEq)]
pub struct HouseRun {
    /// The 365 days from the day the building is finished, on undisturbed ground. Its columns stand in calendar
    /// order (hour 0 is 1 January): hours before the finishing day belong to the next calendar year.
    pub first: HouseYear,
    /// The year that repeats itself.
    pub settled: HouseYear,
    /// Years simulated until a year repeated itself within 0.05 K, the settled one counted.
    pub years_to_settle: usize,
    /// Largest difference of any hour's air or root zone temperature between the last two years, K.
    pub settle_difference_k: f64,
    /// State of the settled year on 1 July, 0 h: from where weather years warm up.
    pub midyear: HouseState,
    /// State at the end of the settled year (1 January, 0 h): where weather years start.
    pub end: HouseState,
}

/// The heat in every node: enough to carry a run on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HouseState {
    /// Of the house, then of the room beside it.
    pub(super) figures: Vec<Vec<f64>>,
}

/// Declares hourly columns once, each with its figure of an hour; what else the year holds comes after them.
macro_rules! hourly {
    (
        $(#[$of:meta])* $year:ident of |$($given:ident: $kind:ty),*| {
            $($(#[$about:meta])* $column:ident: $figure:expr,)*
        } $($rest:tt)*
    ) => {
        $(#[$of])*
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct $year { $($(#[$about])* pub $column: Vec<f64>,)* $($rest)* }

        impl $year {
            /// Columns of empty hours, and nothing else.
            fn empty() -> Self {
                Self { $($column: vec![0.0; HOURS_PER_YEAR],)* ..Self::default() }
            }

            /// Writes all columns of hour `at`.
            pub(super) fn write_columns(&mut self, at: usize, $($given: $kind),*) {
                $(self.$column[at] = $figure;)*
            }
        }
    };
}

hourly! {
    /// A year hour by hour, with its sums. Columns have 8760 entries: means over each hour unless said otherwise.
    HouseYear of |flows: &Flows, entering_w: f64, light: f64| {
        /// Air temperature, °C.
        air_c: flows.air_c,
        /// Leaf temperature of beds without cover, by energy balance, °C.
        leaf_c: flows.leaf_c[0],
        /// Soil 0.1 m deep in beds without cover, °C; the floor-less box gives the air.
        root_zone_c: flows.root_c[0],
        /// Surface of the soil, mulch or slab, °C; the floor-less box gives the air.
        floor_surface_c: flows.face_c,
        /// Soil round the pipes, °C; without a store, soil at 0.6 m.
        store_c: flows.store_c,
        /// Relative humidity of the air, %.
        relative_humidity_pct: relative_humidity_pct(flows.air_c, flows.vapour_kpa),
        /// Photosynthetic light at the bed, lamp included, mol/m2 in the hour.
        light_mol_m2_h: light,
        /// Sunlight that the glazing lets in, W.
        sun_entering_w: entering_w,
        /// Heater output, W.
        heater_w: flows.heater_w,
        /// Heat taken away by the cooler, W.
        cooler_w: flows.cooler_w,
        /// Heating that the set point asked for and the heater could not give, W.
        unmet_w: flows.unmet_w,
        /// Electric power of store fan, vent fan and scheduled fan, W.
        fan_w: flows.fan_w,
        /// Electric power of the lamps, W.
        lamp_w: flows.lamp_w,
        /// Share of the hour that the store's fan runs, charging positive, drawing negative, -1 to 1.
        store_duty: flows.duty,
        /// Heat into the store from the moved air, W (negative when drawn).
        store_heat_w: -flows.store_w,
        /// Air through the vents, m3/s.
        vent_m3_s: flows.vent_m3_s,
        /// Air change by leaks, 1/h.
        infiltration_per_h: flows.leak_per_h,
        /// Water condensed on glazing and in the pipes, kg in the hour.
        condensation_kg: flows.condensation_kg_s * SECONDS_PER_HOUR,
        /// Water given off by leaves and soil, kg in the hour.
        evaporation_kg: flows.evaporation_kg_s * SECONDS_PER_HOUR,
    }
    /// Carbon dioxide of the air at the end of the hour, ppm.
    pub carbon_dioxide_ppm: Vec<f64>,
    /// Photosynthesis of each day in this air against outdoor air, share; 365 days.
    pub carbon_share: Vec<f64>,
    /// The climates of the floor's parts, in the order of [`super::House::parts`].
    pub parts: Vec<PartYear>,
    /// The room that is simulated with the house, where there is one.
    pub beside: Option<Box<HouseYear>>,
    /// Is what the room's heater gives bought for the house?
    pub room_heat_paid: bool,
    /// Heat by path and month.
    pub months: Vec<HeatFlows>,
    /// Heat by path over the year.
    pub year: HeatFlows,
    /// Energy balance: largest of the months' and the year's |in - out - stored| as a share of the throughput.
    pub balance_residual: f64,
    /// Weeks in which the heater works; noted in weather years alone.
    pub heated: HeatedWeeks,
}

/// W in a kW.
pub const W_PER_KW: f64 = 1000.0;

/// Energy of an hourly column of power in W, by month, kWh.
pub fn monthly_kwh(power_w: &[f64]) -> [f64; 12] {
    let mut months = [0.0; 12];
    for (hour, power) in power_w.iter().enumerate() {
        months[month_of_hour(hour)] += power / W_PER_KW;
    }
    months
}

impl HouseYear {
    /// Electricity of all fans in the year, kWh.
    pub fn fans_kwh(&self) -> f64 {
        self.fan_w.iter().sum::<f64>() / W_PER_KW
    }

    /// Heat that must be bought, by month, kWh: of the heater, and of the room's where it is bought for the house.
    pub fn bought_heat_by_month_kwh(&self) -> [f64; 12] {
        std::array::from_fn(|month| {
            let of = |year: &Self| year.months.get(month).map_or(0.0, |flows| flows.heater_kwh);
            let room = self.beside.as_deref().filter(|_| self.room_heat_paid);
            of(self) + room.map_or(0.0, of)
        })
    }

    /// What the heater of a room that is heated anyway gives in the year, kWh.
    pub fn unpaid_heat_kwh(&self) -> f64 {
        let room = self.beside.as_deref().filter(|_| !self.room_heat_paid);
        room.map_or(0.0, |room| room.year.heater_kwh)
    }
}

hourly! {
    /// The climate of a part of the floor, hour by hour: under its cover while that is on.
    PartYear of |flows: &Flows, part: usize, light: f64, on: bool| {
        /// Air round the plants, °C.
        air_c: flows.bed_air_c[part],
        /// Leaves, °C.
        leaf_c: flows.leaf_c[part],
        /// Soil 0.1 m deep, °C.
        root_zone_c: flows.root_c[part],
        /// Relative humidity round the plants, %.
        relative_humidity_pct: relative_humidity_pct(flows.bed_air_c[part], flows.bed_kpa[part]),
        /// Photosynthetic light at the bed, mol/m2 in the hour.
        light_mol_m2_h: light,
        /// Is its cover on (share of the hour)?
        on: f64::from(u8::from(on)),
    }
}

/// Declares the paths of heat once, each with its power in an hour, W: those that pass the boundary, then others.
macro_rules! paths {
    (
        |$flows:ident| { $($(#[$about:meta])* $path:ident: $power_w:expr,)* }
        inside { $($(#[$about_inside:meta])* $inside:ident: $inside_w:expr,)* }
    ) => {
        /// Heat by path over a time, kWh. Positive warms the house.
        #[derive(Clone, Copy, Debug, Default, PartialEq)]
        pub struct HeatFlows {
            $($(#[$about])* pub $path: f64,)*
            $($(#[$about_inside])* pub $inside: f64,)*
            /// Gain of heat held in the nodes.
            pub stored_kwh: f64,
        }

        impl HeatFlows {
            fn of_hour($flows: &Flows) -> Self {
                Self {
                    $($path: $power_w * KWH_PER_W_H,)*
                    $($inside: $inside_w * KWH_PER_W_H,)*
                    stored_kwh: $flows.stored_j * KWH_PER_J,
                }
            }

            fn add(&mut self, other: &Self) {
                $(self.$path += other.$path;)*
                $(self.$inside += other.$inside;)*
                self.stored_kwh += other.stored_kwh;
            }

            /// All that pass the boundary, kWh.
            fn boundary(&self) -> impl Iterator<Item = f64> {
                [$(self.$path),*].into_iter()
            }
        }
    };
}

paths! {
    |flows| {
        /// Sun kept inside (what entered less what left again through the glazing).
        sun_kwh: flows.sun_w,
        /// Scheduled gains.
        gains_kwh: flows.gains_w,
        /// Lamps.
        lamp_kwh: flows.lamp_w,
        /// Fans' electricity that ends as heat in the house.
        fan_kwh: flows.fan_heat_w,
        /// Heater.
        heater_kwh: flows.heater_w,
        /// Cooler (negative).
        cooler_kwh: -flows.cooler_w,
        /// Glazed faces by conduction, with sky loss and the sun they absorb.
        glazing_kwh: flows.glazing_w,
        /// Long-wave radiation from leaves and soil straight through the glazing.
        sky_through_glazing_kwh: flows.sky_w,
        /// Opaque faces.
        walls_kwh: flows.walls_w,
        /// From the room that is simulated with the house, through walls and with air.
        beside_kwh: flows.beside_w,
        /// Leaks.
        air_change_kwh: flows.leaks_w,
        /// Vents and scheduled fan, sensible.
        vents_kwh: flows.vents_w,
        /// Ground beside and below the simulated soil.
        ground_kwh: flows.ground_w,
        /// Evaporation (negative) and condensation inside (positive) taken together.
        latent_kwh: flows.latent_w,
    }
    inside {
        /// Heat that the room gives to the soil by the floor's face (negative) or takes; inside the balance, shown to
        /// explain.
        floor_kwh: flows.floor_w,
    }
}

impl HeatFlows {
    /// What passes the boundary, in less out, kWh.
    pub fn net_kwh(&self) -> f64 {
        self.boundary().sum()
    }

    /// Heat that passes the boundary one way or the other, kWh: half the sum of all amounts.
    pub fn throughput_kwh(&self) -> f64 {
        let moved: f64 = self.boundary().map(f64::abs).sum();
        0.5 * (moved + self.stored_kwh.abs())
    }
}

impl HouseYear {
    /// A year of empty hours.
    pub(super) fn blank(house: &House) -> Self {
        let beside = house.beside.as_ref();
        Self {
            carbon_dioxide_ppm: vec![super::carbon::OUTDOORS_PPM; HOURS_PER_YEAR],
            carbon_share: vec![1.0; DAYS_PER_YEAR],
            parts: house.parts.iter().map(|_| PartYear::empty()).collect(),
            beside: beside.map(|beside| Box::new(Self::blank(&beside.room))),
            room_heat_paid: beside.is_some_and(|beside| beside.heat_paid),
            months: vec![HeatFlows::default(); 12],
            ..Self::empty()
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

    /// Adds an hour to the sums of its month.
    pub(super) fn count(&mut self, at: usize, flows: &Flows) {
        self.months[month_of_hour(at)].add(&HeatFlows::of_hour(flows));
    }
}
