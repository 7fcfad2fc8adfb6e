//! The edge of a routing pattern: the finished edge offset for a guide collar and the bit in it.
//!
//! The bit cuts along the finished edge from the waste side, so its middle runs half its diameter away in the waste, and
//! the collar's rim half the collar's diameter to either side of that. A pattern laid over the wood has its edge where
//! the rim comes nearest to the wood, (collar - bit) / 2 within it; one laid over the waste, (collar + bit) / 2 off.

use case::{Case, Guide};
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use measure::{Length, Ruler};

use paper::dimension::figure;
use paper::scene::{At, Path};

/// Over what the pattern is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Over {
    /// Over the wood that stays.
    Wood,
    /// Over the waste.
    Waste,
}

/// How far the guide's line runs on straight at both ends, mm.
const LEAD: f64 = 6.0;
/// How far an offset may lie from its distance, mm; the library says nothing when it fails.
const TRUE: f64 = 0.002;
/// The sine of the least angle that counts as a corner.
const CORNER: f64 = 1e-3;

/// The lines of a routing pattern for one shaped edge, and what the sheet says of them.
#[derive(Debug, Default)]
pub(crate) struct Guided {
    pub(crate) over_wood: Option<Path>,
    pub(crate) over_waste: Option<Path>,
    pub(crate) notes: Vec<String>,
}

impl Guided {
    /// The first guide that follows the edge; if none does, the reasons.
    pub(crate) fn first(edge: &Path, waste_on_left: bool, guides: &[Guide], case: &Case) -> Self {
        let ruler = &case.order.ruler;
        let mut refused: Vec<String> = Vec::new();
        for guide in Guide::in_order(guides, ruler) {
            match line(guide, edge, waste_on_left, Over::Wood, ruler) {
                Ok(over_wood) => {
                    let [into, off] = [Over::Wood, Over::Waste].map(|o| figure(ruler, offset_of(guide, o)));
                    let (collar, bit) = (figure(ruler, guide.collar), figure(ruler, guide.bit));
                    let mut notes = vec![format!(
                        "Long dash and two dots: edge of a routing pattern laid over the wood, {into} within it, for \
                         the {}, ⌀ {collar}, with a bit ⌀ {bit}; the router runs on the waste's side.",
                        guide.name
                    )];
                    let over_waste = line(guide, edge, waste_on_left, Over::Waste, ruler);
                    notes.push(match &over_waste {
                        Ok(_) => format!(
                            "One laid over the waste has its edge {off} off the finished edge (in the DXF file)."
                        ),
                        Err(why) => format!("None can be laid over the waste: {why}."),
                    });
                    return Self { over_wood: Some(over_wood), over_waste: over_waste.ok(), notes };
                }
                Err(why) => refused.push(format!("No routing pattern for the {}: {why}.", guide.name)),
            }
        }
        Self { notes: refused, ..Self::default() }
    }
}

/// From the finished edge to the pattern's.
fn offset_of(guide: &Guide, over: Over) -> Length {
    match over {
        Over::Wood => guide.within(),
        Over::Waste => guide.beyond(),
    }
}

/// The pattern's edge for a shaped edge, an open chain with the waste on its left or on its right.
///
/// # Errors
/// Says in words what the bit or the collar cannot follow.
pub(crate) fn line(guide: &Guide, edge: &Path, waste_on_left: bool, over: Over, ruler: &Ruler) -> Result<Path, String> {
    let to_waste = if waste_on_left { 1.0 } else { -1.0 };
    follows(guide, edge, to_waste, over, ruler)?;
    let chain = with_leads(edge);
    let no_room = |what: &str| format!("{what} has no room between the curve's flanks");
    offset(&chain, to_waste * guide.bit.mm() / 2.0).ok_or_else(|| no_room("the bit"))?;
    let by = offset_of(guide, over).mm() * if over == Over::Wood { -to_waste } else { to_waste };
    offset(&chain, by).ok_or_else(|| no_room("the collar"))
}

/// Every arc is wide enough, and no corner is such that the bit would leave its own round in it.
fn follows(guide: &Guide, edge: &Path, to_waste: f64, over: Over, ruler: &Ruler) -> Result<(), String> {
    let sides: Vec<case::Segment> = edge.segments().collect();
    let show = |mm: f64| figure(ruler, Length::from_mm(mm));
    for (i, side) in sides.iter().enumerate() {
        let Some(arc) = side.arc() else { continue };
        let hollow = arc.sweep * to_waste > 0.0;
        let (what, least) = match (hollow, over) {
            (true, Over::Wood) => ("the bit", guide.bit.mm() / 2.0),
            (true, Over::Waste) => ("the pattern for the collar", offset_of(guide, Over::Waste).mm()),
            (false, Over::Wood) => ("the pattern for the collar", offset_of(guide, Over::Wood).mm()),
            (false, Over::Waste) => continue,
        };
        if arc.radius < least + TRUE {
            let radius = show(arc.radius);
            return Err(format!(
                "arc {}, R {radius}, is too tight for {what}: more than {} is needed",
                i + 1,
                show(least)
            ));
        }
    }
    for (i, pair) in sides.windows(2).enumerate() {
        let (a, b) = (tangent(&pair[0], true), tangent(&pair[1], false));
        if (a[0] * b[1] - a[1] * b[0]) * to_waste > CORNER {
            return Err(format!("the bit leaves its round in the corner after side {}", i + 1));
        }
    }
    Ok(())
}

