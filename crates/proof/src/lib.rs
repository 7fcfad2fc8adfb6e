//! Strict reader of RS-274 and the proof of what a program cuts.
