//! A text that is no figure: one answer for a job file and for the survey.

use units::{ReadError, ReadErrorKind};

use crate::problem::{ProblemKind, Wanted};
use crate::said::capital;

/// What is said of a text that is no figure of this field. `comma` where the file says that a comma is its decimal mark already.
#[must_use]
pub fn unreadable(wanted: Wanted, error: &ReadError, comma: bool) -> ProblemKind {
    let kind = error.kind().clone();
    let mut hint = capital(&error.hint());
    if kind == ReadErrorKind::Comma && !comma {
        hint += ", or decimal = \",\" at the top of the file";
    }
    ProblemKind::Unreadable { kind, wanted, hint }
}
