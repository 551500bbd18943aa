//! The questions: those rows of the job file's fields that are asked.

use std::sync::LazyLock;

pub use job::{Field as Question, Kind, List, SPELLED_OUT, Spread, Start, Station, When};

/// The rows that are asked, station by station.
static QUESTIONS: LazyLock<Vec<&'static Question>> =
    LazyLock::new(|| by_station(|station| station != Station::Unasked && !station.is_setting()));

/// The rows that are settings, station by station.
static SETTINGS: LazyLock<Vec<&'static Question>> = LazyLock::new(|| by_station(Station::is_setting));

fn by_station(of: impl Fn(Station) -> bool) -> Vec<&'static Question> {
    let mut rows: Vec<_> = job::fields().filter(|field| of(field.station)).collect();
    // Those of one station stay in the order of the rows.
    rows.sort_by_key(|question| question.station);
    rows
}

/// Every question, in order: strings on first, then off.
pub fn questions() -> impl Iterator<Item = &'static Question> {
    QUESTIONS.iter().copied()
}

/// Every setting, in order: how it is cut, what counts as good, limits. A survey does not ask them.
pub fn settings() -> impl Iterator<Item = &'static Question> {
    SETTINGS.iter().copied()
}

/// Whether its values are lengths of the strings: one for each outer string, or a list of all.
pub(crate) fn of_strings(question: &Question) -> bool {
    matches!(question.spread, Spread::Strings | Spread::Sparse) || is_some(question)
}

/// Whether a list of it may have `-` for a string.
pub(crate) fn has_gaps(question: &Question) -> bool {
    question.spread == Spread::Sparse || is_some(question)
}

/// Whether it is read of some strings alone: of the outer ones, or of those of a list that has `-` for the others.
pub(crate) fn is_some(question: &Question) -> bool {
    question.spread == Spread::Listed && question.kind == Kind::Length
}
