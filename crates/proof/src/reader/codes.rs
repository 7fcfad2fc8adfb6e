//! The G and M codes of NISTIR 6556, Table 4, by modal group, and which of them are proven here.

use super::fault::{G, Kind};

/// Motion: G0 to G3, G80 to G89.
pub(super) const MOTION: usize = 0;
/// Plane.
pub(super) const PLANE: usize = 1;
/// Absolute or incremental.
pub(super) const DISTANCE: usize = 2;
/// Inverse time or units a minute.
pub(super) const FEED_MODE: usize = 3;
/// Inch or mm.
pub(super) const UNITS: usize = 4;
/// Radius compensation.
pub(super) const RADIUS: usize = 5;
/// Length offset.
pub(super) const LENGTH: usize = 6;
/// Return level of canned cycles.
pub(super) const RETURN: usize = 7;
/// Coordinate system.
pub(super) const SYSTEM: usize = 8;
/// Path control.
pub(super) const PATH: usize = 9;
/// Codes that hold for their line only; of them only G4 is proven.
pub(super) const DWELL: usize = 10;
/// How many groups of G codes there are.
pub(super) const G_GROUPS: usize = 11;

/// Stopping.
pub(super) const STOP: usize = 0;
/// Tool change.
pub(super) const CHANGE: usize = 1;
/// Spindle.
pub(super) const SPINDLE: usize = 2;
/// Coolant.
pub(super) const COOLANT: usize = 3;
/// Overrides.
pub(super) const OVERRIDE: usize = 4;
/// How many groups of M codes there are.
pub(super) const M_GROUPS: usize = 5;

/// The group of a G code in tenths; or why it is not read, nothing standing for "there is no such code".
pub(super) fn g_group(tenths: u16) -> Result<usize, Option<Kind>> {
    let outside = |why| Err(Some(Kind::OutsideG(G(tenths), why)));
    Ok(match tenths {
        0 | 10 | 20 | 30 | 800 | 810 | 820 | 830 => MOTION,
        40 => DWELL,
        170 | 180 | 190 => PLANE,
        200 | 210 => UNITS,
        400 => RADIUS,
        430 | 490 => LENGTH,
        540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593 => SYSTEM,
        610 | 611 | 640 => PATH,
        900 | 910 => DISTANCE,
        930 | 940 => FEED_MODE,
        980 | 990 => RETURN,
        100 => return outside("it moves origins, and they stay moved after the program"),
        280 | 300 => return outside("it goes to a place kept in the machine, which can lie in the work"),
        382 => return outside("a probe stops where it touches"),
        410 | 420 => {
            return outside("the path would depend on a table in the machine; write the path of the tool's centre");
        }
        530 => return outside("where machine coordinates lie is not known to the proof"),
        840 | 850 | 860 | 870 | 880 | 890 => return outside("of the canned cycles, G81, G82 and G83 are proven"),
        920..=923 => return outside("it moves the origin, and it stays moved after the program"),
        _ => return Err(None),
    })
}

/// The group of an M code.
pub(super) const fn m_group(code: u16) -> Option<usize> {
    Some(match code {
        0 | 1 | 2 | 30 | 60 => STOP,
        6 => CHANGE,
        3..=5 => SPINDLE,
        7..=9 => COOLANT,
        48 | 49 => OVERRIDE,
        _ => return None,
    })
}
