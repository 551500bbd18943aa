//! Angles: degrees, or a rise over a run, to radians; and back to degrees for show.

use crate::length::to_mm;
use crate::number::{Ratio, Token, TokenKind, read, scan};
use crate::unit::Unit;
use crate::{Expected, LengthUnit, ReadError, ReadErrorKind as Kind};
use numerics::math;

/// Greatest size of an angle that is read, in degrees.
const MAX_DEGREES: f64 = 90.0;

/// Decimals of a degree that are shown: gauges at the bench read to half a degree at best.
const DECIMALS: usize = 1;

/// Reads an angle; the result is in radians, signed, within a right angle either way.
///
/// Read are degrees (`9`, `9.5 deg`, `9°`, `9 1/2 degrees`) and rise over run (`0.5 mm over
/// 3.2 mm`, `1 over 6`), whose angle is atan(rise / run). A rise without a unit takes the run's.
/// A run without a unit is read only if the rise has none either, or has `default`.
///
/// # Errors
/// Any text with no meaning or more than one; a run not above nought; beyond 90 degrees.
pub fn parse_angle(text: &str, default: LengthUnit) -> Result<f64, ReadError> {
    scan(text)
        .and_then(|tokens| {
            let mut sides = tokens.split(|t| t.part == TokenKind::Over);
            match (sides.next(), sides.next(), sides.next()) {
                (Some(rise), Some(run), None) => rise_over_run(rise, run, default.written()),
                (Some(whole), None, None) => in_degrees(whole),
                _ => Err(Kind::BrokenOver),
            }
        })
        .map_err(|kind| ReadError::new(text, Expected::Angle, kind))
}

/// Reads an angle given as a number of degrees; the result is in radians, signed.
///
/// # Errors
/// NaN, infinities, and sizes beyond 90 degrees.
pub fn angle_from_number(degrees: f64) -> Result<f64, ReadError> {
    let kind = if !degrees.is_finite() {
        Kind::NotFinite
    } else if degrees.abs() > MAX_DEGREES {
        Kind::TooLarge("90 degrees")
    } else {
        return Ok(degrees.to_radians() + 0.0); // -0 becomes +0
    };
    Err(ReadError::new(&degrees.to_string(), Expected::Angle, kind))
}

/// Shows an angle given in radians as degrees with one decimal, `9.0°`; never `-0.0°`.
pub fn degrees(rad: f64) -> String {
    numerics::fixed(rad.to_degrees(), DECIMALS) + "°"
}

fn in_degrees(tokens: &[Token]) -> Result<f64, Kind> {
    let reading = read(tokens).map_err(|kind| match kind {
        Kind::NumberAfterUnit if tokens.iter().any(|t| t.part == TokenKind::Unit(Unit::Inch)) => Kind::InForOver,
        kind => kind,
    })?;
    match reading.unit {
        None if reading.fraction => return Err(Kind::BareFraction),
        None | Some(Unit::Degree) => {}
        Some(unit) => return Err(Kind::WrongUnit(unit.name())),
    }
    let degrees = reading.size.value();
    if degrees > MAX_DEGREES {
        return Err(Kind::TooLarge("90 degrees"));
    }
    Ok(reading.signed(degrees.to_radians()))
}

fn rise_over_run(rise: &[Token], run: &[Token], default: Unit) -> Result<f64, Kind> {
    if rise.is_empty() || run.is_empty() {
        return Err(Kind::BrokenOver);
    }
    let (rise, run) = (read(rise)?, read(run)?);
    if run.negative || run.size.over == 0 {
        return Err(Kind::RunNotPositive);
    }
    let slope = match (rise.unit, run.unit) {
        // The same unit on both sides, whichever it is, falls out.
        (None, None) => {
            let Ratio { over, under } = run.size;
            let size = rise.size.times(under, over).ok_or(Kind::TooManyDigits)?;
            rise.signed(size.value())
        }
        (Some(unit), None) if unit != default => return Err(Kind::RunWithoutUnit),
        (_, run_unit) => {
            let unit = run_unit.unwrap_or(default);
            to_mm(&rise, unit)? / to_mm(&run, unit)?
        }
    };
    Ok(math::atan(slope))
}

#[cfg(test)]
mod tests {
    use super::*;
    use LengthUnit::{Inch, Millimetre};
    use std::f64::consts::FRAC_PI_2;

    /// Arc tangents of the slopes, in degrees, from the general library of Python 3 (math.atan).
    #[test]
    fn reads_every_form() {
        let table = [
            ("9", 9.0),
            ("-9", -9.0),
            ("−9 deg", -9.0),
            ("9 deg", 9.0),
            ("9 DEGREE", 9.0),
            ("9.5 degrees", 9.5),
            ("9.5degrees", 9.5),
            ("9°", 9.0),
            ("9 °", 9.0),
            ("9½°", 9.5),
            ("9 1/2 deg", 9.5),
            ("9 deg.", 9.0),
            ("about 9", 9.0),
            ("~9°", 9.0),
            ("ca. 9 degrees", 9.0),
            ("about 0.5 mm over 3.2 mm", 8.880_659_150_520_55),
            ("1/8 deg", 0.125),
            ("0", 0.0),
            ("90", 90.0),
            ("0.5 mm over 3.2 mm", 8.880_659_150_520_55),
            ("-0.5 mm over 3.2 mm", -8.880_659_150_520_55),
            ("0.5 over 3.2 mm", 8.880_659_150_520_55),
            ("0.5 Over 3.2", 8.880_659_150_520_55),
            ("3/64 over 1/4 in", 10.619_655_276_155_13),
            ("3/64 in over 1/4 in", 10.619_655_276_155_13),
            ("3 64ths over 1/4 in", 10.619_655_276_155_13),
            ("1/8 over 1", 7.125_016_348_901_80),
            ("1 over 6", 9.462_322_208_025_62),
            ("1 in over 6 in", 9.462_322_208_025_62),
            ("5 over 32 thou", 8.880_659_150_520_55),
            ("25.4 mm over 6 in", 9.462_322_208_025_62),
            ("0 over 3 mm", 0.0),
        ];
        for (text, expected) in table {
            for default in LengthUnit::ALL {
                let read = parse_angle(text, default).expect(text).to_degrees();
                assert!((read - expected).abs() < 1e-12, "{text}: {read}");
            }
        }
    }

