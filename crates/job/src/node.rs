//! A reader over parsed TOML that keeps every value's place, collects problems and never stops at the first.

use std::cell::{Cell, RefCell};
use std::fmt::Display;
use std::ops::Range;

use toml::de::DeValue;
use units::{
    BenchUnit, Expected, LengthUnit, MM_PER_INCH, ReadError, ReadErrorKind, angle_from_number, cents_from_number,
    length_from_number, parse_angle, parse_cents, parse_length,
};

use crate::limits::Limit;
use crate::problem::{nearest, printable, shorten};
use crate::spelling::same_word;
use crate::{Problem, Severity};

/// The text, its units and the problems found so far.
pub(crate) struct SourceText<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
    /// Unit of bare numbers, once it is read.
    pub(crate) unit: Cell<Option<LengthUnit>>,
    /// Unit that messages speak in.
    pub(crate) bench: Cell<BenchUnit>,
    /// Number of strings, once it is known.
    pub(crate) strings: Cell<Option<usize>>,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> SourceText<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        Self {
            text,
            line_starts: std::iter::once(0).chain(breaks.map(|(at, _)| at + 1)).collect(),
            unit: Cell::new(None),
            bench: Cell::new(BenchUnit::Millimetre),
            strings: Cell::new(None),
            problems: RefCell::default(),
        }
    }

    pub(crate) fn line(&self, at: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= at).max(1)
    }

    /// What stands in the text, fit for a message.
    pub(crate) fn slice(&self, span: Range<usize>) -> Option<String> {
        self.text.get(span).map(printable)
    }

    pub(crate) fn report(&self, problem: Problem) {
        let mut problem = problem;
        shorten(&mut problem.field);
        self.problems.borrow_mut().push(problem);
    }

    pub(crate) fn into_problems(self) -> Vec<Problem> {
        self.problems.into_inner()
    }

    /// A length for a message, in the bench unit.
    pub(crate) fn show(&self, mm: f64) -> String {
        show(self.bench.get(), mm)
    }
}

/// A length for a message: long ones in thou are unreadable, so they are shown in inches.
pub(crate) fn show(bench: BenchUnit, mm: f64) -> String {
    match bench {
        BenchUnit::Thou if mm.abs() >= MM_PER_INCH => format!("{:.3} in", mm / MM_PER_INCH),
        _ => bench.show(mm),
    }
}

/// A value and its place.
#[derive(Clone)]
pub(crate) struct Node<'a> {
    pub(crate) source: &'a SourceText<'a>,
    /// Dotted name.
    pub(crate) field: String,
    pub(crate) value: &'a DeValue<'a>,
    pub(crate) span: Range<usize>,
}

/// What was read and where, for checks that look at more than one value.
#[derive(Clone)]
pub(crate) struct Got<'a, T> {
    pub(crate) value: T,
    pub(crate) at: Node<'a>,
}

impl<'a> Node<'a> {
    fn problem(&self, severity: Severity, what: String) {
        self.source.report(Problem {
            severity,
            line: Some(self.source.line(self.span.start)),
            field: self.field.clone(),
            read: match self.value {
                DeValue::Table(_) => None,
                _ => self.source.slice(self.span.clone()),
            },
            what,
        });
    }

    /// Reports an error here.
    pub(crate) fn refuse(&self, what: impl Into<String>) {
        self.problem(Severity::Error, what.into());
    }

    /// Reports a warning here.
    pub(crate) fn doubt(&self, what: impl Into<String>) {
        self.problem(Severity::Warning, what.into());
    }

