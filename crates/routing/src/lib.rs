//! Setups, operations, tool paths and RS-274 programs for a solved case.
