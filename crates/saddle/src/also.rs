//! Wishes that one line and one contact of a string serve together: action at another fret, and other tunings or sets.

use serde::Serialize;
use strings::StringModel;

/// A wish for the action at another fret than 12.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ActionWish {
    /// The fret, 1 to 24 and not 12.
    pub fret: u32,
    /// Wanted action there, mm.
    pub action: f64,
    /// Its weight beside the wish at fret 12, which has 1; 0 or more, no unit.
    pub weight: f64,
}

/// A string that takes turns with the surveyed one in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlsoString {
    /// Name of its tuning or set, for tables.
    pub name: String,
    /// Weight of its errors beside those of the surveyed string, which have 1; 0 or more, no unit.
    pub weight: f64,
    /// Note name of the open string.
    pub note: String,
    /// Open pitch, Hz.
    pub frequency: f64,
    /// Another string; `None` for the surveyed one, tuned otherwise, with the same calibration.
    pub model: Option<StringModel>,
}
