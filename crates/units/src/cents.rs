//! Cents: 1/100 of an equal-tempered semitone, 1/1200 of an octave (A. J. Ellis, 1885).

use crate::number::{Reading, read, scan};
use crate::unit::Unit;
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_form() {
        for (text, cents) in [
            ("-3", -3.0),
            ("−3", -3.0),
            ("-3 cents", -3.0),
            ("+1.5 c", 1.5),
            ("1 Cent", 1.0),
            ("1.5c", 1.5),
            ("-0", 0.0),
            ("1200", 1200.0),
        ] {
            assert_eq!(parse_cents(text), Ok(cents), "{text}");
        }
    }

    #[test]
    fn refuses_what_is_wrong_or_doubtful() {
        for (text, kind) in [
            ("", Kind::Empty),
            ("cents", Kind::NoNumber),
            ("1,5", Kind::Comma),
            ("1/2", Kind::Fraction),
            ("1½ cents", Kind::Fraction),
            ("3 mm", Kind::WrongUnit("mm")),
            ("3 deg", Kind::WrongUnit("deg")),
            ("3 %", Kind::Stray("%".to_owned())),
            ("3 over 2", Kind::Stray("over".to_owned())),
            ("3 sharp", Kind::Stray("sharp".to_owned())),
            ("3 c c", Kind::TwoUnits),
            ("3 - 2", Kind::SignInside),
            ("NaN", Kind::NotFinite),
            ("1e2", Kind::Exponent),
            ("1200.1", Kind::TooLarge("1200 cents")),
        ] {
            let error = parse_cents(text).expect_err(text);
            assert_eq!(*error.kind(), kind, "{text}");
        }
    }

    #[test]
    fn numbers_are_checked() {
        assert_eq!(cents_from_number(-3.5), Ok(-3.5));
        assert!(cents_from_number(-0.0).unwrap().is_sign_positive());
        for (value, kind) in [
            (f64::NAN, Kind::NotFinite),
            (f64::NEG_INFINITY, Kind::NotFinite),
            (1200.5, Kind::TooLarge("1200 cents")),
        ] {
            assert_eq!(*cents_from_number(value).unwrap_err().kind(), kind);
        }
    }
}
