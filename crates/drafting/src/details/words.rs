//! What is written over a detail: its number and title, the kind of view, the joints it shows, and figures.

use case::{Case, JointId, JointKind};

use super::plan::{Plan, joint};
use super::running::sentence;
use paper::scale::Scale;
use paper::text;

/// Heights of a detail's title and of the lines under it, mm.
pub(super) const TITLE: f64 = 3.5;
pub(super) const NOTE: f64 = 2.5;

/// The title with its number.
pub(super) fn titled(number: usize, title: &str) -> String {
    format!("{number}  {title}")
}

/// The lines under a title: what kind of view, which joints, which are the same, and figures.
pub(super) fn words(case: &Case, plan: &Plan, scale: Scale, open: Option<Scale>, width: f64) -> Vec<String> {
    let also = match open {
        None => String::new(),
        Some(s) => format!("; open {s}"),
    };
    let mut out = vec![format!("{}, {scale}{also}", plan.section.name())];
    let mut kinds: Vec<JointKind> = plan.joints.iter().map(|j| joint(case, *j).kind).collect();
    kinds.sort();
    kinds.dedup();
    for kind in kinds {
        let of = |list: &[JointId]| numbers(list.iter().copied().filter(|j| joint(case, *j).kind == kind));
        let (own, same) = (of(&plan.joints), of(&plan.same));
        let same = if same.is_empty() { String::new() } else { format!(", the same in {same}") };
        out.push(format!("{} {own}{same}", sentence(kind.name())));
    }
    out.extend(plan.facts.iter().cloned());
    out.iter().flat_map(|line| text::folded(line, " ", NOTE, width)).collect()
}

/// `J07, J12–J15`.
fn numbers(joints: impl Iterator<Item = JointId>) -> String {
    let mut ids: Vec<u32> = joints.map(|j| j.0).collect();
    ids.sort_unstable();
    let runs = ids.chunk_by(|a, b| a + 1 == *b).flat_map(|run| match run {
        [_, _] | [_] => run.iter().map(|id| JointId(*id).to_string()).collect(),
        _ => vec![format!("{}–{}", JointId(run[0]), JointId(run[run.len() - 1]))],
    });
    runs.collect::<Vec<String>>().join(", ")
}
