//! Where a part may be clamped by its top: places at its edges that no cut, tool or holder comes near.

use crate::curve::Bounds;
use crate::machine::Machine;
use crate::path::{Move, Reach};
use crate::tool::Tool;

/// Room between a clamp and whatever moves, in mm.
const AIR: f64 = 3.0;

/// What one operation sweeps below the clamps' tops, seen from above, with the tool's or the holder's own size and a
/// little air. Nothing if it stays above them.
pub(crate) fn swept(moves: &[Move], tool: &Tool, machine: &Machine) -> Option<Bounds> {
    let top = machine.clamp.height.mm();
    let reach = Reach::NONE.with(moves);
    if reach.min[2] > top + AIR {
        return None;
    }
    let holder_is_down = reach.min[2] + tool.stick_out.mm() < top + AIR;
    let body = if holder_is_down { tool.radius().max(tool.holder.mm() / 2.0) } else { tool.radius() };
    Some(reach.grown(body + AIR).plan())
}

/// Places for clamps along the edges of a blank, clear of everything swept: near both ends of the front and of the back
/// edge, and between where that is far; across the whole of a narrow blank; else on its ends. Empty if there are none.
pub(crate) fn places(blank: &Bounds, swept: &[Bounds], machine: &Machine) -> Vec<Bounds> {
    let (width, reach) = (machine.clamp.width.mm(), machine.clamp.reach.mm());
    let [_, _, long, wide] = *blank;
    let free = |b: &Bounds| !swept.iter().any(|s| crate::curve::near(s, b, 0.0));
    let mut out: Vec<Bounds> = Vec::new();
    let edges: Vec<[f64; 2]> =
        if wide < 2.5 * reach { vec![[0.0, wide]] } else { vec![[0.0, reach], [wide - reach, wide]] };
    for [low, high] in edges {
        out.extend(spread(long, width, &|x| free(&[x, low, x + width, high])).map(|x| [x, low, x + width, high]));
    }
    if out.is_empty() && wide >= width {
        for [low, high] in [[0.0, reach], [long - reach, long]] {
            out.extend(spread(wide, width, &|y| free(&[low, y, high, y + width])).map(|y| [low, y, high, y + width]));
        }
    }
    out
}

/// First, last and, if they are far apart, a middle place of a clamp along an edge.
fn spread(length: f64, width: f64, free: &dyn Fn(f64) -> bool) -> impl Iterator<Item = f64> {
    let step = width / 2.0;
    let mut at = Vec::new();
    let mut x = 0.0;
    while x + width <= length {
        if free(x) {
            at.push(x);
        }
        x += step;
    }
    let picked = match at.as_slice() {
        [] => vec![],
        [only] => vec![*only],
        [first, .., last] if last - first < width => vec![*first],
        [first, .., last] => {
            let mut picked = vec![*first];
            if last - first > 800.0 {
                let half = f64::midpoint(*first, *last);
                picked.extend(at.iter().copied().min_by(|a, b| (a - half).abs().total_cmp(&(b - half).abs())));
            }
            picked.push(*last);
            picked
        }
    };
    picked.into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clamps_stand_where_nothing_comes() {
        let blank = [0.0, 0.0, 600.0, 90.0];
        let swept = [[-10.0, -10.0, 60.0, 100.0], [540.0, -10.0, 610.0, 100.0]];
        let found = places(&blank, &swept, &Machine::default());
        assert_eq!(found.len(), 4);
        for c in &found {
            assert!(c[0] >= 60.0 && c[2] <= 540.0 && c[1] >= 0.0 && c[3] <= 90.0);
        }
        assert!(places(&blank, &[blank], &Machine::default()).is_empty());
    }
}
