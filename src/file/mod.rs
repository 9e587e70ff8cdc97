//! The project file: quantities as people write them, keys, defaults, clear messages.
