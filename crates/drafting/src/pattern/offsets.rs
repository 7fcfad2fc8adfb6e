//! What one lays a curve out by: heights at even stations, and the arcs with their centres.

use case::{Outline, Segment};
use measure::{Length, Ruler, Unit, inches, mm};

use paper::dimension::figure;
use paper::table::Table;

/// Stations are no closer than this, mm.
const CLOSE: f64 = 3.0;

/// A curve between its springings: the sides of an outline that do not lie on its base.
#[derive(Clone, Debug)]
pub(crate) struct Curve {
    /// Where the two springings lie along the grain.
    pub(crate) span: [Length; 2],
    /// The level that both stand on, across the grain.
    pub(crate) base: Length,
    /// +1 if the curve rises towards growing coordinates, else -1.
    pub(crate) up: f64,
    /// The sides, in order, from one springing to the other; mm of the part.
    pub(crate) sides: Vec<Segment>,
}

impl Curve {
    /// The curve of a shaped edge: its outline less the one straight side along the blank's edge.
    pub(crate) fn of(outline: &Outline) -> Option<Self> {
        let n = outline.0.len();
        let level = |i: usize| outline.0[i].v == outline.0[(i + 1) % n].v && outline.0[i].bulge == 0.0;
        let [low, high] = outline.bounds()[1];
        let on_edge = |i: usize| level(i) && (outline.0[i].v == low || outline.0[i].v == high);
        // The base is the longest such side that the whole outline lies to one side of.
        let length = |i: usize| (outline.0[(i + 1) % n].u - outline.0[i].u).abs();
        let base = (0..n).filter(|&i| on_edge(i)).max_by_key(|&i| (length(i), std::cmp::Reverse(i)))?;
        let sides: Vec<Segment> = outline.segments().collect();
        let (a, b) = (outline.0[base], outline.0[(base + 1) % n]);
        Some(Self {
            span: [a.u.min(b.u), a.u.max(b.u)],
            base: a.v,
            up: if a.v == low { 1.0 } else { -1.0 },
            sides: (1..n).map(|k| sides[(base + k) % n]).collect(),
        })
    }

    /// Where its middle lies along the grain.
    pub(crate) fn middle(&self) -> f64 {
        (self.span[0].mm() + self.span[1].mm()) / 2.0
    }

    /// Height above the base at a place along the grain, mm; the greatest where there are several.
    pub(crate) fn height(&self, x: f64) -> f64 {
        let heights = self.sides.iter().flat_map(|s| crossings(s, x));
        heights.map(|y| (y - self.base.mm()) * self.up).fold(0.0, f64::max)
    }

    /// The greatest height, mm.
    pub(crate) fn rise(&self) -> f64 {
        let ends = self.sides.iter().flat_map(|s| s.flattened(0.001));
        ends.map(|p| (p[1] - self.base.mm()) * self.up).fold(0.0, f64::max)
    }

    /// It is the same from both springings, to within 0.01 mm.
    pub(crate) fn is_symmetrical(&self) -> bool {
        let (middle, half) = (self.middle(), (self.span[1] - self.span[0]).mm() / 2.0);
        (1..40).all(|k| {
            let d = half * f64::from(k) / 40.0;
            (self.height(middle + d) - self.height(middle - d)).abs() < 0.01
        })
    }

    /// Places of the stations along the grain, with their distances from where they are counted: from the middle out
    /// if the curve is symmetrical, or else from the left springing.
    pub(crate) fn stations(&self, unit: Unit) -> Vec<(Length, f64)> {
        let span = self.span[1] - self.span[0];
        let step = match (unit, span > mm(600)) {
            (Unit::Inch, false) => inches(1, 1),
            (Unit::Inch, true) => inches(2, 1),
            (Unit::Millimetre, false) => mm(25),
            (Unit::Millimetre, true) => mm(50),
        };
        let (from, reach) =
            if self.is_symmetrical() { (self.middle(), span.half()) } else { (self.span[0].mm(), span) };
        let mut at: Vec<Length> = (0..).map(|k| step * k).take_while(|d| *d < reach).collect();
        // The springing itself closes the table.
        if at.last().is_some_and(|d| (reach - *d).mm() < CLOSE) {
            at.pop();
        }
        at.push(reach);
        let mut out = vec![at[0]];
        for pair in at.windows(2) {
            self.divide(pair[0], pair[1], step, from, &mut out);
        }
        out.into_iter().map(|d| (d, from + d.mm())).collect()
    }

    /// Stations after the first up to the second, closer together where the curve is steep.
    fn divide(&self, a: Length, b: Length, step: Length, from: f64, out: &mut Vec<Length>) {
        let fall = (self.height(from + a.mm()) - self.height(from + b.mm())).abs();
        if fall > step.mm() / 4.0 && (b - a).mm() > 2.0 * CLOSE {
            let middle = a + (b - a).half();
            self.divide(a, middle, step, from, out);
            self.divide(middle, b, step, from, out);
        } else {
            out.push(b);
        }
    }

