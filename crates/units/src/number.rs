//! The scanner that lengths, angles and cents share: text to an exact ratio and at most one unit.

use crate::ReadErrorKind as Kind;
use crate::unit::Unit;

/// Most digits of one number. With it every product below fits 128 bits.
const MAX_DIGITS: usize = 12;

/// An exact number not below nought: `over / under`, `under` above nought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Ratio {
    pub(crate) over: u128,
    pub(crate) under: u128,
}

impl Ratio {
    /// The product with `over / under`, in lowest terms; `None` beyond 128 bits.
    pub(crate) fn times(self, over: u128, under: u128) -> Option<Self> {
        let over = self.over.checked_mul(over)?;
        let under = self.under.checked_mul(under)?;
        let divisor = gcd(over, under).max(1);
        Some(Self {
            over: over / divisor,
            under: under / divisor,
        })
    }

    /// The nearest f64: both parts of any usual reading are below 2^53, so the one division is
    /// the only rounding. With more digits the error stays below two units in the last place.
    pub(crate) fn value(self) -> f64 {
        self.over as f64 / self.under as f64
    }
}

fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// A number as written, with its unit if it has one.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading {
    pub(crate) negative: bool,
    pub(crate) size: Ratio,
    /// Written with a fraction, mixed or not.
    pub(crate) fraction: bool,
    pub(crate) unit: Option<Unit>,
}

impl Reading {
    /// `size` with the sign of the reading; nought is always +0.
    pub(crate) fn signed(&self, size: f64) -> f64 {
        if self.negative && size != 0.0 { -size } else { size }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TokenKind {
    Sign(char),
    /// `digits / scale`, scale a power of ten.
    Number {
        digits: u128,
        scale: u128,
    },
    /// A fraction written as one character.
    Vulgar(u128, u128),
    Slash,
    Over,
    /// `about` and its kin: it says nothing of the figure.
    About,
    Unit(Unit),
}

/// Words and marks before or after a figure that call it rounded. A reading is never exact, so they change nothing.
const ABOUT: [&str; 7] = ["about", "approx", "approximately", "around", "ca", "circa", "roughly"];

/// A part of the text and whether a space stands before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Token {
    pub(crate) part: TokenKind,
    spaced: bool,
}

/// Cuts the text into parts, from left to right; the first part without a meaning is the error.
pub(crate) fn scan(text: &str) -> Result<Vec<Token>, Kind> {
    let mut tokens = Vec::new();
    let mut rest = text;
    loop {
        let trimmed = rest.trim_start();
        let spaced = trimmed.len() != rest.len();
        let Some(first) = trimmed.chars().next() else {
            break;
        };
        let (part, tail) = if first.is_ascii_digit() || first == '.' {
            scan_number(trimmed)?
        } else if first.is_alphabetic() {
            scan_word(trimmed)?
        } else {
            let (mark, tail) = trimmed.split_at(first.len_utf8());
            (scan_mark(first, mark)?, tail)
        };
        tokens.push(Token { part, spaced });
        rest = tail;
    }
    Ok(tokens)
}

fn scan_word(text: &str) -> Result<(TokenKind, &str), Kind> {
    let (word, tail) = split_word(text);
    if word.eq_ignore_ascii_case("over") {
        return Ok((TokenKind::Over, tail));
    }
    if ABOUT.iter().any(|about| word.eq_ignore_ascii_case(about)) {
        return Ok((TokenKind::About, full_stop(tail)));
    }
    let unit = unit_of_word(word)?;
    let tail = match unit {
        Unit::Thou => of_an_inch(tail),
        _ => full_stop(tail),
    };
    Ok((TokenKind::Unit(unit), tail))
}

/// What follows the full stop of a shortened word (`in.`, `approx.`). One that a digit follows is a decimal point.
fn full_stop(tail: &str) -> &str {
    match tail.strip_prefix('.') {
        Some(rest) if !rest.starts_with(|c: char| c.is_ascii_digit() || c == '.') => rest,
        _ => tail,
    }
}

/// What follows `of an inch` after a part of one; of anything else nothing is taken off, so that it is refused.
fn of_an_inch(tail: &str) -> &str {
    let word = |tail, word: &str| {
        let (first, tail) = split_word(str::trim_start(tail));
        first.eq_ignore_ascii_case(word).then_some(tail)
    };
    let of = word(tail, "of").and_then(|tail| word(tail, "an").or_else(|| word(tail, "one")));
    full_stop(of.and_then(|tail| word(tail, "inch")).unwrap_or(tail))
}

fn unit_of_word(word: &str) -> Result<Unit, Kind> {
    Ok(match word.to_lowercase().as_str() {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Unit::Millimetre,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Unit::Centimetre,
        // A text program makes the closing curly quote of a typed inch mark.
        "in" | "ins" | "inch" | "inches" | "\"" | "″" | "”" => Unit::Inch,
        "thou" | "thous" | "thousandth" | "thousandths" => Unit::Thou,
        "deg" | "degree" | "degrees" | "°" => Unit::Degree,
        "c" | "cent" | "cents" => Unit::Cent,
        "mil" | "mils" | "mill" | "mills" => return Err(Kind::Mil),
        "ft" | "foot" | "feet" | "'" | "′" | "’" => return Err(Kind::Feet),
        "nan" | "inf" | "infinity" | "∞" => return Err(Kind::NotFinite),
        "," => return Err(Kind::Comma),
        _ => return Err(Kind::Stray(word.to_owned())),
    })
}

fn split_word(text: &str) -> (&str, &str) {
    text.split_at(text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len()))
}

