//! Beds: leaves over soil, bare or under a cover, each by its own energy balance.
//!
//! # Long-wave radiation
//! Published greenhouse U values run from air to air, so what a pane draws through its inner film is drawn from the
//! air node. Leaves and soil see the panes and give part of that heat themselves by radiation: what they lose to the
//! colder panes is credited to the air, so that the envelope's loss stays that of its U value. A film that lets
//! long-wave pass has a U value that holds this passage too, measured against surroundings at outdoor temperature; so
//! what leaves and soil send out through it is credited likewise as far as outdoor temperature, and only the sky's
//! being colder than that comes on top.
//!
//! With a mean radiant node they exchange with that node instead.

use super::affine::{AIR, Affine, GROUND, RADIANT, Room, STORE, VAPOUR, solve};
use super::film::{level_face_convection_w_m2k, radiation_w_m2k};
use super::soil::Port;
use super::vapour::{Saturation, canopy_conductance_kg_m2_s_kpa};

/// Long-wave emissivity of leaves and soil (textbook, from memory).
const EMISSIVITY: f64 = 0.95;
/// Extinction of a canopy for long-wave radiation (De Zwart 1996, as used by Vanthoor 2011; from memory).
const LONG_WAVE_EXTINCTION: f64 = 0.94;
/// Convection from one side of a leaf, W/m2K (De Zwart 1996, as used by Vanthoor 2011; from memory).
const LEAF_CONVECTION_W_M2K: f64 = 5.0;
/// Leaf area index below which a bed has leaves in name only; their temperature is still computed.
const LEAST_LEAF_AREA: f64 = 0.01;
/// Convection between a cover and the air on either side, W/m2K. Own choice within natural convection's 2 to 4.
const SHEET_CONVECTION_W_M2K: f64 = 3.0;

/// What beds see above themselves in an hour.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Above {
    /// Temperature of the inner faces = known + by_air times the air temperature, °C.
    pub faces_known_c: f64,
    /// K per K.
    pub faces_by_air: f64,
    /// Share of the view that is sky seen through the glazing.
    pub sky_share: f64,
    /// Share of the view that is outdoor surroundings seen through the glazing.
    pub outdoor_share: f64,
    /// Sky temperature, °C.
    pub sky_c: f64,
    /// Outdoor air, °C.
    pub outdoor_c: f64,
    /// Is there a mean radiant node?
    pub radiant_node: bool,
}

/// A bed in an hour, per m2 of floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BedHour {
    /// Leaf area, m2/m2.
    pub leaf_area: f64,
    /// Do leaves transpire?
    pub transpires: bool,
    /// Sun that leaves keep, W/m2.
    pub leaf_sun: f64,
    /// Sun that the soil keeps, W/m2.
    pub soil_sun: f64,
    /// Sun that the cover keeps, W/m2.
    pub sheet_sun: f64,
    /// Sun that the cover throws back into the room, W/m2.
    pub room_sun: f64,
    /// Share of the soil that is wet.
    pub wet_share: f64,
    /// Pressure, kPa.
    pub pressure_kpa: f64,
    /// Mass flow of air per m3/s, kg/m3.
    pub density: f64,
}

/// The sheet over a bed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet {
    /// Sheet area per floor area.
    pub area_ratio: f64,
    /// Resistance, m2K/W.
    pub resistance: f64,
    /// Long-wave transmittance.
    pub transmittance: f64,
    /// Long-wave emissivity.
    pub emissivity: f64,
    /// Air through it, m3/s per m2 of floor.
    pub air_flow: f64,
}

/// Temperatures and flows of a bed, per m2 of floor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bed {
    /// Leaf temperature, °C.
    pub leaf_c: f64,
    /// Soil surface (or mulch, slab), °C.
    pub face_c: f64,
    /// Cover, °C.
    pub sheet_c: f64,
    /// Air round the leaves, °C.
    pub air_c: f64,
    /// Vapour pressure round the leaves, kPa.
    pub vapour_kpa: f64,
    leaf: Affine,
    face: Affine,
    sheet: Affine,
    air: Affine,
    vapour: Affine,
    sky_w: Affine,
    /// Heat to the air, to the radiant node, W/m2; vapour to the air, kg/m2s; store temperature, °C.
    pub to_air: Affine,
    /// W/m2.
    pub to_radiant: Affine,
    /// kg/m2s.
    pub evaporation: Affine,
    store: Affine,
    port: Port,
    source: Affine,
    latent: f64,
}

