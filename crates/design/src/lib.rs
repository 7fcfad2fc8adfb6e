//! Standard designs and orders: parameters, formulas, and the specification that they resolve to.
//!
//! Texts in, a [`Resolved`] specification or the list of all faults out; no files, and no dimension that the design
//! does not spell.

pub mod builtin;
mod climate;
mod design;
mod field;
pub mod formula;
mod job;
mod order;
mod parameter;
mod reference;
mod sample;
mod schema;
mod shape;
pub mod spec;
mod table;
mod value;
mod words;

pub use climate::{Climate, LoadKind, Loads, Season};
pub use design::SystemName;
pub use field::{Celsius, Kilograms, Percent};
pub use job::{DesignInfo, Job, Resolved, System};
pub use order::{HiddenLines, OrderInfo, Paper, Projection, Revision, Sheet, Shop};
pub use parameter::Parameter;
pub use reference::reference_page;
pub use schema::{design_schema, order_schema};
pub use value::{Kind, Value};
pub use words::{blank_order, description, plain_order};
