//! Two macros that define a table of a file once: the struct, its documentation, its reader and its shape, from which
//! schema and reference page are written.
//!
//! `table!` makes a struct whose fields are keys (`snake_case` in Rust, the same in TOML); a field with `= "…"` has
//! that default, written as the file would write it and read the same way. `choice!` makes an enum of words.

/// A table of the file. Field types are those that implement [`Field`](crate::field::Field).
macro_rules! table {
    ($(#[doc = $about:literal])+ $vis:vis struct $name:ident {
        $( $(#[doc = $doc:literal])+ pub $field:ident : $ty:ty $(= $default:literal)? ),* $(,)?
    }) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, PartialEq)]
        $vis struct $name {
            $( $(#[doc = $doc])+ pub $field: $ty, )*
        }

        impl $crate::field::Keys for $name {
            const KEYS: &'static [&'static str] = &[$( stringify!($field) ),*];

            fn take(reader: &mut $crate::field::TextReader<'_>, cx: &mut $crate::field::Context<'_>) -> Option<Self> {
                // All keys are read before any is missed, so that every fault is noted.
                $( let $field = $crate::field::key::<$ty>(
                    reader, stringify!($field), $crate::table::default!($($default)?), cx); )*
                Some(Self { $( $field: $field?, )* })
            }

            fn table_shape() -> $crate::shape::TableShape {
                $crate::shape::TableShape {
                    name: stringify!($name),
                    about: $crate::shape::joined(&[$($about),+]),
                    fields: vec![ $( $crate::shape::FieldShape {
                        key: stringify!($field),
                        about: $crate::shape::joined(&[$($doc),+]),
                        default: None $( .or(Some($default)) )?,
                        shape: <$ty as $crate::field::Field>::shape(),
                    } ),* ],
                }
            }
        }

        $crate::table::field_of_keys!($name);
    };
}

/// A default as a node, parsed once for the whole run.
macro_rules! default {
    () => {
        None
    };
    ($text:literal) => {{
        static NODE: std::sync::LazyLock<$crate::field::Text> =
            std::sync::LazyLock::new(|| $crate::field::written($text));
        Some(&*NODE)
    }};
}

/// `Field` for a struct that has `Keys`.
macro_rules! field_of_keys {
    ($name:ident) => {
        impl $crate::field::Field for $name {
            fn read(node: &$crate::field::Text, cx: &mut $crate::field::Context<'_>) -> Option<Self> {
                $crate::field::read_table(node, &[], cx)
            }

            fn read_switched(node: &$crate::field::Text, cx: &mut $crate::field::Context<'_>) -> Option<Self> {
                $crate::field::read_table(node, &["when"], cx)
            }

            fn absent(missing: $crate::field::Missing<'_, '_>, cx: &mut $crate::field::Context<'_>) -> Option<Self> {
                $crate::field::absent_table(&missing, cx)
            }

            fn shape() -> $crate::shape::Shape {
                $crate::shape::Shape::Table(<Self as $crate::field::Keys>::table_shape())
            }
        }
    };
}

/// A word out of a few.
macro_rules! choice {
    ($(#[doc = $about:literal])+ $vis:vis enum $name:ident {
        $( $(#[doc = $doc:literal])+ $variant:ident = $word:literal ),* $(,)?
    }) => {
        $(#[doc = $about])+
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        $vis enum $name {
            $( $(#[doc = $doc])+ $variant, )*
        }

        impl $name {
            /// The word that a file writes.
            $vis const fn word(self) -> &'static str {
                match self { $( Self::$variant => $word, )* }
            }
        }

        impl $crate::field::Field for $name {
            fn read(node: &$crate::field::Text, cx: &mut $crate::field::Context<'_>) -> Option<Self> {
                $crate::field::read_word(node, &[$( ($word, Self::$variant) ),*], cx)
            }

            fn shape() -> $crate::shape::Shape {
                $crate::shape::Shape::Choice($crate::shape::ChoiceShape {
                    name: stringify!($name),
                    about: $crate::shape::joined(&[$($about),+]),
                    words: vec![ $( ($word, $crate::shape::joined(&[$($doc),+])) ),* ],
                })
            }
        }
    };
}

pub(crate) use {choice, default, field_of_keys, table};
