//! The limits of an order: for each parameter, over which values the piece can be built while the others stay as
//! ordered, and what stops it beyond.
//!
//! Found by trying, with the very checks that a packet has. Values are tried on the shop's ruler: from the one ordered
//! outward in even strides, then closer where one of them is refused. What builds need not lie in one piece: the range
//! reported is the one about the value ordered, or the nearest one if that does not build, and a gap narrower than a
//! stride may go unseen. What an order leaves to the design follows along, as it does when the order itself is changed.

use design::formula::{Quantity, Ratio};
use design::{Job, Kind, Parameter, Resolved, Value};
use measure::Length;
use rayon::prelude::*;

use crate::finding::{Finding, Level};
use crate::solve::{Proof, proven};

/// Into how many strides the way to each end of a parameter's range is divided.
const STRIDES: i64 = 16;

/// How far one parameter can be changed.
#[derive(Clone, Debug)]
pub struct Limits {
    /// The parameter, as ordered.
    pub parameter: Parameter,
    /// What builds.
    pub range: Range,
}

/// The values of a parameter with which the piece can be built.
#[derive(Clone, Debug)]
pub enum Range {
    /// From the first value to the second, on the shop's ruler.
    Between(Box<[End; 2]>),
    /// Each word of a choice or way of a switch, and what stops it.
    Each(Vec<(Value, Option<Stop>)>),
    /// Any words; nothing is made from them that could stop the piece.
    Any,
    /// None that was tried.
    None,
}

/// One end of a range.
#[derive(Clone, Debug)]
pub struct End {
    /// The last value that builds.
    pub value: Value,
    /// What stops the next one.
    pub stop: Stop,
    /// The nearest value tried beyond with which it can be built again.
    pub again: Option<Value>,
}

/// What stops a piece.
#[derive(Clone, Debug)]
pub enum Stop {
    /// The design's own limit of the parameter.
    Own,
    /// A fault that the value brings, in words.
    Fault(String),
    /// A finding, the first of those that stop it.
    Finding(Box<Finding>),
    /// Nothing, as far as was tried: the design sets no limit.
    Nothing,
}

/// What stops the piece as ordered, and the limits of each parameter, in the design's order.
pub fn limits(job: &Job, resolved: &Resolved, proof: Proof<'_>) -> (Option<Stop>, Vec<Limits>) {
    let now = first_stop(resolved, proof);
    let of = |parameter: &Parameter| {
        let search = Search { job, resolved, proof, parameter, now: now.as_ref() };
        Limits { parameter: parameter.clone(), range: search.range() }
    };
    let all = resolved.parameters.par_iter().map(of).collect();
    (now, all)
}

fn first_stop(resolved: &Resolved, proof: Proof<'_>) -> Option<Stop> {
    let findings = proven(resolved, proof).findings;
    findings.into_iter().find(|f| f.level == Level::Stop).map(|f| Stop::Finding(Box::new(f)))
}

/// One parameter looked into.
struct Search<'a> {
    job: &'a Job,
    resolved: &'a Resolved,
    proof: Proof<'a>,
    parameter: &'a Parameter,
    now: Option<&'a Stop>,
}

