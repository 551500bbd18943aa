//! Whether a saddle is the remedy, in a sentence or two: the head of the assessment, and what the plan says first.

use super::topic::subject;
use crate::figures::list;
use assess::Topic;
use work::{Beside, Fork, ForkEnd};

/// What would be the remedy, as the beginning of a sentence.
pub(super) fn remedy(beside: Beside) -> &'static str {
    match beside {
        Beside::Nothing => "A saddle alone",
        Beside::Nut => "A saddle with the new nut",
        Beside::ZeroFret => "A saddle, with the work on the zero fret,",
    }
}

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
    let remedy = remedy(fork.beside);
    let end = match fork.end {
        ForkEnd::Impossible => "No: this saddle cannot be made.".to_owned(),
        ForkEnd::Unsafe => {
            "No: the bridge would not bear this saddle safely. See to the first point before you make one.".to_owned()
        }
        ForkEnd::NeckDue => {
            "A saddle is not the remedy: there is too little room for it. The neck is due, and that cannot be undone."
                .to_owned()
        }
        ForkEnd::TooTall => {
            "A saddle is not the remedy: it would stand too tall. Look at bridge, top and neck.".to_owned()
        }
        ForkEnd::NotKnown => {
            "Whether a saddle alone is the remedy cannot be said without the depth of the slot.".to_owned()
        }
        ForkEnd::NotInTune => {
            format!("{remedy} brings the action, but in this slot not the intonation. See the ways out before you cut.")
        }
        ForkEnd::Watch => format!("{remedy} is the remedy. Bear in mind what is to be watched."),
        ForkEnd::Clear if unread => format!("{remedy} is the remedy. Nothing that was read stands in its way."),
        ForkEnd::Clear => format!("{remedy} is the remedy. Nothing stands in its way."),
        ForkEnd::Once if fork.once.is_empty() => format!("{remedy} is the remedy, once that is done."),
        ForkEnd::Once => format!("{remedy} is the remedy, once this is seen to: {}.", names(&fork.once)),
    };
    match fork.end {
        ForkEnd::Impossible | ForkEnd::Unsafe => format!("{end} {first}").trim_end().to_owned(),
        _ => first + &end,
    }
}
