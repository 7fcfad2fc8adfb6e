//! How deep a program goes at a place, and which moves it makes: for whoever draws a proof.

use crate::checks;
use crate::claim::Claim;
use crate::reader::{Motion, read};
use crate::sweep::curve::{Bounds, Curve};
use crate::sweep::grid::{Grid, Seen};
use crate::sweep::path::{Stretch, stretches};

/// What a program's moves leave of the stock's top.
#[derive(Clone, Debug)]
pub struct Surface {
    /// The moves, as they are read.
    pub motions: Vec<Motion>,
    path: Vec<Stretch>,
    grid: Grid,
    seen: Seen,
    top: f64,
}

impl Surface {
    /// Reads and sweeps the text; faults in it leave moves out.
    pub fn new(text: &str, claim: &Claim) -> Self {
        let motions = read(text.as_bytes()).motions;
        let mut path = stretches(&motions, |number| checks::tool(claim, number));
        path.retain(|s| !s.rapid && !s.blind && s.lowest() < claim.stock.max[2]);
        let grid = Grid::new(&path.iter().map(|s| (s.curve, s.r)).collect::<Vec<_>>());
        Self { motions, path, grid, seen: Seen::default(), top: claim.stock.max[2] }
    }

    /// How far below the stock's top the wood is gone at a place in plan, mm; 0 where it is not. On slanting arcs to a
    /// sixty-fourth of their length.
    pub fn depth(&mut self, place: [f64; 2]) -> f64 {
        let (path, mut lowest) = (&self.path, self.top);
        self.grid.near(&Bounds::of(place), &mut self.seen, |i| {
            lowest = lowest.min(height_over(&path[i], place).unwrap_or(lowest));
            true
        });
        self.top - lowest
    }
}

/// The lowest that a tool gets on a stretch while it is over a place.
fn height_over(s: &Stretch, p: [f64; 2]) -> Option<f64> {
    const STEPS: u32 = 64;
    if s.curve.distance(p) >= s.r {
        return None;
    }
    match s.curve {
        _ if s.z[0] == s.z[1] => Some(s.z[0]),
        Curve::Line(l) if l.a == l.b => Some(s.lowest()),
        Curve::Line(l) => {
            let (d, v) = ([l.b[0] - l.a[0], l.b[1] - l.a[1]], [p[0] - l.a[0], p[1] - l.a[1]]);
            let length = libm::hypot(d[0], d[1]);
            let along = (v[0] * d[0] + v[1] * d[1]) / length;
            let aside = (v[0] * d[1] - v[1] * d[0]) / length;
            let half = (s.r * s.r - aside * aside).max(0.0).sqrt();
            let ends = [along - half, along + half].map(|a| s.height((a / length).clamp(0.0, 1.0)));
            Some(ends[0].min(ends[1]))
        }
        Curve::Arc(_) => {
            let steps = (0..=STEPS).map(|i| f64::from(i) / f64::from(STEPS));
            let over = steps.filter(|t| {
                let q = s.curve.at(*t);
                libm::hypot(q[0] - p[0], q[1] - p[1]) < s.r
            });
            over.map(|t| s.height(t)).min_by(f64::total_cmp)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::claim::{Box3, Controller, Machine, Tool, ToolKind};

    #[test]
    fn a_ramp_is_as_deep_as_the_tool_s_edge_gets() {
        let tool = Tool {
            number: 1,
            kind: ToolKind::Straight,
            diameter: 6.0,
            point: None,
            flute: 20.0,
            holder: 40.0,
            stick_out: 40.0,
            plunges: true,
            ramp: 90.0,
            rpm: [1e4, 2e4],
            feed: [1.0, 5e3],
            plunge_feed: 1e3,
        };
        let machine = Machine {
            travel: [1e3; 3],
            rapid: [1e4; 3],
            feed: 5e3,
            acceleration: [400.0; 3],
            spindle: [1e4, 2e4],
            tool_change: 0.0,
            controller: Controller { tool_change: false, ..Controller::ANY },
        };
        let claim = Claim {
            unit: None,
            work_offset: None,
            stock: Box3::new([0.0, 100.0], [0.0, 50.0], [-20.0, 0.0]),
            cuts: vec![],
            elsewhere: vec![],
            tabs: vec![],
            clamps: vec![],
            tools: vec![tool],
            machine,
            run_out: 10.0,
            spoilboard: 0.0,
        };
        let text = "G21 G17 G90 G94 G40 G49 G80 G54\nS12000 M3 F900\nG0 Z5.\nG0 X10. Y20.\nG1 Z0.\nG1 X50. Z-4.\nG0 Z5.\nM5\nM2\n";
        let mut surface = Surface::new(text, &claim);
        // One in ten: at x = 30 the tool's trailing edge is over the place until x = 33, and at Z-2.3.
        assert!((surface.depth([30.0, 20.0]) - 2.3).abs() < 1e-9);
        assert!((surface.depth([52.0, 20.0]) - 4.0).abs() < 1e-9);
        assert_eq!(surface.depth([30.0, 23.1]), 0.0);
        assert_eq!(surface.motions.len(), 5);
    }
}
