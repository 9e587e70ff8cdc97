//! Moist air: saturation, humidity, density. Shared by weather, building and water demand.
