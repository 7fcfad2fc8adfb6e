//! Random formulas against a reckoning of their own, and texts that would exhaust a careless parser.

use design::Value;
use design::formula::{Formula, Quantity, Scope};
use measure::{inches, mm};
use proptest::prelude::*;

#[derive(Clone, Debug)]
enum Tree {
    Number(i64),
    Sixteenths(i64),
    Millimetres(i64),
    Name(usize),
    Negate(Box<Tree>),
    Binary(char, Box<Tree>, Box<Tree>),
    Extreme(bool, Vec<Tree>),
}

const NAMES: [&str; 4] = ["width", "depth", "rows", "doors"];

fn values() -> [Value; 4] {
    [Value::Length(inches(42, 1)), Value::Length(mm(400)), Value::Count(4), Value::Count(0)]
}

fn tree() -> impl Strategy<Value = Tree> {
    let leaf = prop_oneof![
        (0_i64..20).prop_map(Tree::Number),
        (0_i64..200).prop_map(Tree::Sixteenths),
        (0_i64..2000).prop_map(Tree::Millimetres),
        (0..NAMES.len()).prop_map(Tree::Name),
    ];
    leaf.prop_recursive(5, 24, 3, |inner| {
        let op = prop_oneof![Just('+'), Just('-'), Just('*'), Just('/')];
        prop_oneof![
            inner.clone().prop_map(|t| Tree::Negate(Box::new(t))),
            (op, inner.clone(), inner.clone()).prop_map(|(op, a, b)| Tree::Binary(op, Box::new(a), Box::new(b))),
            (any::<bool>(), prop::collection::vec(inner, 1..4)).prop_map(|(least, all)| Tree::Extreme(least, all)),
        ]
    })
}

impl Tree {
    /// As a person would write it, with no more parentheses than needed. `rank` is that of the operator it stands
    /// under: 0 none, 1 a sum, 2 a product, 3 a minus or the right of a product.
    fn write(&self, rank: u8) -> String {
        let (own, text) = match self {
            Self::Number(n) => (4, n.to_string()),
            Self::Sixteenths(n) => (4, format!("{n}/16 in")),
            Self::Millimetres(n) => (4, format!("{n} mm")),
            Self::Name(i) => (4, NAMES[*i].to_owned()),
            Self::Negate(inner) => (3, format!("-{}", inner.write(3))),
            Self::Binary(op, a, b) => {
                let own = if matches!(op, '+' | '-') { 1 } else { 2 };
                (own, format!("{} {op} {}", a.write(own), b.write(own + 1)))
            }
            Self::Extreme(least, all) => {
                let all: Vec<String> = all.iter().map(|t| t.write(0)).collect();
                (4, format!("{}({})", if *least { "min" } else { "max" }, all.join(", ")))
            }
        };
        if own < rank { format!("({text})") } else { text }
    }

