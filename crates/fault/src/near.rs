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

/// `` `a`, `b` or `c` ``.
pub fn or_list<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    match words.split_last() {
        None => String::from("nothing"),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_guessed_and_far_ones_are_not() {
        let words = ["width", "height", "of", "least"];
        assert_eq!(nearest("widht", words), Some("width"));
        assert_eq!(nearest("Hieght", words), Some("height"));
        assert_eq!(nearest("in", words), None);
        assert_eq!(nearest("colour", words), None);
    }
}
