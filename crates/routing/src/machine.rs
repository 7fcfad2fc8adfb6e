//! The router: how far it moves, how fast, and what its controller understands.
//!
//! A controller is told by capability and never by make. [`Machine::default`] asks for no more than a strict
//! interpreter of the standard and a small controller both take: no tool change (one file for each tool), no canned
//! cycles, no length offset, no `%`.

use std::sync::Arc;

use fault::{Faults, Node, Source, parse};
use measure::{Length, Unit, mm};

use form::{Form, length, number, rate, switch, text, whole, word};

/// A three-axis router. Rates in mm/min, accelerations in mm/s², times in seconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// What the shop calls it.
    pub name: String,
    /// Travel along X, Y and Z.
    pub travel: [Length; 3],
    /// From the spoilboard to the spindle's nose with Z at the top of its travel.
    pub daylight: Length,
    /// Rapid rate by axis.
    pub rapid: [f64; 3],
    /// Highest cutting feed.
    pub feed: f64,
    /// Acceleration by axis.
    pub acceleration: [f64; 3],
    /// Slowest and fastest turning of the spindle, in revolutions a minute.
    pub spindle: [f64; 2],
    /// For changing a tool, by hand or by the machine.
    pub tool_change: f64,
    /// Height above the stock of every lateral rapid move.
    pub clear: Length,
    /// Height above the stock where feeding begins.
    pub approach: Length,
    /// How far a through cut goes into the spoilboard.
    pub spoilboard: Length,
    /// How far beside the blank a tool's outer edge may go; a tool that would go farther is not taken.
    pub run_out: Length,
    /// The clamps that hold a part by its top.
    pub clamp: Clamp,
    /// How parts are cut out of whole sheets.
    pub nest: Nest,
    /// The least length and width of a blank that it can hold; smaller ones are made by hand.
    pub least: [Length; 2],
    /// The unit of its programs; the order's if not said.
    pub unit: Option<Unit>,
    /// What its controller understands.
    pub controller: Controller,
}

/// A clamp on the top of the stock, at its edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clamp {
    /// Its size along the edge.
    pub width: Length,
    /// How far it reaches onto the stock.
    pub reach: Length,
    /// How high it stands above the stock.
    pub height: Length,
}

/// How sheet parts are cut out of whole sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Nest {
    /// Whether they are; otherwise they are sawn out, and what is cut in them is set up part by part.
    pub sheets: bool,
    /// Least wood between two kerfs; half of it stays between a kerf and the edge of a blank.
    pub web: Length,
    /// The last round climbs; otherwise it runs against the turning of the bit.
    pub climb: bool,
}

/// How a controller takes arcs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Arcs {
    /// Not at all: they become short lines.
    None,
    /// Not across a quadrant of the circle.
    Quadrant,
    /// Up to half a turn in a block.
    Half,
    /// Up to a whole turn in a block.
    Whole,
}

/// What a controller understands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Controller {
    /// `T.. M6`; without it there is one file for each tool.
    pub tool_change: bool,
    /// `G81`, `G83`, `G99`; without them holes are written out.
    pub canned_cycles: bool,
    /// `G43 H..`.
    pub length_offset: bool,
    /// Arcs.
    pub arcs: Arcs,
    /// `N` words.
    pub line_numbers: bool,
    /// A `%` line before and after.
    pub percent: bool,
    /// Digits after the point in millimetres.
    pub decimals_mm: u8,
    /// Digits after the point in inches.
    pub decimals_inch: u8,
    /// Most characters of a line, the line end not counted.
    pub line_length: usize,
    /// `M30` rather than `M2` at the end.
    pub m30: bool,
}

/// The machine file that is built in; every key is in it.
pub const BUILT_IN: &str = include_str!("../data/machine.toml");

impl Default for Machine {
    /// The built-in machine.
    fn default() -> Self {
        let source = Source::new("machine.toml", BUILT_IN);
        let mut faults = Faults::new();
        let root = parse(&source, &mut faults);
        let machine = fill(&root, None, &mut faults);
        // A test sees to it that the built-in file is sound.
        faults.or(machine).unwrap_or_else(|faults| panic!("{faults}"))
    }
}