/// The direction in which a side ends or starts, of length 1.
fn tangent(side: &case::Segment, end: bool) -> At {
    let [dx, dy] = [0, 1].map(|i| side.to[i] - side.from[i]);
    let length = libm::hypot(dx, dy).max(1e-12);
    // An arc turns away from its chord by half its angle at either end.
    let turn = 2.0 * libm::atan(side.bulge) * if end { 1.0 } else { -1.0 };
    let (sin, cos) = (libm::sin(turn), libm::cos(turn));
    [(dx * cos - dy * sin) / length, (dx * sin + dy * cos) / length]
}

/// The chain, going on straight at both ends.
fn with_leads(edge: &Path) -> Path {
    let mut vertices = edge.vertices.clone();
    let sides: Vec<case::Segment> = edge.segments().collect();
    if let (Some(first), Some(last)) = (sides.first(), sides.last()) {
        let (a, b) = (tangent(first, false), tangent(last, true));
        vertices.insert(0, ([0, 1].map(|i| first.from[i] - LEAD * a[i]), 0.0));
        if let Some(end) = vertices.last_mut() {
            end.1 = 0.0;
        }
        vertices.push(([0, 1].map(|i| last.to[i] + LEAD * b[i]), 0.0));
    }
    Path { vertices, closed: false }
}

/// The chain so far to its left; nothing if that is not one chain that keeps its distance all along.
fn offset(chain: &Path, by: f64) -> Option<Path> {
    let mut line = Polyline::new();
    for ([x, y], bulge) in &chain.vertices {
        line.add(*x, *y, *bulge);
    }
    let [only] = <[Polyline; 1]>::try_from(line.parallel_offset(by)).ok()?;
    let vertices = only.iter_vertexes().map(|v| ([v.x, v.y], v.bulge)).collect();
    let path = Path { vertices, closed: false };
    let source = chain.flattened(TRUE / 10.0);
    let points = path.flattened(0.05);
    let keeps = points.iter().all(|p| (away(*p, &source) - by.abs()).abs() < TRUE);
    // Nothing of the source is left out: both ends are there.
    let ends = [(points.first()?, source.first()?), (points.last()?, source.last()?)];
    let whole = ends.iter().all(|(p, s)| libm::hypot(p[0] - s[0], p[1] - s[1]) < by.abs() + TRUE);
    (keeps && whole).then_some(path)
}

/// How far a point lies from a chain.
fn away(p: At, chain: &[At]) -> f64 {
    let to = |w: &[At]| {
        let (d, e) = ([w[1][0] - w[0][0], w[1][1] - w[0][1]], [p[0] - w[0][0], p[1] - w[0][1]]);
        let t = ((e[0] * d[0] + e[1] * d[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12)).clamp(0.0, 1.0);
        libm::hypot(e[0] - t * d[0], e[1] - t * d[1])
    };
    chain.windows(2).map(to).fold(f64::MAX, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Unit, inches, mm};

    const RULER: Ruler = Ruler { unit: Unit::Inch, step: inches(1, 32), marks: true };

    fn five_eighths() -> Guide {
        Guide { name: "5/8 in collar".into(), collar: inches(5, 8), bit: inches(3, 8) }
    }

    /// A half round arch of radius `r` from right to left, the waste under it on the left of the way.
    fn arch(r: f64) -> Path {
        Path::arc([r, 0.0], [-r, 0.0], 1.0)
    }

    fn radius(path: &Path) -> f64 {
        path.segments().filter_map(|s| s.arc()).map(|a| a.radius).fold(0.0, f64::max)
    }

    /// (5/8 - 3/8) / 2 = 1/8 in within the wood, (5/8 + 3/8) / 2 = 1/2 in within the waste: common practice, no source.
    #[test]
    fn the_offset_is_half_the_difference_or_half_the_sum() {
        let over = |over| radius(&line(&five_eighths(), &arch(101.6), true, over, &RULER).unwrap());
        assert!((over(Over::Wood) - 101.6 - 3.175).abs() < 1e-9);
        assert!((over(Over::Waste) - 101.6 + 12.7).abs() < 1e-9);
        // From the other side the arch is a round to go about.
        let about = line(&five_eighths(), &arch(101.6), false, Over::Wood, &RULER).unwrap();
        assert!((radius(&about) - 101.6 + 3.175).abs() < 1e-9);
    }

    #[test]
    fn what_the_bit_cannot_follow_is_refused_with_the_reason() {
        let refused = |path: &Path, left| line(&five_eighths(), path, left, Over::Wood, &RULER).unwrap_err();
        let tight = refused(&arch(mm(4).mm()), true);
        assert!(tight.contains("arc 1") && tight.contains("the bit") && tight.contains("3/16"), "{tight}");
        assert!(refused(&arch(3.0), false).contains("the pattern for the collar"));
        let corner = Path::chain([[50.0, 0.0], [0.0, 0.0], [0.0, -50.0]]);
        assert!(refused(&corner, true).contains("corner"));
        assert!(line(&five_eighths(), &corner, false, Over::Wood, &RULER).is_ok());
        // A slot narrower than the bit, each of its sides straight.
        let slot = Path {
            vertices: vec![([0.0, 0.0], 0.0), ([60.0, 0.0], 1.0), ([60.0, 9.0], 0.0), ([0.0, 9.0], 0.0)],
            closed: false,
        };
        assert!(refused(&slot, true).contains("too tight"));
    }
}
