//! Lengths: text or a number to millimetres.

use crate::number::{Reading, read, scan};
use crate::unit::Unit;
use crate::{Expected, LengthUnit, ReadError, ReadErrorKind as Kind};

/// Millimetres in an inch: exact (international yard and pound agreement, 1959; ISO 31-1).
pub const MM_PER_INCH: f64 = 25.4;

/// Greatest size of a length that is read, in mm: beyond any instrument, so a slip of the unit.
pub const MAX_LENGTH_MM: f64 = 10_000.0;

/// Least bare number, other than 0, that is read as thou: a tenth of what the finest micrometer of a bench shows (common practice, no source).
/// Below it stands a figure in inches, as on the packet of a feeler: `.008`.
pub const LEAST_BARE_THOU: f64 = 0.1;

/// Reads a length; the result is in mm, signed, within [`MAX_LENGTH_MM`] either way.
///
/// Read are decimals `25.4`, `.010`, fractions `1/32`, `6.5/64`, mixed numbers `25 3/8`, `25-3/8`,
/// `25⅜`, with one sign before them and one unit behind: `mm`, `cm`, `in`, `ins`, `"`, `″`, `”`, `thou`,
/// `64ths` or those words in full (`thousandths of an inch`), in either case. `about`, `approx.`, `ca.` or `~`
/// before it all or after the unit changes nothing. A number without a unit takes `default`; a fraction does
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
/// NaN, infinities, sizes beyond the limit, and inches where thou are read.
pub fn length_from_number(value: f64, default: LengthUnit) -> Result<f64, ReadError> {
    let mm = match default {
        LengthUnit::Millimetre => value,
        LengthUnit::Inch => value * MM_PER_INCH,
        LengthUnit::Thou => value * MM_PER_INCH / 1000.0,
    };
    let kind = if !value.is_finite() {
        Kind::NotFinite
    } else if default == LengthUnit::Thou && is_too_fine(mm.abs()) {
        Kind::InchesForThou
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
    if reading.unit.is_none() && unit == Unit::Thou && is_too_fine(size) {
        return Err(Kind::InchesForThou);
    }
    Ok(reading.signed(size))
}

/// Whether a size in mm is no bare number of thou.
fn is_too_fine(size: f64) -> bool {
    size > 0.0 && size < LEAST_BARE_THOU * MM_PER_INCH / 1000.0 * (1.0 - f64::EPSILON)
}

#[cfg(test)]
mod tests {
    use super::*;
    use LengthUnit::{Inch, Millimetre, Thou};

    /// 25.4 mm to the inch: NIST SP 811, appendix B.8. Products written out by hand.
    #[test]
    fn reads_every_form() {
        let table = [
            ("1/64 in", Millimetre, 0.396875),
            ("1/32 in", Millimetre, 0.79375),
            ("1 64ths", Millimetre, 0.396875),
            ("1 64th", Millimetre, 0.396875),
            ("5 64ths", Inch, 1.984375),
            ("2.5 64THS", Thou, 0.9921875),
            ("64 64ths", Thou, 25.4),
            ("64 in", Thou, 1625.6),
            ("64thou", Millimetre, 1.6256),
            ("3.2 mm", Inch, 3.2),
            ("3.2mm", Thou, 3.2),
            ("6.5 CM", Inch, 65.0),
            ("12 thou", Millimetre, 0.3048),
            ("12 1/2 thou", Millimetre, 0.3175),
            ("0.010 in", Millimetre, 0.254),
            (".010 in", Millimetre, 0.254),
            ("10 inch", Millimetre, 254.0),
            ("10 Inches", Millimetre, 254.0),
            ("10\"", Millimetre, 254.0),
            ("10″", Millimetre, 254.0),
            ("10”", Millimetre, 254.0),
            ("25 3/8 ins", Millimetre, 644.525),
            ("0.5 in.", Millimetre, 12.7),
            ("0.5 ins.", Millimetre, 12.7),
            ("3 mm.", Inch, 3.0),
            ("3 millimetres", Inch, 3.0),
            ("3 Millimeters", Inch, 3.0),
            ("1 millimeter", Inch, 1.0),
            ("6.5 centimetres", Inch, 65.0),
            ("6.5 centimeter", Inch, 65.0),
            ("8 thous", Millimetre, 0.2032),
            ("8 thousandths", Millimetre, 0.2032),
            ("1 thousandth", Millimetre, 0.0254),
            ("8 thousandths of an inch", Millimetre, 0.2032),
            ("8 thou.", Millimetre, 0.2032),
            ("5 64ths of an inch", Millimetre, 1.984375),
            ("5 64ths of one inch", Millimetre, 1.984375),
            (".008", Inch, 0.2032),
            ("about .008", Inch, 0.2032),
            ("About .008\"", Millimetre, 0.2032),
            ("approx 3 mm", Inch, 3.0),
            ("approx. 3 mm", Inch, 3.0),
            ("approximately 3 mm", Inch, 3.0),
            ("ca. 3 mm", Inch, 3.0),
            ("ca 3 mm", Inch, 3.0),
            ("circa 3 mm", Inch, 3.0),
            ("roughly 3 mm", Inch, 3.0),
            ("around 3 mm", Inch, 3.0),
            ("3 mm approx.", Inch, 3.0),
            ("3 mm about", Inch, 3.0),
            ("~3 mm", Inch, 3.0),
            ("~ 3 mm", Inch, 3.0),
            ("≈3 mm", Inch, 3.0),
            ("~-3 mm", Inch, -3.0),
            ("about 25 3/8", Inch, 644.525),
            ("25\u{a0}3/8\u{a0}in", Millimetre, 644.525),
            ("25\u{202f}3⁄8\u{2009}in", Millimetre, 644.525),
            ("25.4", Millimetre, 25.4),
            ("25.4", Inch, 645.16),
            ("10", Thou, 0.254),
            ("5/64", Inch, 1.984375),
            ("6.5/64", Inch, 2.5796875),
            ("6.5/64 in", Millimetre, 2.5796875),
            (".5/64 in", Millimetre, 0.1984375),
            ("5 / 64 in", Millimetre, 1.984375),
            ("5⁄64 in", Millimetre, 1.984375),
            ("9/8 in", Millimetre, 28.575),
            ("0/8 in", Millimetre, 0.0),
            ("25 3/8", Inch, 644.525),
            ("25 3/8 in", Millimetre, 644.525),
            ("25-3/8 in", Millimetre, 644.525),
            ("25-3/8\"", Millimetre, 644.525),
            ("25⅜ in", Millimetre, 644.525),
            ("25 ⅜ in", Millimetre, 644.525),
            ("25-⅜ in", Millimetre, 644.525),
            ("1 6.4/64 in", Millimetre, 27.94),
            ("½", Inch, 12.7),
            ("½ mm", Inch, 0.5),
            ("0", Inch, 0.0),
            ("-0", Inch, 0.0),
            ("007 mm", Inch, 7.0),
            ("+3 mm", Inch, 3.0),
            ("-3 mm", Inch, -3.0),
            ("−3 mm", Inch, -3.0),
            ("- 3 mm", Inch, -3.0),
            ("-25-3/8 in", Millimetre, -644.525),
            ("-25 3/8 in", Millimetre, -644.525),
            ("-½ in", Millimetre, -12.7),
            ("  3\u{a0}mm\t", Inch, 3.0),
            ("10000 mm", Inch, 10_000.0),
        ];
        for (text, default, mm) in table {
            let read = parse_length(text, default);
            assert_eq!(read, Ok(mm), "{text}");
            assert!(read.unwrap().is_sign_positive() || mm < 0.0, "{text}: -0");
        }
    }

    #[test]
    fn reads_every_one_character_fraction() {
        for (text, over, under) in [
            ("¼", 1.0, 4.0),
            ("½", 1.0, 2.0),
            ("¾", 3.0, 4.0),
            ("⅐", 1.0, 7.0),
            ("⅑", 1.0, 9.0),
            ("⅒", 1.0, 10.0),
            ("⅓", 1.0, 3.0),
            ("⅔", 2.0, 3.0),
            ("⅕", 1.0, 5.0),
            ("⅖", 2.0, 5.0),
            ("⅗", 3.0, 5.0),
            ("⅘", 4.0, 5.0),
            ("⅙", 1.0, 6.0),
            ("⅚", 5.0, 6.0),
            ("⅛", 1.0, 8.0),
            ("⅜", 3.0, 8.0),
            ("⅝", 5.0, 8.0),
            ("⅞", 7.0, 8.0),
        ] {
            let read = parse_length(&format!("{text} mm"), Inch);
            assert_eq!(read, Ok(over / under), "{text}");
        }
    }

    /// A workshop table of inch fractions in mm, to its four decimals:
    /// utilitiesbunker.com/kb/fraction-to-decimal-chart.
    #[test]
    fn agrees_with_a_workshop_table() {
        for (text, mm) in [
            ("3/64", 1.1906),
            ("13/64", 5.1594),
            ("23/64", 9.1281),
            ("29/64", 11.5094),
            ("47/64", 18.6531),
            ("53/64", 21.0344),
            ("61/64", 24.2094),
        ] {
            let read = parse_length(text, Inch).unwrap();
            assert!((read - mm).abs() <= 0.000_051, "{text}: {read}");
        }
    }

    /// Half of the trade writes a feeler as `.008`: where thou are read, that is no length of eight millionths of an inch.
    #[test]
    fn inches_are_not_taken_for_thou() {
        for text in [".008", "0.05", "-.016", "about .009", "0.099"] {
            let read = parse_length(text, Thou).map_err(|error| error.kind().clone());
            assert_eq!(read, Err(Kind::InchesForThou), "{text}");
        }
        for value in [0.008, -0.05] {
            assert_eq!(
                length_from_number(value, Thou).unwrap_err().kind(),
                &Kind::InchesForThou
            );
        }
        for (text, thou) in [
            ("0", 0.0),
            ("0.0", 0.0),
            ("0.1", 0.1),
            (".5", 0.5),
            (".008 thou", 0.008),
            ("8", 8.0),
        ] {
            assert!(
                (parse_length(text, Thou).unwrap() - thou * 0.0254).abs() < 1e-15,
                "{text}"
            );
        }
        assert!(length_from_number(0.1, Thou).is_ok() && length_from_number(0.0, Thou).is_ok());
        let told = parse_length(".008", Thou).unwrap_err();
        assert_eq!(
            told.hint(),
            "write `.008 in` if inches are meant, or the whole thou, as in `8`"
        );
    }

    #[test]
    fn refuses_what_is_wrong_or_doubtful() {
        let stray = |word: &str| Kind::Stray(word.to_owned());
        let table = [
            ("", Kind::Empty),
            (" \t ", Kind::Empty),
            ("mm", Kind::NoNumber),
            ("-", Kind::NoNumber),
            ("- in", Kind::NoNumber),
            ("64ths", Kind::NoNumber),
            ("3,2 mm", Kind::Comma),
            ("1,000", Kind::Comma),
            ("1,000.5 mm", Kind::Comma),
            ("1/0", Kind::ZeroDenominator),
            ("0/0 in", Kind::ZeroDenominator),
            ("25 1/0 in", Kind::ZeroDenominator),
            ("3 apples", stray("apples")),
            ("3 m", stray("m")),
            ("3 mm x", stray("x")),
            ("0.5 in..", stray(".")),
            ("0.5 in .", stray(".")),
            ("about", Kind::NoNumber),
            ("~", Kind::NoNumber),
            ("about about 3 mm", Kind::AboutInside),
            ("3 about", Kind::AboutInside),
            ("1.5 ca", Kind::AboutInside),
            ("about 3 mm approx", Kind::AboutInside),
            ("3 ~ 4 mm", Kind::AboutInside),
            ("-~3 mm", Kind::AboutInside),
            ("3 about mm", Kind::AboutInside),
            ("about 3 - 4 mm", Kind::SignInside),
            ("abot 3 mm", stray("abot")),
            ("c. 3 mm", Kind::UnitFirst),
            ("under 3 mm", stray("under")),
            ("<3 mm", stray("<")),
            ("3 mm.5", Kind::NumberAfterUnit),
            ("8 thousandths of a millimetre", stray("of")),
            ("8 thousandths of an inch or so", stray("or")),
            ("8 thousand", stray("thousand")),
            ("5 64ths of", stray("of")),
            ("2 millimetre inch", Kind::TwoUnits),
            ("3””", Kind::TwoUnits),
            ("“3", stray("“")),
            ("10 mills", Kind::Mil),
            ("1\u{202f}000 mm", Kind::MoreThanOneNumber),
            (".", stray(".")),
            ("3 over 4", stray("over")),
            ("3 # mm", stray("#")),
            ("3 (mm)", stray("(")),
            ("–3 mm", stray("–")),
            ("1_000", stray("_")),
            ("５ mm", stray("５")),
            ("564ths", stray("ths")),
            ("3 mm in", Kind::TwoUnits),
            ("3 mm mm", Kind::TwoUnits),
            ("3\"\"", Kind::TwoUnits),
            ("5 64ths in", Kind::TwoUnits),
            ("10 mil", Kind::Mil),
            ("10 MILS", Kind::Mil),
            ("1e-3", Kind::Exponent),
            ("1E3 mm", Kind::Exponent),
            ("1.5e+3", Kind::Exponent),
            ("1e−3", Kind::Exponent),
            ("0x10", Kind::Hex),
            ("0X1f mm", Kind::Hex),
            ("NaN", Kind::NotFinite),
            ("inf", Kind::NotFinite),
            ("-Infinity", Kind::NotFinite),
            ("∞ mm", Kind::NotFinite),
            ("5.", Kind::TrailingPoint),
            ("5. mm", Kind::TrailingPoint),
            ("5./64 in", Kind::TrailingPoint),
            ("1/2/3", Kind::MoreThanOneNumber),
            ("1 2 3/4", Kind::MoreThanOneNumber),
            ("3/4 1/2", Kind::MoreThanOneNumber),
            ("1 000 mm", Kind::MoreThanOneNumber),
            ("1.2.3", Kind::MoreThanOneNumber),
            ("25.5 3/8 in", Kind::MoreThanOneNumber),
            ("25.5-3/8 in", Kind::SignInside),
            ("1.5½ in", Kind::MoreThanOneNumber),
            ("½½ in", Kind::MoreThanOneNumber),
            ("½/2 in", Kind::MoreThanOneNumber),
            ("1/½ in", Kind::MoreThanOneNumber),
            ("1//2 in", Kind::BrokenFraction),
            ("/2 in", Kind::BrokenFraction),
            ("1/ in", Kind::BrokenFraction),
            ("/", Kind::BrokenFraction),
            ("1/2.5 in", Kind::BrokenFraction),
            ("3 mm/2", Kind::BrokenFraction),
            ("25 9/8 in", Kind::ImproperFraction),
            ("25 8/8 in", Kind::ImproperFraction),
            ("25-9/8 in", Kind::ImproperFraction),
            ("25.3/8 in", Kind::ImproperFraction),
            ("1 -3/8 in", Kind::SignInside),
            ("1 - 3/8 in", Kind::SignInside),
            ("1- 3/8 in", Kind::SignInside),
            ("1+3/8 in", Kind::SignInside),
            ("1−3/8 in", Kind::SignInside),
            ("1/-8 in", Kind::SignInside),
            ("25-3 in", Kind::SignInside),
            ("--3 mm", Kind::SignInside),
            ("+-3 mm", Kind::SignInside),
            ("3- mm", Kind::SignInside),
            ("3 mm -", Kind::SignInside),
            ("in 3", Kind::UnitFirst),
            ("$ 3", stray("$")),
            ("1 in 3/8", Kind::NumberAfterUnit),
            ("2 in 3 mm", Kind::NumberAfterUnit),
            ("25'", Kind::Feet),
            ("2 ft", Kind::Feet),
            ("2′", Kind::Feet),
            ("2 feet 1 in", Kind::Feet),
            ("5/64ths", Kind::FractionOf64ths),
            ("25 5/64ths", Kind::FractionOf64ths),
            ("1/2 64ths", Kind::FractionOf64ths),
            ("½ 64ths", Kind::FractionOf64ths),
            ("9 deg", Kind::WrongUnit("deg")),
            ("9°", Kind::WrongUnit("deg")),
            ("3 cents", Kind::WrongUnit("cents")),
            ("0.1234567890123", Kind::TooManyDigits),
            ("9999999999999 mm", Kind::TooManyDigits),
            ("10000.1 mm", Kind::TooLarge("10 m")),
            ("-400 in", Kind::TooLarge("10 m")),
            ("999999999999", Kind::TooLarge("10 m")),
            ("999999999999 .99999999999/999999999999 in", Kind::TooLarge("10 m")),
        ];
        for (text, kind) in table {
            let error = parse_length(text, Inch).expect_err(text);
            assert_eq!(*error.kind(), kind, "{text}");
        }
    }

    #[test]
    fn a_bare_fraction_is_read_in_inches_only() {
        for default in [Millimetre, Thou] {
            for text in ["5/64", "25 3/8", "½", "-25-3/8"] {
                let error = parse_length(text, default).expect_err(text);
                assert_eq!(*error.kind(), Kind::BareFraction);
                assert!(error.hint().contains(&format!("`{text} in`")));
            }
        }
    }

    #[test]
    fn numbers_take_the_default_unit() {
        assert_eq!(length_from_number(25.5, Millimetre), Ok(25.5));
        assert_eq!(length_from_number(-2.0, Inch), Ok(-50.8));
        assert_eq!(length_from_number(10.0, Thou), Ok(0.254));
        assert!(length_from_number(-0.0, Inch).unwrap().is_sign_positive());
        for (value, kind) in [
            (f64::NAN, Kind::NotFinite),
            (f64::INFINITY, Kind::NotFinite),
            (f64::NEG_INFINITY, Kind::NotFinite),
            (1e300, Kind::TooLarge("10 m")),
            (-400.0, Kind::TooLarge("10 m")),
        ] {
            let error = length_from_number(value, Inch).unwrap_err();
            assert_eq!(*error.kind(), kind, "{value}");
        }
    }

    #[test]
    fn names_read_back() {
        for unit in LengthUnit::ALL {
            assert_eq!(LengthUnit::parse(unit.name()), Some(unit));
        }
        for name in ["", "mil", "MM", "mm ", "64ths"] {
            assert_eq!(LengthUnit::parse(name), None);
        }
    }
}
