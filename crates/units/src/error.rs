//! Why a text was refused, in words that say how to mend it.

use std::fmt;

use crate::LengthUnit;

/// Most characters of a refused text that a message repeats.
const SHOWN_CHARS: usize = 60;

/// A text or number that was refused: what was read, what is wrong, what is expected, how to mend it.
///
/// Its `Display` is one line for the user.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("read `{read}`: {kind}; expected {expected}; {}", self.hint())]
pub struct ReadError {
    read: String,
    expected: Expected,
    kind: ReadErrorKind,
}

/// What should have stood there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expected {
    /// A length; a bare number takes the unit given here.
    Length(LengthUnit),
    /// An angle, in degrees or as rise over run.
    Angle,
    /// A pitch difference in cents (1/100 of an equal-tempered semitone).
    Cents,
}

impl fmt::Display for Expected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(default) => write!(
                f,
                "a length such as `1/32 in`, `12 thou` or `0.3 mm` (a bare number is read as {})",
                match default {
                    LengthUnit::Millimetre => "millimetres",
                    LengthUnit::Inch => "inches",
                    LengthUnit::Thou => "thou",
                }
            ),
            Self::Angle => f.write_str("an angle such as `9 deg`, or rise over run such as `0.5 mm over 3.2 mm`"),
            Self::Cents => f.write_str("cents such as `-3 cents`"),
        }
    }
}

