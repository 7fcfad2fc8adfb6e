//! A job: a design, an order over it, and the settings of the command line, read once and resolved as often as one
//! likes.
//!
//! [`Job::read`] reports every fault of all three in one run. [`Job::resolve`] is quick, so that a search for a value
//! that builds may try hundreds.

use std::sync::Arc;

use timber::Woods;

use fault::{Fault, Faults, Node, Place, Reader, Source, Value as Held, nearest, or_list, tick};

use crate::builtin;
use crate::design::{Design, Head, SystemName, design_shape};
use crate::field::{Context, Keys, Text, home};
use crate::formula::{Formula, Scope};
use crate::order::{OrderInfo, OrderKeys};
use crate::parameter::{self, Parameter};
use crate::spec::PostAndRail;
use crate::value::Value;

/// A design, an order and the settings of the command line.
#[derive(Clone, Debug)]
pub struct Job {
    design: Design,
    order: OrderInfo,
    /// What each name is worked out from: the command line's word, the order's, or the design's own.
    given: Vec<Text>,
    /// Whether the order or the command line said so.
    ordered: Vec<bool>,
    /// What the order says and the command line overrules; it must be sound all the same.
    overruled: Vec<(usize, Text)>,
    /// Indices of names, each after those that it is worked out from.
    sequence: Vec<usize>,
    /// The design's text.
    design_text: Arc<Source>,
    /// The text of the shop's own woods, if it has any.
    woods_text: Option<Arc<Source>>,
    /// The woods that are known.
    woods: Arc<Woods>,
}

/// The design's own particulars.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DesignInfo {
    /// `glazed-case`.
    pub name: String,
    /// `Glazed case`.
    pub title: String,
    /// One sentence on it.
    pub about: String,
}

/// A design with every formula worked out for one order.
#[derive(Clone, Debug)]
pub struct Resolved {
    /// The design.
    pub design: DesignInfo,
    /// The order's particulars.
    pub order: OrderInfo,
    /// The parameters, in the design's order.
    pub parameters: Vec<Parameter>,
    /// How the case is built.
    pub system: System,
    /// The woods that are known, the shop's own among them.
    pub woods: Arc<Woods>,
}

/// The tables of a construction system.
#[derive(Clone, Debug, PartialEq)]
pub enum System {
    /// Four posts, rails between them, panelled ends.
    PostAndRail(Box<PostAndRail>),
}

impl Job {
    /// Reads an order and the design that it names, with the `name=value` settings of the command line over both.
    /// `open` fetches a design that is not built in, and the shop's woods, by the paths that the order writes; its error
    /// is a phrase.
    ///
    /// # Errors
    /// Every fault of the order, the design and the settings.
    pub fn read(
        order: &Arc<Source>,
        settings: &[String],
        mut open: impl FnMut(&str) -> Result<Arc<Source>, String>,
    ) -> Result<(Self, Resolved), Faults> {
        let mut faults = Faults::new();
        let read = Self::gather(order, settings, &mut open, &mut faults).and_then(|job| {
            let (values, resolved) = job.work_out(&[], &mut faults);
            for (i, node) in &job.overruled {
                job.value(*i, node, &values, &mut faults);
            }
            Some((job, resolved?))
        });
        faults.or(read)
    }

    fn gather(
        source: &Arc<Source>,
        settings: &[String],
        open: &mut impl FnMut(&str) -> Result<Arc<Source>, String>,
        faults: &mut Faults,
    ) -> Option<Self> {
        let order = OrderKeys::read(source, faults);
        let settings = settings.iter().enumerate().filter_map(|(i, text)| setting(i + 1, text, faults));
        let settings: Vec<_> = settings.collect();
        let order = order?;
        let woods = woods(&order, open, faults);
        let design_text = find(&order, open, faults)?;
        let design = Design::read(&design_text, faults)?;
        let mut given = own(&design);
        let mut ordered = vec![false; given.len()];
        let mut overruled = Vec::new();
        let written = order.parameters.0.iter().filter_map(|p| Some((&p.name, &p.place, p.value.clone()?)));
        let set = settings.iter().map(|s| (&s.0, &s.1, s.2.clone()));
        for (name, place, node) in written.chain(set) {
            if let Some(i) = parameter::index(&design, name, place, faults) {
                let before = std::mem::replace(&mut given[i], node);
                if std::mem::replace(&mut ordered[i], true) {
                    overruled.push((i, before));
                }
            }
        }
        let sequence = parameter::sequence(&design.names, &given, faults)?;
        let (woods_text, woods) = woods?;
        let order = order.info();
        Some(Self { design, order, given, ordered, overruled, sequence, design_text, woods_text, woods })
    }

