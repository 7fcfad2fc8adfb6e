//! The nearest known word. A wild guess is worse than none, so short words must match closely.

/// The word most like `found`: case-blind, at most three edits, and no more than a third of its length (one at least).
pub fn nearest<'w>(found: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let found = found.to_lowercase();
    let most = (found.chars().count() / 3).clamp(1, 3);
    words
        .into_iter()
        .map(|word| (strsim::osa_distance(&found, &word.to_lowercase()), word))
        .filter(|(edits, _)| *edits <= most)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, word)| word)
}

/// `` `a`, `b` or `c` ``; of a long list the first dozen.
pub fn or_list<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    const MOST: usize = 12;
    let mut words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    if words.len() > MOST + 1 {
        let more = words.len() - MOST;
        words.truncate(MOST);
        words.push(format!("one of {more} more"));
    }
    joined(&words, "or")
}

/// `` `a`, `b` and `c` ``.
pub fn and_list<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    joined(&words, "and")
}

fn joined(words: &[String], last_by: &str) -> String {
    match words.split_last() {
        None => String::from("nothing"),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {last_by} {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_ends_before_it_tires() {
        assert_eq!(or_list(["a", "b", "c"]), "`a`, `b` or `c`");
        let many: Vec<String> = (1..=20).map(|n| n.to_string()).collect();
        assert!(or_list(many.iter().map(String::as_str)).ends_with("`12` or one of 8 more"));
    }

    #[test]
    fn near_words_are_guessed_and_far_ones_are_not() {
        let words = ["width", "height", "of", "least"];
        assert_eq!(nearest("widht", words), Some("width"));
        assert_eq!(nearest("Hieght", words), Some("height"));
        assert_eq!(nearest("in", words), None);
        assert_eq!(nearest("colour", words), None);
    }
}
