//! A program's text taken to words and put together again, so that a fault changes what it means to and nothing else.

/// The words of a line; none for a comment.
pub(crate) fn words(line: &str) -> Vec<&str> {
    if line.starts_with(['(', '%']) { Vec::new() } else { line.split(' ').filter(|w| !w.is_empty()).collect() }
}

/// The value of a line's word.
pub(crate) fn value(line: &str, letter: char) -> Option<f64> {
    words(line).iter().find_map(|w| w.strip_prefix(letter)?.parse().ok())
}

/// The motion code of a line: 0 to 3, 81 to 83.
pub(crate) fn motion(line: &str) -> Option<u32> {
    words(line).iter().find_map(|w| w.strip_prefix('G')?.parse().ok().filter(|g| *g < 4 || (81..84).contains(g)))
}

/// As the emitter writes numbers: five digits at most, always a point.
pub(crate) fn number(v: f64) -> String {
    let text = format!("{v:.5}");
    let text = text.trim_end_matches('0');
    if text == "-0." { "0.".into() } else { text.into() }
}

/// The line with one word's value changed.
pub(crate) fn changed(line: &str, letter: char, to: impl Fn(f64) -> f64) -> Option<String> {
    let old = value(line, letter)?;
    let new = format!("{letter}{}", number(to(old)));
    Some(replaced(line, &|w| w.starts_with(letter), &new))
}

/// The line with the first word that is meant put as another; an empty one takes it out.
pub(crate) fn replaced(line: &str, meant: &dyn Fn(&str) -> bool, new: &str) -> String {
    let mut words: Vec<&str> = words(line);
    if let Some(w) = words.iter_mut().find(|w| meant(w)) {
        *w = new;
    }
    words.retain(|w| !w.is_empty());
    words.join(" ")
}

/// The text with one line, counted from 1, put as another.
pub(crate) fn with_line(text: &str, number: usize, new: &str) -> String {
    with_lines(text, |n, line| Some(if n == number { new.to_owned() } else { line.to_owned() }))
}

/// The text with each line put as the function says; nothing takes it out.
pub(crate) fn with_lines(text: &str, to: impl Fn(usize, &str) -> Option<String>) -> String {
    text.lines().enumerate().filter_map(|(i, line)| to(i + 1, line)).map(|line| line + "\n").collect()
}

/// Lines, from and to, counted from 1, that cut without a lift to the height of rapid moves between.
pub(crate) fn bites(text: &str) -> Vec<[usize; 2]> {
    let mut high = f64::NEG_INFINITY;
    let mut out: Vec<[usize; 2]> = Vec::new();
    let mut from = None;
    for (i, line) in text.lines().enumerate() {
        let z = value(line, 'Z');
        if motion(line) == Some(0) && z.is_some_and(|z| z >= high) {
            high = z.unwrap_or(high);
            out.extend(from.take().map(|from| [from, i]));
        } else if from.is_none() && matches!(motion(line), Some(1..)) {
            from = Some(i + 1);
        }
    }
    out
}
