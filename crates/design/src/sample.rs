//! Orders anywhere in the range of a design: for tests that try thousands, and for whoever looks for its limits.

use measure::{Length, Unit, inches, mm};

use crate::job::{Job, Resolved};
use crate::parameter::Parameter;
use crate::value::{Kind, Value};

impl Job {
    /// The order with each parameter the given share, 0 to 1, of the way through its range, on a grid that a shop would
    /// use; and the values that were set. Parameters are set one after the other, each within the range that those
    /// before it leave; one that would be a fault stays as it was.
    pub fn at(&self, ordered: &Resolved, shares: &[f64]) -> (Resolved, Vec<(String, Value)>) {
        let mut resolved = ordered.clone();
        let mut set: Vec<(String, Value)> = Vec::new();
        for (i, share) in shares.iter().enumerate().take(resolved.parameters.len()) {
            let parameter = &resolved.parameters[i];
            let Some(value) = part_way(parameter, *share, resolved.order.unit) else { continue };
            set.push((parameter.name.clone(), value));
            let changed: Vec<(&str, Value)> = set.iter().map(|(name, value)| (name.as_str(), value.clone())).collect();
            match self.resolve(&changed) {
                Ok(next) => resolved = next,
                Err(_) => {
                    set.pop();
                }
            }
        }
        (resolved, set)
    }
}

/// A value that share of the way through the parameter's range; nothing where it has none.
fn part_way(p: &Parameter, share: f64, unit: Unit) -> Option<Value> {
    let step = if unit == Unit::Inch { inches(1, 16) } else { mm(1) };
    let length = |v: &Option<Value>| if let Some(Value::Length(l)) = v { Some(*l) } else { None };
    // A count's bound has been drawn in to a whole number.
    let count = |v: &Option<Value>| {
        if let Some(Value::Number(n)) = v { usize::try_from(n.as_whole()?).ok() } else { None }
    };
    match &p.value {
        Value::Length(_) => {
            let (least, most) = (length(&p.least)?, length(&p.most)?);
            let at = Length::from_mm(least.mm() + share * (most.mm() - least.mm())).rounded_to(step);
            Some(Value::Length(at.max(least).min(most)))
        }
        Value::Count(_) => {
            let (least, most) = (count(&p.least)?, count(&p.most)?);
            let span = most.saturating_sub(least) as f64;
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
            let n = least + (share * (span + 0.999)) as usize;
            Some(Value::Count(n.min(most)))
        }
        Value::Switch(_) => Some(Value::Switch(share < 0.5)),
        Value::Word(_) if p.kind == Kind::Choice => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small index")]
            let i = (share * p.of.len() as f64) as usize;
            p.of.get(i).cloned().map(Value::Word)
        }
        _ => None,
    }
}
