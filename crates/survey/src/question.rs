//! The questions: those rows of the job file's fields that are asked.

use std::sync::LazyLock;

pub use job::{Field as Question, Kind, List, SPELLED_OUT, Spread, Start, Station, When};

/// The rows that are asked, station by station.
static QUESTIONS: LazyLock<Vec<&'static Question>> = LazyLock::new(|| {
    let mut asked: Vec<_> = job::fields()
        .filter(|field| field.station != Station::Unasked)
        .collect();
    // Those of one station stay in the order of the rows.
    asked.sort_by_key(|question| question.station);
    asked
});

/// Every question, in order: strings on first, then off.
pub fn questions() -> impl Iterator<Item = &'static Question> {
    QUESTIONS.iter().copied()
}

/// Whether its values are lengths of the strings: one for each outer string, or a list of all.
pub(crate) fn of_strings(question: &Question) -> bool {
    question.spread == Spread::Strings || is_some(question)
}

/// Whether it is read of some strings alone: of the outer ones, or of those of a list that has `-` for the others.
pub(crate) fn is_some(question: &Question) -> bool {
    question.spread == Spread::Listed && question.kind == Kind::Length
}
