//! The energy balances of a bed, bare and covered, solved for its temperatures.

use super::parts::{EMISSIVITY, Parts, Upward};
use super::{Bed, BedHour, Sky, Under};
use crate::house::BedCover;
use crate::house::affine::{AIR, Affine, NUMBER, RADIANT, Room, VAPOUR, solve_two};
use crate::house::film::{level_face_convection_w_m2k, radiation_w_m2k};
use crate::house::prepare::Hour;
use crate::house::vapour::SPECIFIC_HEAT_AIR_J_KGK;

impl<const N: usize> Bed<N> {
    #[inline(always)]
    pub(super) fn reduce_bare(&mut self, parts: &Parts, above: &Hour, room: &Room) {
        let leaf_up = Upward::new::<N>(parts.leaf_view, self.leaf_c, above, room);
        let soil_up = Upward::new::<N>(parts.soil_view, self.face_c, above, room);
        let between = parts.leaf_view * EMISSIVITY * radiation_w_m2k(self.leaf_c, self.face_c);
        let (leaf_water, soil_water) = (&parts.leaf_water, &parts.soil_water);
        let matrix = [
            [
                parts.leaf_air + leaf_up.loss + between + leaf_water.by_temp,
                -between,
            ],
            [
                -between,
                parts.soil_air + soil_up.loss + between + parts.soil_loss + soil_water.by_temp,
            ],
        ];
        let right = [
            parts.leaf_right(&leaf_up, parts.leaf_air, leaf_water.by_vapour),
            parts.soil_right(&soil_up, parts.soil_air, soil_water.by_vapour),
        ];
        [self.leaf, self.face] = solve_two(matrix, right);
        self.under = None;
        let (credits, mut to_air, mut to_radiant);
        if N > RADIANT {
            credits = [parts.leaf_air, parts.soil_air];
            to_radiant = self
                .leaf
                .mix(leaf_up.credit(), soil_up.credit(), &self.face);
        } else {
            credits = [
                parts.leaf_air + leaf_up.credit(),
                parts.soil_air + soil_up.credit(),
            ];
            to_radiant = Affine::default();
        }
        to_air = self.leaf.mix(credits[0], credits[1], &self.face);
        to_air.0[AIR] -= parts.leaf_air + parts.soil_air;
        for up in [&leaf_up, &soil_up] {
            up.take_rest(&mut to_air, &mut to_radiant);
        }
        self.to_air = to_air;
        self.to_radiant = to_radiant;
        let (leaf, soil) = (leaf_up.through(), soil_up.through());
        self.sky = Sky {
            number: leaf.0 + soil.0,
            by_leaf: leaf.1,
            by_face: soil.1,
            by_sheet: 0.0,
        };
        self.set_evaporation(parts);
    }

