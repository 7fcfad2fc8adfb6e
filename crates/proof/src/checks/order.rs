//! What is cut after a piece has been cut out: it hangs by bridges only, and must not be worked any more.

use crate::report::{Finding, Rule};
use crate::sweep::outline::Outline;
use crate::sweep::region::LEVEL;

use super::{Run, at_line};

pub(crate) fn order(run: &Run<'_>, out: &mut Vec<Finding>) {
    let cuts = || run.claim.cuts.iter().map(|c| (c, Outline::new(&c.prism.outline)));
    let (last, before): (Vec<_>, Vec<_>) = cuts().partition(|(c, _)| c.frees);
    if last.is_empty() {
        return;
    }
    let (top, bottom) = (run.claim.stock.max[2], run.claim.stock.min[2]);
    let mut freed = false;
    for s in run.path.iter().filter(|s| !s.rapid && !s.blind && s.lowest() < top - LEVEL) {
        let p = s.curve.at(0.5);
        let at =
            |all: &[(&crate::claim::Cut, Outline)]| all.iter().find(|(_, o)| o.holds(p)).map(|(c, _)| c.id.clone());
        if at(&last).is_some() {
            freed |= s.lowest() <= bottom + LEVEL;
        } else if freed && let Some(id) = at(&before) {
            let what = "cut when a piece already hangs by its bridges only".into();
            let finding = at_line(Rule::Order, run.line(s), 1.0, 0.0, what);
            out.push(Finding { cut: Some(id), at: Some([p[0], p[1], s.lowest()]), ..finding });
            return;
        }
    }
}
