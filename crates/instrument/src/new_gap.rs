//! The gap over fret 1 that a new nut shall give.

use crate::NutReading;
use serde::Serializer;
use serde::ser::SerializeStruct;

/// The gap over fret 1 that a new nut shall give, mm, from fret crown to the underside of the string. It holds where the nut contact
/// stands at last, with every setback made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NewGap {
    /// Of the open string.
    Open(f64),
    /// With the string held down at fret 3.
    HeldAtThree(f64),
}

impl NewGap {
    /// The new nut's height as though it had been read, with the open string's action at fret 12, mm, as it will be.
    #[must_use]
    pub fn reading(self, action_12: f64) -> NutReading {
        match self {
            Self::Open(clearance) => NutReading::New { clearance, action_12 },
            Self::HeldAtThree(gap) => NutReading::HeldAtThree { gap },
        }
    }

    /// The gap itself, mm, however it is taken.
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Self::Open(gap) | Self::HeldAtThree(gap) => gap,
        }
    }

    /// The same wish for another gap, mm.
    #[must_use]
    pub fn with(self, mm: f64) -> Self {
        match self {
            Self::Open(_) => Self::Open(mm),
            Self::HeldAtThree(_) => Self::HeldAtThree(mm),
        }
    }
}

/// Both keys, `new_clearance` and `new_held_at_3`; what is not wanted is `null`.
///
/// # Errors
/// What the serializer gives.
pub fn new_gap<S: Serializer>(gap: &Option<NewGap>, serializer: S) -> Result<S::Ok, S::Error> {
    let (open, held) = match *gap {
        None => (None, None),
        Some(NewGap::Open(gap)) => (Some(gap), None),
        Some(NewGap::HeldAtThree(gap)) => (None, Some(gap)),
    };
    let mut out = serializer.serialize_struct("NewGap", 2)?;
    out.serialize_field("new_clearance", &open)?;
    out.serialize_field("new_held_at_3", &held)?;
    out.end()
}
