//! A butt hinge, let in half into the stile and half into the post.

use measure::Length;

use crate::builder::Builder;
use crate::frame::{Axis, Box3, Dir};
use crate::part::{PartId, Purpose};
use crate::piece::JointKind;

/// One hinge, in the case frame.
#[derive(Clone, Debug)]
pub(crate) struct Gain {
    /// The post.
    pub(crate) post: PartId,
    /// The stile that is hung on it.
    pub(crate) stile: PartId,
    /// From the stile to the post.
    pub(crate) towards: Dir,
    /// Front to back, its pin's centre.
    pub(crate) pin: Length,
    /// What of its leaf is let in, front to back from the door's face.
    pub(crate) leaf: [Length; 2],
    /// Its length up and down.
    pub(crate) height: [Length; 2],
    /// Depth of each gain.
    pub(crate) depth: Length,
    /// What to buy.
    pub(crate) spec: String,
}

/// Cuts both gains.
pub(crate) fn hinge(b: &mut Builder, h: &Gain) {
    let (post, stile) = (b.at(h.post), b.at(h.stile));
    let gap = (post.along(Axis::X)[usize::from(!h.towards.positive)]
        - stile.along(Axis::X)[usize::from(h.towards.positive)])
    .abs();
    let id = b.joint(JointKind::Hinge, &[h.post, h.stile], &[("gap", gap)]);
    b.assembled(Dir::PY, true);
    let gain = |of: Box3, face: Dir| {
        let [low, high] = of.along(Axis::X);
        let range = if face.positive { [high - h.depth, high] } else { [low, low + h.depth] };
        of.with(Axis::X, range).with(Axis::Y, h.leaf).with(Axis::Z, h.height)
    };
    b.cut(h.stile, Purpose::HingeGain, Some(id), h.towards, gain(stile, h.towards));
    b.cut(h.post, Purpose::HingeGain, Some(id), h.towards.opposite(), gain(post, h.towards.opposite()));
    let edge = stile.along(Axis::X)[usize::from(h.towards.positive)];
    let pin = [edge + gap.half() * h.towards.sign(), h.pin, h.height[0]];
    b.fitting("butt hinge", h.spec.clone(), pin, &[h.post, h.stile]);
}
