//! The questions, in the order in which a repairer takes the readings: strings on first, then off.

mod instrument;
mod make;
mod nut_blank;
mod present;
mod slot;
mod strings;

use crate::Question;

/// Every question, in order.
pub fn questions() -> impl Iterator<Item = &'static Question> {
    [
        instrument::ROWS,
        strings::ROWS,
        present::ROWS,
        nut_blank::STRINGS_ON,
        slot::ROWS,
        nut_blank::ROWS,
        make::ROWS,
    ]
    .into_iter()
    .flatten()
}
