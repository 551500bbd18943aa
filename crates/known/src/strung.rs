//! A string after stringing up.

use instrument::{BlankPoint, NutReading, StrungString, Uncertainty};

/// One string over a saddle that was made, and over its nut as it then is. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MadeString {
    /// What a nut that was made with it is cut to; `None` where the present one stays.
    pub new_nut: Option<NutReading>,
    /// Where the nut's contact stands, along x.
    pub nut_x: f64,
    /// What work on a zero fret adds to the height that is read.
    pub rise: f64,
    /// The ridge under it, as made.
    pub ridge: BlankPoint,
    /// Slopes of the made ridge there, db/du and dv/du.
    pub slopes: (f64, f64),
    /// By how much the string's line passes over it by elastic theory.
    pub stand_off: f64,
}

/// One string after stringing up.
#[derive(Debug, Clone, PartialEq)]
pub struct Strung {
    /// What it runs over.
    pub made: MadeString,
    /// What was read of it.
    pub read: StrungString,
    /// How sure these readings are, and how surely it was made.
    pub unsure: Uncertainty,
}
