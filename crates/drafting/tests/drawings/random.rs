//! Any order, on any paper and in either unit, with everything that is drawn of it.

use case::{Case, Guide, HiddenLines, Level, Paper, Projection, Sheet as Size};
use design::{Job, builtin};
use drafting::{Front, Member, Pattern, Solids, Step};
use fault::Source;
use measure::{Length, Ruler, Unit, inches, mm};
use paper::Sheet;

/// How many shares tell an order: paper, projection, unit, design, and one for each parameter.
pub(crate) const SHARES: usize = 20;

/// A generator of numbers from 0 to 1 that gives the same on every machine (splitmix64, S. Vigna, from memory).
struct Shares(u64);

impl Iterator for Shares {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        Some((z >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// The case of the order of a number, the same on every machine; nothing if it cannot be built.
pub(crate) fn numbered(order: u64) -> Option<Case> {
    let shares: Vec<f64> = Shares(order.wrapping_mul(1_000_003)).take(SHARES).collect();
    case_at(&shares)
}

/// The case of an order told by shares from 0 to 1; nothing if it cannot be built.
pub(crate) fn case_at(shares: &[f64]) -> Option<Case> {
    const PAPERS: [Size; 8] = [Size::A, Size::A1, Size::A2, Size::A3, Size::A4, Size::B, Size::C, Size::D];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small index")]
    let pick = |share: f64, of: usize| ((share * of as f64) as usize).min(of - 1);
    let [paper, projection, unit, which, own @ ..] = shares else { return None };
    let (name, _) = builtin::DESIGNS[pick(*which, builtin::DESIGNS.len())];
    let unit = if *unit < 0.5 { Unit::Inch } else { Unit::Millimetre };
    let order = format!("design = \"{name}\"\nunit = \"{unit}\"\n");
    let source = Source::new("order.toml", order.as_str());
    let (job, resolved) = Job::read(&source, &[], |_| Err("nothing else is read".into())).ok()?;
    let mut case = case::build(&job.at(&resolved, own).0);
    case.order.paper = Paper {
        sheet: PAPERS[pick(*paper, PAPERS.len())],
        projection: if *projection < 0.5 { Projection::First } else { Projection::Third },
        hidden_lines: HiddenLines::Dashed,
    };
    if unit == Unit::Millimetre && *projection < 0.25 {
        case.order.ruler = Ruler { unit, step: Length::from_nm(1_000_000), marks: true };
    }
    case.findings.iter().all(|f| f.level < Level::Stop).then_some(case)
}

/// All that is drawn of a case, by document.
pub(crate) fn drawn(case: &Case) -> Vec<(&'static str, Vec<Sheet>)> {
    let solids = Solids::of(case);
    let arrangement = drafting::general_arrangement(&solids);
    let guides = guides();
    let on_sheets = |drawn: Vec<Pattern>| -> (Vec<Sheet>, Vec<Vec<Sheet>>) {
        drawn.into_iter().map(|p| (p.sheet, p.tiles)).unzip()
    };
    let (patterns, tiles) = on_sheets(drafting::patterns(case, &guides));
    let (jigs, tiled_jigs) = on_sheets(drafting::jig_patterns(case, &case::jigs(case, &guides)));
    let mut out = vec![
        ("general arrangement", arrangement.sheets),
        ("exploded view", drafting::exploded(&solids, &steps(case))),
        ("joint details", drafting::details(&solids)),
        ("part sheets", drafting::part_sheets(case)),
        ("patterns", patterns),
        ("tiles", tiles.into_iter().flatten().collect()),
        ("jigs", jigs),
        ("tiles of jigs", tiled_jigs.into_iter().flatten().collect()),
    ];
    let contents: Vec<(&str, Vec<String>)> =
        out.iter().map(|(name, sheets)| (*name, sheets.iter().map(|s| s.title.clone()).collect())).collect();
    let cautions =
        [("Glass", "cut edges are sharp; ask the glazier and the local code where safety glass is required.")];
    let front = Front { picture: arrangement.picture.as_ref(), contents: &contents, cautions: &cautions };
    let cover = drafting::cover(case, &front);
    out.push(("cover", cover));
    out
}

/// Guide collars with their bits, one told by each ruler.
fn guides() -> Vec<Guide> {
    let guide = |name: &str, collar: Length, bit: Length| Guide { name: name.into(), collar, bit };
    vec![guide("5/8 in collar", inches(5, 8), inches(3, 8)), guide("17 mm collar", mm(17), mm(8))]
}

/// The steps of assembly, as the dry fit finds them.
fn steps(case: &Case) -> Vec<Step> {
    let member = |body: &dryfit::Body| match body {
        dryfit::Body::Part(id) => Member::Part(*id),
        dryfit::Body::Pane(i) => Member::Pane(*i),
    };
    let set = |bodies: &[dryfit::Body]| bodies.iter().map(member).collect();
    let order = dryfit::order(case, &dryfit::solids(case)).unwrap_or_default();
    let step =
        |s: &dryfit::Step| Some(Step { moves: set(&s.moves), onto: set(&s.onto), towards: s.legs.last()?.towards });
    order.iter().filter_map(step).collect()
}
