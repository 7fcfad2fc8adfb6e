//! The pattern of a raised panel's edge: its section at full size, for grinding a cutter or setting the saw.

use case::{Case, Edge, Part, Profile};
use measure::Length;

use super::{check_bar, sheet, sheet::Laid};
use crate::part_sheet::raise;
use paper::block::Block;
use paper::scale::Scale;
use paper::scene::{Layer, Rect};

/// One sheet for each profile in wood of one thickness.
pub(crate) fn drafts(case: &Case) -> Vec<Laid> {
    let mut done: Vec<(Profile, Length)> = Vec::new();
    let mut out = Vec::new();
    for (part, likes) in case.kinds() {
        for edge in &part.edges {
            let key = (edge.profile, part.size[edge.faces[0].axis.index()]);
            if done.contains(&key) {
                continue;
            }
            if let Some(draft) = draft(case, part, &likes, edge) {
                done.push(key);
                out.push(draft);
            }
        }
    }
    out
}

fn draft(case: &Case, part: &Part, likes: &[&Part], edge: &Edge) -> Option<Laid> {
    let ruler = &case.order.ruler;
    let section = raise::section(part, edge, Scale::FULL, ruler)?;
    let mut layer = Layer::new("pattern", "Section of the raised edge");
    let [width, height] = section.size();
    section.draw(&mut layer, [0.0, height]);
    let matter = sheet::Matter {
        name: format!("pattern-{}-raised", part.id),
        title: format!("{}  raised edge, full size", part.id),
        part,
        likes,
        layers: vec![layer],
        other: Vec::new(),
        bounds: Rect::new([0.0, 0.0], width, height),
        blocks: vec![
            check_bar::block(),
            Block::Notes(vec!["The middle of the heavy line is the finished surface.".into()]),
        ],
    };
    Some(sheet::laid_out(matter, ruler))
}
