//! Lengths: text or a number to millimetres.

use crate::number::{Reading, Unit, read, scan};
use crate::{Expected, ReadError, ReadErrorKind as Kind};

/// Millimetres in an inch: exact (international yard and pound agreement, 1959; ISO 31-1).
pub const MM_PER_INCH: f64 = 25.4;

/// Greatest size of a length that is read, in mm: beyond any instrument, so a slip of the unit.
pub const MAX_LENGTH_MM: f64 = 10_000.0;

/// The unit that a length without one takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Millimetre, `mm`.
    Millimetre,
    /// Inch, `in`, 25.4 mm.
    Inch,
    /// Thousandth of an inch, `thou`, 0.0254 mm.
    Thou,
}

impl LengthUnit {
    /// Every unit, in the order to list them to a user.
    pub const ALL: [Self; 3] = [Self::Millimetre, Self::Inch, Self::Thou];

    /// The unit of this name: exactly `mm`, `in` or `thou`.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.name() == name)
    }

    /// The name, as [`LengthUnit::parse`] reads it.
    pub fn name(self) -> &'static str {
        self.written().name()
    }

    pub(crate) fn written(self) -> Unit {
        match self {
            Self::Millimetre => Unit::Millimetre,
            Self::Inch => Unit::Inch,
            Self::Thou => Unit::Thou,
        }
    }
}

/// Reads a length; the result is in mm, signed, within [`MAX_LENGTH_MM`] either way.
///
/// Read are decimals `25.4`, `.010`, fractions `1/32`, `6.5/64`, mixed numbers `25 3/8`, `25-3/8`,
/// `25⅜`, with one sign before them and one unit behind: `mm`, `cm`, `in`, `inch`, `inches`, `"`,
/// `″`, `thou`, `64ths`, in either case. A number without a unit takes `default`; a fraction does
/// so only where that is the inch. Where the sign makes no sense, the caller refuses it.
///
/// The value is the f64 nearest to the exact one for up to 12 digits in all (with more, within
/// 2 units in the last place).
///
/// # Errors
/// Any text with no meaning or more than one; [`ReadErrorKind`](Kind) lists the reasons.
pub fn parse_length(text: &str, default: LengthUnit) -> Result<f64, ReadError> {
    scan(text)
        .and_then(|tokens| to_mm(&read(&tokens)?, default.written()))
        .map_err(|kind| ReadError::new(text, Expected::Length(default), kind))
}

/// Reads a length given as a number in `default`; the result is in mm, signed, within
/// [`MAX_LENGTH_MM`] either way.
///
/// # Errors
/// NaN, infinities, and sizes beyond the limit.
pub fn length_from_number(value: f64, default: LengthUnit) -> Result<f64, ReadError> {
    let mm = match default {
        LengthUnit::Millimetre => value,
        LengthUnit::Inch => value * MM_PER_INCH,
        LengthUnit::Thou => value * MM_PER_INCH / 1000.0,
    };
    let kind = if !value.is_finite() {
        Kind::NotFinite
    } else if mm.abs() > MAX_LENGTH_MM {
        Kind::TooLarge("10 m")
    } else {
        return Ok(mm + 0.0); // -0 becomes +0
    };
    Err(ReadError::new(&value.to_string(), Expected::Length(default), kind))
}

/// A reading in mm, signed; without a unit it takes `default`.
pub(crate) fn to_mm(reading: &Reading, default: Unit) -> Result<f64, Kind> {
    let unit = reading.unit.unwrap_or(default);
    if reading.fraction && reading.unit.is_none() && unit != Unit::Inch {
        return Err(Kind::BareFraction);
    }
    // The inch as the exact ratio 127/5 mm, so that the value is rounded once.
    let (over, under) = match unit {
        Unit::Millimetre => (1, 1),
        Unit::Centimetre => (10, 1),
        Unit::Inch => (127, 5),
        Unit::Thou => (127, 5_000),
        Unit::SixtyFourths => (127, 320),
        Unit::Degree | Unit::Cent => return Err(Kind::WrongUnit(unit.name())),
    };
    let size = reading.size.times(over, under).ok_or(Kind::TooManyDigits)?.value();
    if size > MAX_LENGTH_MM {
        return Err(Kind::TooLarge("10 m"));
    }
    Ok(reading.signed(size))
}
