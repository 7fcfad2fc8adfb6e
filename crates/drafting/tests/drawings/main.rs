//! Part sheets and patterns, read back from what is printed.

mod exchange;
mod orders;
mod parts;
mod patterns;
mod printed;
mod random;
mod tiles;
