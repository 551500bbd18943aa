//! A figure held against what is allowed and what is usual.

use crate::{Beside, ProblemKind, Quantity, Range};

/// What is wrong or doubtful about `value`, in the range's own unit; `None` where it is usual. `kind` makes a figure of it for the words.
#[must_use]
pub fn judged(range: &Range, value: f64, kind: impl Fn(f64) -> Quantity) -> Option<ProblemKind> {
    let beside = |(least, most): (f64, f64), usual| Beside {
        value: kind(value),
        range: [kind(least), kind(most)],
        usual,
        hint: range.hint,
    };
    if !(range.least..=range.most).contains(&value) {
        let figure = beside((range.least, range.most), false);
        return Some(ProblemKind::Outside { figure });
    }
    if !(range.usual.0..=range.usual.1).contains(&value) {
        let figure = beside(range.usual, true);
        return Some(ProblemKind::Doubtful { figure });
    }
    None
}
