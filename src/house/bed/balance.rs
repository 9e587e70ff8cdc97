//! The energy balances of a bed, bare and covered, solved for its temperatures.

use super::parts::{EMISSIVITY, Parts, Upward};
use super::{Above, Bed, BedHour, Sheet};
use crate::house::affine::{AIR, Affine, Room, VAPOUR, solve};
use crate::house::film::radiation_w_m2k;

/// Convection between a cover and the air on either side, W/m2K. Own choice within natural convection's 2 to 4.
const SHEET_CONVECTION_W_M2K: f64 = 3.0;

impl Bed {
    pub(super) fn reduce_bare(&mut self, parts: &Parts, above: &Above, room: &Room) {
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

    pub(super) fn reduce_covered(
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
        let carried = flow * crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK;
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
}
