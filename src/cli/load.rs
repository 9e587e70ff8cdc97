//! Reads files into text, with messages that say which file and why.
