//! A value of the file with its place and its row: read by its kind, held against its range, and never the end of the reading.

use std::ops::Range as Span;

use toml::de::DeValue;
use units::{
    Decimal, LengthUnit, ReadError, angle_from_number, cents_from_number, length_from_number, parse_angle, parse_cents,
    parse_length,
};

use crate::Severity;
use crate::fields::{Field, Kind, LENGTH, LENGTH_OF_SEVERAL, Range};
use crate::judged;
use crate::problem::{ProblemKind as P, Quantity, Wanted, in_unit, nearest};
use crate::source::SourceText;
use crate::spelling::same_word;
use crate::unreadable::unreadable;

/// A value and its place.
#[derive(Clone)]
pub(crate) struct Node<'a> {
    pub(crate) source: &'a SourceText<'a>,
    /// What is said of it in the list of fields.
    pub(crate) row: &'static Field,
    /// Dotted name.
    pub(crate) field: String,
    pub(crate) value: &'a DeValue<'a>,
    pub(crate) span: Span<usize>,
    /// One value of the several that its row has.
    pub(crate) one: bool,
}

/// What was read and where, for checks that look at more than one value.
#[derive(Clone)]
pub(crate) struct Got<'a, T> {
    pub(crate) value: T,
    pub(crate) at: Node<'a>,
}

impl<'a> Node<'a> {
    /// Reports an error here.
    pub(crate) fn refuse(&self, kind: P) {
        self.report(Severity::Error, kind);
    }

    /// Reports a warning here.
    pub(crate) fn doubt(&self, kind: P) {
        self.report(Severity::Warning, kind);
    }

    fn report(&self, severity: Severity, kind: P) {
        let read = match self.value {
            DeValue::Table(_) => None,
            _ => self.source.slice(self.span.clone()),
        };
        let line = self.source.line(self.span.start);
        self.source.report(severity, Some(line), self.field.clone(), read, kind);
    }

    /// Reports an error here, and gives nothing.
    pub(crate) fn refused<T>(&self, kind: P) -> Option<T> {
        self.refuse(kind);
        None
    }

