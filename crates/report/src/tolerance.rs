//! How sure a plan is: as a page and as JSON.

mod advice;
mod json;
mod page;
mod words;

use instrument::Reading;
use units::BenchUnit;
use work::Sureness;

pub use json::tolerance_json;
pub use page::{chance_words, tolerance_page};
pub use words::percent;

/// What to do about a plan's sureness, lengths in `bench`: advice, and what to do about the readings that matter most, in sentences.
#[must_use]
pub fn sure_advice(sure: &Sureness, bench: BenchUnit) -> Vec<String> {
    let mut all = vec![advice::advice(sure, bench)];
    all.extend(advice::readings(sure, bench));
    all
}

/// A reading's name and how sure it is: `lean, read to 1.0 degrees`.
#[must_use]
pub fn reading_words(sure: &Sureness, reading: Reading, bench: BenchUnit) -> String {
    let mut shares = sure.tolerance.first_order.shares.iter();
    let name = words::name(reading);
    shares.find(|share| share.reading == reading).map_or_else(
        || name.to_owned(),
        |share| {
            let to = words::sure_to(reading, share.sigma, bench);
            format!("{name}, {} {to}", words::how(reading))
        },
    )
}
#[cfg(test)]
mod tests;