impl Default for Controller {
    fn default() -> Self {
        Machine::default().controller
    }
}

/// Reads a machine over another one that says what is left out.
fn fill(root: &Node, over: Option<&Machine>, faults: &mut Faults) -> Option<Machine> {
    let mut form = Form::new(root, faults)?;
    let long = || length(mm(1)..=mm(50_000));
    let small = || length(Length::ZERO..=mm(500));
    let name = form.get("name", &text(), over.map(|m| m.name.clone()));
    let travel = form.list("travel", &long(), over.map(|m| m.travel));
    let daylight = form.get("daylight", &long(), over.map(|m| m.daylight));
    let rapid = form.list("rapid", &rate("/min", 1.0..=200_000.0), over.map(|m| m.rapid));
    let acceleration = form.list("acceleration", &rate("/s2", 1.0..=50_000.0), over.map(|m| m.acceleration));
    let feed = form.get("feed", &rate("/min", 1.0..=100_000.0), over.map(|m| m.feed));
    let spindle = form.list("spindle", &number(1.0..=100_000.0), over.map(|m| m.spindle));
    let tool_change = form.get("tool_change", &number(0.0..=3_600.0), over.map(|m| m.tool_change));
    let clear = form.get("clear", &small(), over.map(|m| m.clear));
    let approach = form.get("approach", &small(), over.map(|m| m.approach));
    let spoilboard = form.get("spoilboard", &length(Length::ZERO..=mm(10)), over.map(|m| m.spoilboard));
    let run_out = form.get("run_out", &small(), over.map(|m| m.run_out));
    let least = form.list("least", &length(Length::ZERO..=mm(5_000)), over.map(|m| m.least));
    const UNITS: [(&str, Option<Unit>); 2] = [("mm", Some(Unit::Millimetre)), ("in", Some(Unit::Inch))];
    let unit = form.get("unit", &word(&UNITS), Some(over.and_then(|m| m.unit)));
    let clamp = match (form.node("clamp"), over) {
        (Some(node), _) => fill_clamp(node, over.map(|m| &m.clamp), form.faults),
        (None, over) => over.map(|m| m.clamp),
    };
    let nest = match (form.node("nest"), over) {
        (Some(node), _) => fill_nest(node, over.map(|m| &m.nest), form.faults),
        (None, over) => over.map(|m| m.nest),
    };
    let controller = match (form.node("controller"), over) {
        (Some(node), _) => fill_controller(node, over.map(|m| &m.controller), form.faults),
        (None, over) => over.map(|m| m.controller),
    };
    if let (Some(clear), Some(approach), Some(clamp)) = (clear, approach, clamp) {
        if clear < clamp.height + mm(1) || clear <= approach {
            form.fault("clear", "rapid moves would not clear the clamps and the height where feeding begins");
        }
        if approach <= Length::ZERO {
            form.fault("approach", "feeding must begin above the stock");
        }
    }
    if spindle.is_some_and(|[slow, fast]| slow > fast) {
        form.fault("spindle", "the slowest turning is faster than the fastest");
    }
    form.finish();
    Some(Machine {
        name: name?,
        travel: travel?,
        daylight: daylight?,
        rapid: rapid?,
        feed: feed?,
        acceleration: acceleration?,
        spindle: spindle?,
        tool_change: tool_change?,
        clear: clear?,
        approach: approach?,
        spoilboard: spoilboard?,
        run_out: run_out?,
        clamp: clamp?,
        nest: nest?,
        least: least?,
        unit: unit?,
        controller: controller?,
    })
}

fn fill_clamp(node: &Node, over: Option<&Clamp>, faults: &mut Faults) -> Option<Clamp> {
    let mut form = Form::new(node, faults)?;
    let size = || length(mm(1)..=mm(500));
    let width = form.get("width", &size(), over.map(|c| c.width));
    let reach = form.get("reach", &size(), over.map(|c| c.reach));
    let height = form.get("height", &size(), over.map(|c| c.height));
    form.finish();
    Some(Clamp { width: width?, reach: reach?, height: height? })
}

