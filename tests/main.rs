//! Tests of the whole program, one binary: a module for each theme.
//!
//! They run the real `casewright` in scratch folders and read what it wrote; nothing here reaches into a crate to see
//! how it was done.

mod tidy;
