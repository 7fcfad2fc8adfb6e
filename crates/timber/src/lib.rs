//! What wood does: species and sheet goods as data with their sources, moisture, movement across the grain, density, and
//! the bending of shelves.
//!
//! Knows no furniture: from figures to figures, in millimetres, newtons, GPa and MPa, moisture content in percent of
//! the ovendry mass. The data are in `woods.toml`, and a file of one's own is read by the same reader.
//!
//! ```
//! use timber::{Air, Sawn, Woods};
//!
//! let oak = Woods::built_in().species("white oak").expect("it is built in");
//! let (winter, summer) = (Air { celsius: 21.0, humidity: 30.0 }, Air { celsius: 24.0, humidity: 60.0 });
//! let change = oak.change(Sawn::Flat, winter.moisture(), summer.moisture());
//! assert!((change * 300.0 - 5.2).abs() < 0.1, "a 300 mm board moves by 5 mm");
//! ```

pub mod beam;
mod moisture;
mod read;
mod species;
mod woods;

pub use moisture::Air;
pub use species::{FIBRE_SATURATION, Sawn, Sheet, Species};
pub use woods::Woods;
