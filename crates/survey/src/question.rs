//! The questions: those rows of the job file's fields that are asked.

pub use job::{Field as Question, Heading, Kind, List, SPELLED_OUT, Spread, Start, When};

/// Every question, in order: strings on first, then off.
pub fn questions() -> impl Iterator<Item = &'static Question> {
    job::fields().filter(|field| field.heading != Heading::Unasked)
}
