//! The tools of the shop, and the speeds and feeds at which they cut.

use case::{Form, Material};
use measure::{Length, Unit, inches, mm};

use crate::machine::Machine;

/// What a tool is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ToolKind {
    /// A straight or up-cut spiral bit: flat at the end, cuts sideways.
    Straight,
    /// A brad-point drill: taken as flat at the end, only goes down.
    Drill,
}

impl ToolKind {
    /// The name in `programs.json` and in tool tables.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Drill => "drill",
        }
    }
}

/// Classes of material that cut alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stuff {
    /// Oak, ash, cherry, …
    Hardwood,
    /// Pine, cedar, larch, …
    Softwood,
    /// Plywood and the like.
    Sheet,
}

impl Stuff {
    /// The class of a material. A wood whose name is not known as a conifer's is taken to be hard.
    pub fn of(material: &Material) -> Self {
        // Common practice, no source.
        const CONIFERS: [&str; 12] = [
            "pine", "fir", "spruce", "cedar", "larch", "hemlock", "redwood", "cypress", "yew", "juniper", "douglas",
            "softwood",
        ];
        match material.form {
            Form::Sheet => Self::Sheet,
            Form::Solid => {
                let name = material.name.to_ascii_lowercase();
                if name.split_whitespace().any(|w| CONIFERS.contains(&w)) { Self::Softwood } else { Self::Hardwood }
            }
        }
    }
}

/// A tool in its holder.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// Its number in the machine and on the set-up sheets.
    pub number: u32,
    /// What the shop calls it.
    pub name: String,
    /// What it is.
    pub kind: ToolKind,
    /// Cutting diameter.
    pub diameter: Length,
    /// Length that cuts.
    pub flute: Length,
    /// From its end to the holder.
    pub stick_out: Length,
    /// Greatest diameter of the holder.
    pub holder: Length,
    /// Number of cutting edges.
    pub flutes: u32,
    /// Whether it can go straight down into wood.
    pub plunges: bool,
    /// Steepest ramp, in degrees.
    pub ramp: f64,
    /// Greatest depth of one pass.
    pub pass: Length,
    /// Slowest and fastest it should turn, in revolutions a minute; the last is never exceeded.
    pub rpm: [f64; 2],
    /// Chip load in hardwood, softwood and sheet, mm a tooth.
    pub chip: [f64; 3],
}

/// Speed and feeds of one tool in one material: rpm and mm/min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeds {
    /// Turning, in revolutions a minute.
    pub rpm: f64,
    /// Along the work.
    pub cut: f64,
    /// Down a ramp or a helix.
    pub ramp: f64,
    /// Straight down.
    pub plunge: f64,
}

impl Tool {
    /// Share of the cutting feed at which a bit goes straight down.
    pub(crate) const PLUNGE: f64 = 0.3;

    /// Slowest and fastest feed that suits it, mm/min: a third of the thinnest chip at its slowest turning, and the
    /// thickest at its fastest.
    pub(crate) fn feed_range(&self) -> [f64; 2] {
        let teeth = f64::from(self.flutes);
        let thin = self.chip.iter().copied().fold(f64::INFINITY, f64::min);
        let thick = self.chip.iter().copied().fold(0.0, f64::max);
        [thin * teeth * self.rpm[0] / 3.0, thick * teeth * self.rpm[1]]
    }

    /// Half its diameter, in mm.
    pub fn radius(&self) -> f64 {
        self.diameter.mm() / 2.0
    }

    /// Speed and feeds in a material on a machine: feed = chip load × teeth × rpm. Where the machine cannot feed that
    /// fast the spindle is slowed first, so that the chip stays thick and the edge does not burn.
    pub fn feeds(&self, machine: &Machine, stuff: Stuff) -> Feeds {
        let low = self.rpm[0].max(machine.spindle[0]);
        let high = self.rpm[1].min(machine.spindle[1]).max(low);
        let a_turn = self.chip[stuff as usize] * f64::from(self.flutes);
        let rpm = (machine.feed / a_turn).clamp(low, high);
        let rpm = ((rpm / 100.0).floor() * 100.0).max(low.ceil());
        let cut = (a_turn * rpm).min(machine.feed).floor();
        match self.kind {
            ToolKind::Straight => {
                Feeds { rpm, cut, ramp: (cut * 0.5).floor().max(1.0), plunge: (cut * Self::PLUNGE).floor().max(1.0) }
            }
            ToolKind::Drill => Feeds { rpm, cut, ramp: cut, plunge: cut },
        }
    }
}

/// The tools at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolTable {
    /// In the order of the table.
    pub tools: Vec<Tool>,
}

