//! Tests of the dry fit on whole cases: a module for each question.

mod assembly;
mod given;
mod volume;
