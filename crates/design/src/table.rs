//! Two macros that define a table of a design file once: the struct, its documentation, its reader and its schema.
//!
//! `table!` makes a struct whose fields are keys (`snake_case` in Rust, the same in TOML); a field with `= "…"` has
//! that default, written as the file would write it. `choice!` makes an enum of words.

/// A table of the file. Field types are those that implement the reader: lengths and counts (as formulas), switches,
/// choices, names, other tables, `Option` and `Vec` of them.
macro_rules! table {
    ($(#[$meta:meta])* pub struct $name:ident {
        $( $(#[doc = $doc:literal])+ pub $field:ident : $ty:ty $(= $default:literal)? ),* $(,)?
    }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $( $(#[doc = $doc])+ pub $field: $ty, )*
        }
    };
}

/// A word out of a few.
macro_rules! choice {
    ($(#[$meta:meta])* pub enum $name:ident {
        $( $(#[doc = $doc:literal])+ $variant:ident = $word:literal ),* $(,)?
    }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name {
            $( $(#[doc = $doc])+ $variant, )*
        }
    };
}

pub(crate) use {choice, table};
