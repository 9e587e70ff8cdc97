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
//!
//! # Cold soil under warm air
//! A heater warms the air, not the floor. Soil colder than the air above it lies under a stable layer and gets 1 to
//! 2 W/m2K by convection, while film lets 0.25 (wet) to 0.56 (dry, two sheets) of its heat rays pass to surroundings and
//! sky: under 10 °C of air and -24 °C outdoors the surface balances near or below freezing, the more so where the ground
//! is permafrost. A two-dimensional reckoning made apart from this program says the same
//! (`tests/reference/house_heated_tunnel_2d.csv`: January -6.6 °C bare and dry, +0.4 °C under leaves and drops; here
//! -1.0 °C at Churchill). Glazing that stops heat rays, a skirt, a cover over the bed or heat in the soil warm roots; a
//! higher air set point alone does little.

mod balance;
mod parts;

use parts::Parts;
pub(super) use parts::leaf_view;

use super::BedCover;
use super::affine::{Affine, GROUND, NUMBER, Room, VAPOUR};
use super::prepare::Hour;
use super::soil::Port;

/// A bed in an hour, per m2 of floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BedHour {
    /// Leaf area, m2/m2.
    pub leaf_area: f64,
    /// Share of the long-wave view upward that leaves fill.
    pub leaf_view: f64,
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
    pub pressure_kpa: f64,
    /// Mass flow of air per m3/s, kg/m3.
    pub density: f64,
}

/// Temperatures and flows of a bed, per m2 of floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bed<const N: usize> {
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
    /// Mean temperature round the pipes, °C.
    pub store_c: f64,
    leaf: Affine<N>,
    face: Affine<N>,
    /// What lies between the leaves and the room.
    under: Option<Under<N>>,
    /// Heat to the air, to the radiant node, W/m2; vapour to the air, kg/m2s.
    pub to_air: Affine<N>,
    pub to_radiant: Affine<N>,
    pub evaporation: Affine<N>,
    water: Water,
    sky: Sky,
    /// What the soil does by itself in this stage.
    pub port: Port,
    /// Heat that the store takes here, W/m2.
    pub source: Affine<N>,
    latent: f64,
}

/// A cover and the air under it.
#[derive(Clone, Copy, Debug)]
struct Under<const N: usize> {
    sheet: Affine<N>,
    air: Affine<N>,
    vapour: Affine<N>,
}

/// Evaporation of a bed = number + by_leaf Tl + by_face Ts - by_vapour e, kg/m2s.
#[derive(Clone, Copy, Debug, Default)]
struct Water {
    number: f64,
    by_leaf: f64,
    by_face: f64,
    by_vapour: f64,
}

/// Long-wave gain straight through the glazing = number + by_leaf Tl + by_face Ts + by_sheet Th, W/m2.
#[derive(Clone, Copy, Debug, Default)]
struct Sky {
    number: f64,
    by_leaf: f64,
    by_face: f64,
    by_sheet: f64,
}

impl<const N: usize> Bed<N> {
    /// A bed at one temperature.
    pub fn new(temp_c: f64, vapour_kpa: f64) -> Self {
        Self {
            leaf_c: temp_c,
            face_c: temp_c,
            sheet_c: temp_c,
            air_c: temp_c,
            vapour_kpa,
            store_c: temp_c,
            ..Self::default()
        }
    }

    /// Takes the bed out of the room's equations. `above`: the hour of the house; `cover`: when it is on; `room`: the
    /// latest room, where films and saturation are taken at.
    pub fn reduce(
        &mut self,
        hour: &BedHour,
        above: &Hour,
        cover: Option<&BedCover>,
        port: &Port,
        room: &Room,
    ) {
        let parts = Parts::new(self, hour, port, room, cover.is_some());
        match cover {
            None => self.reduce_bare(&parts, above, room),
            Some(cover) => self.reduce_covered(&parts, above, cover, hour, room),
        }
        self.latent = parts.latent_heat;
        self.port = *port;
    }

    /// Was the bed reduced upon a soil that answers like this one?
    pub fn stands_on(&self, port: &Port) -> bool {
        self.port.conductance == port.conductance
            && self.port.source_share == port.source_share
            && self.port.store_by_face == port.store_by_face
    }