    pub(crate) fn got<T>(&self, value: T) -> Got<'a, T> {
        Got {
            value,
            at: self.clone(),
        }
    }

    fn expected(&self, what: impl Display) {
        self.refuse(format!("Expected {what}."));
    }

    pub(crate) fn is_text(&self) -> bool {
        self.value.is_str()
    }

    pub(crate) fn is_table(&self) -> bool {
        self.value.is_table()
    }

    pub(crate) fn as_text(&self) -> Option<&'a str> {
        self.value.as_str()
    }

    /// A text in quotes without characters that could upset a sheet or a terminal; line breaks and tabs only if `lines`.
    pub(crate) fn prose(&self, lines: bool) -> Option<&'a str> {
        let text = self.text()?;
        let bad = |c: char| c.is_control() && !(lines && matches!(c, '\n' | '\r' | '\t'));
        if text.contains(bad) {
            self.refuse(if lines {
                "There is a control character in the text. Leave it out."
            } else {
                "There is a line break or a control character in the text. Write it on one line."
            });
            return None;
        }
        Some(text)
    }

    /// A text in quotes.
    pub(crate) fn text(&self) -> Option<&'a str> {
        let text = self.value.as_str();
        if text.is_none() {
            self.expected("text in quotes");
        }
        text
    }

    pub(crate) fn boolean(&self) -> Option<bool> {
        let value = self.value.as_bool();
        if value.is_none() {
            self.expected("true or false, without quotes");
        }
        value
    }

    /// One of the words given, in any spelling of it.
    pub(crate) fn choice<T: Copy>(&self, choices: &[(&str, T)]) -> Option<T> {
        let words = choices.iter().map(|(word, _)| *word);
        let list = words.clone().map(|word| format!("\"{word}\"")).collect::<Vec<_>>();
        let text = self.value.as_str();
        let found = text.and_then(|text| choices.iter().find(|(word, _)| same_word(word, text)));
        if found.is_none() {
            let near = text.and_then(|text| nearest(text, words));
            let meant = near.map_or_else(String::new, |near| format!(" Did you mean \"{near}\"?"));
            self.refuse(format!("Expected {}.{meant}", one_of(&list)));
        }
        found.map(|(_, value)| *value)
    }

    /// The parts of a list.
    pub(crate) fn list(&self) -> Option<Vec<Node<'a>>> {
        let array = self.value.as_array()?;
        let parts = array.iter().enumerate().map(|(i, part)| Node {
            source: self.source,
            field: format!("{}[{}]", self.field, i + 1),
            value: part.as_ref(),
            span: part.span(),
        });
        Some(parts.collect())
    }

    /// A whole number within the limit.
    pub(crate) fn whole(&self, limit: &Limit) -> Option<u32> {
        let read = |value: &DeValue| {
            let integer = value.as_integer()?;
            i64::from_str_radix(integer.as_str(), integer.radix()).ok()
        };
        let Some(value) = read(self.value).and_then(|value| u32::try_from(value).ok()) else {
            self.refuse(format!("Expected a whole number without quotes. {}", limit.hint));
            return None;
        };
        self.within(limit, f64::from(value), |v| format!("{v}"))
            .then_some(value)
    }

    /// A plain number within the limit, in `unit`, which messages name.
    pub(crate) fn number(&self, limit: &Limit, unit: &str) -> Option<f64> {
        let Some(value) = self.as_number().filter(|value| value.is_finite()) else {
            self.refuse(format!(
                "Expected a number without quotes{}. {}",
                in_unit(unit),
                limit.hint
            ));
            return None;
        };
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        self.within(limit, value, |v| format!("{v}{unit}")).then_some(value)
    }

    fn as_number(&self) -> Option<f64> {
        match self.value {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse().ok(),
            DeValue::Float(f) => f.as_str().parse().ok(),
            _ => None,
        }
    }

    /// A length in mm within the limit.
    pub(crate) fn length(&self, limit: &Limit) -> Option<f64> {
        let mm = self.any_length()?;
        self.within(limit, mm, |v| self.source.show(v)).then_some(mm)
    }

    fn any_length(&self) -> Option<f64> {
        let declared = self.source.unit.get();
        let read = |unit| match (self.value.as_str(), self.as_number()) {
            (Some(text), _) => Some(parse_length(text, unit)),
            (_, Some(number)) => Some(length_from_number(number, unit)),
            _ => None,
        };
        let Some(read_as) = read(declared.unwrap_or(LengthUnit::Millimetre)) else {
            self.expected("a length such as \"3.2 mm\", \"1/8 in\" or \"12 thou\"");
            return None;
        };
        if declared.is_none() && read_as.as_ref().ok() != read(LengthUnit::Inch).as_ref().and_then(|r| r.as_ref().ok())
        {
            self.refuse(
                "There is no unit, and the file declares none. Write the unit, as in \"3.2 mm\" or \"1/8 in\", or \
                 put unit = \"mm\", \"in\" or \"thou\" at the top of the file.",
            );
            return None;
        }
        self.read_or_refuse(read_as)
    }

    /// An angle in radians; the limit is in degrees.
    pub(crate) fn angle(&self, limit: &Limit) -> Option<f64> {
        let declared = self.source.unit.get();
        let read = |unit| match (self.value.as_str(), self.as_number()) {
            (Some(text), _) => Some(parse_angle(text, unit)),
            (_, Some(number)) => Some(angle_from_number(number)),
            _ => None,
        };
        let Some(read_as) = read(declared.unwrap_or(LengthUnit::Millimetre)) else {
            self.expected("an angle such as \"9 deg\" or \"0.5 mm over 3.2 mm\"");
            return None;
        };
        if declared.is_none() && read_as.is_ok() != read(LengthUnit::Inch).is_some_and(|r| r.is_ok()) {
            self.refuse("One side of the slope has no unit. Write both, as in \"0.5 mm over 3.2 mm\".");
            return None;
        }
        let angle = self.read_or_refuse(read_as)?;
        let within = self.within(limit, angle.to_degrees(), |v| format!("{v:.1}°"));
        within.then_some(angle)
    }

    /// A pitch difference in cents within the limit.
    pub(crate) fn cents(&self, limit: &Limit) -> Option<f64> {
        let read = match (self.value.as_str(), self.as_number()) {
            (Some(text), _) => parse_cents(text),
            (_, Some(number)) => cents_from_number(number),
            _ => {
                self.expected("cents such as 3 or \"-2 cents\"");
                return None;
            }
        };
        let cents = self.read_or_refuse(read)?;
        self.within(limit, cents, |v| format!("{v:.1} cents")).then_some(cents)
    }

    fn read_or_refuse(&self, read: Result<f64, ReadError>) -> Option<f64> {
        read.map_err(|error| {
            let kind = error.kind();
            // These sentences start with what was read.
            let quotes = matches!(
                kind,
                ReadErrorKind::Stray(_) | ReadErrorKind::WrongUnit(_) | ReadErrorKind::Mil
            );
            let reason = if quotes {
                kind.to_string()
            } else {
                capital(&kind.to_string())
            };
            let expected = match error.expected() {
                // No unit is declared, so nothing is read without one.
                Expected::Length(_) if self.source.unit.get().is_none() => {
                    "a length and its unit, such as `1/32 in`, `12 thou` or `0.3 mm`".to_owned()
                }
                expected => expected.to_string(),
            };
            self.refuse(format!("{reason}; expected {expected}. {}.", capital(&error.hint())));
        })
        .ok()
    }

    /// Whether the value is allowed; an unusual one is warned of.
    pub(crate) fn within(&self, limit: &Limit, value: f64, show: impl Fn(f64) -> String) -> bool {
        let range = |(from, to): (f64, f64)| format!("{} to {}", show(from), show(to));
        if !(limit.least..=limit.most).contains(&value) {
            let allowed = range((limit.least, limit.most));
            self.refuse(format!(
                "{} is outside what is allowed, {allowed}. {}",
                show(value),
                limit.hint
            ));
            return false;
        }
        if !(limit.usual.0..=limit.usual.1).contains(&value) {
            let usual = range(limit.usual);
            self.doubt(format!("{} is doubtful; usual is {usual}. {}", show(value), limit.hint));
        }
        true
    }
}

fn in_unit(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(", in {unit}")
    }
}

/// `"a"`, `"a" or "b"`, `"a", "b" or "c"`.
pub(crate) fn one_of(words: &[String]) -> String {
    match words {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
