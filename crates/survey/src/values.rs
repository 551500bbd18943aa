//! Several values in one answer: lists, words, courses.

/// The answer at a treble step that stands for the bass answer.
pub const SAME: &str = "same";

/// Whether an answer for strings gives more than one value.
pub(crate) fn is_list(text: &str) -> bool {
    text.contains(';')
}

/// Stands between the values of a list where it is written.
pub const BETWEEN: &str = "; ";

/// The values of a list, bass to treble.
pub(crate) fn list(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim)
}

/// The words of an answer of several words; commas after words are allowed.
pub(crate) fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace()
        .map(|word| word.trim_end_matches([',', ';']))
        .filter(|word| !word.is_empty())
}

/// The sizes of courses spelled out, bass to treble; `None` if it is not such a list.
pub(crate) fn course_sizes(text: &str) -> Option<Vec<u32>> {
    let sizes: Option<Vec<u32>> = words(text)
        .map(|word| word.parse().ok().filter(|n| matches!(n, 1 | 2)))
        .collect();
    sizes.filter(|sizes| !sizes.is_empty())
}

/// Whether an answer about courses has a pair.
pub(crate) fn has_pairs(text: &str) -> bool {
    text == "pairs" || course_sizes(text).is_some_and(|sizes| sizes.contains(&2))
}
