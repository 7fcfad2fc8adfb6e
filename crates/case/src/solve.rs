//! From a resolved order to a solved case, and the search for what would mend one that cannot be built.

use design::{Job, Kind, Parameter, Resolved, System, Value};
use measure::{Length, Ruler, Unit};
use rayon::prelude::*;

use crate::alike;
use crate::finding::{Finding, Level, Mend};
use crate::inspect;
use crate::part::Part;
use crate::piece::{Case, OrderInfo};
use crate::seasons::Seasons;
use crate::system::post_and_rail;

/// Builds a case: lays the parts out, joins them, finds the likes, and inspects the whole.
///
/// Never fails: what cannot be built is said in the findings.
pub fn build(resolved: &Resolved) -> Case {
    let System::PostAndRail(spec) = &resolved.system;
    let seasons = Seasons::of(resolved);
    let mut bench = post_and_rail::lay_out(spec, resolved.order.ruler, &seasons);
    alike::mark(&mut bench.parts);
    let mut case = Case {
        order: OrderInfo::from(resolved),
        size: [spec.width, spec.depth, spec.height],
        parts: bench.parts,
        joints: bench.joints,
        panes: bench.panes,
        fittings: bench.fittings,
        loads: resolved.order.loads.clone(),
        seasons,
        plays: bench.plays,
        findings: Vec::new(),
    };
    case.order.ruler.marks = tells(case.order.ruler, &case.parts);
    case.findings = inspect::inspect(&case, spec);
    case
}

/// Where the ruler rounds most sizes, as one in millimetres does those of a design in inches, a mark on each says nothing.
fn tells(ruler: Ruler, parts: &[Part]) -> bool {
    let (mut exact, mut rounded) = (0, 0);
    for size in parts.iter().flat_map(|p| p.size) {
        *(if size.rounded_to(ruler.step) == size { &mut exact } else { &mut rounded }) += 1;
    }
    rounded <= exact
}

/// What else is asked of a case that the inspection has nothing against: findings of `stop`.
pub type Proof<'a> = &'a (dyn Fn(&Case) -> Vec<Finding> + Sync);

/// Builds a case, and has it proven if the inspection has nothing against it; where it cannot be built as asked, each
/// finding of `stop` gets the change that clears it, of one parameter or of several at once, found by trying.
pub fn solve(job: &Job, resolved: &Resolved, proof: Proof<'_>) -> Case {
    let mut case = proven(resolved, proof);
    if case.findings.iter().any(|f| f.level == Level::Stop) {
        mend(job, resolved, proof, &mut case.findings);
    }
    case
}

/// Builds a case, and has it proven if the inspection has nothing against it.
pub fn proven(resolved: &Resolved, proof: Proof<'_>) -> Case {
    let mut case = build(resolved);
    if case.findings.iter().all(|f| f.level < Level::Stop) {
        case.findings.splice(0..0, proof(&case));
    }
    case
}

/// What tells two findings of `stop` apart.
type Key = (&'static str, String);

fn stops(findings: &[Finding]) -> Vec<Key> {
    findings.iter().filter(|f| f.level == Level::Stop).map(|f| (f.rule, f.what.clone())).collect()
}

/// One value tried: how far it is from what was ordered, and what would still stop the piece.
struct Trial {
    parameter: usize,
    value: Value,
    /// How much it asks of the customer, then the change's size.
    cost: (Asks, f64),
    left: Vec<Key>,
}

/// What a change asks of the customer: less, first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Asks {
    /// Other boards: every size stays as it was ordered.
    Boards,
    /// Another value for what the order itself names.
    Ordered,
    /// A value that the order leaves to the design.
    Other,
}

impl Asks {
    fn of(p: &Parameter) -> Self {
        match p.kind {
            Kind::Choice if p.of == ["flat", "quarter"] => Self::Boards,
            _ if p.ordered => Self::Ordered,
            _ => Self::Other,
        }
    }
}

/// Gives each `stop` the nearest change that clears it and brings no other: best one after which the whole piece
/// builds.
fn mend(job: &Job, resolved: &Resolved, proof: Proof<'_>, findings: &mut [Finding]) {
    let before = stops(findings);
    let all = resolved.parameters.par_iter().enumerate();
    let all = all.flat_map_iter(|p| search(job, resolved, proof, p, (&[], &before)));
    let (trials, others): (Vec<Trial>, Vec<Trial>) =
        all.collect::<Vec<_>>().into_iter().partition(|t| t.left.iter().all(|k| before.contains(k)));
    for f in findings.iter_mut().filter(|f| f.level == Level::Stop) {
        let key = (f.rule, f.what.clone());
        let rank = |t: &&Trial| (!t.left.is_empty(), t.cost);
        let best = trials.iter().filter(|t| !t.left.contains(&key)).min_by(|a, b| {
            let ((wa, (oa, ca)), (wb, (ob, cb))) = (rank(a), rank(b));
            (wa, oa).cmp(&(wb, ob)).then(ca.total_cmp(&cb))
        });
        let settings = match best {
            Some(t) => Some(vec![(t.parameter, t.value.clone())]),
            None => together(job, resolved, proof, &others, |left| !left.contains(&key)),
        };
        let written =
            |(i, value): &(usize, Value)| (resolved.parameters[*i].name.clone(), value.toml(resolved.order.unit));
        f.mend = settings.map(|settings| Mend { settings: settings.iter().map(written).collect() });
    }
}