    #[test]
    fn a_run_takes_the_default_unit_only_with_a_rise_in_it() {
        let text = "0.5 mm over 3.2";
        assert_eq!(parse_angle(text, Millimetre), parse_angle("0.5 over 3.2", Millimetre));
        let error = parse_angle(text, Inch).expect_err(text);
        assert_eq!(*error.kind(), Kind::RunWithoutUnit);
    }

    #[test]
    fn refuses_what_is_wrong_or_doubtful() {
        let stray = |word: &str| Kind::Stray(word.to_owned());
        let table = [
            ("", Kind::Empty),
            ("deg", Kind::NoNumber),
            ("9,5", Kind::Comma),
            ("0,5 mm over 3.2 mm", Kind::Comma),
            ("1/8", Kind::BareFraction),
            ("9 1/2", Kind::BareFraction),
            ("½", Kind::BareFraction),
            ("3/64 over 6 mm", Kind::BareFraction),
            ("3/64 over 6 thou", Kind::BareFraction),
            ("1 in 6", Kind::InForOver),
            ("1 in 6 in", Kind::InForOver),
            ("1 mm 6", Kind::NumberAfterUnit),
            ("1:6", stray(":")),
            ("5 %", stray("%")),
            ("0.1 rad", stray("rad")),
            ("9°30'", Kind::Feet),
            ("9 mm", Kind::WrongUnit("mm")),
            ("9 cents", Kind::WrongUnit("cents")),
            ("9 deg over 3 mm", Kind::WrongUnit("deg")),
            ("9 mm over 3 deg", Kind::WrongUnit("deg")),
            ("9 deg deg", Kind::TwoUnits),
            ("1 over 0", Kind::RunNotPositive),
            ("0 over 0", Kind::RunNotPositive),
            ("1 over 0 mm", Kind::RunNotPositive),
            ("1 mm over -3 mm", Kind::RunNotPositive),
            ("1 over 0/4", Kind::RunNotPositive),
            ("1 over 1/0", Kind::ZeroDenominator),
            ("over", Kind::BrokenOver),
            ("over 3 mm", Kind::BrokenOver),
            ("3 mm over", Kind::BrokenOver),
            ("1 over 2 over 3", Kind::BrokenOver),
            ("1 overt 2", stray("overt")),
            ("1 over. 2", stray(".")),
            ("9”", Kind::WrongUnit("in")),
            ("9 thousandths", Kind::WrongUnit("thou")),
            ("1 mil over 2 mm", Kind::Mil),
            ("1e1", Kind::Exponent),
            ("0x9", Kind::Hex),
            ("nan", Kind::NotFinite),
            ("9.", Kind::TrailingPoint),
            ("9 9", Kind::MoreThanOneNumber),
            ("90.01", Kind::TooLarge("90 degrees")),
            ("-100 deg", Kind::TooLarge("90 degrees")),
            ("1 mm over 10001 mm", Kind::TooLarge("10 m")),
        ];
        for (text, kind) in table {
            let error = parse_angle(text, Millimetre).expect_err(text);
            assert_eq!(*error.kind(), kind, "{text}");
        }
    }

    #[test]
    fn hints_show_how_to_mend() {
        for (text, mended) in [
            ("1/8", "`1 over 8`"),
            ("1/8", "`1/8 deg`"),
            ("9 1/2", "`9 1/2 deg`"),
            ("1 in 6", "`1 over 6`"),
            ("9,5", "`9.5`"),
        ] {
            let hint = parse_angle(text, Millimetre).expect_err(text).hint();
            assert!(hint.contains(mended), "{text}: {hint}");
        }
    }

    #[test]
    fn numbers_are_degrees() {
        assert_eq!(angle_from_number(90.0), Ok(FRAC_PI_2));
        assert_eq!(angle_from_number(-90.0), Ok(-FRAC_PI_2));
        assert!(angle_from_number(-0.0).unwrap().is_sign_positive());
        for (value, kind) in [
            (f64::NAN, Kind::NotFinite),
            (f64::INFINITY, Kind::NotFinite),
            (90.1, Kind::TooLarge("90 degrees")),
            (-91.0, Kind::TooLarge("90 degrees")),
        ] {
            assert_eq!(*angle_from_number(value).unwrap_err().kind(), kind);
        }
    }

    #[test]
    fn shows_degrees() {
        assert_eq!(degrees(9f64.to_radians()), "9.0°");
        assert_eq!(degrees(-FRAC_PI_2), "-90.0°");
        assert_eq!(degrees(-0.0001), "0.0°");
    }
}