impl Bed {
    /// A bed at one temperature.
    pub fn new(temp_c: f64, vapour_kpa: f64) -> Self {
        let still = Affine::number(temp_c);
        Self {
            leaf_c: temp_c,
            face_c: temp_c,
            sheet_c: temp_c,
            air_c: temp_c,
            vapour_kpa,
            leaf: still,
            face: still,
            sheet: still,
            air: still,
            vapour: Affine::number(vapour_kpa),
            sky_w: Affine::default(),
            to_air: Affine::default(),
            to_radiant: Affine::default(),
            evaporation: Affine::default(),
            store: still,
            port: Port::default(),
            source: Affine::default(),
            latent: 0.0,
        }
    }

    /// Takes the bed out of the room's equations. `sheet`: the cover, when it is on. `room`: the latest room, where
    /// films and saturation are taken at.
    pub fn reduce(
        &mut self,
        hour: &BedHour,
        above: &Above,
        sheet: Option<&Sheet>,
        port: &Port,
        room: &Room,
    ) {
        let parts = Parts::new(self, hour, port, room, sheet.is_some());
        match sheet {
            None => self.reduce_bare(&parts, above, room),
            Some(sheet) => self.reduce_covered(&parts, above, sheet, hour, room),
        }
        self.latent = parts.latent_heat;
        let mut store = self.face.times(port.store_by_face);
        store.0[STORE] += port.store_by_source;
        self.store = store;
        self.port = *port;
    }

    /// Was the bed reduced upon a soil that answers like this one?
    pub fn stands_on(&self, port: &Port) -> bool {
        self.port.conductance == port.conductance
            && self.port.source_share == port.source_share
            && self.port.store_by_face == port.store_by_face
    }

    /// Takes what the soil does by itself in this stage.
    pub fn set_ground(&mut self, port: &Port) {
        self.port = *port;
    }

    /// A room as this bed sees it: with its own soil.
    fn own(&self, room: &Room) -> Room {
        Room {
            ground_w_m2: self.port.known,
            store_w_m2: self.source.at(room),
            ..*room
        }
    }

    /// Adds `area` times a quantity of this bed to a sum, soil and store put in their places.
    pub fn add_to(&self, sum: &mut Affine, area: f64, quantity: &Affine) {
        sum.add(area, quantity);
        sum.0[0] += sum.0[GROUND] * self.port.known;
        sum.0[GROUND] = 0.0;
        sum.substitute(STORE, &self.source);
    }

    /// Mean temperature round the pipes, affine in air, vapour, radiant node and the store's heat, °C.
    pub fn store(&self) -> Affine {
        let mut store = self.store;
        store.0[0] += self.port.store_known + store.0[GROUND] * self.port.known;
        store.0[GROUND] = 0.0;
        store
    }

    fn reduce_bare(&mut self, parts: &Parts, above: &Above, room: &Room) {
        let leaf_up = Upward::new(parts.leaf_view, self.leaf_c, above, room);
        let soil_up = Upward::new(parts.soil_view, self.face_c, above, room);
        let between = parts.leaf_view * EMISSIVITY * radiation_w_m2k(self.leaf_c, self.face_c);
        let mut leaf = Affine::number(parts.leaf_sun - parts.leaf_water.known);
        leaf.0[AIR] = parts.leaf_air;
        leaf.0[VAPOUR] = parts.leaf_water.by_vapour;
        leaf.add(1.0, &leaf_up.into);
        let mut soil = parts.soil_right(parts.soil_air);
        soil.0[VAPOUR] = parts.soil_water.by_vapour;
        soil.add(1.0, &soil_up.into);
        let matrix = [
            [
                parts.leaf_air + leaf_up.loss + between + parts.leaf_water.by_temp,
                -between,
            ],
            [
                -between,
                parts.soil_air
                    + soil_up.loss
                    + between
                    + parts.soil_loss
                    + parts.soil_water.by_temp,
            ],
        ];
        [self.leaf, self.face] = solve(matrix, [leaf, soil]);
        self.air = Affine::variable(AIR);
        self.vapour = Affine::variable(VAPOUR);
        self.sheet = self.leaf;
        let mut to_air = self.leaf.times(parts.leaf_air);
        to_air.add(parts.soil_air, &self.face);
        to_air.0[AIR] -= parts.leaf_air + parts.soil_air;
        let mut to_radiant = Affine::default();
        let mut sky = Affine::default();
        for (up, temp) in [(&leaf_up, &self.leaf), (&soil_up, &self.face)] {
            up.share_out(temp, &mut to_air, &mut to_radiant, &mut sky);
        }
        self.to_air = to_air;
        self.to_radiant = to_radiant;
        self.sky_w = sky;
        let variable = Affine::variable(VAPOUR);
        self.evaporation = parts.water(&self.leaf, &self.face, &variable);
    }