    pub(crate) fn got<T>(&self, value: T) -> Got<'a, T> {
        Got {
            value,
            at: self.clone(),
        }
    }

    /// Reports that something else is expected here.
    pub(crate) fn unexpected<T>(&self) -> Option<T> {
        self.refused(P::Expected { wanted: self.wanted() })
    }

    fn wanted(&self) -> Wanted {
        Wanted {
            field: self.row,
            one: self.one,
        }
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
            return self.refused(if lines { P::ControlCharacter {} } else { P::LineBreak {} });
        }
        Some(text)
    }

    /// A text in quotes.
    pub(crate) fn text(&self) -> Option<&'a str> {
        self.as_text().or_else(|| self.refused(P::NoText {}))
    }

    pub(crate) fn boolean(&self) -> Option<bool> {
        self.value.as_bool().or_else(|| self.unexpected())
    }

    /// One of the words of its row, which stand for these values in their order.
    pub(crate) fn choice<T: Copy, const N: usize>(&self, values: [T; N]) -> Option<T> {
        let Kind::Choice(words) = self.row.kind else {
            return self.unexpected();
        };
        debug_assert_eq!(words.len(), N, "{}", self.row.key);
        let text = self.as_text().map(|text| self.row.today(text));
        let found = text.and_then(|text| words.iter().position(|(word, _)| same_word(word, text)));
        if found.is_none() {
            let near = text.and_then(|text| nearest(text, words.iter().map(|(word, _)| *word)));
            return self.refused(P::NoSuchWord {
                field: self.row,
                meant: meant(near),
            });
        }
        values.get(found?).copied()
    }

    /// What `find` knows under the name that is written here, one of `known`.
    pub(crate) fn named<'k, T>(
        &self,
        known: impl Iterator<Item = &'k str>,
        find: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        let name = self.text()?;
        find(name).or_else(|| self.refused(no_such_name(name, known.collect(), self.row.list_word())))
    }

    /// The parts of a list; each has this row.
    pub(crate) fn list(&self) -> Option<Vec<Node<'a>>> {
        let array = self.value.as_array()?;
        let parts = array.iter().enumerate().map(|(i, part)| Node {
            field: format!("{}[{}]", self.field, i + 1),
            value: part.as_ref(),
            span: part.span(),
            one: true,
            ..self.clone()
        });
        Some(parts.collect())
    }

    /// A whole number within the row's range.
    pub(crate) fn whole(&self) -> Option<u32> {
        self.whole_in(&self.row.range)
    }

    pub(crate) fn whole_in(&self, range: &Range) -> Option<u32> {
        let read = |value: &DeValue| {
            let integer = value.as_integer()?;
            i64::from_str_radix(integer.as_str(), integer.radix()).ok()
        };
        let Some(value) = read(self.value).and_then(|value| u32::try_from(value).ok()) else {
            return self.refused(P::NoWholeNumber { hint: self.hint(range) });
        };
        self.within(range, f64::from(value), |v| Quantity::Number(v, ""))
            .then_some(value)
    }

    /// A figure of the row's kind within its range: mm, radians, cents or its own unit.
    pub(crate) fn figure(&self) -> Option<f64> {
        self.figure_in(&self.row.range)
    }

    /// The same within another range.
    pub(crate) fn figure_in(&self, range: &Range) -> Option<f64> {
        match self.row.kind {
            Kind::Angle => self.angle(range),
            Kind::Cents => self.cents(range),
            Kind::Number(unit) => self.number(range, unit),
            Kind::Whole => self.whole_in(range).map(f64::from),
            _ => self.length(range),
        }
    }

    fn number(&self, range: &Range, unit: &'static str) -> Option<f64> {
        let Some(value) = self.as_number().filter(|value| value.is_finite()) else {
            return self.refused(P::NoNumber {
                unit: if unit.is_empty() {
                    String::new()
                } else {
                    format!(", in {unit}")
                },
                hint: self.hint(range),
            });
        };
        self.within(range, value, |v| Quantity::Number(v, unit))
            .then_some(value)
    }

    fn as_number(&self) -> Option<f64> {
        match self.value {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse().ok(),
            DeValue::Float(f) => f.as_str().parse().ok(),
            _ => None,
        }
    }

    /// What is written, as its unit or another would read it; `None` if it is neither text nor number.
    fn read<T>(
        &self,
        unit: LengthUnit,
        text: impl Fn(&str, LengthUnit) -> T,
        number: impl Fn(f64, LengthUnit) -> T,
    ) -> Option<T> {
        match (self.as_text(), self.as_number()) {
            (Some(written), _) => Some(text(&self.source.decimal.get().with_point(written), unit)),
            (_, Some(value)) => Some(number(value, unit)),
            _ => None,
        }
    }

    /// A length in mm within the range.
    fn length(&self, range: &Range) -> Option<f64> {
        self.length_as(range, |unit| self.read(unit, parse_length, length_from_number))
    }

    /// A length in mm that is a part of the text written here.
    pub(crate) fn length_of(&self, part: &str, range: &Range) -> Option<f64> {
        let part = self.source.decimal.get().with_point(part);
        self.length_as(range, |unit| Some(parse_length(&part, unit)))
    }

    /// A length in mm within the range, as `read` reads it in a unit.
    fn length_as(&self, range: &Range, read: impl Fn(LengthUnit) -> Option<Result<f64, ReadError>>) -> Option<f64> {
        let declared = self.source.unit.get();
        let Some(read_as) = read(declared.unwrap_or(LengthUnit::Millimetre)) else {
            return self.unexpected();
        };
        if declared.is_none() && read_as.as_ref().ok() != read(LengthUnit::Inch).as_ref().and_then(|r| r.as_ref().ok())
        {
            return self.refused(P::NoUnit {});
        }
        let mm = self.read_or_refuse(read_as)?;
        self.within(range, mm, Quantity::Length).then_some(mm)
    }

    /// An angle in radians; the range is in degrees.
    fn angle(&self, range: &Range) -> Option<f64> {
        let declared = self.source.unit.get();
        let read = |unit| self.read(unit, parse_angle, |number, _| angle_from_number(number));
        let Some(read_as) = read(declared.unwrap_or(LengthUnit::Millimetre)) else {
            return self.unexpected();
        };
        if declared.is_none() && read_as.is_ok() != read(LengthUnit::Inch).is_some_and(|r| r.is_ok()) {
            return self.refused(P::SlopeWithoutUnit {});
        }
        let angle = self.read_or_refuse(read_as)?;
        self.within(range, angle.to_degrees(), Quantity::Angle).then_some(angle)
    }

    /// A pitch difference in cents within the range.
    fn cents(&self, range: &Range) -> Option<f64> {
        let read = self.read(
            LengthUnit::Millimetre,
            |text, _| parse_cents(text),
            |number, _| cents_from_number(number),
        );
        let Some(read) = read else {
            return self.refused(P::NoCents {});
        };
        let cents = self.read_or_refuse(read)?;
        self.within(range, cents, Quantity::Cents).then_some(cents)
    }

    fn read_or_refuse(&self, read: Result<f64, ReadError>) -> Option<f64> {
        let comma = self.source.decimal.get() == Decimal::Comma;
        read.map_err(|error| self.refuse(unreadable(self.wanted(), &error, comma)))
            .ok()
    }

    /// How to mend a figure outside a range, in the job's unit.
    fn hint(&self, range: &Range) -> String {
        in_unit(range.hint, self.source.bench.get())
    }

    /// Whether a figure is allowed; an unusual one is warned of.
    pub(crate) fn within(&self, range: &Range, value: f64, kind: impl Fn(f64) -> Quantity) -> bool {
        // One of several saddles may carry a single string.
        let short = self.source.several.get() && *range == LENGTH;
        let range = if short { &LENGTH_OF_SEVERAL } else { range };
        match judged(range, value, kind) {
            Some(outside @ P::Outside { .. }) => {
                self.refuse(outside);
                return false;
            }
            Some(doubtful) => self.doubt(doubtful),
            None => {}
        }
        true
    }
}

/// The question after a misspelt word; empty if nothing is near.
pub(crate) fn meant(near: Option<&str>) -> String {
    near.map_or_else(String::new, |near| format!(" Did you mean \"{near}\"?"))
}

/// A name that no profile has.
pub(crate) fn no_such_name(name: &str, known: Vec<&str>, what: &'static str) -> P {
    P::NoSuchName {
        what,
        meant: meant(nearest(name, known.iter().copied())),
        known: known.into_iter().map(str::to_owned).collect(),
    }
}
