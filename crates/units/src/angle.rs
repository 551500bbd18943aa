//! Angles: degrees, or a rise over a run, to radians; and back to degrees for show.

use crate::length::to_mm;
use crate::number::{Part, Ratio, Token, Unit, read, scan};
use crate::{Expected, LengthUnit, ReadError, ReadErrorKind as Kind, bench};

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
            let mut sides = tokens.split(|t| t.part == Part::Over);
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
    bench::fixed(rad.to_degrees(), DECIMALS) + "°"
}

fn in_degrees(tokens: &[Token]) -> Result<f64, Kind> {
    let reading = read(tokens).map_err(|kind| match kind {
        Kind::NumberAfterUnit if tokens.iter().any(|t| t.part == Part::Unit(Unit::Inch)) => Kind::InForOver,
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
    Ok(slope.atan())
}
