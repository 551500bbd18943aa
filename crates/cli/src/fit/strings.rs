//! Whose readings they are.

use crate::source::{NutPlanned, Planned};
use job::Problem;
use saddle::StrungString;
use units::{BenchUnit, LengthUnit};

/// The strings that readings are for, and the units they are told in.
pub(super) struct Strings<'a> {
    pub(super) unit: LengthUnit,
    pub(super) bench: BenchUnit,
    /// Number and note, bass to treble.
    pub(super) names: Vec<(u32, &'a str)>,
}

impl<'a> From<&'a Planned> for Strings<'a> {
    fn from(done: &'a Planned) -> Self {
        Self {
            unit: done.job.unit,
            bench: done.job.bench,
            names: done.plan.strings.iter().map(|s| (s.number, s.note.as_str())).collect(),
        }
    }
}

impl<'a> From<&'a NutPlanned> for Strings<'a> {
    fn from(done: &'a NutPlanned) -> Self {
        Self {
            unit: done.job.unit,
            bench: done.job.bench,
            names: done.nut.lines.iter().map(|s| (s.number, s.note.as_str())).collect(),
        }
    }
}

impl Strings<'_> {
    /// A text that holds readings, and what is doubtful in it.
    pub(super) fn read(&self, text: &str) -> Result<(Vec<StrungString>, Vec<Problem>), Vec<Problem>> {
        job::read_strung_over(text, self.names.len(), self.bench)
    }
}
