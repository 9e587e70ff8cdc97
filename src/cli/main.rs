//! The command line: reads the file, calls the stages, prints. It computes nothing.

fn main() {}
