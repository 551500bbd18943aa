//! How high the top of a saddle is cut, in words.

use units::BenchUnit;
use work::TopCut;

use crate::figures::length;

/// How high a program cuts the top that leaves it so much proud, mm; as the end of a sentence.
#[must_use]
pub fn top_words(proud: f64, bench: BenchUnit) -> String {
    if proud > 0.0 {
        format!(
            "the whole top {} higher than planned: read the strings at pitch, then take the rest off the top",
            length(bench, proud)
        )
    } else {
        "as planned, with nothing left proud".to_owned()
    }
}

/// What the plan leaves proud where a program leaves less, in a sentence.
#[must_use]
pub fn top_advice(top: &TopCut, bench: BenchUnit) -> Option<String> {
    let planned = length(bench, top.planned?);
    Some(format!(
        "The plan leaves the whole saddle {planned} proud at first, so that no string ends too low; cut like this it cannot be had back."
    ))
}