    /// A quantity of this bed with its soil put in, the store at rest; and how it grows with the store's heat.
    #[inline(always)]
    pub fn open(&self, quantity: &Affine<N>) -> (Affine<N>, f64) {
        let mut open = *quantity;
        let by_ground = open.0[GROUND];
        open.0[NUMBER] += by_ground * self.port.known;
        open.0[GROUND] = 0.0;
        (open, by_ground * self.port.source_share)
    }

    /// Mean temperature round the pipes, °C, affine in air, vapour and radiant node, and how it grows with the store's
    /// heat, K per W/m2.
    #[inline(always)]
    pub fn store(&self) -> (Affine<N>, f64) {
        let (face, face_by_store) = self.open(&self.face);
        let mut store = face.times(self.port.store_by_face);
        store.0[NUMBER] += self.port.store_known;
        let by_store = self.port.store_by_face * face_by_store + self.port.store_by_source;
        (store, by_store)
    }

    /// Heat put into the store in a room, W/m2.
    #[inline(always)]
    pub fn source_at(&self, room: &Room) -> f64 {
        self.source.at(room, 0.0)
    }

    /// Surface of soil, mulch or slab, °C, in a room with `source` W/m2 put into the store.
    #[inline(always)]
    pub fn face_at(&self, room: &Room, source: f64) -> f64 {
        self.face.at(room, self.ground_w_m2(source))
    }

    #[inline(always)]
    fn ground_w_m2(&self, source: f64) -> f64 {
        self.port.known + self.port.source_share * source
    }

    /// Temperatures that follow from the room.
    #[inline(always)]
    pub fn finish(&mut self, room: &Room) -> BedFlows {
        let source = self.source_at(room);
        let ground = self.ground_w_m2(source);
        self.leaf_c = self.leaf.at(room, ground);
        self.face_c = self.face.at(room, ground);
        match &self.under {
            None => {
                self.sheet_c = self.leaf_c;
                self.air_c = room.air_c;
                self.vapour_kpa = room.vapour_kpa;
            }
            Some(under) => {
                self.sheet_c = under.sheet.at(room, ground);
                self.air_c = under.air.at(room, ground);
                self.vapour_kpa = under.vapour.at(room, ground);
            }
        }
        let (water, sky, port) = (&self.water, &self.sky, &self.port);
        self.store_c =
            port.store_known + port.store_by_face * self.face_c + port.store_by_source * source;
        let evaporation = water.number + water.by_leaf * self.leaf_c + water.by_face * self.face_c
            - water.by_vapour * self.vapour_kpa;
        self.vapour_kpa = self.vapour_kpa.max(0.0);
        BedFlows {
            sky_w: sky.number
                + sky.by_leaf * self.leaf_c
                + sky.by_face * self.face_c
                + sky.by_sheet * self.sheet_c,
            evaporation_kg_s: evaporation,
            latent_w: evaporation * self.latent,
        }
    }

    /// Keeps what evaporates, the vapour round the leaves being the room's or that under a cover.
    #[inline(always)]
    fn set_evaporation(&mut self, parts: &Parts) {
        let per_heat = 1.0 / parts.latent_heat;
        let (l, s) = (&parts.leaf_water, &parts.soil_water);
        let water = Water {
            number: (l.known + s.known) * per_heat,
            by_leaf: l.by_temp * per_heat,
            by_face: s.by_temp * per_heat,
            by_vapour: (l.by_vapour + s.by_vapour) * per_heat,
        };
        let mut evaporation = self.leaf.mix(water.by_leaf, water.by_face, &self.face);
        evaporation.0[NUMBER] += water.number;
        match &self.under {
            None => evaporation.0[VAPOUR] -= water.by_vapour,
            Some(under) => evaporation.add(-water.by_vapour, &under.vapour),
        }
        self.evaporation = evaporation;
        self.water = water;
    }
}

/// Flows of a bed that the balance counts, per m2 of floor.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct BedFlows {
    /// Long-wave gain from outside through the glazing, W/m2 (negative by night).
    pub sky_w: f64,
    pub evaporation_kg_s: f64,
    /// Its heat, W/m2.
    pub latent_w: f64,
}