fn fill_nest(node: &Node, over: Option<&Nest>, faults: &mut Faults) -> Option<Nest> {
    let mut form = Form::new(node, faults)?;
    let sheets = form.get("sheets", &switch(), over.map(|n| n.sheets));
    let web = form.get("web", &length(mm(4)..=mm(200)), over.map(|n| n.web));
    let climb = form.get("climb", &switch(), over.map(|n| n.climb));
    form.finish();
    Some(Nest { sheets: sheets?, web: web?, climb: climb? })
}

fn fill_controller(node: &Node, over: Option<&Controller>, faults: &mut Faults) -> Option<Controller> {
    const ARCS: [(&str, Arcs); 4] =
        [("none", Arcs::None), ("quadrant", Arcs::Quadrant), ("half", Arcs::Half), ("whole", Arcs::Whole)];
    let mut form = Form::new(node, faults)?;
    let mut on = |key, default: Option<bool>| form.get(key, &switch(), default);
    let tool_change = on("tool_change", over.map(|c| c.tool_change));
    let canned_cycles = on("canned_cycles", over.map(|c| c.canned_cycles));
    let length_offset = on("length_offset", over.map(|c| c.length_offset));
    let line_numbers = on("line_numbers", over.map(|c| c.line_numbers));
    let percent = on("percent", over.map(|c| c.percent));
    let m30 = on("m30", over.map(|c| c.m30));
    let arcs = form.get("arcs", &word(&ARCS), over.map(|c| c.arcs));
    // Fewer digits could not hold an arc's two radii together.
    let decimals_mm = form.get("decimals_mm", &whole(3..=6), over.map(|c| c.decimals_mm));
    let decimals_inch = form.get("decimals_inch", &whole(4..=7), over.map(|c| c.decimals_inch));
    let line_length = form.get("line_length", &whole(64..=250), over.map(|c| c.line_length));
    form.finish();
    Some(Controller {
        tool_change: tool_change?,
        canned_cycles: canned_cycles?,
        length_offset: length_offset?,
        arcs: arcs?,
        line_numbers: line_numbers?,
        percent: percent?,
        decimals_mm: decimals_mm?,
        decimals_inch: decimals_inch?,
        line_length: line_length?,
        m30: m30?,
    })
}

impl Machine {
    /// Reads a machine file; what it leaves out is as in the built-in one.
    ///
    /// # Errors
    /// All its faults.
    ///
    /// ```
    /// use fault::Source;
    /// use routing::Machine;
    ///
    /// let own = Machine::read(&Source::new("machine.toml", "travel = [\"1200 mm\", \"800 mm\", \"90 mm\"]")).unwrap();
    /// assert_eq!(own, Machine { travel: [1200, 800, 90].map(measure::mm), ..Machine::default() });
    /// ```
    pub fn read(source: &Arc<Source>) -> Result<Self, Faults> {
        let mut faults = Faults::new();
        let root = parse(source, &mut faults);
        let machine = fill(&root, Some(&Self::default()), &mut faults);
        faults.or(machine)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_faults_of_a_file_are_told_at_once() {
        let text = "travel = [\"2 m\", \"1 m\"]\nfeed = \"fast\"\nsped = 3\n[controller]\narcs = \"some\"\nm30 = 1\n";
        let faults = Machine::read(&Source::new("own.toml", text)).unwrap_err().to_string();
        let starts: Vec<&str> = faults.lines().map(|l| l.split(": ").next().unwrap()).collect();
        assert_eq!(
            starts,
            ["own.toml:1:10", "own.toml:2:8", "own.toml:3:1", "own.toml:5:8", "own.toml:6:7"],
            "{faults}"
        );
        assert!(faults.contains("`none`, `quadrant`, `half` or `whole`"), "{faults}");
    }

    #[test]
    fn rapids_must_clear_the_clamps() {
        let faults = Machine::read(&Source::new("own.toml", "clear = \"15 mm\"")).unwrap_err().to_string();
        assert!(faults.starts_with("own.toml:1:9: rapid moves would not clear the clamps"), "{faults}");
    }

    #[test]
    fn rates_may_be_in_inches() {
        let m = Machine::read(&Source::new("own.toml", "feed = \"200 in/min\"\nunit = \"in\"")).unwrap();
        assert_eq!((m.feed, m.unit), (5080.0, Some(Unit::Inch)));
    }
}