    /// The design's text.
    pub fn design_text(&self) -> &str {
        &self.design_text.text
    }

    /// The text of the shop's own woods, if the order names a file.
    pub fn woods_text(&self) -> Option<&str> {
        self.woods_text.as_ref().map(|source| source.text.as_str())
    }

    /// Works everything out, with some parameters at other values than ordered.
    ///
    /// # Errors
    /// The faults that those values bring.
    pub fn resolve(&self, changed: &[(&str, Value)]) -> Result<Resolved, Faults> {
        let mut faults = Faults::new();
        let (_, resolved) = self.work_out(changed, &mut faults);
        faults.or(resolved)
    }

    /// The value of each name; nothing where there was a fault, and for the names `without`.
    fn values(&self, changed: &[(&str, Value)], without: &[usize], faults: &mut Faults) -> Vec<Option<Value>> {
        let names = &self.design.names;
        let mut values = vec![None; names.len()];
        for &i in self.sequence.iter().filter(|i| !without.contains(i)) {
            let changed = changed.iter().find(|(name, _)| *name == names[i]);
            values[i] = match changed {
                Some((_, value)) => Some(value.clone()),
                None => self.value(i, &self.given[i], &values, faults),
            };
        }
        values
    }

    /// What a node comes to as the value of the name `i`.
    fn value(&self, i: usize, node: &Text, values: &[Option<Value>], faults: &mut Faults) -> Option<Value> {
        let Design { head, names, .. } = &self.design;
        let mut cx = Context { scope: Scope::new(names, values), faults, root: design_shape, unit: self.order.unit };
        match head.parameters.0.get(i) {
            Some(p) => parameter::settle(&p.name, p.value.as_ref()?, node, &mut cx),
            None => parameter::settle_size(node, &mut cx),
        }
    }

    /// Works everything out; the values too.
    fn work_out(&self, changed: &[(&str, Value)], faults: &mut Faults) -> (Vec<Option<Value>>, Option<Resolved>) {
        let mut first = Faults::new();
        let mut values = self.values(changed, &[], &mut first);
        let mut parameters = self.parameters(&values, &mut first);
        let beyond = parameter::out_of_range(&parameters, &self.given, self.order.unit, faults);
        if beyond.is_empty() {
            faults.append(first);
        } else {
            // Whatever is worked out from a value that cannot be is not worth a word of its own.
            values = self.values(changed, &beyond, faults);
            parameters = self.parameters(&values, faults);
        }
        let resolved = self.resolved(&values, parameters, faults);
        (values, resolved)
    }

    /// The parameters with their ranges.
    fn parameters(&self, values: &[Option<Value>], faults: &mut Faults) -> Vec<Option<Parameter>> {
        let Design { head, names, .. } = &self.design;
        let mut cx = Context { scope: Scope::new(names, values), faults, root: design_shape, unit: self.order.unit };
        parameter::resolve_all(&head.parameters.0, &self.ordered, &mut cx)
    }

    fn resolved(
        &self,
        values: &[Option<Value>],
        parameters: Vec<Option<Parameter>>,
        faults: &mut Faults,
    ) -> Option<Resolved> {
        let Design { name, head, names, root } = &self.design;
        let mut cx = Context { scope: Scope::new(names, values), faults, root: design_shape, unit: self.order.unit };
        let system = match head.system.0? {
            SystemName::PostAndRail => System::PostAndRail(Box::new(read_body(root, &mut cx)?)),
        };
        let design = DesignInfo { name: name.clone(), title: head.title.0.clone()?, about: head.about.0.clone()? };
        Some(Resolved {
            design,
            order: self.order.clone(),
            parameters: parameters.into_iter().collect::<Option<_>>()?,
            system,
            woods: Arc::clone(&self.woods),
        })
    }
}

