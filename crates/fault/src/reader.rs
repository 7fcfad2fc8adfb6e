//! Takes the keys of one table, and reports the missing and the unknown ones.

use crate::faults::tick;
use crate::{Fault, Faults, Node, Place, Table, Value, and_list, nearest, or_list};

/// Reads one table. Ask for every key that may be there, then [`finish`](Self::finish).
///
/// ```
/// use fault::{Faults, Reader, Source, Value, parse};
///
/// let mut faults = Faults::new();
/// let root = parse(&Source::new("machine.toml", "nmae = \"router\""), &mut faults);
/// let mut reader = Reader::new(&root, &mut faults).expect("the root is a table");
/// assert!(reader.take("name").is_none());
/// reader.finish(&mut faults, |_| None);
/// assert_eq!(faults.to_string(), "machine.toml:1:1: unknown key `nmae` in the file; mend: write `name`\n");
/// ```
#[derive(Debug)]
pub struct Reader<'t, T = String> {
    table: &'t Table<T>,
    place: &'t Place,
    asked: Vec<&'static str>,
    missed: Vec<(&'static str, String)>,
}

impl<'t, T> Reader<'t, T> {
    /// Starts on a table; a fault if the node is something else.
    pub fn new(node: &'t Node<T>, faults: &mut Faults) -> Option<Self> {
        match &node.value {
            Value::Table(table) => {
                Some(Self { table, place: &node.place, asked: Vec::with_capacity(16), missed: Vec::new() })
            }
            _ => {
                node.mismatch("a table of keys", faults);
                None
            }
        }
    }

    /// Where the table stands.
    pub const fn place(&self) -> &'t Place {
        self.place
    }

    /// The table itself.
    pub const fn table(&self) -> &'t Table<T> {
        self.table
    }

    /// The value of a key that may be left out.
    pub fn take(&mut self, key: &'static str) -> Option<&'t Node<T>> {
        self.asked.push(key);
        self.table.get(key)
    }

    /// The value of a key that must be there; `wanted` is an example for the fault: ``a length such as `42 in` ``.
    pub fn need(&mut self, key: &'static str, wanted: &str) -> Option<&'t Node<T>> {
        let found = self.take(key);
        if found.is_none() {
            self.miss(key, wanted);
        }
        found
    }

    /// Remembers that a key is missing, for [`Self::report_missing`].
    pub fn miss(&mut self, key: &'static str, wanted: impl Into<String>) {
        self.missed.push((key, wanted.into()));
    }

    /// Notes the missing keys, all in one fault.
    pub fn report_missing(&mut self, faults: &mut Faults) {
        let title = self.table.title();
        let fault = match self.missed.as_slice() {
            [] => return,
            [(key, wanted)] => {
                let fault = Fault::new(self.place, format!("`{key}` is missing in {title}"));
                fault.expected(wanted).mend(format!("add `{key} = …`"))
            }
            several => {
                let keys = and_list(several.iter().map(|(key, _)| *key));
                Fault::new(self.place, format!("{keys} are missing in {title}")).mend("add a line for each")
            }
        };
        faults.push(fault);
        self.missed.clear();
    }

    /// Notes the missing keys, and every key that was not asked for: the nearest known key, or where it belongs (as `elsewhere` says, for
    /// instance `` `[rails]` ``), or all the known keys.
    pub fn finish(mut self, faults: &mut Faults, elsewhere: impl Fn(&str) -> Option<String>) {
        self.report_missing(faults);
        for entry in &self.table.entries {
            if self.asked.contains(&entry.key.as_str()) {
                continue;
            }
            let what = format!("unknown key {} in {}", tick(&entry.key), self.table.title());
            let fault = Fault::new(&entry.key_place, what);
            faults.push(if let Some(near) = nearest(&entry.key, self.asked.iter().copied()) {
                fault.mend(format!("write `{near}`"))
            } else if let Some(home) = elsewhere(&entry.key) {
                fault.mend(format!("it belongs in {home}"))
            } else {
                fault.expected(or_list(self.asked.iter().copied()))
            });
        }
    }
}