fn split_digits(text: &str) -> (&str, &str) {
    text.split_at(text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len()))
}

fn scan_mark(first: char, mark: &str) -> Result<TokenKind, Kind> {
    Ok(match first {
        '+' | '-' | '−' => TokenKind::Sign(first),
        '/' | '⁄' | '∕' => TokenKind::Slash,
        '~' | '≈' | '∼' => TokenKind::About,
        _ => match vulgar(first) {
            Some((over, under)) => TokenKind::Vulgar(over, under),
            None => TokenKind::Unit(unit_of_word(mark)?),
        },
    })
}

/// The one-character fractions of Unicode, blocks Latin-1 Supplement and Number Forms.
fn vulgar(c: char) -> Option<(u128, u128)> {
    Some(match c {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

fn scan_number(text: &str) -> Result<(TokenKind, &str), Kind> {
    let (whole, after) = split_digits(text);
    if whole == "0" && after.starts_with(['x', 'X']) {
        return Err(Kind::Hex);
    }
    if whole == "64" {
        let (word, tail) = split_word(after);
        if word.eq_ignore_ascii_case("ths") || word.eq_ignore_ascii_case("th") {
            return Ok((TokenKind::Unit(Unit::SixtyFourths), of_an_inch(tail)));
        }
    }
    let (decimals, tail) = match after.strip_prefix('.') {
        None => ("", after),
        Some(after_point) => match split_digits(after_point) {
            ("", _) if whole.is_empty() => return Err(Kind::Stray(".".to_owned())),
            ("", _) => return Err(Kind::TrailingPoint),
            split => split,
        },
    };
    if let Some(power) = tail.strip_prefix(['e', 'E'])
        && power
            .trim_start_matches(['+', '-', '−'])
            .starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(Kind::Exponent);
    }
    if whole.len() + decimals.len() > MAX_DIGITS {
        return Err(Kind::TooManyDigits);
    }
    let digits = format!("{whole}{decimals}").parse().map_err(|_| Kind::TooManyDigits)?;
    let scale = decimals.bytes().fold(1, |scale, _| scale * 10);
    Ok((TokenKind::Number { digits, scale }, tail))
}

/// Reads `[about] [sign] number [unit [about]]`, all of it.
pub(crate) fn read(tokens: &[Token]) -> Result<Reading, Kind> {
    if tokens.is_empty() {
        return Err(Kind::Empty);
    }
    let is = |t: &Token, part: TokenKind| t.part == part;
    if tokens.iter().any(|t| is(t, TokenKind::Over)) {
        return Err(Kind::Stray("over".to_owned()));
    }
    let tokens = match tokens {
        [first, rest @ ..] if is(first, TokenKind::About) => rest,
        // Without a unit, `1.5 ca` may be a slip for `1.5 cm`.
        [rest @ .., last]
            if is(last, TokenKind::About)
                && matches!(
                    rest,
                    [
                        ..,
                        Token {
                            part: TokenKind::Unit(_),
                            ..
                        }
                    ]
                ) =>
        {
            rest
        }
        all => all,
    };
    // Between two figures, or twice, it may mean a range or a slip.
    if tokens.iter().any(|t| is(t, TokenKind::About)) {
        return Err(Kind::AboutInside);
    }
    let (negative, tokens) = match tokens {
        [
            Token {
                part: TokenKind::Sign(sign),
                ..
            },
            rest @ ..,
        ] => (*sign != '+', rest),
        _ => (false, tokens),
    };
    let is_unit = |t: &Token| matches!(t.part, TokenKind::Unit(_));
    let end = tokens.iter().position(is_unit).unwrap_or(tokens.len());
    let (body, tail) = tokens.split_at(end);
    let unit = read_unit(body, tail)?;
    let (size, fraction) = read_size(body, unit)?;
    if fraction && unit == Some(Unit::SixtyFourths) {
        return Err(Kind::FractionOf64ths);
    }
    Ok(Reading {
        negative,
        size,
        fraction,
        unit,
    })
}

/// The unit of `tail`, which starts with a unit or is empty, after the number `body`.
fn read_unit(body: &[Token], tail: &[Token]) -> Result<Option<Unit>, Kind> {
    let has_number = |t: &Token| matches!(t.part, TokenKind::Number { .. } | TokenKind::Vulgar(..));
    if !body.iter().any(has_number) {
        return Err(if tail.iter().any(has_number) {
            Kind::UnitFirst
        } else if body.iter().any(|t| t.part == TokenKind::Slash) {
            Kind::BrokenFraction
        } else {
            Kind::NoNumber
        });
    }
    match tail {
        [] => Ok(None),
        [
            Token {
                part: TokenKind::Unit(unit),
                ..
            },
        ] => Ok(Some(*unit)),
        [
            _,
            Token {
                part: TokenKind::Unit(_),
                ..
            },
            ..,
        ] => Err(Kind::TwoUnits),
        [
            _,
            Token {
                part: TokenKind::Sign(_),
                ..
            },
            ..,
        ] => Err(Kind::SignInside),
        [
            _,
            Token {
                part: TokenKind::Slash, ..
            },
            ..,
        ] => Err(Kind::BrokenFraction),
        _ => Err(Kind::NumberAfterUnit),
    }
}

/// The number of `body` and whether it is written with a fraction.
fn read_size(body: &[Token], unit: Option<Unit>) -> Result<(Ratio, bool), Kind> {
    use TokenKind::{Number, Sign, Slash};
    let parts: Vec<TokenKind> = body.iter().map(|t| t.part).collect();
    if let [Number { digits, scale }] = *parts {
        let size = Ratio {
            over: digits,
            under: scale,
        };
        return Ok((size, false));
    }
    if let Some(fraction) = fraction(&parts) {
        return Ok((fraction?, true));
    }
    // `25-3/8`: a hyphen with no space on either side joins a whole number to its fraction.
    let joined = matches!(body, [_, hyphen, next, ..] if !hyphen.spaced && !next.spaced);
    let (whole, rest) = match parts.as_slice() {
        [Number { digits, scale: 1 }, Sign('-'), rest @ ..] if joined => (*digits, rest),
        [Number { digits, scale: 1 }, rest @ ..] => (*digits, rest),
        _ => (0, [].as_slice()),
    };
    if let Some(fraction) = fraction(rest) {
        let Ratio { over, under } = fraction?;
        if over >= under {
            return Err(Kind::ImproperFraction);
        }
        let over = whole * under + over;
        return Ok((Ratio { over, under }, true));
    }
    Err(match parts.as_slice() {
        parts if parts.iter().any(|p| matches!(p, Sign(_))) => Kind::SignInside,
        [.., Slash] if unit == Some(Unit::SixtyFourths) => Kind::FractionOf64ths,
        [.., Slash] | [Slash, ..] => Kind::BrokenFraction,
        parts if parts.windows(2).any(|pair| pair == [Slash, Slash]) => Kind::BrokenFraction,
        _ => Kind::MoreThanOneNumber,
    })
}

/// The fraction that `parts` are, no more and no less; `None` if they are anything else.
fn fraction(parts: &[TokenKind]) -> Option<Result<Ratio, Kind>> {
    match *parts {
        [TokenKind::Vulgar(over, under)] => Some(Ok(Ratio { over, under })),
        [
            TokenKind::Number { digits, scale },
            TokenKind::Slash,
            TokenKind::Number {
                digits: lower,
                scale: lower_scale,
            },
        ] => Some(if lower_scale != 1 {
            Err(Kind::BrokenFraction)
        } else if lower == 0 {
            Err(Kind::ZeroDenominator)
        } else if scale != 1 && digits >= lower * scale {
            // `25.3/8` is more likely a slip for `25 3/8` than 25.3 eighths.
            Err(Kind::ImproperFraction)
        } else {
            Ok(Ratio {
                over: digits,
                under: lower * scale,
            })
        }),
        _ => None,
    }
}
