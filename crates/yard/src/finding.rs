//! What the boards at hand do not allow, as findings: short stock, sets from several boards, the best boards for hidden
//! faces, pieces that no board holds.

use case::{Case, Finding, Form, Level, PartId};
use measure::Ruler;

use crate::{Buying, Group, Plan};

/// All of them, by group.
pub(crate) fn findings(plan: &Plan, case: &Case) -> Vec<Finding> {
    let buying = Buying::of(plan, case);
    let mut found = Vec::new();
    for (group, bought) in plan.groups.iter().zip(&buying.rows) {
        let ruler = &case.order.ruler;
        let what = format!("{}, {}", group.material(), group.stock().name(ruler));
        let noun = if group.material().form == Form::Solid { "boards" } else { "sheets" };
        let unlaid: Vec<&str> = group.unlaid().collect();
        if !unlaid.is_empty() {
            let (parts, size) = marked(group, &unlaid, ruler);
            found.push(Finding {
                level: Level::Caution,
                rule: "stock-size",
                parts,
                what: format!("{what}: no board or sheet of the usual size holds {}", unlaid.join(", ")),
                figure: size,
                limit: format!("the largest of the {noun} that are laid out"),
                advice: "join it from smaller pieces, or ask the yard for one that is large enough".into(),
                mend: None,
            });
        }
        let mut missing: Vec<&str> = group.missing().iter().flatten().map(String::as_str).collect();
        missing.sort_unstable();
        if plan.rack.is_some() && !missing.is_empty() {
            let (parts, size) = marked(group, &missing, ruler);
            let all: usize = group.lines().iter().map(crate::RoughLine::pieces).sum();
            let buy = bought
                .buy
                .iter()
                .map(|(n, length, width)| format!("{n} of {} × {}", ruler.show(*length), ruler.show(*width)));
            let form = group.material().form;
            found.push(Finding {
                level: Level::Caution,
                rule: "stock-short",
                parts,
                what: format!("{what}: the {noun} at hand are not enough; short of {}", missing.join(", ")),
                figure: format!(
                    "{} of {all} pieces find a place; the largest that does not is {size}",
                    all - missing.len()
                ),
                limit: "a place for each".into(),
                advice: format!(
                    "buy {} {}, for instance {}",
                    bought.to_buy.figure(form, case.order.unit),
                    takeoff::bought_by(form, case.order.unit),
                    buy.collect::<Vec<_>>().join(" and ")
                ),
                mend: None,
            });
        }
        if group.given_up().together {
            found.push(note(
                "stock-matched",
                format!("{what}: pieces of one part come from several boards"),
                "grain and colour will not match: see the layout, and match what shows by eye",
            ));
        }
        if group.given_up().best {
            found.push(note(
                "stock-best",
                format!("{what}: boards kept for faces that show serve for others too"),
                "buy a plainer board for what does not show, or take `best` from a board",
            ));
        }
    }
    found
}

fn note(rule: &'static str, what: String, advice: &str) -> Finding {
    Finding {
        level: Level::Note,
        rule,
        parts: Vec::new(),
        what,
        figure: String::new(),
        limit: String::new(),
        advice: advice.into(),
        mend: None,
    }
}

/// The parts that marks belong to, and the rough size of the largest of the pieces.
fn marked(group: &Group, marks: &[&str], ruler: &Ruler) -> (Vec<PartId>, String) {
    let lines = group.lines().iter().filter(|l| l.sets.iter().flatten().any(|m| marks.contains(&m.as_str())));
    let lines: Vec<_> = lines.collect();
    let mut parts: Vec<PartId> = lines.iter().filter(|l| !l.strip).flat_map(|l| l.parts.iter().copied()).collect();
    parts.retain(|id| marks.iter().any(|m| m.split('+').any(|m| is_of(m, *id))));
    parts.sort_unstable();
    parts.dedup();
    let largest = lines.iter().map(|l| l.rough).max_by_key(|[l, w]| i128::from(l.nm()) * i128::from(w.nm()));
    let size = largest.map(|[l, w]| format!("{} × {}", ruler.show(l), ruler.show(w))).unwrap_or_default();
    (parts, size)
}

/// Whether `P13b` is a piece of `P13`.
fn is_of(mark: &str, id: PartId) -> bool {
    let rest = mark.strip_prefix(&id.to_string());
    rest.is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()))
}
