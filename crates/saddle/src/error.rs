//! Why a survey cannot be planned.

use instrument::SlotError;
use strings::SetbackError;
use thiserror::Error;

/// Why a survey cannot be planned.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlanError {
    /// Not 1 to 12 strings.
    #[error("a saddle is planned for 1 to 12 strings, not {0}")]
    StringCount(usize),
    /// The slot does not fix a frame.
    #[error("slot: {0}")]
    Slot(#[from] SlotError),
    /// The present nut must be known to use a reference saddle or a cents reading.
    #[error(
        "string {string}: the present nut is not known: give its open clearance and the present action, or the gap held at fret 3"
    )]
    PresentNut {
        /// String number.
        string: u32,
    },
    /// No height of the nut contact: neither a reading nor a wanted clearance.
    #[error("string {string}: neither a reading of the present nut nor a new clearance is given")]
    NoNut {
        /// String number.
        string: u32,
    },
    /// No setback.
    #[error("string {string}: {source}")]
    Setback {
        /// String number.
        string: u32,
        /// Why.
        source: SetbackError,
    },
    /// The lands leave no room for a ridge.
    #[error("twice the land ({land:.2} mm) leaves no room on a blank {thickness:.2} mm thick")]
    Land {
        /// Land, mm.
        land: f64,
        /// Thickness, mm.
        thickness: f64,
    },
    /// Contacts do not follow each other from bass to treble.
    #[error("the contacts do not lie in order from bass to treble")]
    RidgeOrder,
    /// The front of the crown does not fall enough for the ridge to end the string.
    #[error(
        "string {string}: the front of the crown falls {:.1} degrees; it must fall more than {:.1} degrees, or the string ends in front of the ridge",
        given.to_degrees(),
        needed.to_degrees()
    )]
    FrontFall {
        /// String number.
        string: u32,
        /// Fall given, radians.
        given: f64,
        /// Fall that must be exceeded, radians.
        needed: f64,
    },
    /// The back of the crown does not fall enough for the ridge to end the string.
    #[error(
        "string {string}: the back of the crown falls {:.1} degrees; it must fall more than {:.1} degrees, or the string ends behind the ridge",
        given.to_degrees(),
        needed.to_degrees()
    )]
    BackFall {
        /// String number.
        string: u32,
        /// Fall given, radians.
        given: f64,
        /// Fall that must be exceeded, radians.
        needed: f64,
    },
    /// A result is not a number: some reading is far outside what an instrument can be.
    #[error(
        "string {string}: the readings give no usable contact; one of them is far outside what an instrument can be"
    )]
    NotFinite {
        /// String number.
        string: u32,
    },
}
