//! The decimal mark that a writer uses.

use std::borrow::Cow;

/// Digits that a thousands mark parts.
const THOUSANDS: usize = 3;

/// The decimal mark of a writer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Decimal {
    /// `3.2`. A comma is never read.
    #[default]
    Point,
    /// `3,2`. A point is read too, unless both stand in one figure: a program or a caliper may have written it.
    Comma,
}

impl Decimal {
    /// Both marks, in the order to list them to a user.
    pub const ALL: [Self; 2] = [Self::Point, Self::Comma];

    /// The mark itself: `.` or `,`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Point => ".",
            Self::Comma => ",",
        }
    }

    /// The decimal mark of this name: exactly `.` or `,`.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|mark| mark.name() == name)
    }

    /// One length, angle or pitch difference as this writer writes it, with a point for each comma that can only be a decimal mark.
    ///
    /// That is the one comma of a figure, before a digit and after a digit or at the figure's start (`3,2 mm`, `,008 in`). Left as they are,
    /// and so refused by [`parse_length`](crate::parse_length) and its kin, are commas that may be something else: one of several or beside
    /// a point in a figure (`1,2,3`, `1.234,5`), one that may part thousands (`1,234`; but `0,254` and `12,3456` cannot), one in or
    /// beside a fraction (`1,2/3`), one before or after a space (`3, 4`). A list of figures is for the caller to part first.
    pub fn with_point(self, text: &str) -> Cow<'_, str> {
        if self == Self::Point || !text.contains(',') {
            return Cow::Borrowed(text);
        }
        let in_figure = |c: char| c.is_ascii_digit() || c == ',' || c == '.';
        let mut read = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(start) = rest.find(in_figure) {
            let (before, from) = rest.split_at(start);
            let (figure, after) = from.split_at(from.find(|c| !in_figure(c)).unwrap_or(from.len()));
            read.push_str(before);
            match only_comma(figure) {
                Some((whole, decimals)) if stands_alone(whole, &read, after) => {
                    read.push_str(whole);
                    read.push('.');
                    read.push_str(decimals);
                }
                _ => read.push_str(figure),
            }
            rest = after;
        }
        read.push_str(rest);
        Cow::Owned(read)
    }
}

/// The digits before and after the comma of a figure, where it can only be a decimal mark.
fn only_comma(figure: &str) -> Option<(&str, &str)> {
    let (whole, decimals) = figure.split_once(',')?;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let thousands = decimals.len() == THOUSANDS && (1..=THOUSANDS).contains(&whole.len()) && !whole.starts_with('0');
    (digits(whole) && digits(decimals) && !decimals.is_empty() && !thousands).then_some((whole, decimals))
}

/// Whether a figure is neither a part of a fraction nor, where it begins with its comma, after one that the comma may end.
fn stands_alone(whole: &str, before: &str, after: &str) -> bool {
    let slash = |c: char| matches!(c, '/' | '⁄' | '∕');
    let fraction = before.trim_end().ends_with(slash) || after.trim_start().starts_with(slash);
    let first = !before.contains(|c: char| c.is_ascii_digit());
    !fraction && (!whole.is_empty() || first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{LengthUnit, ReadErrorKind, parse_angle, parse_length};

    #[test]
    fn a_comma_that_can_only_be_a_decimal_mark_becomes_a_point() {
        for (text, read) in [
            ("3,2 mm", "3.2 mm"),
            ("3,2", "3.2"),
            ("-3,25mm", "-3.25mm"),
            ("−0,5", "−0.5"),
            ("0,254 mm", "0.254 mm"),
            ("00,254 mm", "00.254 mm"),
            (",008 in", ".008 in"),
            ("- ,008 in", "- .008 in"),
            ("about ,008 in", "about .008 in"),
            ("~3,2 mm", "~3.2 mm"),
            ("12,3456", "12.3456"),
            ("1234,567 mm", "1234.567 mm"),
            ("645,50", "645.50"),
            ("0,5 mm over 3,2 mm", "0.5 mm over 3.2 mm"),
            ("0,5 mm over 3.2 mm", "0.5 mm over 3.2 mm"),
            ("12,5\u{a0}thou", "12.5\u{a0}thou"),
        ] {
            assert_eq!(Decimal::Comma.with_point(text), read, "{text}");
            assert_eq!(Decimal::Point.with_point(text), text);
        }
    }

    /// What is left as it is, is refused: no length comes of it.
    #[test]
    fn any_other_comma_is_left_and_refused() {
        for text in [
            "1,234 mm",
            "12,345",
            "123,456 mm",
            "1,000",
            "1,234,567",
            "1,2,3",
            "3, 4",
            "3 ,4",
            "3,2, 3,4",
            "3 mm, 4 mm",
            "3 mm ,4",
            "1.234,5",
            "1,234.5",
            "1,2/3 in",
            "6,5/64 in",
            "5/6,4 in",
            "1 / 2,5 in",
            "3,",
            ",",
            ",,5",
            "3,mm",
            "3.,2",
            "1,2.",
            ",5,",
        ] {
            let read = Decimal::Comma.with_point(text);
            for unit in LengthUnit::ALL {
                assert!(parse_length(&read, unit).is_err(), "{text}: {read}");
                assert!(parse_angle(&read, unit).is_err(), "{text}: {read}");
            }
        }
        let error = parse_length(&Decimal::Comma.with_point("1,234 mm"), LengthUnit::Inch).unwrap_err();
        assert_eq!(*error.kind(), ReadErrorKind::Comma);
    }

    #[test]
    fn a_point_is_read_beside_a_decimal_comma() {
        for text in ["0.25", "25.375 in", "1/32 in", "25 3/8 in", ".008", ""] {
            assert_eq!(Decimal::Comma.with_point(text), text);
        }
    }

    #[test]
    fn names_read_back() {
        for mark in Decimal::ALL {
            assert_eq!(Decimal::parse(mark.name()), Some(mark));
        }
        assert_eq!(Decimal::parse("comma"), None);
        assert_eq!(Decimal::default(), Decimal::Point);
    }
}
