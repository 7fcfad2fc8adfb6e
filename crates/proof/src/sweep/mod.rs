//! Stock removal, exact in plan: what a path takes away, compared with what it was to take away.
//!
//! No pixels and no facets. A flat-ended tool on its way clears, at every height above its tip, all within its radius of
//! its centre's path. So at one height the cleared region is a union of stadiums (about lines) and bent stadiums (about
//! arcs), and everything asked of it is a question of distances between lines and arcs, which have closed forms:
//!
//! * `gouge`: does a path come nearer to what must stay than the tool's radius?
//! * `leftover`: is a region wholly covered by such stadiums? Exactly if its border is, and if no border of their union
//!   lies inside it.
//!
//! **Error bound.** Rounding is about 1e-10 mm. Slivers below 1e-4 mm of the claim and 1e-5 mm of borders are not seen;
//! leftovers are certified down to [`leftover::SLACK`]; arcs run between their own two radii, which differ by 0.002 mm at
//! most; arcs outside the XY plane count as chords within 0.0005 mm.

pub(crate) mod cover;
pub(crate) mod curve;
pub(crate) mod gouge;
pub(crate) mod grid;
pub(crate) mod leftover;
pub(crate) mod outline;
pub(crate) mod path;
pub(crate) mod reach;
pub(crate) mod region;
pub(crate) mod remaining;
pub(crate) mod within;
