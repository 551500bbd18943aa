//! What a stroke of the file does to every string, told as a page or as JSON.

mod json;
mod page;
#[cfg(test)]
mod tests;
mod words;

use units::BenchUnit;
use work::FiledString;

pub use json::filing_json;
pub use page::{FILING_ORDER, filing_page, filing_refusal, final_words};

/// The crown as it stands, in a few words, lengths in `bench`.
#[must_use]
pub fn crown_words(s: &FiledString, bench: BenchUnit) -> String {
    words::crown(s.ask.crown, bench)
}

/// The verdict on a stroke, lengths in `bench`: a few words, and a sentence where there is no stroke.
#[must_use]
pub fn verdict_words(s: &FiledString, bench: BenchUnit) -> Vec<String> {
    let mut lines = vec![crate::figures::sentence(&words::verdict(s, bench))];
    lines.extend(s.stroke.err().map(|error| words::refusal(s, &error, bench)));
    lines
}

/// The verdict on a stroke as a sentence, lengths in `bench`.
#[must_use]
pub fn verdict_sentence(s: &FiledString, bench: BenchUnit) -> String {
    words::verdict_sentence(s, bench)
}