impl Search<'_> {
    /// What stops the piece with another value; nothing if it can be built.
    fn stop(&self, value: &Value) -> Option<Stop> {
        if *value == self.parameter.value {
            return self.now.cloned();
        }
        match self.job.resolve(&[(&self.parameter.name, value.clone())]) {
            Ok(resolved) => first_stop(&resolved, self.proof),
            Err(faults) => faults.iter().next().map(|fault| Stop::Fault(fault.what.clone())),
        }
    }

    fn range(&self) -> Range {
        let each = |values: Vec<Value>| {
            Range::Each(values.into_iter().map(|value| (value.clone(), self.stop(&value))).collect())
        };
        match &self.parameter.value {
            Value::Switch(_) => each(vec![Value::Switch(false), Value::Switch(true)]),
            Value::Word(_) if self.parameter.kind == Kind::Choice => {
                each(self.parameter.of.iter().cloned().map(Value::Word).collect())
            }
            Value::Word(_) => Range::Any,
            Value::Length(_) | Value::Count(_) | Value::Number(_) => {
                Scale::of(self.parameter, self.resolved.order.ruler.step)
                    .map_or_else(|| self.only(), |s| self.between(&s))
            }
        }
    }

    /// Of a range without a mark in it, the value ordered.
    fn only(&self) -> Range {
        let end = || End { value: self.parameter.value.clone(), stop: Stop::Own, again: None };
        if self.now.is_none() { Range::Between(Box::new([end(), end()])) } else { Range::None }
    }

    fn between(&self, scale: &Scale) -> Range {
        let builds = |mark: &i64| self.stop(&scale.value(*mark)).is_none();
        let starts = if self.now.is_none() {
            // The value ordered may lie between two marks.
            scale.about.map(|mark| Some(mark).filter(|m| (scale.first..=scale.last).contains(m) && builds(m)))
        } else {
            [scale.nearest_first().into_iter().find(builds); 2]
        };
        if self.now.is_some() && starts == [None; 2] {
            return Range::None;
        }
        let ends = [scale.first, scale.last];
        Range::Between(Box::new(std::array::from_fn(|side| match starts[side] {
            Some(start) => self.walk(scale, start, ends[side], side),
            None => {
                let value = self.parameter.value.clone();
                let stop = self.stop(&scale.value(scale.about[side])).unwrap_or(Stop::Own);
                End { value, stop, again: None }
            }
        })))
    }

    /// Walks from a mark that builds towards an end of the scale until one does not, then closes in on the last that
    /// does.
    fn walk(&self, scale: &Scale, start: i64, end: i64, side: usize) -> End {
        let strides = (end - start).abs().min(STRIDES);
        let (mut good, mut bad, mut again) = (start, None, None);
        for i in 1..=strides {
            let mark = along(start, end, i, strides);
            match (self.stop(&scale.value(mark)), &bad) {
                (None, None) => good = mark,
                (Some(stop), None) => bad = Some((mark, stop)),
                (Some(_), Some(_)) => {}
                (None, Some(_)) => {
                    again = Some(scale.value(mark));
                    break;
                }
            }
        }
        while let Some((beyond, _)) = bad
            && (beyond - good).abs() > 1
        {
            let middle = good + (beyond - good) / 2;
            match self.stop(&scale.value(middle)) {
                None => good = middle,
                Some(stop) => bad = Some((middle, stop)),
            }
        }
        let at_the_end = if scale.bounded[side] { Stop::Own } else { Stop::Nothing };
        End { value: scale.value(good), stop: bad.map_or(at_the_end, |(_, stop)| stop), again }
    }
}

/// The mark `i` of `n` strides along the way from one to another.
fn along(from: i64, to: i64, i: i64, n: i64) -> i64 {
    let way = i128::from(to - from) * i128::from(i) / i128::from(n.max(1));
    from + i64::try_from(way).unwrap_or(0)
}

/// The values of a parameter that can be put in order: lengths by the ruler's divisions, counts one by one, plain
/// numbers by thousandths. A mark is the number of a division.
struct Scale {
    /// What one division is.
    division: Division,
    /// The first mark within the design's limits.
    first: i64,
    /// The last.
    last: i64,
    /// The design limits it there.
    bounded: [bool; 2],
    /// The marks next to the value ordered, or twice its own.
    about: [i64; 2],
}

#[derive(Clone, Copy)]
enum Division {
    Ruler(Length),
    One,
    Thousandth,
}

impl Scale {
    /// Where the design sets no limit, the scale goes to a quarter and to four times what was ordered.
    fn of(p: &Parameter, ruler: Length) -> Option<Self> {
        let division = match p.kind {
            Kind::Length => Division::Ruler(ruler),
            Kind::Count => Division::One,
            _ => Division::Thousandth,
        };
        let [low, high] = division.marks(&p.value)?;
        let bound = |v: &Option<Value>| v.as_ref().and_then(|v| division.marks(v));
        let (least, most) = (bound(&p.least), bound(&p.most));
        let first = least.map_or(low / 4, |[_, up]| up);
        let last = most.map_or_else(|| (high.max(1)).saturating_mul(4), |[down, _]| down);
        let scale = Self { division, first, last, bounded: [least.is_some(), most.is_some()], about: [low, high] };
        (first <= last).then_some(scale)
    }

    fn value(&self, mark: i64) -> Value {
        match self.division {
            Division::Ruler(step) => Value::Length(step * mark),
            Division::One => Value::Count(usize::try_from(mark).unwrap_or(0)),
            Division::Thousandth => Value::Number(Ratio::new(mark.into(), 1000).unwrap_or(Ratio::whole(0))),
        }
    }

    /// Marks all over the scale, those next to the value ordered first.
    fn nearest_first(&self) -> Vec<i64> {
        let n = (self.last - self.first).min(2 * STRIDES);
        let mut marks: Vec<i64> = (0..=n).map(|i| along(self.first, self.last, i, n)).collect();
        marks.extend(self.about.iter().filter(|m| (self.first..=self.last).contains(m)));
        marks.sort_by_key(|mark| (mark.abs_diff(self.about[0]), *mark));
        marks.dedup();
        marks
    }
}

impl Division {
    /// The marks next to a value, below and above; the same twice if it lies on one.
    fn marks(self, value: &Value) -> Option<[i64; 2]> {
        let (Quantity::Number(r) | Quantity::Length(r)) = value.quantity()?;
        let marks = match self {
            Self::Ruler(step) => r.over(Ratio::whole(step.nm()))?,
            Self::One => r,
            Self::Thousandth => r.times(Ratio::whole(1000))?,
        };
        Some([marks.floor().as_whole()?, marks.ceiling().as_whole()?])
    }
}
