//! What a run hands on.

use super::HeatedWeeks;
use crate::calendar::month_of_hour;

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
    pub(super) figures: Vec<f64>,
    pub(super) beside: Option<Box<HouseState>>,
}

/// A year hour by hour, with its sums. Columns have 8760 entries: means over each hour unless said otherwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HouseYear {
    /// Air temperature, °C.
    pub air_c: Vec<f64>,
    /// Leaf temperature of beds without cover, by energy balance, °C.
    pub leaf_c: Vec<f64>,
    /// Soil 0.1 m deep in beds without cover, °C; the floor-less box gives the air.
    pub root_zone_c: Vec<f64>,
    /// Surface of the soil, mulch or slab, °C; the floor-less box gives the air.
    pub floor_surface_c: Vec<f64>,
    /// Soil round the pipes, °C; without a store, soil at 0.6 m.
    pub store_c: Vec<f64>,
    /// Relative humidity of the air, %.
    pub relative_humidity_pct: Vec<f64>,
    /// Photosynthetic light at the bed, lamp included, mol/m2 in the hour.
    pub light_mol_m2_h: Vec<f64>,
    /// Sunlight that the glazing lets in, W.
    pub sun_entering_w: Vec<f64>,
    /// Heater output, W.
    pub heater_w: Vec<f64>,
    /// Heat taken away by the cooler, W.
    pub cooler_w: Vec<f64>,
    /// Heating that the set point asked for and the heater could not give, W.
    pub unmet_w: Vec<f64>,
    /// Electric power of store fan, vent fan and scheduled fan, W.
    pub fan_w: Vec<f64>,
    /// Electric power of the lamps, W.
    pub lamp_w: Vec<f64>,
    /// Share of the hour that the store's fan runs, charging positive, drawing negative, -1 to 1.
    pub store_duty: Vec<f64>,
    /// Heat into the store from the moved air, W (negative when drawn).
    pub store_heat_w: Vec<f64>,
    /// Air through the vents, m3/s.
    pub vent_m3_s: Vec<f64>,
    /// Air change by leaks, 1/h.
    pub infiltration_per_h: Vec<f64>,
    /// Carbon dioxide of the air at the end of the hour, ppm.
    pub carbon_dioxide_ppm: Vec<f64>,
    /// Photosynthesis of each day in this air against outdoor air, share; 365 days.
    pub carbon_share: Vec<f64>,
    /// Water condensed on glazing and in the pipes, kg in the hour.
    pub condensation_kg: Vec<f64>,
    /// Water given off by leaves and soil, kg in the hour.
    pub evaporation_kg: Vec<f64>,
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

/// The climate of a part of the floor, hour by hour: under its cover while that is on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartYear {
    /// Air round the plants, °C.
    pub air_c: Vec<f64>,
    /// Leaves, °C.
    pub leaf_c: Vec<f64>,
    /// Soil 0.1 m deep, °C.
    pub root_zone_c: Vec<f64>,
    /// Relative humidity round the plants, %.
    pub relative_humidity_pct: Vec<f64>,
    /// Photosynthetic light at the bed, mol/m2 in the hour.
    pub light_mol_m2_h: Vec<f64>,
    /// Is its cover on (share of the hour)?
    pub on: Vec<f64>,
}

/// Heat by path over a time, kWh. Positive warms the house.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HeatFlows {
    /// Sun kept inside (what entered less what left again through the glazing).
    pub sun_kwh: f64,
    /// Scheduled gains.
    pub gains_kwh: f64,
    pub lamp_kwh: f64,
    /// Fans' electricity that ends as heat in the house.
    pub fan_kwh: f64,
    pub heater_kwh: f64,
    /// Cooler (negative).
    pub cooler_kwh: f64,
    /// Glazed faces by conduction, with sky loss and the sun they absorb.
    pub glazing_kwh: f64,
    /// Long-wave radiation from leaves and soil straight through the glazing.
    pub sky_through_glazing_kwh: f64,
    /// Opaque faces.
    pub walls_kwh: f64,
    /// From the room that is simulated with the house, through walls and with air.
    pub beside_kwh: f64,
    /// Leaks.
    pub air_change_kwh: f64,
    /// Vents and scheduled fan, sensible.
    pub vents_kwh: f64,
    /// Ground beside and below the simulated soil.
    pub ground_kwh: f64,
    /// Evaporation (negative) and condensation inside (positive) taken together.
    pub latent_kwh: f64,
    /// Heat that the room gives to the soil by the floor's face (negative) or takes; inside the balance, shown to
    /// explain.
    pub floor_kwh: f64,
    /// Heat drawn from the store by its fan (positive) or charged; inside the balance, shown to explain.
    pub store_kwh: f64,
    /// Gain of heat held in the nodes.
    pub stored_kwh: f64,
}

impl HeatFlows {
    /// What passes the boundary, in less out, kWh.
    pub fn net_kwh(&self) -> f64 {
        self.parts()[..BOUNDARY].iter().sum()
    }

    /// Heat that passes the boundary one way or the other, kWh: half the sum of all amounts.
    pub fn throughput_kwh(&self) -> f64 {
        let boundary = &self.parts()[..BOUNDARY];
        let moved: f64 = boundary.iter().map(|flow| flow.abs()).sum();
        0.5 * (moved + self.stored_kwh.abs())
    }
}

/// Heat flows that pass the boundary: the first of the parts.
const BOUNDARY: usize = 14;
