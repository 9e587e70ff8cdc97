//! The sun's place in the sky, from place and time alone: position, day length, extraterrestrial irradiance.
