//! Stand-ins until the light stage hands these on: `crate::sun::Glazing` and `crate::sun::Horizon` take their place.

/// Stand-in for `crate::sun::Glazing`.
#[derive(Clone, Debug, PartialEq)]
pub struct Glazing;

/// Stand-in for `crate::sun::Horizon`.
#[derive(Clone, Debug, PartialEq)]
pub struct Horizon;
