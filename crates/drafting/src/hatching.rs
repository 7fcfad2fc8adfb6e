//! How a cut face is hatched: by the part's material, and by whether its grain lies in the section or comes out of it.

use case::{Axis, Form, Part};

use paper::hatch::Hatch;

/// End grain: one part, its neighbour, and the neighbour of both.
const END: [f64; 4] = [45.0, -45.0, 30.0, -60.0];
/// From line to line, mm: end grain; long grain, unevenly like the wood's own; the plies of a sheet. Close for small
/// scales, wide for large ones.
const CLOSE: [&[f64]; 3] = [&[1.3], &[0.9, 1.3, 0.7], &[0.35]];
const WIDE: [&[f64]; 3] = [&[2.0], &[1.5, 2.4, 1.1, 1.9], &[0.7]];
/// Glass: pairs of lines.
pub(crate) const GLASS: Hatch = Hatch { angle: 45.0, pitch: &[0.7, 3.5] };

/// The hatching of a part's cut face in a section with these axes to the right and up. `turn` tells neighbours apart;
/// `ratio` is that of the scale.
pub(crate) fn of(part: &Part, [right, up]: [Axis; 2], turn: usize, ratio: f64) -> Hatch {
    let pitches = if ratio > 0.2 { WIDE } else { CLOSE };
    let lengthwise = |axis: Axis| if axis == up { 90.0 } else { 0.0 };
    let grain = part.placement.axes[0].axis;
    if part.material.form == Form::Sheet {
        // Plies run along the face's longer side.
        let long = [right, up].into_iter().find(|a| part.placement.axes[2].axis != *a);
        Hatch { angle: lengthwise(long.unwrap_or(right)), pitch: pitches[2] }
    } else if grain == right || grain == up {
        Hatch { angle: lengthwise(grain), pitch: pitches[1] }
    } else {
        Hatch { angle: END[turn % END.len()], pitch: pitches[0] }
    }
}
