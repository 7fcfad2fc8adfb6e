//! What the instances of a set come to, as a line or as a row of a Markdown table.

/// What was reached on one instance.
#[derive(Clone, Copy, Default)]
pub(crate) struct Outcome {
    pub(crate) found: i64,
    pub(crate) known: i64,
    pub(crate) bound: i64,
    /// When the first answer came, in seconds.
    pub(crate) first: f64,
    /// Seconds in all.
    pub(crate) took: f64,
}

/// A set so far.
#[derive(Default)]
pub(crate) struct Tally {
    instances: usize,
    found: i64,
    known: i64,
    /// Instances at the best known or better, and proven by our own bound.
    at: usize,
    proven: usize,
    /// How far from the best known at worst: a share where value is sought, a number otherwise.
    worst: Option<Worst>,
    first: f64,
    took: f64,
    longest: f64,
}

#[derive(Clone, Copy)]
enum Worst {
    Share(f64),
    Number(i64),
}

pub(crate) const HEADER: &str = "\
| set | instances | time each | found | best known | reached on | proven | worst | first answer | mean | longest |
|---|---|---|---|---|---|---|---|---|---|---|";

impl Tally {
    /// `value`: more is better.
    pub(crate) fn add(&mut self, one: &Outcome, value: bool) {
        self.instances += 1;
        self.found += one.found;
        self.known += one.known;
        let short = if value { one.known - one.found } else { one.found - one.known };
        self.at += usize::from(short <= 0);
        self.proven += usize::from(one.found == one.bound);
        self.worst = Some(match self.worst {
            _ if value => {
                let share = short as f64 / one.known.max(1) as f64;
                Worst::Share(if let Some(Worst::Share(worst)) = self.worst { share.max(worst) } else { share })
            }
            Some(Worst::Number(worst)) => Worst::Number(short.max(worst)),
            _ => Worst::Number(short),
        });
        self.first = self.first.max(one.first);
        self.took += one.took;
        self.longest = self.longest.max(one.took);
    }

    fn worst(&self) -> String {
        match self.worst {
            Some(Worst::Share(share)) if share > 0.0 => format!("{:.2} % less", 100.0 * share),
            Some(Worst::Number(number)) if number > 0 => format!("{} more", grouped(number)),
            _ => "–".into(),
        }
    }

    fn mean(&self) -> f64 {
        self.took / self.instances.max(1) as f64
    }

    /// A row of the Markdown table.
    pub(crate) fn row(&self, title: &str, seconds: f64) -> String {
        format!(
            "| {title} | {} | {seconds} s | {} | {} | {} | {} | {} | {:.2} s | {:.2} s | {:.1} s |",
            self.instances,
            grouped(self.found),
            grouped(self.known),
            self.at,
            self.proven,
            self.worst(),
            self.first,
            self.mean(),
            self.longest
        )
    }

    /// A line for reading.
    pub(crate) fn line(&self, title: &str) -> String {
        format!(
            "{title:46} {:4}  found {:>11}  best known {:>11}  reached on {:3}  proven {:3}  worst {:12}  first {:.2} s  mean {:.2} s  longest {:.1} s",
            self.instances,
            grouped(self.found),
            grouped(self.known),
            self.at,
            self.proven,
            self.worst(),
            self.first,
            self.mean(),
            self.longest
        )
    }
}

/// A number in groups of three from ten thousand on.
pub(crate) fn grouped(number: i64) -> String {
    let digits = number.to_string();
    if number < 10_000 {
        return digits;
    }
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}
