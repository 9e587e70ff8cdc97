//! Degree-days from daily extremes, as published.