    fn reduce_covered(
        &mut self,
        parts: &Parts,
        above: &Above,
        sheet: &Sheet,
        hour: &BedHour,
        room: &Room,
    ) {
        // Unknowns: leaf, soil face, sheet, air and vapour under the sheet.
        const LEAF: usize = 0;
        const SOIL: usize = 1;
        const SHEET: usize = 2;
        const INNER: usize = 3;
        const DAMP: usize = 4;
        let blocked = 1.0 - sheet.transmittance;
        let leaf_up = Upward::new(
            parts.leaf_view * sheet.transmittance,
            self.leaf_c,
            above,
            room,
        );
        let soil_up = Upward::new(
            parts.soil_view * sheet.transmittance,
            self.face_c,
            above,
            room,
        );
        let sheet_up = Upward::new(
            sheet.area_ratio * sheet.emissivity / EMISSIVITY,
            self.sheet_c,
            above,
            room,
        );
        let outside = SHEET_CONVECTION_W_M2K * sheet.area_ratio;
        // The sheet's resistance lies between its inner films and its outer face, the unknown.
        let radiation = radiation_w_m2k(self.leaf_c, self.sheet_c) * sheet.emissivity;
        let held = 1.0 / (1.0 + sheet.resistance * (SHEET_CONVECTION_W_M2K + radiation));
        let inner = SHEET_CONVECTION_W_M2K * sheet.area_ratio * held;
        let leaf_sheet = parts.leaf_view * blocked.min(1.0) * radiation * held;
        let soil_sheet = parts.soil_view * blocked.min(1.0) * radiation * held;
        let between = parts.leaf_view * EMISSIVITY * radiation_w_m2k(self.leaf_c, self.face_c);
        let flow = sheet.air_flow * hour.density;
        let carried = flow * super::vapour::SPECIFIC_HEAT_AIR_J_KGK;
        let moist = flow * crate::air::WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa;

        let mut right = [Affine::default(); 5];
        right[LEAF] = Affine::number(parts.leaf_sun - parts.leaf_water.known);
        right[LEAF].add(1.0, &leaf_up.into);
        right[SOIL] = parts.soil_right(0.0);
        right[SOIL].add(1.0, &soil_up.into);
        right[SHEET] = Affine::number(hour.sheet_sun);
        right[SHEET].0[AIR] = outside;
        right[SHEET].add(1.0, &sheet_up.into);
        right[INNER].0[AIR] = carried;
        right[DAMP].0[VAPOUR] = moist * parts.latent_heat;
        right[DAMP].0[0] = parts.leaf_water.known + parts.soil_water.known;
        let (leaf_water, soil_water) = (&parts.leaf_water, &parts.soil_water);
        let matrix = [
            [
                parts.leaf_air + leaf_up.loss + between + leaf_sheet + leaf_water.by_temp,
                -between,
                -leaf_sheet,
                -parts.leaf_air,
                -leaf_water.by_vapour,
            ],
            [
                -between,
                parts.soil_air
                    + soil_up.loss
                    + between
                    + soil_sheet
                    + parts.soil_loss
                    + soil_water.by_temp,
                -soil_sheet,
                -parts.soil_air,
                -soil_water.by_vapour,
            ],
            [
                -leaf_sheet,
                -soil_sheet,
                outside + sheet_up.loss + inner + leaf_sheet + soil_sheet,
                -inner,
                0.0,
            ],
            [
                -parts.leaf_air,
                -parts.soil_air,
                -inner,
                parts.leaf_air + parts.soil_air + inner + carried,
                0.0,
            ],
            [
                -leaf_water.by_temp,
                -soil_water.by_temp,
                0.0,
                0.0,
                leaf_water.by_vapour + soil_water.by_vapour + moist * parts.latent_heat,
            ],
        ];
        [self.leaf, self.face, self.sheet, self.air, self.vapour] = solve(matrix, right);
        let mut to_air = self.sheet.times(outside);
        to_air.add(carried, &self.air);
        to_air.0[AIR] -= outside + carried;
        let mut to_radiant = Affine::default();
        let mut sky = Affine::default();
        for (up, temp) in [
            (&leaf_up, &self.leaf),
            (&soil_up, &self.face),
            (&sheet_up, &self.sheet),
        ] {
            up.share_out(temp, &mut to_air, &mut to_radiant, &mut sky);
        }
        self.to_air = to_air;
        self.to_radiant = to_radiant;
        self.sky_w = sky;
        self.evaporation = parts.water(&self.leaf, &self.face, &self.vapour);
    }