    /// The table of heights at the stations, on as many rows as a width takes.
    pub(crate) fn table(&self, unit: Unit, ruler: &Ruler, width: f64) -> Table {
        let stations = self.stations(unit);
        let made = |columns: usize| self.table_of(&stations, ruler, columns);
        (1..=stations.len()).rev().map(made).find(|t| t.size()[0] <= width).unwrap_or_else(|| made(1))
    }

    fn table_of(&self, stations: &[(Length, f64)], ruler: &Ruler, columns: usize) -> Table {
        let from = if self.is_symmetrical() { "from the centre line, both ways" } else { "from the left springing" };
        let mut table = Table::new(format!("Offsets: heights over the springing line, {from}"), &[]);
        table.head.resize(columns + 1, String::new());
        for chunk in stations.chunks(columns) {
            let mut at = vec!["station".to_owned()];
            let mut heights = vec!["height".to_owned()];
            for (d, x) in chunk {
                at.push(figure(ruler, *d));
                heights.push(figure(ruler, Length::from_mm(self.height(*x))));
            }
            for mut row in [at, heights] {
                row.resize(columns + 1, String::new());
                table.rows.push(row);
            }
        }
        table
    }

    /// The table of its arcs, from the right springing to the left.
    pub(crate) fn arcs(&self, ruler: &Ruler) -> Table {
        let head =
            ["ARC", "RADIUS", "CENTRE, FROM THE CENTRE LINE", "FROM THE SPRINGING LINE", "ENDS, FROM THE CENTRE LINE"];
        let mut table = Table::new("Arcs; left of the centre line and below the springing line are negative", &head);
        let show = |v: f64| figure(ruler, Length::from_mm(v));
        let (middle, base) = (self.middle(), self.base.mm());
        for (i, side) in self.sides.iter().enumerate() {
            let Some(arc) = side.arc() else { continue };
            table.rows.push(vec![
                (i + 1).to_string(),
                show(arc.radius),
                show(arc.centre[0] - middle),
                show((arc.centre[1] - base) * self.up),
                format!("{}, {}", show(side.from[0] - middle), show(side.to[0] - middle)),
            ]);
        }
        table
    }
}

/// Where a side is met by the upright at `x`.
fn crossings(side: &Segment, x: f64) -> Vec<f64> {
    const NEAR: f64 = 1e-9;
    let (low, high) = (side.from[0].min(side.to[0]), side.from[0].max(side.to[0]));
    let Some(arc) = side.arc() else {
        if x < low - NEAR || x > high + NEAR {
            return Vec::new();
        }
        if high - low < NEAR {
            return vec![side.from[1], side.to[1]];
        }
        let t = (x - side.from[0]) / (side.to[0] - side.from[0]);
        return vec![side.from[1] + t * (side.to[1] - side.from[1])];
    };
    let dx = x - arc.centre[0];
    if dx.abs() > arc.radius + NEAR {
        return Vec::new();
    }
    let dy = (arc.radius * arc.radius - dx * dx).max(0.0).sqrt();
    let tau = std::f64::consts::TAU;
    let swept = |y: f64| {
        let turned = (libm::atan2(y, dx) - arc.start).rem_euclid(tau);
        let room = 1e-7;
        if arc.sweep >= 0.0 {
            turned <= arc.sweep + room || turned >= tau - room
        } else {
            turned >= tau + arc.sweep - room || turned <= room
        }
    };
    [dy, -dy].into_iter().filter(|y| swept(*y)).map(|y| arc.centre[1] + y).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use case::Vertex;

    /// A segmental arch of 48 in by 6 in has R = 51 in (R = s²/8h + h/2), and so stands √(51² − 12²) − 45 = 4.5681 in
    /// over its springing line half way out.
    #[test]
    fn heights_of_a_segmental_arch() {
        let bulge = 2.0 * 6.0 / 48.0;
        let at = |u, bulge| Vertex { u, v: mm(10), bulge };
        let c = Curve::of(&Outline(vec![at(mm(20), 0.0), at(mm(20) + inches(48, 1), bulge)])).unwrap();
        assert_eq!(c.span, [mm(20), mm(20) + inches(48, 1)]);
        assert!((c.rise() / 25.4 - 6.0).abs() < 1e-3 && c.is_symmetrical());
        assert!((c.height(c.middle()) / 25.4 - 6.0).abs() < 1e-9);
        let expected = (51.0_f64 * 51.0 - 144.0).sqrt() - 45.0;
        assert!((c.height(c.middle() + 12.0 * 25.4) / 25.4 - expected).abs() < 1e-9);
        let stations = c.stations(Unit::Inch);
        assert_eq!(stations.first().unwrap().0, Length::ZERO);
        assert_eq!(stations.last().unwrap().0, inches(24, 1));
    }
}
