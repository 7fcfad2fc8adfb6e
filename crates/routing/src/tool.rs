//! The tools of the shop, and the speeds and feeds at which they cut.

use std::sync::Arc;

use case::Material;
use fault::{Fault, Faults, Node, Source, Value, parse};
use measure::{Length, Unit, mm};

use crate::machine::Machine;
use form::{Form, length, number as number_in, switch, text, whole, word};

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
            case::Form::Sheet => Self::Sheet,
            case::Form::Solid => {
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

/// A guide collar of a hand-held router.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Collar {
    /// What the shop calls it.
    pub name: String,
    /// Diameter of its rim.
    pub diameter: Length,
    /// Diameter of the bit that is used in it.
    pub bit: Length,
}

/// The tools at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolTable {
    /// In the order of the table.
    pub tools: Vec<Tool>,
    /// Guide collars, the one that is tried first first.
    pub collars: Vec<Collar>,
}

/// The tool table that is built in.
pub const BUILT_IN: &str = include_str!("../data/tools.toml");

impl Default for ToolTable {
    /// The built-in tools.
    fn default() -> Self {
        // A test sees to it that the built-in file is sound.
        Self::read(&Source::new("tools.toml", BUILT_IN)).unwrap_or_else(|faults| panic!("{faults}"))
    }
}

impl ToolTable {
    /// Reads a tool table.
    ///
    /// # Errors
    /// All its faults.
    pub fn read(source: &Arc<Source>) -> Result<Self, Faults> {
        let mut faults = Faults::new();
        let root = parse(source, &mut faults);
        let tools = read_all(&root, &mut faults);
        faults.or(tools.map(|(tools, collars)| Self { tools, collars }))
    }
}

fn read_all(root: &Node, faults: &mut Faults) -> Option<(Vec<Tool>, Vec<Collar>)> {
    let mut form = Form::new(root, faults)?;
    let Some(Node { value: Value::List(nodes), .. }) = form.node("tool") else {
        form.fault("tool", "no tools; each stands under a heading `[[tool]]`");
        form.finish();
        return None;
    };
    let tools: Vec<Option<Tool>> = nodes.iter().map(|n| read_one(n, form.faults)).collect();
    for (i, t) in tools.iter().enumerate() {
        if let Some(t) = t
            && tools[..i].iter().flatten().any(|o| o.number == t.number)
        {
            form.faults.push(Fault::new(&nodes[i].place, format!("another tool has the number {} too", t.number)));
        }
    }
    let collars: Vec<Option<Collar>> = form.tables("collar").iter().map(|n| read_collar(n, form.faults)).collect();
    form.finish();
    Some((tools.into_iter().collect::<Option<_>>()?, collars.into_iter().collect::<Option<_>>()?))
}

fn read_collar(node: &Node, faults: &mut Faults) -> Option<Collar> {
    let mut form = Form::new(node, faults)?;
    let name = form.get("name", &text(), None);
    let diameter = form.get("diameter", &length(mm(2)..=mm(120)), None);
    let bit = form.get("bit", &length(mm(1)..=mm(80)), None);
    if diameter.zip(bit).is_some_and(|(collar, bit)| bit >= collar) {
        form.fault("bit", "the bit does not go through the collar");
    }
    form.finish();
    Some(Collar { name: name?, diameter: diameter?, bit: bit? })
}

fn read_one(node: &Node, faults: &mut Faults) -> Option<Tool> {
    const KINDS: [(&str, ToolKind); 2] = [("straight", ToolKind::Straight), ("drill", ToolKind::Drill)];
    let mut form = Form::new(node, faults)?;
    let size = |most| length(Length::from_nm(100_000)..=mm(most));
    let number = form.get("number", &whole(1..=999), None);
    let name = form.get("name", &text(), None);
    let kind = form.get("kind", &word(&KINDS), None);
    let diameter = form.get("diameter", &size(80), None);
    let flute = form.get("flute", &size(300), None);
    let stick_out = form.get("stick_out", &size(400), None);
    let holder = form.get("holder", &size(200), Some(mm(43)));
    let flutes = form.get("flutes", &whole(1..=8), Some(2));
    let plunges = form.get("plunges", &switch(), Some(true));
    let ramp = form.get("ramp", &number_in(0.5..=45.0), Some(5.0));
    let pass = form.get("pass", &size(100), None);
    let rpm = form.list("rpm", &number_in(1.0..=100_000.0), None);
    let chip = form.list("chip", &length(Length::from_nm(1_000)..=mm(3)), None);
    if let (Some(f), Some(s)) = (flute, stick_out)
        && f > s
    {
        form.fault("stick_out", "the flutes are longer than the tool sticks out");
    }
    if rpm.is_some_and(|[slow, fast]| slow > fast) {
        form.fault("rpm", "the slowest turning is faster than the fastest");
    }
    form.finish();
    Some(Tool {
        number: number?,
        name: name?,
        kind: kind?,
        diameter: diameter?,
        flute: flute?,
        stick_out: stick_out?,
        holder: holder?,
        flutes: flutes?,
        plunges: plunges?,
        ramp: ramp?,
        pass: pass?,
        rpm: rpm?,
        chip: chip?.map(Length::mm),
    })
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
    use measure::inches;

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
        use case::Form;
        let of = |name: &str, form| Stuff::of(&Material { form, ..Material::solid(name) });
        assert_eq!(of("Scots pine", Form::Solid), Stuff::Softwood);
        assert_eq!(of("white oak", Form::Solid), Stuff::Hardwood);
        assert_eq!(of("birch plywood", Form::Sheet), Stuff::Sheet);
    }
    #[test]
    fn a_table_s_faults_are_told_at_once() {
        let text = "[[tool]]\nnumber = 1\nname = \"a\"\nkind = \"saw\"\ndiameter = \"6\"\nflute = \"20 mm\"\n\
                    stick_out = \"10 mm\"\npass = \"3 mm\"\nrpm = [9, 8]\n";
        let faults = ToolTable::read(&Source::new("own.toml", text)).unwrap_err().to_string();
        let lines: Vec<&str> = faults.lines().map(|l| l.split(':').nth(1).unwrap()).collect();
        assert_eq!(lines, ["1", "4", "5", "7", "9"], "{faults}");
    }

    #[test]
    fn long_bits_reach_the_bottom_of_a_mortise() {
        let table = ToolTable::default();
        for width in [inches(3, 8), inches(1, 4), mm(8), mm(6), mm(10)] {
            let bit = table.tools.iter().find(|t| t.diameter == width && t.kind == ToolKind::Straight).unwrap();
            assert!(bit.flute >= mm(38), "{}", bit.name);
        }
    }
}
