//! Whether the tools and the machine of a claim are those of the shop's own files.
//!
//! The proof holds a program to the sizes and speeds that its claim states, so these must not hang on the code that
//! made the program either: each is taken from the files once more and compared.

use measure::Length;
use proof::{Arcs, Claim};
use routing::{Machine, Tool, ToolTable};

/// The router, and what goes into it.
#[derive(Clone, Copy)]
pub(crate) struct Shop<'a> {
    pub machine: &'a Machine,
    pub tools: &'a ToolTable,
}

impl Shop<'_> {
    /// What a claim says otherwise than the shop's files; nothing if all is well.
    pub(crate) fn against(&self, claim: &Claim) -> Vec<String> {
        let mut out = Vec::new();
        for claimed in &claim.tools {
            let number = claimed.number;
            match self.tools.tools.iter().find(|t| t.number == number) {
                None => out.push(format!("T{number} is not in the tool table")),
                Some(tool) => out.extend(
                    unlike(tool, claimed).map(|what| format!("{what} of T{number} is not that of the tool table")),
                ),
            }
        }
        out.extend(self.unlike_machine(claim).map(|what| format!("{what} is not that of the machine file")));
        out
    }

    /// The first figure of the machine that a claim has otherwise. What a controller can do beyond what its file tells
    /// may not be claimed at all.
    fn unlike_machine(&self, claim: &Claim) -> Option<&'static str> {
        let (m, c) = (self.machine, &claim.machine);
        let (told, claimed) = (&m.controller, &c.controller);
        let arcs = match told.arcs {
            routing::Arcs::None => Arcs::None,
            routing::Arcs::Quadrant => Arcs::Quadrant,
            routing::Arcs::Half => Arcs::Half,
            routing::Arcs::Whole => Arcs::Whole,
        };
        let understood = (told.tool_change, told.canned_cycles, told.length_offset, told.line_numbers, told.percent)
            == (
                claimed.tool_change,
                claimed.canned_cycles,
                claimed.length_offset,
                claimed.line_numbers,
                claimed.percent,
            );
        let untold = [
            claimed.path_control,
            claimed.radius_arcs,
            claimed.coolant,
            claimed.inverse_time,
            claimed.dwell,
            claimed.rare,
            claimed.bare_numbers,
        ];
        let clamps = claim.clamps.iter().all(|b| b.max[2] == m.clamp.height.mm());
        first_wrong([
            ("travel", c.travel == m.travel.map(Length::mm)),
            ("the rapid rate", c.rapid == m.rapid),
            ("the highest feed", c.feed == m.feed),
            ("the acceleration", c.acceleration == m.acceleration),
            ("the spindle's turning", c.spindle == m.spindle),
            ("the time to change a tool", c.tool_change == m.tool_change),
            ("the way beside the stock", claim.run_out == m.run_out.mm()),
            ("the depth into the spoilboard", claim.spoilboard == m.spoilboard.mm()),
            ("the height of the clamps", clamps),
            ("what the controller understands", understood && !untold.contains(&true) && claimed.arcs == arcs),
        ])
    }
}

/// The first figure of a tool that a claim has otherwise.
fn unlike(tool: &Tool, claimed: &proof::Tool) -> Option<&'static str> {
    let chip = tool.chip.iter().copied().fold(0.0, f64::max);
    let fastest = chip * f64::from(tool.flutes) * tool.rpm[1];
    let kind = match tool.kind {
        routing::ToolKind::Straight => proof::ToolKind::Straight,
        routing::ToolKind::Drill => proof::ToolKind::Drill,
    };
    first_wrong([
        ("the kind", claimed.kind == kind),
        ("the diameter", claimed.diameter == tool.diameter.mm()),
        ("the flute", claimed.flute == tool.flute.mm()),
        ("the holder", claimed.holder == tool.holder.mm()),
        ("the stick-out", claimed.stick_out == tool.stick_out.mm()),
        ("the way straight down", claimed.plunges == tool.plunges),
        ("the ramp", claimed.ramp == tool.ramp),
        ("the turning", claimed.rpm == tool.rpm),
        ("the feed", claimed.feed[1] <= fastest * (1.0 + 1e-9) && claimed.plunge_feed <= claimed.feed[1]),
    ])
}

fn first_wrong<const N: usize>(figures: [(&'static str, bool); N]) -> Option<&'static str> {
    figures.into_iter().find(|(_, holds)| !holds).map(|(what, _)| what)
}

#[cfg(test)]
mod tests {
    use super::*;
    use design::{Job, builtin};
    use fault::Source;

    /// What is wrong, and how it comes about.
    type Change = (&'static str, fn(&mut Claim));

    #[test]
    fn a_claim_of_another_shop_is_found_out() {
        let (machine, tools) = (Machine::default(), ToolTable::default());
        let shop = Shop { machine: &machine, tools: &tools };
        let order = Source::new("demo.toml", builtin::DEMO_ORDER);
        let (_, resolved) = Job::read(&order, &[], |_| Err(String::new())).unwrap_or_else(|f| panic!("{f}"));
        let programs = routing::route(&case::build(&resolved), &machine, &tools).programs;
        let claims: Vec<Claim> =
            programs.iter().map(|p| serde_json::from_value(serde_json::to_value(&p.claim).unwrap()).unwrap()).collect();
        assert!(claims.len() > 50 && claims.iter().all(|c| shop.against(c).is_empty()));
        let changes: [Change; 12] = [
            ("T99 ", |c| c.tools[0].number = 99),
            ("the diameter", |c| c.tools[0].diameter += 0.001),
            ("the flute", |c| c.tools[0].flute += 1.0),
            ("the holder", |c| c.tools[0].holder -= 1.0),
            ("the stick-out", |c| c.tools[0].stick_out += 1.0),
            ("the feed", |c| c.tools[0].feed[1] *= 2.0),
            ("the turning", |c| c.tools[0].rpm[1] += 1.0),
            ("travel", |c| c.machine.travel[2] += 1.0),
            ("the spindle", |c| c.machine.spindle[1] += 1.0),
            ("the depth into", |c| c.spoilboard += 0.1),
            ("the way beside", |c| c.run_out += 1.0),
            ("what the controller", |c| c.machine.controller.dwell = true),
        ];
        for (what, change) in changes {
            let mut claim = claims[0].clone();
            change(&mut claim);
            let found = shop.against(&claim);
            assert!(found.len() == 1 && found[0].starts_with(what), "{what}: {found:?}");
        }
    }
}
