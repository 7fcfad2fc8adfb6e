//! A board with one of each kind of cut, the program for it, and a claim, all written by hand.

use proof::{Box3, Claim, Controller, Cut, Machine, Prism, TextUnit, Tool, ToolKind, Vertex};

/// The program.
pub(crate) const BOARD: &str = include_str!("board.nc");

/// A cut of the board, not through.
pub(crate) fn cut(id: &str, prism: Prism) -> Cut {
    Cut { id: id.into(), prism, through: false, frees: false, tool: Some(1) }
}

/// A straight bit.
pub(crate) fn bit(number: u32, diameter: f64) -> Tool {
    Tool {
        number,
        kind: ToolKind::Straight,
        diameter,
        point: None,
        flute: 25.0,
        holder: 40.0,
        stick_out: 35.0,
        plunges: true,
        ramp: 90.0,
        rpm: [8000.0, 24_000.0],
        feed: [300.0, 4000.0],
        plunge_feed: 1000.0,
    }
}

/// A small machine that reads everything.
pub(crate) fn machine() -> Machine {
    Machine {
        travel: [600.0, 400.0, 100.0],
        rapid: [6000.0, 6000.0, 3000.0],
        feed: 5000.0,
        acceleration: [400.0, 400.0, 250.0],
        spindle: [6000.0, 24_000.0],
        tool_change: 30.0,
        controller: Controller { tool_change: false, ..Controller::ANY },
    }
}

/// The claim: groove, pocket, hole, arch, pecked hole.
pub(crate) fn board() -> Claim {
    let block = |x, y, z| Prism::block(&Box3::new(x, y, z));
    let at = |x, y, bulge| Vertex { x, y, bulge };
    // Rise 10 over a chord of 60: the bulge is rise over half the chord.
    let arch = Prism { outline: vec![at(120.0, 80.0, 1.0 / 3.0), at(180.0, 80.0, 0.0)], z_top: 0.0, z_bottom: -20.0 };
    Claim {
        unit: Some(TextUnit::Millimetre),
        work_offset: Some("G54".into()),
        stock: Box3::new([0.0, 200.0], [0.0, 80.0], [-20.0, 0.0]),
        cuts: vec![
            cut("groove", block([0.0, 200.0], [10.0, 16.0], [-8.0, 0.0])),
            cut("pocket", block([20.0, 60.0], [30.0, 50.0], [-5.0, 0.0])),
            Cut { through: true, ..cut("hole", Prism::round([100.0, 40.0], 12.0, [-20.0, 0.0])) },
            Cut { through: true, ..cut("arch", arch) },
            cut("pin", Prism::round([180.0, 30.0], 6.0, [-12.0, 0.0])),
        ],
        elsewhere: vec![],
        tabs: vec![],
        clamps: vec![],
        tools: vec![bit(1, 6.0)],
        machine: machine(),
        run_out: 12.0,
        spoilboard: 0.5,
    }
}
