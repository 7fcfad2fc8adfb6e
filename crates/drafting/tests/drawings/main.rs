//! Part sheets and patterns, read back from what is printed.

mod exchange;
mod parts;
mod patterns;
mod printed;
mod tiles;
