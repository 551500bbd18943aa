//! Small words of sentences.

/// The text with a capital at its beginning.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// `a`, `a or b`, `a, b or c`.
pub(crate) fn one_of(words: &[String]) -> String {
    match words {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
