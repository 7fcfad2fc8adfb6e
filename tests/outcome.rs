//! A random order of a standard design, and what becomes of it: built with all its programs proven, or refused with
//! mends that work. Anything else is a mistake of the program.
//!
//! Shared by the property test and by `examples/orders.rs`, which tries thousands.

use std::fmt;
use std::sync::Arc;

use case::{Case, Finding, Level};
use design::{Job, Resolved, builtin};
use fault::Source;
use routing::{Machine, ToolTable};

/// More mends one after the other than this nobody would type.
const MOST_MENDS: usize = 8;

/// An order, as it would be typed.
#[derive(Clone, Debug)]
pub(crate) struct Order {
    text: String,
    settings: Vec<String>,
}

impl fmt::Display for Order {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text.lines().collect::<Vec<_>>().join(", ").as_str())?;
        self.settings.iter().try_for_each(|setting| write!(f, " --set '{setting}'"))
    }
}

/// What became of an order.
#[derive(Clone, Debug)]
pub(crate) enum Outcome {
    /// It can be built, and this many programs are proven.
    Built { programs: usize },
    /// It cannot; every finding's mend clears it, and with so many mends, one after the other, it is built and proven.
    Refused { rules: Vec<&'static str>, mends: usize },
    /// Neither.
    Neither(String),
}

/// The order of that number: the same one every time.
pub(crate) fn order(number: u64) -> Order {
    let mut dice = Dice(number);
    let (design, _) = builtin::DESIGNS[dice.upto(builtin::DESIGNS.len())];
    let unit = ["in", "mm"][dice.upto(2)];
    let plain = Order::new(design, unit, &[]);
    let (job, resolved) = plain.read().expect("a standard design reads");
    // A few parameters stand at the very end of their range.
    let mut share = || match dice.upto(12) {
        0 => 0.0,
        1 => 1.0,
        _ => dice.throw(),
    };
    let shares: Vec<f64> = resolved.parameters.iter().map(|_| share()).collect();
    let (_, set) = job.at(&resolved, &shares);
    let settings = set.iter().map(|(name, value)| format!("{name}={}", value.show(resolved.order.unit)));
    Order { settings: settings.collect(), ..plain }
}

/// Random numbers: splitmix64 (Steele, Lea and Flood, Fast Splittable Pseudorandom Number Generators, 2014; from memory).
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn upto(&mut self, n: usize) -> usize {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index below n")]
        let i = (self.throw() * n as f64) as usize;
        i.min(n - 1)
    }
}

impl Order {
    /// An order of a design with settings over it.
    pub(crate) fn new(design: &str, unit: &str, settings: &[&str]) -> Self {
        let text = format!("design = \"{design}\"\nunit = \"{unit}\"\n");
        Self { text, settings: settings.iter().map(ToString::to_string).collect() }
    }

    fn read(&self) -> Result<(Job, Resolved), String> {
        let source: Arc<Source> = Source::new("order.toml", self.text.as_str());
        Job::read(&source, &self.settings, |_| Err("there is no other file".into()))
            .map_err(|faults| faults.to_string())
    }

    /// The order with more settings over it, as a mend is typed.
    fn with(&self, mend: &case::Mend) -> Self {
        let mut changed = self.clone();
        let typed = mend.settings.iter().map(|(name, value)| format!("{name}={}", value.trim_matches('"')));
        changed.settings.extend(typed);
        changed
    }

    /// What becomes of it.
    pub(crate) fn outcome(&self) -> Outcome {
        match self.tried() {
            Ok(outcome) => outcome,
            Err(why) => Outcome::Neither(why),
        }
    }

    fn tried(&self) -> Result<Outcome, String> {
        let case = self.solved()?;
        if stops(&case).next().is_none() {
            return Ok(Outcome::Built { programs: proven(&case)? });
        }
        let before: Vec<_> = stops(&case).map(|f| (f.rule, f.what.clone())).collect();
        for finding in stops(&case) {
            let mend =
                finding.mend.as_ref().ok_or_else(|| format!("no mend for {}: {}", finding.rule, finding.what))?;
            let after = self.with(mend).solved().map_err(|why| format!("{mend:?} cannot be read: {why}"))?;
            if let Some(left) = stops(&after).find(|f| {
                let key = (f.rule, f.what.clone());
                key == (finding.rule, finding.what.clone()) || !before.contains(&key)
            }) {
                return Err(format!("{mend:?} for {} leaves {}: {}", finding.rule, left.rule, left.what));
            }
        }
        let rules = stops(&case).map(|f| f.rule).collect();
        let (mut at, mut mended, mut mends) = (self.clone(), case.clone(), 0);
        loop {
            let Some(finding) = stops(&mended).next() else { break };
            let mend = finding.mend.as_ref().ok_or_else(|| format!("after {mends} mends none for {}", finding.rule))?;
            at = at.with(mend);
            mended = at.solved()?;
            mends += 1;
            if mends > MOST_MENDS {
                return Err(format!("{mends} mends one after the other, and it still does not build"));
            }
        }
        proven(&mended).map_err(|why| format!("{at}: {why}"))?;
        Ok(Outcome::Refused { rules, mends })
    }

    fn solved(&self) -> Result<Case, String> {
        let (job, resolved) = self.read()?;
        Ok(case::solve(&job, &resolved, &dryfit::check))
    }
}

fn stops(case: &Case) -> impl Iterator<Item = &Finding> {
    case.findings.iter().filter(|f| f.level == Level::Stop)
}

/// How many programs a case has, if all are proven.
fn proven(case: &Case) -> Result<usize, String> {
    let (machine, tools) = (Machine::default(), ToolTable::default());
    let around = |thickness| routing::nest::around(&machine, &tools, case.order.unit, thickness);
    let plan = yard::plan(case, None, &around, &yard::limits());
    packet::prove_programs(case, &plan, &machine, &tools).map_err(|unproven| unproven.to_string())
}
