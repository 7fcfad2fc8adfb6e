//! Notes on a part's sheet: what its likes are, and its tenons in one line each.

use case::{Axis, Dir, Part, Purpose};
use measure::{Length, Ruler};

use paper::dimension::figure;

/// The notes, a line each.
pub(crate) fn notes(part: &Part, likes: &[&Part], name: &dyn Fn(Dir) -> &'static str, ruler: &Ruler) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(mirrored) = likes.iter().find(|p| p.same_as.is_some_and(|s| s.mirrored)) {
        lines.push(format!(
            "The mirror image is made alike, its lengths along the grain from its other end ({}).",
            mirrored.id
        ));
    }
    if likes.len() > 1 && part.cuts.iter().any(|c| c.joint.is_some()) {
        lines.push(format!("Parts met are those of {}; its likes meet their own.", part.id));
    }
    lines.extend(tenons(part, name, ruler));
    lines
}

/// A tenon as it is left by the cuts about it.
#[derive(Clone, PartialEq, Eq)]
struct Tenon {
    thickness: Length,
    width: Length,
    /// From its end to the shoulder, on the show face and on the back.
    lengths: [Length; 2],
}

/// Reference figures: they follow from the cuts.
fn tenons(part: &Part, name: &dyn Fn(Dir) -> &'static str, ruler: &Ruler) -> Vec<String> {
    let show = |l: Length| figure(ruler, l);
    let said = |t: &Tenon| {
        let [front, back] = t.lengths;
        let long = if front == back {
            format!("{} long", show(front))
        } else {
            format!("{} long at the {}, {} at the {}", show(front), name(Dir::PZ), show(back), name(Dir::NZ))
        };
        format!("{} × {}, {long}", show(t.thickness), show(t.width))
    };
    let between = |a: Length, b: Length| part.size[0] - a - b;
    match [tenon(part, Dir::NX), tenon(part, Dir::PX)] {
        [Some(a), Some(b)] => {
            let [front, back] = [0, 1].map(|i| between(a.lengths[i], b.lengths[i]));
            let mut lines = if a == b {
                vec![format!("(Tenons {}.)", said(&a))]
            } else {
                vec![format!("(Left tenon {}.)", said(&a)), format!("(Right tenon {}.)", said(&b))]
            };
            lines.push(if front == back {
                format!("(Between shoulders {}.)", show(front))
            } else {
                format!(
                    "(Between shoulders {} at the {}, {} at the {}.)",
                    show(front),
                    name(Dir::PZ),
                    show(back),
                    name(Dir::NZ)
                )
            });
            lines
        }
        [a, b] => a.or(b).map(|t| format!("(Tenon {}.)", said(&t))).into_iter().collect(),
    }
}

/// The tenon at an end, if cheeks are cut there.
fn tenon(part: &Part, end: Dir) -> Option<Tenon> {
    let whole = part.size[0];
    let at_end = part.cuts.iter().filter(|c| {
        let x = c.bounds(part.size).along(Axis::X);
        if end.positive { x[1] == whole } else { x[0] == Length::ZERO }
    });
    let (mut thickness, mut width, mut lengths) = (part.size[2], part.size[1], [None, None]);
    for cut in at_end {
        match cut.purpose {
            Purpose::TenonCheek => {
                thickness -= cut.depth;
                lengths[usize::from(cut.from == Dir::NZ)] = Some(cut.bounds(part.size).size()[0]);
            }
            Purpose::TenonEdge => width -= cut.depth,
            _ => {}
        }
    }
    let front = lengths[0].or(lengths[1])?;
    Some(Tenon { thickness, width, lengths: [front, lengths[1].unwrap_or(front)] })
}