    /// Says what heat the store takes here, affine in air, vapour and radiant node.
    pub fn set_source(&mut self, heat: &Affine) {
        self.source = *heat;
    }

    /// Mean temperature round the pipes in a room, °C.
    pub fn store_at(&self, room: &Room) -> f64 {
        self.store().at(&self.own(room))
    }

    /// Surface of soil, mulch or slab in a room, °C.
    pub fn face_at(&self, room: &Room) -> f64 {
        self.face.at(&self.own(room))
    }

    /// Heat put into the store in a room, W/m2.
    pub fn source_at(&self, room: &Room) -> f64 {
        self.source.at(room)
    }

    /// Temperatures that follow from the room.
    pub fn finish(&mut self, room: &Room) -> BedFlows {
        let room = &self.own(room);
        self.leaf_c = self.leaf.at(room);
        self.face_c = self.face.at(room);
        self.sheet_c = self.sheet.at(room);
        self.air_c = self.air.at(room);
        self.vapour_kpa = self.vapour.at(room).max(0.0);
        let evaporation = self.evaporation.at(room);
        BedFlows {
            sky_w: self.sky_w.at(room),
            evaporation_kg_s: evaporation,
            latent_w: evaporation * self.latent,
        }
    }
}

/// Flows of a bed that the balance counts, per m2 of floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BedFlows {
    /// Long-wave gain from outside through the glazing, W/m2 (negative by night).
    pub sky_w: f64,
    /// Evaporation, kg/m2s.
    pub evaporation_kg_s: f64,
    /// Its heat, W/m2.
    pub latent_w: f64,
}

/// Water that a face gives off: heat = known + by_temp T - by_vapour e, W/m2.
#[derive(Clone, Copy, Debug, Default)]
struct Water {
    known: f64,
    by_temp: f64,
    by_vapour: f64,
}

impl Water {
    /// `conductance` kg/m2s per kPa; saturation taken as its tangent at the latest temperature.
    fn new(conductance: f64, latent_heat: f64, temp_c: f64) -> Self {
        if conductance <= 0.0 {
            return Self::default();
        }
        let at = Saturation::at(temp_c);
        let heat = conductance * latent_heat;
        Self {
            known: heat * (at.kpa - at.slope * temp_c),
            by_temp: heat * at.slope,
            by_vapour: heat,
        }
    }
}

/// Conductances of a bed.
struct Parts {
    leaf_view: f64,
    soil_view: f64,
    leaf_air: f64,
    soil_air: f64,
    leaf_sun: f64,
    soil_sun: f64,
    leaf_water: Water,
    soil_water: Water,
    soil_loss: f64,
    soil_source: f64,
    latent_heat: f64,
}

impl Parts {
    fn new(bed: &Bed, hour: &BedHour, port: &Port, room: &Room, covered: bool) -> Self {
        let area = hour.leaf_area.max(LEAST_LEAF_AREA);
        let leaf_view = 1.0 - (-LONG_WAVE_EXTINCTION * area).exp();
        let (near_air, near_vapour) = if covered {
            (bed.air_c, bed.vapour_kpa)
        } else {
            (room.air_c, room.vapour_kpa)
        };
        let soil_air = level_face_convection_w_m2k(bed.face_c - near_air);
        let latent_heat = crate::air::latent_heat_vaporization_j_kg(near_air);
        let per_pressure = crate::air::WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa;
        let leaf_conductance = if hour.transpires && hour.leaf_area > LEAST_LEAF_AREA {
            let deficit = (Saturation::at(bed.leaf_c).kpa - near_vapour).max(0.0);
            canopy_conductance_kg_m2_s_kpa(
                hour.leaf_area,
                hour.leaf_sun,
                deficit,
                hour.density,
                per_pressure,
            )
        } else {
            0.0
        };
        // Heat and vapour leave a wet face through the same film (Lewis number 1).
        let soil_conductance = hour.wet_share * (1.0 - leaf_view) * soil_air
            / super::vapour::SPECIFIC_HEAT_AIR_J_KGK
            * per_pressure;
        Self {
            leaf_view,
            soil_view: 1.0 - leaf_view,
            leaf_air: 2.0 * area * LEAF_CONVECTION_W_M2K,
            soil_air,
            leaf_sun: hour.leaf_sun,
            soil_sun: hour.soil_sun,
            leaf_water: Water::new(leaf_conductance, latent_heat, bed.leaf_c),
            soil_water: Water::new(soil_conductance, latent_heat, bed.face_c),
            soil_loss: port.conductance,
            soil_source: port.source_share,
            latent_heat,
        }
    }

