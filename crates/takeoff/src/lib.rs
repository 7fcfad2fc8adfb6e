//! Cut list, glass, fittings and quantities of a solved case.
