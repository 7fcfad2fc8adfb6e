//! Views, sheets and full-size patterns of a solved case.
