//! Why a nut cannot be planned.

use instrument::SpacingError;
use saddle::PlanError;
use strings::SetbackError;
use thiserror::Error;

/// Why a nut cannot be planned.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NutError {
    /// The saddle's side cannot be planned.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Saddle(Vec<PlanError>),
    /// Of several saddles there is none.
    #[error("there is no saddle")]
    NoSaddle,
    /// The strings do not fit across the nut.
    #[error("at the nut: {0}")]
    Spacing(#[from] SpacingError),
    /// One entry for each string is wanted.
    #[error("{what} are given for {given} strings, but there are {strings}")]
    Count {
        /// What is counted.
        what: &'static str,
        /// Entries.
        given: usize,
        /// Strings.
        strings: usize,
    },
    /// No best setback.
    #[error("front compensation: {0}")]
    Setback(#[from] SetbackError),
    /// A measure is not a positive length, mm.
    #[error("{what} of {mm} mm is not a length that a nut can have")]
    Measure {
        /// Which.
        what: &'static str,
        /// Value.
        mm: f64,
    },
    /// A setback is to be made, but the strings are not solved for one.
    #[error("a shelf or a straight shift is made from the intonation \"best-fit-with-nut\" only")]
    NoSetback,
    /// A saddle that stays is known by the present nut, the action and the contact.
    #[error("string {string}: the present nut, the action at fret 12 or the contact on the saddle was not read")]
    Unread {
        /// String number.
        string: u32,
    },
    /// The readings of the standing saddle give no line of the string.
    #[error(
        "string {string}: the readings of the saddle give no line of the string; one of them is far outside what an instrument can be"
    )]
    NoLine {
        /// String number.
        string: u32,
    },
    /// Nothing of the nut is left under a slot.
    #[error(
        "string {string}: the slot's floor would lie at or below the nut's seat; look at the seat, the fall of the slots and the board's radius"
    )]
    NoBody {
        /// String number.
        string: u32,
    },
    /// The seat stands over the board under an outer string.
    #[error(
        "string {string}: the board's surface lies below the nut's seat there, because the board is curved and the seat is flat; measure the seat on the centre line"
    )]
    SeatOverBoard {
        /// String number.
        string: u32,
    },
    /// No top goes over the strings.
    #[error("no top of this shape spans the strings")]
    Top,
}