    /// Right side of the soil face's balance but for radiation upward and vapour.
    fn soil_right(&self, by_air: f64) -> Affine {
        let mut right = Affine::number(self.soil_sun - self.soil_water.known);
        right.0[GROUND] = 1.0;
        right.0[AIR] = by_air;
        right.0[STORE] = self.soil_source;
        right
    }

    /// Evaporation, kg/m2s.
    fn water(&self, leaf: &Affine, face: &Affine, vapour: &Affine) -> Affine {
        let per_heat = 1.0 / self.latent_heat;
        let (l, s) = (&self.leaf_water, &self.soil_water);
        let mut water = Affine::number((l.known + s.known) * per_heat);
        water.add(l.by_temp * per_heat, leaf);
        water.add(s.by_temp * per_heat, face);
        water.add(-(l.by_vapour + s.by_vapour) * per_heat, vapour);
        water
    }
}

/// Radiation from a face upward: to inner faces, sky and surroundings outside, or to the radiant node.
struct Upward {
    /// Sum of conductances, W/m2K.
    loss: f64,
    /// Gain from what is seen.
    into: Affine,
    faces: f64,
    faces_seen: Affine,
    outside: f64,
    outside_seen: f64,
    /// The part of `outside` that the U value already holds: what would go to outdoors at air temperature.
    included: f64,
    outdoor_c: f64,
    radiant_node: bool,
}

impl Upward {
    fn new(view: f64, temp_c: f64, above: &Above, room: &Room) -> Self {
        if above.radiant_node {
            let faces = view * EMISSIVITY * radiation_w_m2k(temp_c, room.radiant_c);
            let seen = Affine::variable(RADIANT);
            return Self {
                loss: faces,
                into: seen.times(faces),
                faces,
                faces_seen: seen,
                outside: 0.0,
                outside_seen: 0.0,
                included: 0.0,
                outdoor_c: 0.0,
                radiant_node: true,
            };
        }
        let mut seen = Affine::number(above.faces_known_c);
        seen.0[AIR] = above.faces_by_air;
        let open = above.sky_share + above.outdoor_share;
        let faces_c = above.faces_known_c + above.faces_by_air * room.air_c;
        let faces = view * EMISSIVITY * (1.0 - open) * radiation_w_m2k(temp_c, faces_c);
        let (mut outside, mut outside_w, mut included) = (0.0, 0.0, 0.0);
        if open > 0.0 {
            let seen = view * EMISSIVITY;
            let outdoor = radiation_w_m2k(temp_c, above.outdoor_c);
            let sky = seen * above.sky_share * radiation_w_m2k(temp_c, above.sky_c);
            let round = seen * above.outdoor_share * outdoor;
            outside = sky + round;
            outside_w = sky * above.sky_c + round * above.outdoor_c;
            included = seen * open * outdoor;
        }
        let mut into = seen.times(faces);
        into.0[0] += outside_w;
        Self {
            loss: faces + outside,
            into,
            faces,
            faces_seen: seen,
            outside,
            outside_seen: outside_w,
            included,
            outdoor_c: above.outdoor_c,
            radiant_node: false,
        }
    }

    /// Where the radiation of a face at `temp` goes.
    fn share_out(
        &self,
        temp: &Affine,
        to_air: &mut Affine,
        to_radiant: &mut Affine,
        sky: &mut Affine,
    ) {
        let credit = if self.radiant_node {
            to_radiant
        } else {
            to_air
        };
        credit.add(self.faces, temp);
        credit.add(-self.faces, &self.faces_seen);
        credit.add(self.included, temp);
        credit.0[0] -= self.included * self.outdoor_c;
        sky.0[0] += self.outside_seen - self.included * self.outdoor_c;
        sky.add(self.included - self.outside, temp);
    }
}
