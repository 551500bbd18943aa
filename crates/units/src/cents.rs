//! Cents: 1/100 of an equal-tempered semitone, 1/1200 of an octave (A. J. Ellis, 1885).

use crate::number::{Reading, Unit, read, scan};
use crate::{Expected, ReadError, ReadErrorKind as Kind};

/// Greatest size that is read: an octave.
const MAX_CENTS: f64 = 1200.0;

/// Reads a pitch difference in cents, signed (sharp is positive), within an octave either way.
///
/// Read are decimals with or without a unit: `-3`, `-3 cents`, `+1.5 c`.
///
/// # Errors
/// Any other text, fractions too.
pub fn parse_cents(text: &str) -> Result<f64, ReadError> {
    scan(text)
        .and_then(|tokens| in_cents(&read(&tokens)?))
        .map_err(|kind| ReadError::new(text, Expected::Cents, kind))
}

/// Checks a pitch difference given as a number of cents, signed; returns it.
///
/// # Errors
/// NaN, infinities, and sizes beyond an octave.
pub fn cents_from_number(cents: f64) -> Result<f64, ReadError> {
    let kind = if !cents.is_finite() {
        Kind::NotFinite
    } else if cents.abs() > MAX_CENTS {
        Kind::TooLarge("1200 cents")
    } else {
        return Ok(cents + 0.0); // -0 becomes +0
    };
    Err(ReadError::new(&cents.to_string(), Expected::Cents, kind))
}

fn in_cents(reading: &Reading) -> Result<f64, Kind> {
    if reading.fraction {
        return Err(Kind::Fraction);
    }
    match reading.unit {
        None | Some(Unit::Cent) => {}
        Some(unit) => return Err(Kind::WrongUnit(unit.name())),
    }
    let size = reading.size.value();
    if size > MAX_CENTS {
        return Err(Kind::TooLarge("1200 cents"));
    }
    Ok(reading.signed(size))
}
