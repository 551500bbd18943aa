//! Figures in problems: kept as they are, shown in the job's bench unit.

use units::{BenchUnit, LengthUnit, MM_PER_INCH, parse_length};

use super::words::Said;

/// A figure with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// mm.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// Cents.
    Cents(f64),
    /// N.
    Force(f64),
    /// A plain number of this unit; of none, if empty.
    Number(f64, &'static str),
}

/// A length, mm.
pub(crate) const fn mm(length: f64) -> Quantity {
    Quantity::Length(length)
}

/// Most further decimals that tell two figures apart.
const MOST_FURTHER: usize = 6;

impl Quantity {
    /// For a message: long lengths in thou are unreadable, so they are shown in inches.
    #[must_use]
    pub fn show(self, bench: BenchUnit) -> String {
        self.finely(bench, 0, self.is_long())
    }

    /// So long that thou are unreadable.
    fn is_long(self) -> bool {
        matches!(self, Self::Length(mm) if mm.abs() >= MM_PER_INCH)
    }

    fn finely(self, bench: BenchUnit, further: usize, long: bool) -> String {
        match self {
            // What was read is told as it was read, not rounded to what can be made.
            Self::Length(mm) if bench.is_metric() => format!("{} mm", numerics::fixed(mm, 3 + further)),
            Self::Length(mm) if long => format!("{} in", numerics::fixed(mm / MM_PER_INCH, 3 + further)),
            Self::Length(mm) => format!("{} thou", numerics::fixed(1000.0 * mm / MM_PER_INCH, 1 + further)),
            Self::Angle(degrees) => format!("{}°", numerics::fixed(degrees, 1 + further)),
            Self::Cents(cents) => format!("{} cents", numerics::fixed(cents, 1 + further)),
            Self::Force(newton) => format!("{newton:.0} N"),
            Self::Number(value, "") => format!("{value}"),
            Self::Number(value, unit) => format!("{value} {unit}"),
        }
    }

    /// A figure and the two ends of a range, with as many decimals as tell the figure from the ends, and the ends from each other.
    pub(super) fn beside(self, ends: [Self; 2], bench: BenchUnit) -> [String; 3] {
        let all = [self, ends[0], ends[1]];
        // One unit for all of them.
        let long = all.iter().any(|quantity| quantity.is_long());
        let said = |further| all.map(|quantity| quantity.finely(bench, further, long));
        let apart = |said: &[String; 3]| said[0] != said[1] && said[0] != said[2] && said[1] != said[2];
        (0..MOST_FURTHER).map(said).find(apart).unwrap_or_else(|| said(0))
    }
}

impl Said for Quantity {
    fn said(&self, bench: BenchUnit) -> String {
        self.show(bench)
    }
}

/// A figure with the range that it is outside of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// The figure.
    pub value: Quantity,
    /// Ends of the range.
    pub range: [Quantity; 2],
    /// The range is what is usual, not what is allowed.
    pub usual: bool,
    /// How to mend it, as [`crate::Range`] has it.
    pub hint: &'static str,
}

impl Said for Beside {
    fn said(&self, bench: BenchUnit) -> String {
        let [value, least, most] = self.value.beside(self.range, bench);
        let is = if self.usual {
            "doubtful; usual is"
        } else {
            "outside what is allowed,"
        };
        format!("{value} is {is} {least} to {most}. {}", in_unit(self.hint, bench))
    }
}

/// A sentence in which lengths stand in braces, with these in the bench unit.
pub(crate) fn in_unit(sentence: &str, bench: BenchUnit) -> String {
    let mut said = String::new();
    let mut rest = sentence;
    while let Some((before, (inside, after))) = rest.split_once('{').and_then(|(b, a)| Some((b, a.split_once('}')?))) {
        said += before;
        match parse_length(inside, LengthUnit::Millimetre) {
            Ok(length) => said += &mm(length).show(bench),
            Err(_) => said += inside,
        }
        rest = after;
    }
    said + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_outside_a_range_never_looks_as_if_it_were_inside() {
        let said = mm(0.0004).beside([mm(0.0005), mm(0.1)], BenchUnit::THOU);
        assert_eq!(said, ["0.016 thou", "0.020 thou", "3.937 thou"]);
        let said = mm(12.0).beside([mm(0.5), mm(9.0)], BenchUnit::THOU);
        assert_eq!(said, ["472.4 thou", "19.7 thou", "354.3 thou"]);
        let said = mm(130.0).beside([mm(5.0), mm(120.0)], BenchUnit::THOU);
        assert_eq!(said, ["5.118 in", "0.197 in", "4.724 in"]);
    }
}
