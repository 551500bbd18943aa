//! How sure a plan is: as a page and as JSON.

mod advice;
mod json;
mod page;
mod sureness;
mod words;

use saddle::tolerance::Reading;
use units::BenchUnit;

pub use json::tolerance_json;
pub use page::tolerance_page;
pub use sureness::Sureness;

impl Sureness<'_> {
    /// What to do about it, lengths in `bench`: advice, and what to do about the readings that matter most, in sentences.
    #[must_use]
    pub fn advice(&self, bench: BenchUnit) -> Vec<String> {
        let mut all = vec![advice::advice(self, bench)];
        all.extend(advice::readings(self, bench));
        all
    }

    /// A reading's name and how sure it is: `lean, read to 1.0 degrees`.
    #[must_use]
    pub fn reading_words(&self, reading: Reading, bench: BenchUnit) -> String {
        let mut shares = self.tolerance.first_order.shares.iter();
        let name = words::name(reading);
        shares.find(|share| share.reading == reading).map_or_else(
            || name.to_owned(),
            |share| {
                let sure = words::sure_to(reading, share.sigma, bench);
                format!("{name}, {} {sure}", words::how(reading))
            },
        )
    }
}

#[cfg(test)]
mod tests;
