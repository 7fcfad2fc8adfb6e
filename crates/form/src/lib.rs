//! The shop's own files (machine, tools, stock): what a key may hold, and each fault with its place. Knows lengths and
//! faults; what the keys mean is for the crate that reads the file.

use std::ops::RangeInclusive;

use fault::{Fault, Faults, Node, Reader, Value, or_list, tick};
use measure::{Length, Unit, exact};

/// What a key may hold.
pub struct Kind<T> {
    /// In words, for faults.
    wanted: String,
    read: Box<Read<T>>,
}

type Read<T> = dyn Fn(&Value) -> Option<T>;

impl<T> Kind<T> {
    fn new(wanted: impl Into<String>, read: impl Fn(&Value) -> Option<T> + 'static) -> Self {
        Self { wanted: wanted.into(), read: Box::new(read) }
    }

    fn of(&self, node: &Node, faults: &mut Faults) -> Option<T> {
        let found = (self.read)(&node.value);
        if found.is_none() {
            let what = match &node.value {
                Value::Text(t) | Value::Decimal(t) => tick(t),
                Value::Integer(n) => tick(&n.to_string()),
                _ => node.kind().to_owned(),
            };
            faults.push(Fault::new(&node.place, format!("{what} will not do")).expected(&self.wanted));
        }
        found
    }
}

/// A table being read.
#[derive(Debug)]
pub struct Form<'t, 'f> {
    reader: Reader<'t>,
    /// What was found wrong so far.
    pub faults: &'f mut Faults,
}

impl<'t, 'f> Form<'t, 'f> {
    /// Starts on a table; nothing if the node is something else.
    pub fn new(node: &'t Node, faults: &'f mut Faults) -> Option<Self> {
        Some(Self { reader: Reader::new(node, faults)?, faults })
    }

    /// The value of a key, or the default where it is left out; without a default it must be there.
    pub fn get<T>(&mut self, key: &'static str, kind: &Kind<T>, default: Option<T>) -> Option<T> {
        let Some(node) = self.reader.take(key) else {
            if default.is_none() {
                self.reader.miss(key, &kind.wanted);
            }
            return default;
        };
        kind.of(node, self.faults)
    }

    /// The values of a key that holds a list of exactly `N`.
    pub fn list<T, const N: usize>(
        &mut self,
        key: &'static str,
        kind: &Kind<T>,
        default: Option<[T; N]>,
    ) -> Option<[T; N]> {
        let Some(node) = self.reader.take(key) else {
            if default.is_none() {
                self.reader.miss(key, format!("a list of {N}, each {}", kind.wanted));
            }
            return default;
        };
        let nodes = match &node.value {
            Value::List(nodes) if nodes.len() == N => nodes,
            Value::List(nodes) => {
                let what = format!("a list of {}", nodes.len());
                self.faults.push(Fault::new(&node.place, what).expected(format!("a list of {N}")));
                return None;
            }
            _ => {
                self.faults.push(Fault::new(&node.place, node.kind()).expected(format!("a list of {N}")));
                return None;
            }
        };
        let read: Vec<Option<T>> = nodes.iter().map(|n| kind.of(n, self.faults)).collect();
        read.into_iter().collect::<Option<Vec<T>>>()?.try_into().ok()
    }

    /// The value of a key that may be left out; nothing if it is there and at fault.
    pub fn may<T>(&mut self, key: &'static str, kind: &Kind<T>) -> Option<Option<T>> {
        match self.reader.take(key) {
            None => Some(None),
            Some(node) => kind.of(node, self.faults).map(Some),
        }
    }

    /// The tables of a key that holds a list of tables, such as `[[boards]]`; none where it is left out.
    pub fn tables(&mut self, key: &'static str) -> &'t [Node] {
        match self.reader.take(key) {
            None => &[],
            Some(Node { value: Value::List(nodes), .. }) => nodes,
            Some(node) => {
                node.mismatch(&format!("tables, each under `[[{key}]]`"), self.faults);
                &[]
            }
        }
    }

    /// Where the table stands.
    pub const fn place(&self) -> &'t fault::Place {
        self.reader.place()
    }

