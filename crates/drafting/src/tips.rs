//! Where a leader may point at a body in a picture: on a face of it that is seen, beside one of its edges.

use crate::view::Picture;
use paper::scene::At;

/// How far beside an edge, mm on paper: well within the face, or as far as a slim one lets it.
const BESIDE: [f64; 3] = [2.2, 0.8, 0.2];

/// For each of so many bodies how much of its edges is seen, and points on it, those beside the longest edges first; in
/// the picture's coordinates. `ratio` is that of the scale.
pub(crate) fn tips(picture: &Picture, bodies: usize, ratio: f64) -> Vec<(f64, Vec<At>)> {
    let mut out: Vec<Vec<(f64, At)>> = vec![Vec::new(); bodies];
    for stroke in picture.strokes.iter().filter(|s| !s.hidden) {
        for s in stroke.path.segments() {
            let d = [s.to[0] - s.from[0], s.to[1] - s.from[1]];
            let length = libm::hypot(d[0], d[1]).max(1e-9);
            for share in [0.5, 0.2, 0.8] {
                let m = s.at(share);
                for side in [-1.0, 1.0] {
                    let point = |beside: f64| {
                        let k = side * beside / ratio / length;
                        [m[0] - d[1] * k, m[1] + d[0] * k]
                    };
                    let on = |p: &At| picture.front.at(*p).is_some_and(|(body, _)| body == stroke.body);
                    if let Some(p) = BESIDE.into_iter().map(point).find(on) {
                        out[stroke.body].push((length, p));
                    }
                }
            }
        }
    }
    let best = |mut list: Vec<(f64, At)>| {
        list.sort_by(|a, b| b.0.total_cmp(&a.0));
        (list.iter().map(|t| t.0).sum(), list.into_iter().take(12).map(|t| t.1).collect())
    };
    out.into_iter().map(best).collect()
}
