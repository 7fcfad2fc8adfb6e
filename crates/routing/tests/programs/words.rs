//! A foreign reader of RS-274 sees the same words on each line as we meant.

use gcode::{Code, Value};
use routing::Program;

/// Letter and value of each word, by line; comments left out.
fn ours(text: &str) -> Vec<Vec<(char, f64)>> {
    let word = |w: &str| (w.as_bytes()[0] as char, w[1..].parse().unwrap());
    let line = |l: &str| {
        let code = l.split('(').next().unwrap_or_default();
        sorted(code.split(' ').filter(|w| !w.is_empty() && *w != "%").map(word).collect())
    };
    text.lines().map(line).collect()
}

fn theirs(text: &str) -> Vec<Vec<(char, f64)>> {
    let program = gcode::parse(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let mut out = vec![Vec::new(); text.lines().count()];
    let value = |v: &Value| if let Value::Literal(x) = v { f64::from(*x) } else { panic!("a variable") };
    let number = |n: gcode::core::Number| f64::from(n.major()) + n.minor().map_or(0.0, |m| f64::from(m.get()) / 10.0);
    for b in &program.blocks {
        let line = b.span.line;
        out[line].extend(b.line_number.map(|n| ('N', f64::from(n))));
        out[line].extend(b.word_addresses.iter().map(|w| (w.letter, value(&w.value))));
        for c in &b.codes {
            let (letter, n, args) = match c {
                Code::General(g) => ('G', g.number, &g.args),
                Code::Miscellaneous(m) => ('M', m.number, &m.args),
                Code::ToolChange(t) => ('T', t.number, &t.args),
                _ => panic!("a code of another sort"),
            };
            out[line].push((letter, number(n)));
            out[line].extend(args.iter().map(|a| (a.letter, value(&a.value))));
        }
    }
    out.into_iter().map(sorted).collect()
}

fn sorted(mut words: Vec<(char, f64)>) -> Vec<(char, f64)> {
    words.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    words
}

/// The foreign reader holds numbers as `f32`, so they agree to seven figures.
#[track_caller]
pub(crate) fn agree(p: &Program) {
    for (n, (a, b)) in ours(&p.text).into_iter().zip(theirs(&p.text)).enumerate() {
        let same = |(a, b): (&(char, f64), &(char, f64))| a.0 == b.0 && (a.1 - b.1).abs() <= 1e-6 * a.1.abs().max(1.0);
        assert!(a.len() == b.len() && a.iter().zip(&b).all(same), "{}:{}: {a:?} {b:?}", p.file, n + 1);
    }
}
