//! The building hour by hour: air, leaves, heavy walls, soil, buried store, controls.
