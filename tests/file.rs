//! The project file: what it can say, what it says of broken ones.

#[path = "file/thin.rs"]
mod thin;
