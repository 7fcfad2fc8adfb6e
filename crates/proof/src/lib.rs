//! Strict reader of RS-274 and the proof of what a program cuts.
//!
//! Works from a program's text and a claim of what it is to cut, and from nothing else: it shares no code with whatever
//! wrote the program. Pure: no files, no clock.

pub mod reader;
