//! Whether a saddle is the remedy, in a sentence or two: the head of the assessment, and what the plan says first.

use super::topic::subject;
use crate::figures::list;
use assess::Topic;
use work::{Fork, ForkEnd};

/// What comes first and whether a saddle is the remedy; `unread`: a reading is missing that would tell more.
pub(crate) fn fork_words(fork: &Fork, unread: bool) -> String {
    let names = |topics: &[Topic]| list(&topics.iter().map(|topic| subject(*topic)).collect::<Vec<_>>());
    let first = if fork.first.is_empty() {
        String::new()
    } else {
        format!(
            "First put {} in order and take the survey again; the rest may change. ",
            names(&fork.first)
        )
    };
    let end = match fork.end {
        ForkEnd::Impossible => "No: this saddle cannot be made.",
        ForkEnd::Unsafe => {
            "No: the bridge would not bear this saddle safely. See to the first point before you make one."
        }
        ForkEnd::NeckDue => {
            "A saddle is not the remedy: there is too little room for it. The neck is due, and that cannot be undone."
        }
        ForkEnd::TooTall => "A saddle is not the remedy: it would stand too tall. Look at bridge, top and neck.",
        ForkEnd::NotKnown => "Whether a saddle alone is the remedy cannot be said without the depth of the slot.",
        ForkEnd::NotInTune => {
            "A saddle alone brings the action, but in this slot not the intonation. See the ways out before you cut."
        }
        ForkEnd::Watch => "A saddle alone is the remedy. Bear in mind what is to be watched.",
        ForkEnd::Clear if unread => "A saddle alone is the remedy. Nothing that was read stands in its way.",
        ForkEnd::Clear => "A saddle alone is the remedy. Nothing stands in its way.",
        ForkEnd::Once if fork.once.is_empty() => "A saddle alone is the remedy, once that is done.",
        ForkEnd::Once => {
            return format!(
                "{first}A saddle alone is the remedy, once this is seen to: {}.",
                names(&fork.once)
            );
        }
    };
    match fork.end {
        ForkEnd::Impossible | ForkEnd::Unsafe => format!("{end} {first}").trim_end().to_owned(),
        _ => first + end,
    }
}
