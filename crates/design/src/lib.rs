//! Standard designs and orders: parameters, formulas, and the specification that they resolve to.

pub mod spec;
mod table;
