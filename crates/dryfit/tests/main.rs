//! Tests of the dry fit on whole cases: a module for each question.

mod assembly;
mod docs;
mod edging;
mod fit;
mod given;
mod limits;
mod volume;