/// Reads the tables below the head.
fn read_body<T: Keys>(root: &Text, cx: &mut Context<'_>) -> Option<T> {
    let mut reader = Reader::new(root, cx.faults)?;
    for key in Head::KEYS {
        reader.take(key);
    }
    let body = T::take(&mut reader, cx);
    let shape = cx.root;
    reader.finish(cx.faults, |key| home(shape, key));
    body
}

/// What the design itself says of each name.
fn own(design: &Design) -> Vec<Text> {
    let broken = |place: &Place| Node { place: place.clone(), value: Held::Broken };
    let head = &design.head;
    let defaults =
        head.parameters.0.iter().map(|p| p.value.as_ref().map_or_else(|| broken(&p.place), |d| d.default.clone()));
    defaults.chain(head.sizes.0.iter().map(|s| s.value.clone().unwrap_or_else(|| broken(&s.place)))).collect()
}

/// The design that an order names.
fn find(
    order: &OrderKeys,
    open: &mut impl FnMut(&str) -> Result<Arc<Source>, String>,
    faults: &mut Faults,
) -> Option<Arc<Source>> {
    let name = order.design.value.as_str();
    if let Some(text) = builtin::design(name) {
        return Some(Source::new(format!("{name}.toml"), text));
    }
    let fault = |what: String| Fault::new(&order.design.place, what);
    let is_path = name.ends_with(".toml") || name.contains(['/', '\\']);
    if is_path {
        return open(name)
            .map_err(|why| faults.push(fault(format!("the design {} cannot be read: {why}", tick(name)))))
            .ok();
    }
    let fault = fault(format!("there is no design {}", tick(name)));
    let known = || builtin::DESIGNS.iter().map(|(name, _)| *name);
    faults.push(match nearest(name, known()) {
        Some(near) => fault.mend(format!("write `{near}`")),
        None => fault.expected(format!("{}, or the path of a file", or_list(known()))),
    });
    None
}

/// The woods: the shop's own, if the order names a file, and those that are built in.
fn woods(
    order: &OrderKeys,
    open: &mut impl FnMut(&str) -> Result<Arc<Source>, String>,
    faults: &mut Faults,
) -> Option<(Option<Arc<Source>>, Arc<Woods>)> {
    let Some(named) = &order.shop.woods else { return Some((None, Arc::new(Woods::built_in().clone()))) };
    match open(&named.value) {
        Ok(source) => match Woods::read(&source) {
            Ok(woods) => Some((Some(source), Arc::new(woods))),
            Err(found) => {
                faults.append(found);
                None
            }
        },
        Err(why) => {
            faults
                .push(Fault::new(&named.place, format!("the woods file {} cannot be read: {why}", tick(&named.value))));
            None
        }
    }
}

/// Takes a `name=value` of the command line apart.
fn setting(number: usize, text: &str, faults: &mut Faults) -> Option<(String, Place, Text)> {
    let source = Source::new(format!("--set {number}"), text);
    let Some((name, value)) = text.split_once('=') else {
        let fault = Fault::new(&Place::new(&source, 0..text.len()), format!("{} sets nothing", tick(text)));
        faults.push(fault.expected("a name and a value, such as `width=42 in`"));
        return None;
    };
    let value_at = name.len() + 1 + (value.len() - value.trim_start().len());
    let value = value.trim();
    let held = match value {
        "true" => Held::Switch(true),
        "false" => Held::Switch(false),
        text => Held::Text(Formula::new(text)),
    };
    let node = Node { place: Place::new(&source, value_at..value_at + value.len()), value: held };
    let name_at = name.len() - name.trim_start().len();
    let name = name.trim();
    Some((name.to_owned(), Place::new(&source, name_at..name_at + name.len()), node))
}
