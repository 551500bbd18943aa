//! Why a recording is not the sound of one string.

use serde::Serialize;
use thiserror::Error;

/// Why a recording is not the sound of one string.
#[derive(Debug, Clone, Copy, PartialEq, Error, Serialize)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum Unheard {
    /// So many samples a second are not read.
    #[error("{rate} samples a second")]
    Rate {
        /// Samples a second.
        rate: f64,
    },
    /// A sample is no number.
    #[error("a sample that is no number")]
    NoNumber,
    /// No string has the pitch that is expected.
    #[error("a string of {expected} Hz")]
    Expected {
        /// Hz.
        expected: f64,
    },
    /// Nothing is heard.
    #[error("silence")]
    Silence,
    /// It was recorded too loud: its tops are cut off.
    #[error("clipped")]
    Clipped {
        /// How many tops are cut off.
        tops: usize,
    },
    /// It ends too soon after the pluck.
    #[error("too short")]
    TooShort {
        /// Seconds from the pluck to the end.
        seconds: f64,
        /// Seconds that it takes.
        needed: f64,
    },
    /// The mains, and no string.
    #[error("hum")]
    Hum {
        /// Hz of the mains.
        mains: f64,
    },
    /// Knocks or clicks, and nothing that rings on.
    #[error("clicks")]
    Clicks,
    /// A string, but not the one that is expected.
    #[error("a string of another pitch")]
    OtherString {
        /// Hz of what is heard.
        pitch: f64,
        /// Cents off the pitch that is expected, sharp positive.
        cents: f64,
    },
    /// Another string rings as loud.
    #[error("two strings")]
    TwoStrings {
        /// Hz of the other.
        other: f64,
    },
    /// More than two strings ring.
    #[error("a chord")]
    Chord,
    /// It has a pitch, which does not stay: a voice, a slide, a turned peg.
    #[error("no steady pitch")]
    Unsteady,
    /// No series of partials stands out.
    #[error("no string")]
    NoString,
}
