//! Successions by bed: candidates, prices and one-bed longest paths, a proven bound, replay, verification.