    /// The node of a key.
    pub fn node(&mut self, key: &'static str) -> Option<&'t Node> {
        self.reader.take(key)
    }

    /// A fault that lies with a key, or with the table if the key is not there.
    pub fn fault(&mut self, key: &str, what: impl Into<String>) {
        let place = self.reader.table().get(key).map_or(self.reader.place(), |n| &n.place);
        self.faults.push(Fault::new(place, what));
    }

    /// Notes the keys that are missing and those that nobody asked for.
    pub fn finish(self) {
        self.reader.finish(self.faults, |_| None);
    }
}

/// A text that is not empty.
pub fn text() -> Kind<String> {
    Kind::new("a text", |value| match value {
        Value::Text(t) if !t.trim().is_empty() => Some(t.clone()),
        _ => None,
    })
}

/// A length within a range.
pub fn length(range: RangeInclusive<Length>) -> Kind<Length> {
    let [low, high] = [range.start(), range.end()].map(|l| exact(*l, Unit::Millimetre));
    Kind::new(format!("a length from {low} to {high}"), move |value| match value {
        Value::Text(t) => t.parse().ok().filter(|l| range.contains(l)),
        _ => None,
    })
}

/// A length by time, such as `5000 mm/min`: mm in that time.
pub fn rate(per: &'static str, range: RangeInclusive<f64>) -> Kind<f64> {
    let wanted = format!("a rate from `{} mm{per}` to `{} mm{per}`", range.start(), range.end());
    Kind::new(wanted, move |value| {
        let Value::Text(t) = value else { return None };
        // A rate may be larger than any length of a case, so it is read by its figure and unit.
        let t = t.trim().strip_suffix(per)?.trim();
        let (figure, unit) = t.split_at(t.find(|c: char| c.is_ascii_alphabetic())?);
        let unit = match unit {
            "mm" => 1.0,
            "in" => 25.4,
            "m" => 1000.0,
            _ => return None,
        };
        Some(figure.trim().parse::<f64>().ok()? * unit).filter(|v| range.contains(v))
    })
}

/// A number within a range.
pub fn number(range: RangeInclusive<f64>) -> Kind<f64> {
    Kind::new(format!("a number from {} to {}", range.start(), range.end()), move |value| {
        let found = match value {
            Value::Integer(n) => Some(*n as f64),
            Value::Decimal(t) => t.replace('_', "").parse().ok(),
            _ => None,
        };
        found.filter(|v| range.contains(v))
    })
}

/// A whole number within a range.
pub fn whole<T>(range: RangeInclusive<T>) -> Kind<T>
where
    T: TryFrom<i64> + PartialOrd + std::fmt::Display + 'static,
{
    Kind::new(format!("a whole number from {} to {}", range.start(), range.end()), move |value| match value {
        Value::Integer(n) => T::try_from(*n).ok().filter(|v| range.contains(v)),
        _ => None,
    })
}

/// `true` or `false`.
pub fn switch() -> Kind<bool> {
    Kind::new("`true` or `false`", |value| match value {
        Value::Switch(on) => Some(*on),
        _ => None,
    })
}

/// One of some words.
pub fn word<T: Copy + 'static>(words: &'static [(&'static str, T)]) -> Kind<T> {
    Kind::new(or_list(words.iter().map(|(w, _)| *w)), move |value| match value {
        Value::Text(t) => words.iter().find(|(w, _)| w == t).map(|(_, v)| *v),
        _ => None,
    })
}

/// A sum of money, in hundredths: `12`, `12.5`, `12.50`.
pub fn money() -> Kind<i64> {
    Kind::new("a sum of money such as `12.50`", |value| {
        let (whole, hundredths) = match value {
            Value::Integer(n) => (*n, 0),
            Value::Decimal(t) => {
                let (whole, part) = t.split_once('.').filter(|_| !t.starts_with('-'))?;
                let padded = format!("{part:0<2}");
                let digits = padded.len() == 2 && padded.bytes().all(|b| b.is_ascii_digit());
                (whole.parse().ok()?, padded.parse::<i64>().ok().filter(|_| digits)?)
            }
            _ => return None,
        };
        (0..=1_000_000).contains(&whole).then_some(whole * 100 + hundredths)
    })
}
