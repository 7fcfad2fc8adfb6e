//! Random cuts in random blanks, whatever they overlap: each is cut as asked and proven, or left by hand with a reason.

use case::{Cut, Dir, Outline, Part, Purpose, Role, Vertex};
use measure::{Length, Unit, mm};
use proptest::prelude::*;
use routing::{Machine, ToolTable, route};

use crate::fixture;
use crate::refusals;

/// A share of a length in whole sixteenths of a millimetre, so that sides often coincide.
fn share(of: Length, sixteenths: u8, on: u8) -> Length {
    (of * i64::from(sixteenths) / i64::from(on)).rounded_to(Length::from_nm(62_500))
}

/// A rectangle, a circle or an arch, by sixteenths of the face.
fn outline(face: [Length; 2], kind: u8, at: [u8; 4]) -> Option<Outline> {
    let u = [share(face[0], at[0].min(at[2]), 16), share(face[0], at[0].max(at[2]), 16)];
    let v = [share(face[1], at[1].min(at[3]), 16), share(face[1], at[1].max(at[3]), 16)];
    if u[0] == u[1] || v[0] == v[1] {
        return None;
    }
    Some(match kind {
        0..=5 => Outline::rectangle(u, v),
        6 => {
            let d = (u[1] - u[0]).min(v[1] - v[0]).rounded_to(Length::from_nm(500_000));
            // Off the grid of the others, so that no side is touched by a hair's breadth only.
            let off = Length::from_nm(17_000);
            if d < mm(2) {
                return None;
            }
            Outline::circle([u[0] + d.half() + off, v[0] + d.half() + off], d - Length::from_nm(50_000))
        }
        _ => {
            // From the near edge, by a rise of at most half the chord.
            let rise = (v[1] - v[0]).min((u[1] - u[0]).half()) - Length::from_nm(17_000);
            let bulge = rise.mm() / (u[1] - u[0]).half().mm();
            let at = |u, bulge| Vertex { u, v: Length::ZERO, bulge };
            Outline(vec![at(u[0], 0.0), at(u[1], bulge)])
        }
    })
}

fn part(size: [Length; 3], cuts: &[(u8, u8, [u8; 4], u8)]) -> Part {
    let made = cuts.iter().filter_map(|(face, kind, at, depth)| {
        let from = Dir::ALL[usize::from(*face % 6)];
        let (u, v) = from.axis.others();
        let outline = outline([size[u.index()], size[v.index()]], *kind, *at)?;
        let depth = share(size[from.axis.index()], 1 + depth % 16, 16);
        Some(Cut { purpose: Purpose::Mortise, joint: None, from, outline, depth })
    });
    fixture::part(1, "board", Role::Rail, size, Dir::PX, Dir::PZ, made.collect())
}

/// All cuts stand at least a millimetre from one another.
fn stand_apart(part: &Part) -> bool {
    let boxes: Vec<_> = part.cuts.iter().map(|c| c.bounds(part.size)).collect();
    (0..boxes.len()).all(|i| {
        boxes[..i].iter().all(|a| {
            let b = &boxes[i];
            (0..3).any(|k| a.min[k] > b.max[k] + mm(1) || b.min[k] > a.max[k] + mm(1))
        })
    })
}

fn case_of(size: [i64; 3], cuts: &[(u8, u8, [u8; 4], u8)], unit: Unit) -> case::Case {
    fixture::case(unit, vec![part(size.map(mm), cuts)])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_claimed_is_proven_and_the_rest_has_a_reason(
        size in [160_i64..900, 20_i64..200, 10_i64..60],
        cuts in prop::collection::vec((0_u8..6, 0_u8..8, [0_u8..17, 0_u8..17, 0_u8..17, 0_u8..17], 0_u8..16), 1..7),
        metric in any::<bool>(),
    ) {
        let unit = if metric { Unit::Millimetre } else { Unit::Inch };
        let case = case_of(size, &cuts, unit);
        let r = route(&case, &Machine::default(), &ToolTable::default());
        let part = &case.parts[0];
        // Where cuts cross, a bit may leave wood in a neck that nobody would design; nothing worse.
        let only_left = |f: &String| f.contains(": leftover: ") || f.contains(": unreached: ");
        let refused = refusals(&r);
        let wrong = refused.iter().any(|f| !only_left(f) || stand_apart(part));
        prop_assert!(!wrong, "{}", refused.join("\n"));
        for i in 0..part.cuts.len() {
            let id = part.cut_id(i);
            let made = r.programs.iter().filter(|p| p.cuts.contains(&id)).count();
            let left = r.by_hand.iter().filter(|b| b.cut.as_ref() == Some(&id) && !b.why.is_empty()).count();
            prop_assert_eq!(made + left, 1, "{}", id);
        }
        let run_out = Machine::default().run_out.mm() + 1e-3;
        for p in &r.programs {
            let [low, high] = p.extent;
            let size = p.setup.size.map(Length::mm);
            for i in 0..2 {
                prop_assert!(low[i] >= -run_out && high[i] <= size[i] + run_out);
            }
        }
    }
}
