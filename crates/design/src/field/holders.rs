//! Types that hold others: what may be left out or must not, several of a kind, names of one's own, and a value with its
//! place.

use fault::{Entry, Place, Value as Held};

use super::{Context, Field, Missing, Text};
use crate::formula::Formula;
use crate::shape::Shape;

impl<T: Field> Field for Option<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        // One at fault is taken to be left out: the fault is noted, and the tables round it are looked at all the same.
        Some(if cx.is_on(node)? { T::read_switched(node, cx) } else { None })
    }

    fn absent(_: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        Some(None)
    }

    fn shape() -> Shape {
        Shape::Optional(Box::new(T::shape()))
    }
}

impl<T: Field> Field for Vec<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let Held::List(items) = &node.value else {
            node.mismatch(&Self::shape().wanted(), cx.faults);
            return None;
        };
        Some(items.iter().filter_map(|item| Option::read(item, cx).flatten()).collect())
    }

    fn shape() -> Shape {
        Shape::List(Box::new(T::shape()))
    }
}

/// A value that must be there; nothing once its absence or its fault has been noted, so that the table round it is read
/// all the same.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Needed<T>(pub Option<T>);

impl<T: Field> Field for Needed<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        Some(Self(T::read(node, cx)))
    }

    fn absent(missing: Missing<'_, '_>, cx: &mut Context<'_>) -> Option<Self> {
        Some(Self(T::absent(missing, cx)))
    }

    fn shape() -> Shape {
        T::shape()
    }
}

/// Any value, left as it is written.
impl Field for Text {
    fn read(node: &Text, _: &mut Context<'_>) -> Option<Self> {
        Some(node.clone())
    }

    fn shape() -> Shape {
        Shape::Any
    }
}

/// Values under names of one's own.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Map<T>(pub Vec<Named<T>>);

/// A name of one's own, and what stands under it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Named<T> {
    /// The name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// What stands under it; nothing if that is at fault, so that the name is known all the same.
    pub value: Option<T>,
}

/// A value and its place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Placed<T> {
    /// Where it stands.
    pub place: Place,
    /// The value.
    pub value: T,
}

impl<T: Field> Field for Placed<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        T::read(node, cx).map(|value| Self { place: node.place.clone(), value })
    }

    fn shape() -> Shape {
        T::shape()
    }
}

impl<T: Field> Field for Map<T> {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let Held::Table(table) = &node.value else {
            node.mismatch(&Self::shape().wanted(), cx.faults);
            return None;
        };
        let named =
            |e: &Entry<Formula>| Named { name: e.key.clone(), place: e.key_place.clone(), value: T::read(&e.node, cx) };
        Some(Self(table.entries.iter().map(named).collect()))
    }

    fn absent(_: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        Some(Self(Vec::new()))
    }

    fn shape() -> Shape {
        Shape::Map(Box::new(T::shape()))
    }
}