/// Changes of several parameters at once after which the whole piece builds: the one that leaves least first, and so
/// on; nothing if more than [`TOGETHER`] would be needed.
fn together(
    job: &Job,
    resolved: &Resolved,
    proof: Proof<'_>,
    trials: &[Trial],
    clears: impl Fn(&[Key]) -> bool,
) -> Option<Settings> {
    let least = |trials: &[Trial], clears: &dyn Fn(&[Key]) -> bool| -> Option<(Settings, Vec<Key>)> {
        let best = trials.iter().filter(|t| clears(&t.left)).min_by(|a, b| {
            let rank = |t: &Trial| (t.left.len(), t.cost.0);
            rank(a).cmp(&rank(b)).then(a.cost.1.total_cmp(&b.cost.1))
        })?;
        Some((vec![(best.parameter, best.value.clone())], best.left.clone()))
    };
    let (mut settings, mut left) = least(trials, &clears)?;
    while !left.is_empty() {
        if settings.len() == TOGETHER {
            return None;
        }
        let all = resolved.parameters.par_iter().enumerate();
        let open = all.filter(|(i, _)| settings.iter().all(|(set, _)| set != i));
        let next: Vec<Trial> = open.flat_map_iter(|p| search(job, resolved, proof, p, (&settings, &left))).collect();
        let fewer = |now: &[Key]| now.len() < left.len() || now.iter().all(|k| !left.contains(k));
        let (more, after) = least(&next, &fewer)?;
        settings.extend(more);
        left = after;
    }
    Some(settings)
}

/// So many parameters are changed at once at most.
const TOGETHER: usize = 4;

/// Parameters by index, and their values.
type Settings = Vec<(usize, Value)>;

/// Tries values of one parameter, others being set, on both sides of what it is, and closes in on the nearest that
/// helps against what stops the piece `before`.
fn search(
    job: &Job,
    resolved: &Resolved,
    proof: Proof<'_>,
    (index, p): (usize, &Parameter),
    (set, before): (&[(usize, Value)], &[Key]),
) -> Vec<Trial> {
    let mut trials: Vec<Trial> = Vec::new();
    let mut attempt = |value: Value| -> Option<usize> {
        let set = set.iter().map(|(i, value)| (resolved.parameters[*i].name.as_str(), value.clone()));
        let changed: Vec<(&str, Value)> = set.chain([(p.name.as_str(), value.clone())]).collect();
        let again = job.resolve(&changed).ok()?;
        let left = stops(&proven(&again, proof).findings);
        let cost = (Asks::of(p), distance(&p.value, &value));
        trials.push(Trial { parameter: index, value, cost, left: left.clone() });
        Some(
            left.iter().filter(|k| before.contains(k)).count()
                + 1000 * left.iter().filter(|k| !before.contains(k)).count(),
        )
    };
    match &p.value {
        Value::Switch(on) => {
            attempt(Value::Switch(!on));
        }
        Value::Word(_) if p.kind == Kind::Choice => {
            for word in &p.of {
                attempt(Value::Word(word.clone()));
            }
        }
        Value::Count(n) => {
            for other in (0..=n + 12).filter(|m| m != n) {
                attempt(Value::Count(other));
            }
        }
        Value::Length(l) => {
            let step = if resolved.order.unit == Unit::Inch { measure::inches(1, 8) } else { measure::mm(1) };
            for end in ends(p, *l) {
                close_in(*l, end, step, before.len(), &mut |l| attempt(Value::Length(l)));
            }
        }
        Value::Number(_) | Value::Word(_) => {}
    }
    trials
}

/// How far the search goes on both sides: to the parameter's own range, or four times up and down.
fn ends(p: &Parameter, at: Length) -> [Length; 2] {
    let length = |v: &Option<Value>| match v {
        Some(Value::Length(l)) => Some(*l),
        _ => None,
    };
    let reach = at.max(measure::inches(1, 2));
    [length(&p.least).unwrap_or(at / 4), length(&p.most).unwrap_or(reach * 4)]
}

/// Walks from `from` towards `end` until fewer stops are left, then halves the way back to the nearest such value on
/// the grid of `step`.
fn close_in(from: Length, end: Length, step: Length, before: usize, attempt: &mut impl FnMut(Length) -> Option<usize>) {
    const STRIDES: i64 = 12;
    let mut worse = from;
    for i in 1..=STRIDES {
        let there = (from + (end - from) * i / STRIDES).rounded_to(step);
        let there = if i == STRIDES { end } else { there };
        if there == worse {
            continue;
        }
        let Some(left) = attempt(there) else { return };
        if left >= before {
            worse = there;
            continue;
        }
        let (mut bad, mut good) = (worse, there);
        while (good - bad).abs() > step {
            let middle = (bad + (good - bad).half()).rounded_to(step);
            if middle == bad || middle == good {
                break;
            }
            match attempt(middle) {
                Some(n) if n <= left => good = middle,
                _ => bad = middle,
            }
        }
        if left == 0 {
            return;
        }
        worse = there;
    }
}

/// The size of a change, as a share of what was ordered.
fn distance(from: &Value, to: &Value) -> f64 {
    match (from, to) {
        (Value::Length(a), Value::Length(b)) => (b.mm() - a.mm()).abs() / a.mm().abs().max(1.0),
        (Value::Count(a), Value::Count(b)) => a.abs_diff(*b) as f64 / (*a as f64).max(1.0),
        _ => 1.0,
    }
}