    /// Its value as a fraction, and the power of length in it; nothing if it makes no sense or grows too long.
    fn reckon(&self) -> Option<Reckoned> {
        let of = |over: i128, power| Some(Reckoned { over, under: 1, power });
        match self {
            Self::Number(n) => of(i128::from(*n), 0),
            Self::Sixteenths(n) => of(i128::from(*n) * 1_587_500, 1),
            Self::Millimetres(n) => of(i128::from(*n) * 1_000_000, 1),
            Self::Name(i) => [of(42 * 25_400_000, 1), of(400_000_000, 1), of(4, 0), of(0, 0)][*i],
            Self::Negate(inner) => inner.reckon().map(|r| Reckoned { over: -r.over, ..r }),
            Self::Binary(op, a, b) => a.reckon()?.with(*op, b.reckon()?),
            Self::Extreme(least, all) => {
                let all: Option<Vec<Reckoned>> = all.iter().map(Self::reckon).collect();
                let mut all = all?.into_iter();
                let first = all.next()?;
                all.try_fold(first, |best, next| {
                    let difference = next.with('-', best)?;
                    Some(if (difference.over < 0) == *least && difference.over != 0 { next } else { best })
                })
            }
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Reckoned {
    over: i128,
    under: i128,
    power: i8,
}

impl Reckoned {
    fn with(self, op: char, o: Self) -> Option<Self> {
        let (a, b, c, d) = (self.over, self.under, o.over, o.under);
        let (over, under, power) = match op {
            '+' | '-' if self.power == o.power => {
                let right = if op == '+' { c } else { -c };
                (a.checked_mul(d)?.checked_add(right.checked_mul(b)?)?, b.checked_mul(d)?, self.power)
            }
            '*' => (a.checked_mul(c)?, b.checked_mul(d)?, self.power + o.power),
            '/' if c != 0 => (a.checked_mul(d)?, b.checked_mul(c)?, self.power - o.power),
            _ => return None,
        };
        let sign = under.signum();
        let divisor = (1..=64).rev().find(|k| over % k == 0 && under % k == 0).unwrap_or(1);
        (power == 0 || power == 1).then_some(Self { over: sign * over / divisor, under: sign * under / divisor, power })
    }
}

fn evaluate(text: &str) -> Result<Quantity, Option<design::formula::Flaw>> {
    let names = NAMES.map(str::to_owned);
    let values = values().map(Some);
    Formula::new(text).evaluate(&Scope::new(&names, &values))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    #[test]
    fn formulas_come_to_what_they_should(tree in tree()) {
        let text = tree.write(0);
        let found = evaluate(&text);
        match tree.reckon() {
            Some(expected) => {
                let ((Ok(Quantity::Number(ratio)), 0) | (Ok(Quantity::Length(ratio)), 1)) = (&found, expected.power) else {
                    return Err(TestCaseError::fail(format!("{text}: {found:?}, expected {expected:?}")));
                };
                // The same fraction: nothing is left when one is taken from the other.
                let other = design::formula::Ratio::new(expected.over, expected.under);
                prop_assert_eq!(Some(*ratio), other, "{}", text);
            }
            None => prop_assert!(found.is_err(), "{text}: {found:?}"),
        }
    }

    #[test]
    fn any_text_is_a_formula_or_a_flaw_inside_it(
        text in "([a-z]{1,3}|[0-9]{1,3}|min\\(|[-+*/(),. '\"]| in| mm|width|½|\\PC){0,20}",
    ) {
        if let Err(Some(flaw)) = evaluate(&text) {
            prop_assert!(flaw.at.start <= flaw.at.end && flaw.at.end <= text.len());
            prop_assert!(text.is_char_boundary(flaw.at.start) && text.is_char_boundary(flaw.at.end));
        }
    }
}

#[test]
fn long_and_deep_texts_end_in_a_value_or_a_flaw() {
    assert!(evaluate(&format!("0{}", " + 1".repeat(50_000))).is_ok());
    assert!(evaluate(&format!("1{}", " / 7".repeat(50_000))).is_err());
    for deep in ["(", "-", "min(", "2 * (", "max(1, "] {
        assert!(evaluate(&deep.repeat(50_000)).is_err(), "{deep}");
    }
    assert!(evaluate(&"9".repeat(50_000)).is_err());
}

#[test]
fn lengths_and_numbers_never_mix_silently() {
    for (text, wanted) in [
        ("2 * width", Ok(Quantity::from(inches(84, 1)))),
        ("width - 1 3/4 in", Ok(Quantity::from(inches(161, 4)))),
        ("width/4", Ok(Quantity::from(inches(21, 2)))),
        ("(width - 2 in) / rows", Ok(Quantity::from(inches(10, 1)))),
        ("3' - 5 7/8\"", Ok(Quantity::from(inches(241, 8)))),
        ("3'-5 7/8\"", Ok(Quantity::from(inches(335, 8)))),
        ("2 * 3/4 in", Ok(Quantity::from(inches(3, 2)))),
        ("width / 3 * 3", Ok(Quantity::from(inches(42, 1)))),
        ("width + 3", Err("this is a number")),
        ("3 + width", Err("this is a number")),
        ("width * depth", Err("area")),
        ("rows / width", Err("over a length")),
        ("min(width, 3)", Err("this is a number")),
        ("width / doors", Err("divided by zero")),
        ("floor(width)", Err("`floor` takes a number")),
        ("wdith", Err("unknown name `wdith`")),
    ] {
        match (evaluate(text), wanted) {
            (Ok(found), Ok(wanted)) => assert_eq!(found, wanted, "{text}"),
            (Err(Some(flaw)), Err(word)) => assert!(flaw.what.contains(word), "{text}: {}", flaw.what),
            (found, _) => panic!("{text}: {found:?}"),
        }
    }
}