    /// The unknowns are leaf, soil face, sheet, air and vapour under the sheet. Air, vapour and sheet are taken out by
    /// hand, so that two equations are left.
    pub(super) fn reduce_covered(
        &mut self,
        parts: &Parts,
        seen_above: &Hour,
        sheet: &BedCover,
        hour: &BedHour,
        room: &Room,
    ) {
        let seen = |view: f64, temp_c: f64| Upward::new::<N>(view, temp_c, seen_above, room);
        let leaf_up = seen(parts.leaf_view * sheet.long_wave_transmittance, self.leaf_c);
        let soil_up = seen(parts.soil_view * sheet.long_wave_transmittance, self.face_c);
        // Of the view of an arch over a floor half of (1 + cosine of its tilt) is upward: half of arch and floor together.
        // Downward it sees paths, about as warm as itself.
        let upward = 0.5 * (1.0 + sheet.area_ratio);
        let sheet_up = seen(upward * sheet.emissivity / EMISSIVITY, self.sheet_c);
        // Warm air rises to a colder sheet and from a warmer one, as between soil and air.
        let below = level_face_convection_w_m2k(self.air_c - self.sheet_c);
        let outside = level_face_convection_w_m2k(self.sheet_c - room.air_c) * sheet.area_ratio;
        // The sheet's resistance lies between its inner films and its outer face, the unknown.
        let radiation = radiation_w_m2k(self.leaf_c, self.sheet_c) * sheet.emissivity;
        let held = 1.0 / (1.0 + sheet.resistance_m2k_w * (below + radiation));
        let inner = below * sheet.area_ratio * held;
        let leaf_sheet = parts.leaf_view * EMISSIVITY * radiation * held;
        let soil_sheet = parts.soil_view * EMISSIVITY * radiation * held;
        let between = parts.leaf_view * EMISSIVITY * radiation_w_m2k(self.leaf_c, self.face_c);
        let flow = sheet.air_flow_m3_s_m2 * hour.density;
        let carried = flow * SPECIFIC_HEAT_AIR_J_KGK;
        // Through the openings of fabric vapour passes as fast as still air brings and takes it (Lewis number 1).
        let above = outside / sheet.area_ratio;
        let diffused = if sheet.porous {
            sheet.area_ratio * below * above / (below + above) / SPECIFIC_HEAT_AIR_J_KGK
        } else {
            0.0
        };
        let moist = (flow + diffused) * crate::air::WATER_TO_AIR_MOLE_MASS / hour.pressure_kpa;
        let (leaf_air, soil_air) = (parts.leaf_air, parts.soil_air);
        let (leaf_water, soil_water) = (&parts.leaf_water, &parts.soil_water);

        // Air under the sheet = (leaf_air Tl + soil_air Ts + inner Th + carried T) / all.
        let per_air = 1.0 / (leaf_air + soil_air + inner + carried);
        let [leaf_by_air, soil_by_air, sheet_by_air] =
            [leaf_air, soil_air, inner].map(|conductance| conductance * per_air);
        // Vapour under it likewise, in heat: water's share and what comes from the room.
        let moist_heat = moist * parts.latent_heat;
        let water_heat = leaf_water.by_vapour + soil_water.by_vapour;
        let per_vapour = 1.0 / (water_heat + moist_heat).max(f64::MIN_POSITIVE);
        let leaf_by_vapour = leaf_water.by_vapour * per_vapour;
        let soil_by_vapour = soil_water.by_vapour * per_vapour;
        let water_known = leaf_water.known + soil_water.known;
        // Sheet = (right + to_leaf Tl + to_soil Ts) / own, air under it put in.
        let to_leaf = leaf_sheet + leaf_air * sheet_by_air;
        let to_soil = soil_sheet + soil_air * sheet_by_air;
        let own = outside + sheet_up.loss + inner + leaf_sheet + soil_sheet - inner * sheet_by_air;
        let per_sheet = 1.0 / own;
        let mut sheet_right: Affine<N> = sheet_up.gain();
        sheet_right.0[NUMBER] += hour.sheet_sun;
        sheet_right.0[AIR] += outside + sheet_by_air * carried;

        let mut leaf_right =
            parts.leaf_right(&leaf_up, leaf_by_air * carried, leaf_by_vapour * moist_heat);
        leaf_right.0[NUMBER] += leaf_by_vapour * water_known;
        leaf_right.add(to_leaf * per_sheet, &sheet_right);
        let mut soil_right =
            parts.soil_right(&soil_up, soil_by_air * carried, soil_by_vapour * moist_heat);
        soil_right.0[NUMBER] += soil_by_vapour * water_known;
        soil_right.add(to_soil * per_sheet, &sheet_right);
        let across = between + leaf_air * soil_by_air + to_leaf * to_soil * per_sheet;
        let matrix = [
            [
                leaf_air + leaf_up.loss + between + leaf_sheet + leaf_water.by_temp
                    - leaf_air * leaf_by_air
                    - leaf_by_vapour * leaf_water.by_temp
                    - to_leaf * to_leaf * per_sheet,
                -across - leaf_by_vapour * soil_water.by_temp,
            ],
            [
                -across - soil_by_vapour * leaf_water.by_temp,
                soil_air
                    + soil_up.loss
                    + between
                    + soil_sheet
                    + parts.soil_loss
                    + soil_water.by_temp
                    - soil_air * soil_by_air
                    - soil_by_vapour * soil_water.by_temp
                    - to_soil * to_soil * per_sheet,
            ],
        ];
        let [leaf, face] = solve_two(matrix, [leaf_right, soil_right]);
        let mut top = leaf.mix(to_leaf * per_sheet, to_soil * per_sheet, &face);
        top.add(per_sheet, &sheet_right);
        let mut air = leaf.mix(leaf_by_air, soil_by_air, &face);
        air.add(sheet_by_air, &top);
        air.0[AIR] += carried * per_air;
        let mut vapour = leaf.mix(
            leaf_water.by_temp * per_vapour,
            soil_water.by_temp * per_vapour,
            &face,
        );
        vapour.0[NUMBER] += water_known * per_vapour;
        vapour.0[VAPOUR] += moist_heat * per_vapour;
        (self.leaf, self.face) = (leaf, face);

        let mut to_air = top.mix(outside, carried, &air);
        to_air.0[AIR] -= outside + carried;
        let mut to_radiant = Affine::default();
        let mut sky = [(0.0, 0.0); 3];
        let faces = [(&leaf_up, &leaf), (&soil_up, &face), (&sheet_up, &top)];
        for ((up, temp), sky) in faces.into_iter().zip(&mut sky) {
            let credited = if N > RADIANT {
                &mut to_radiant
            } else {
                &mut to_air
            };
            credited.add(up.credit(), temp);
            up.take_rest(&mut to_air, &mut to_radiant);
            *sky = up.through();
        }
        self.to_air = to_air;
        self.to_radiant = to_radiant;
        let [leaf, soil, top_sky] = sky;
        self.sky = Sky {
            number: leaf.0 + soil.0 + top_sky.0,
            by_leaf: leaf.1,
            by_face: soil.1,
            by_sheet: top_sky.1,
        };
        self.under = Some(Under {
            sheet: top,
            air,
            vapour,
        });
        self.set_evaporation(parts);
    }
}