impl Default for ToolTable {
    fn default() -> Self {
        let straight = |number, name: &str, diameter, flute, pass, chip| Tool {
            number,
            name: name.into(),
            kind: ToolKind::Straight,
            diameter,
            flute,
            stick_out: flute + mm(12),
            holder: mm(43),
            flutes: 2,
            plunges: true,
            ramp: 5.0,
            pass,
            rpm: [10_000.0, 18_000.0],
            chip,
        };
        let drill = |number, name: &str, diameter, flute| Tool {
            number,
            name: name.into(),
            kind: ToolKind::Drill,
            diameter,
            flute,
            stick_out: flute + mm(15),
            holder: mm(43),
            flutes: 2,
            plunges: true,
            ramp: 90.0,
            pass: diameter * 2,
            rpm: [4_000.0, 7_000.0],
            chip: [0.08, 0.10, 0.10],
        };
        Self {
            tools: vec![
                straight(1, "1/2 in up-cut spiral", inches(1, 2), inches(3, 2), inches(1, 4), [0.20, 0.24, 0.24]),
                straight(
                    2,
                    "3/8 in up-cut spiral, long",
                    inches(3, 8),
                    inches(13, 8),
                    inches(1, 4),
                    [0.16, 0.19, 0.19],
                ),
                straight(3, "1/4 in up-cut spiral, long", inches(1, 4), inches(3, 2), inches(1, 8), [0.10, 0.12, 0.12]),
                straight(4, "1/8 in up-cut spiral", inches(1, 8), inches(5, 8), inches(1, 16), [0.04, 0.05, 0.05]),
                straight(5, "12 mm up-cut spiral", mm(12), mm(40), mm(6), [0.20, 0.24, 0.24]),
                straight(6, "10 mm up-cut spiral, long", mm(10), mm(42), mm(6), [0.16, 0.19, 0.19]),
                straight(7, "8 mm up-cut spiral, long", mm(8), mm(42), mm(4), [0.13, 0.15, 0.15]),
                straight(8, "6 mm up-cut spiral, long", mm(6), mm(38), mm(3), [0.09, 0.11, 0.11]),
                straight(9, "4 mm up-cut spiral", mm(4), mm(22), mm(2), [0.05, 0.06, 0.06]),
                drill(11, "1/4 in brad-point drill", inches(1, 4), mm(50)),
                drill(12, "5 mm brad-point drill", mm(5), mm(45)),
                drill(13, "6 mm brad-point drill", mm(6), mm(50)),
                drill(14, "8 mm brad-point drill", mm(8), mm(55)),
            ],
        }
    }
}

/// A length in decimals, without its unit: `6.35`, `0.25`.
pub(crate) fn decimal(length: Length, unit: Unit) -> String {
    let (value, places) = match unit {
        Unit::Millimetre => (length.mm(), 3),
        Unit::Inch => (length.inches(), 4),
    };
    let text = format!("{value:.places$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bit(chip: f64, rpm: f64) -> Tool {
        let t = &ToolTable::default().tools[0];
        Tool { chip: [chip; 3], rpm: [rpm, rpm], ..t.clone() }
    }

    #[test]
    fn feed_is_chip_load_times_teeth_times_speed() {
        let fast = Machine { feed: 20_000.0, ..Machine::default() };
        // A tool supplier's worked example: 18 000 rpm, two flutes, 0.1 mm: 3600 mm/min.
        assert!((bit(0.1, 18_000.0).feeds(&fast, Stuff::Hardwood).cut - 3600.0).abs() < 1.0);
        // Another's, in inches: 10 000 rpm, two flutes, 0.0125 in: 250 in/min.
        assert!((bit(0.0125 * 25.4, 10_000.0).feeds(&fast, Stuff::Hardwood).cut - 250.0 * 25.4).abs() < 1.0);
    }

    #[test]
    fn a_slow_machine_slows_the_spindle_before_it_thins_the_chip() {
        let slow = Machine { feed: 2_000.0, ..Machine::default() };
        let tool = Tool { rpm: [8_000.0, 18_000.0], ..bit(0.1, 0.0) };
        let f = tool.feeds(&slow, Stuff::Hardwood);
        assert_eq!((f.rpm, f.cut), (10_000.0, 2_000.0));
    }

    #[test]
    fn a_pine_is_soft_an_unknown_wood_is_hard_and_plywood_is_sheet() {
        let of = |name: &str, form| Stuff::of(&Material { name: name.into(), form });
        assert_eq!(of("Scots pine", Form::Solid), Stuff::Softwood);
        assert_eq!(of("white oak", Form::Solid), Stuff::Hardwood);
        assert_eq!(of("birch plywood", Form::Sheet), Stuff::Sheet);
    }
}
