//! The stages called in order, for the command line and for anyone who wants the whole job at once.