/// The one reason why a text was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadErrorKind {
    /// Nothing but spaces.
    #[error("nothing is written there")]
    Empty,
    /// A unit or a sign without a number.
    #[error("there is no number")]
    NoNumber,
    /// A comma, which is a decimal mark to some and parts thousands to others.
    #[error("a comma may mean a decimal point or thousands")]
    Comma,
    /// A fraction over nought.
    #[error("a fraction over 0 has no value")]
    ZeroDenominator,
    /// A fraction that lacks a part, or whose lower number is not whole.
    #[error("the fraction is not two numbers with one / between them, the lower one whole")]
    BrokenFraction,
    /// A fraction of 1 or more where it should be less: `25 9/8`, `25.3/8`.
    #[error("a fraction of 1 or more is doubtful here")]
    ImproperFraction,
    /// A fraction without a unit where the default unit is not the inch, or as an angle.
    #[error("a fraction without a unit is doubtful")]
    BareFraction,
    /// A fraction of 64ths: `5/64ths`, `1/2 64ths`.
    #[error("a fraction of 64ths is doubtful")]
    FractionOf64ths,
    /// A fraction where only a decimal number is read (cents).
    #[error("a fraction is not read here")]
    Fraction,
    /// A word or mark that has no meaning here.
    #[error("`{0}` has no meaning here")]
    Stray(String),
    /// More than one number: `1/2/3`, `1 2 3/4`, `3/4 1/2`, `1 000`.
    #[error("there is more than one number")]
    MoreThanOneNumber,
    /// A sign anywhere but at the start: `1 -3/8`.
    #[error("a sign may only stand once, at the start")]
    SignInside,
    /// `about` or `~` anywhere but once, before everything or after the unit.
    #[error("`about` or `~` may only stand once, before everything or after the unit")]
    AboutInside,
    /// More than one unit.
    #[error("there are two units")]
    TwoUnits,
    /// A unit in front of its number.
    #[error("the unit stands before the number")]
    UnitFirst,
    /// A number after the unit: `1 in 3/8`.
    #[error("a number stands after the unit")]
    NumberAfterUnit,
    /// A known unit of another quantity, such as degrees for a length.
    #[error("`{0}` is not a unit of this")]
    WrongUnit(&'static str),
    /// `mil`: a thousandth of an inch to some, a millimetre to others.
    #[error("`mil` is doubtful: thou to some, millimetre to others")]
    Mil,
    /// Feet, or a single stroke, which may also mean minutes of angle.
    #[error("feet or a single stroke are not read")]
    Feet,
    /// Powers of ten: `1e-3`.
    #[error("powers of ten are not read")]
    Exponent,
    /// Hexadecimal numbers: `0x10`.
    #[error("hexadecimal numbers are not read")]
    Hex,
    /// NaN or an infinity.
    #[error("it is not a finite number")]
    NotFinite,
    /// A point without a digit after it: `5.`.
    #[error("a digit is missing after the point")]
    TrailingPoint,
    /// More digits than any reading has.
    #[error("there are too many digits")]
    TooManyDigits,
    /// A bare number that would be less than [`LEAST_BARE_THOU`](crate::LEAST_BARE_THOU): inches, as `.008`, where thou are read.
    #[error("as thou that is finer than anything can be read")]
    InchesForThou,
    /// Beyond what any instrument has: the limit is named.
    #[error("it is beyond {0}")]
    TooLarge(&'static str),
    /// A run of rise over run that is not greater than nought.
    #[error("the run must be greater than 0")]
    RunNotPositive,
    /// Rise over run with a part missing or more than one `over`.
    #[error("rise over run needs one number on each side of one `over`")]
    BrokenOver,
    /// Rise with a unit over a run without one, the default being another.
    #[error("the unit of the run is doubtful")]
    RunWithoutUnit,
    /// `1 in 6` as a slope, where `in` also means inch.
    #[error("`in` between two numbers may mean inch")]
    InForOver,
}

impl ReadError {
    pub(crate) fn new(read: &str, expected: Expected, kind: ReadErrorKind) -> Self {
        let kind = match kind {
            ReadErrorKind::Stray(word) => ReadErrorKind::Stray(printable(&word)),
            kind => kind,
        };
        Self {
            read: printable(read),
            expected,
            kind,
        }
    }

    /// What was read, made fit to print: shortened, and control characters spelled out.
    pub fn read(&self) -> &str {
        &self.read
    }

    /// What should have stood there.
    pub fn expected(&self) -> Expected {
        self.expected
    }

    /// The reason.
    pub fn kind(&self) -> &ReadErrorKind {
        &self.kind
    }

    /// How to mend it, in one clause.
    pub fn hint(&self) -> String {
        use ReadErrorKind as K;
        let read = self.read.trim();
        let text = match (&self.kind, self.expected) {
            (K::Comma, _) => match decimal_point_for_comma(read) {
                Some(mended) => return format!("write `{mended}` with a point"),
                None => "write a point for decimals and nothing between thousands",
            },
            (K::BareFraction, Expected::Angle) if read.to_lowercase().contains("over") => {
                "write the unit after each number, as in `3/64 in over 6 mm`"
            }
            (K::BareFraction, Expected::Angle) if read.contains('/') && !read.contains(' ') => {
                let over = read.replace('/', " over ");
                return format!("write `{over}` for rise over run, or `{read} deg`");
            }
            (K::BareFraction, Expected::Angle) => return format!("write `{read} deg`"),
            (K::BareFraction, _) => return format!("write `{read} in` if inches are meant"),
            (K::InchesForThou, _) => {
                return format!("write `{read} in` if inches are meant, or the whole thou, as in `8`");
            }
            (K::Stray(mark), _) if is_dash(mark) => "write minus as the plain sign, as in `-3`",
            (K::Stray(_) | K::WrongUnit(_) | K::Feet | K::Mil, Expected::Cents) => "use cents or no unit",
            (K::Feet, Expected::Angle) => "write minutes as decimals of a degree, as in `9.5 deg`",
            (K::Feet, _) => "write inches, as in `25 3/8 in`",
            (K::Empty | K::NoNumber, _) => "write a number and its unit",
            (
                K::Fraction | K::BrokenFraction | K::ImproperFraction | K::FractionOf64ths | K::ZeroDenominator,
                Expected::Cents,
            ) => "write a decimal number, as in `1.5 cents`",
            (K::ZeroDenominator, _) => "look at the lower number of the fraction",
            (K::BrokenFraction | K::ImproperFraction, Expected::Angle) => {
                "write a fraction of a degree as in `9 1/2 deg`, a slope as in `1 over 6`"
            }
            (K::BrokenFraction, _) => "write it like `3/8 in` or `25 3/8 in`",
            (K::ImproperFraction, _) => "put the whole number, a space, then a fraction less than 1, as in `26 1/8 in`",
            (K::FractionOf64ths, _) => "write `5/64 in`, or `5 64ths` or `5.5 64ths`",
            (K::Fraction, _) => "write a decimal number",
            (K::Stray(_) | K::WrongUnit(_), Expected::Length(_)) => {
                "use mm, cm, in, thou or 64ths, and nothing after the unit"
            }
            (K::Stray(_) | K::WrongUnit(_), Expected::Angle) => "use deg, or the word `over` between a rise and a run",
            (K::MoreThanOneNumber | K::NumberAfterUnit | K::TwoUnits | K::UnitFirst | K::AboutInside, _) => {
                "write one number, then one unit"
            }
            (K::SignInside, Expected::Length(_)) => {
                "write one sign before everything, and a mixed number as `25 3/8 in`"
            }
            (K::SignInside, _) => "write one sign, before everything",
            (K::Mil, _) => "write thou or mm",
            (K::Exponent | K::Hex, _) => "write it out in plain decimals, as in `0.125`",
            (K::NotFinite | K::TooLarge(_), _) => "measure again, or look at the unit and the point",
            (K::TrailingPoint, _) => "write the digit or leave the point out, as in `5` or `5.0`",
            (K::TooManyDigits, _) => "round it: 12 digits are the most that is read",
            (K::RunNotPositive, _) => "put the sign on the rise and measure over a real run",
            (K::BrokenOver, _) => "write it like `0.5 mm over 3.2 mm`",
            (K::RunWithoutUnit, _) => "write the unit after the run too, as in `0.5 mm over 3.2 mm`",
            (K::InForOver, _) => "write `over` for a slope, as in `1 over 6`",
        };
        text.to_owned()
    }
}

/// A dash that a text program may have made of a minus; between two figures it means a range, so it is not read.
fn is_dash(mark: &str) -> bool {
    matches!(mark, "–" | "—" | "‒" | "‐" | "‑")
}

/// `3,2 mm` as `3.2 mm`, where that is beyond doubt: one comma and not three digits after it.
fn decimal_point_for_comma(read: &str) -> Option<String> {
    let (before, after) = read.split_once(',')?;
    let decimals = after.chars().take_while(char::is_ascii_digit).count();
    let sure = before.ends_with(|c: char| c.is_ascii_digit())
        && decimals > 0
        && decimals != 3
        && !before.contains('.')
        && !after.contains([',', '.', '/']);
    sure.then(|| format!("{before}.{after}"))
}

/// Short and without characters that could upset a terminal.
fn printable(read: &str) -> String {
    let mut shown = String::new();
    for (count, c) in read.chars().enumerate() {
        if count == SHOWN_CHARS {
            shown.push('…');
            break;
        }
        match c {
            '"' | '\'' => shown.push(c),
            _ => shown.extend(c.escape_debug()),
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{parse_angle, parse_cents, parse_length};

    #[test]
    fn a_message_says_what_was_read_expected_and_how_to_mend() {
        let error = parse_length("3,2 mm", LengthUnit::Inch).unwrap_err();
        assert_eq!(
            error.to_string(),
            "read `3,2 mm`: a comma may mean a decimal point or thousands; expected a length such \
             as `1/32 in`, `12 thou` or `0.3 mm` (a bare number is read as inches); write \
             `3.2 mm` with a point"
        );
        assert_eq!(error.read(), "3,2 mm");
        assert_eq!(error.expected(), Expected::Length(LengthUnit::Inch));
    }

    #[test]
    fn a_comma_is_mended_only_where_it_is_beyond_doubt() {
        for text in ["1,000", "1,234 mm", "1,2,3", "1,000.5", "1.5,2", ",5", "5,", "1,2/3"] {
            let hint = parse_length(text, LengthUnit::Inch).unwrap_err().hint();
            assert!(!hint.contains('`'), "{text}: {hint}");
        }
    }

    /// What a hint or an expectation shows as right must be read.
    #[test]
    fn examples_in_messages_are_read() {
        let refused = [
            "",
            "1,2",
            "1/0",
            "1/",
            "1 9/8 in",
            "5/64",
            "5/64ths",
            "3 x",
            "1 2",
            "1 -2",
            "3 deg",
            "1 mil",
            "1e3",
            "0x1",
            "nan",
            "5.",
            "1 over 0",
            "over",
            "1 in 6",
            "2'",
            "1/8",
            "3 mm",
            "1 mm over 2",
            "3/64 over 6 mm",
            "9999999999999",
        ];
        let mut seen = 0;
        for text in refused {
            let errors = [
                parse_length(text, LengthUnit::Thou).err(),
                parse_angle(text, LengthUnit::Thou).err(),
                parse_cents(text).err(),
            ];
            for error in errors.into_iter().flatten() {
                let expected = error.expected();
                let advice = format!("{expected} {}", error.hint());
                for example in advice.split('`').skip(1).step_by(2).filter(|e| *e != "over") {
                    let read = match expected {
                        Expected::Length(unit) => parse_length(example, unit),
                        // A length may be shown as one side of rise over run.
                        Expected::Angle => {
                            parse_angle(example, LengthUnit::Thou).or_else(|_| parse_length(example, LengthUnit::Thou))
                        }
                        Expected::Cents => parse_cents(example),
                    };
                    assert!(read.is_ok(), "{text}: {example}: {read:?}");
                    seen += 1;
                }
            }
        }
        assert!(seen > 100);
    }

    #[test]
    fn a_long_or_hostile_text_is_made_fit_to_print() {
        let error = parse_cents("\u{1b}[2J\n").unwrap_err();
        assert_eq!(error.read(), "\\u{1b}[2J\\n");
        assert_eq!(*error.kind(), ReadErrorKind::Stray("\\u{1b}".to_owned()));
        let error = parse_cents(&"9".repeat(1000)).unwrap_err();
        assert_eq!(error.read().chars().count(), SHOWN_CHARS + 1);
    }
}
