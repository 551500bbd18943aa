//! Bench units: millimetres shown as thou, 64ths of an inch, or mm.

use numerics::{fixed, signed};

use crate::MM_PER_INCH;

/// Hundredths of a 64th in an inch: the step to which 64ths are shown.
const HUNDREDTHS_PER_INCH: f64 = 6400.0;

/// The unit that a repairer measures in, for show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BenchUnit {
    /// Thousandths of an inch, one decimal.
    Thou,
    /// 64ths of an inch, two decimals.
    SixtyFourths,
    /// Millimetres, three decimals.
    Millimetre,
}

impl BenchUnit {
    /// Every unit, in the order to list them to a user.
    pub const ALL: [Self; 3] = [Self::Thou, Self::SixtyFourths, Self::Millimetre];

    /// The unit of this name: exactly `thou`, `64ths` or `mm`.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.name() == name)
    }

    /// The name, as [`BenchUnit::parse`] reads it; a heading for [`BenchUnit::number`].
    pub fn name(self) -> &'static str {
        match self {
            Self::Thou => "thou",
            Self::SixtyFourths => "64ths",
            Self::Millimetre => "mm",
        }
    }

    /// A length in mm as a number of this unit, for a table cell: `94.5`, `6.05`, `2.400`.
    /// Never `-0.0`. (A value that is not finite comes out as `NaN` or `inf`.)
    pub fn number(self, mm: f64) -> String {
        fixed(mm / self.mm(), self.decimals())
    }

    /// As [`BenchUnit::number`], with `+` before what is above nought as shown.
    pub fn signed(self, mm: f64) -> String {
        signed(mm / self.mm(), self.decimals())
    }

    /// A length in mm with its unit, as [`parse_length`](crate::parse_length) reads it:
    /// `94.5 thou`, `2.400 mm`; 64ths as `25 3/8 in`, `6.05/64 in`, `1 6.05/64 in`.
    pub fn show(self, mm: f64) -> String {
        match self {
            Self::Thou | Self::Millimetre => format!("{} {}", self.number(mm), self.name()),
            Self::SixtyFourths => show_inches(mm),
        }
    }

    /// The unit to show beside this one: mm beside inch units, thou beside mm.
    pub fn other(self) -> Self {
        match self {
            Self::Thou | Self::SixtyFourths => Self::Millimetre,
            Self::Millimetre => Self::Thou,
        }
    }

    /// The largest rounding error of a shown length, in mm: half a unit of the last decimal.
    pub fn step(self) -> f64 {
        match self {
            Self::Thou => self.mm() / 20.0,
            Self::SixtyFourths => self.mm() / 200.0,
            Self::Millimetre => self.mm() / 2000.0,
        }
    }

    /// Millimetres in one of this unit.
    fn mm(self) -> f64 {
        match self {
            Self::Thou => MM_PER_INCH / 1000.0,
            Self::SixtyFourths => MM_PER_INCH / 64.0,
            Self::Millimetre => 1.0,
        }
    }

    fn decimals(self) -> usize {
        match self {
            Self::Thou => 1,
            Self::SixtyFourths => 2,
            Self::Millimetre => 3,
        }
    }
}

/// Inches and 64ths, in lowest terms where the shown 64ths are whole.
fn show_inches(mm: f64) -> String {
    let hundredths = (mm.abs() / MM_PER_INCH * HUNDREDTHS_PER_INCH).round();
    let inches = (hundredths / HUNDREDTHS_PER_INCH).floor();
    let rest = hundredths - inches * HUNDREDTHS_PER_INCH;
    let sign = if mm < 0.0 && hundredths > 0.0 { "-" } else { "" };
    if rest == 0.0 {
        return format!("{sign}{inches} in");
    }
    let (mut over, mut under) = (rest / 100.0, 64);
    while over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2;
    }
    let whole = if inches > 0.0 {
        format!("{inches} ")
    } else {
        String::new()
    };
    format!("{sign}{whole}{over}/{under} in")
}

#[cfg(test)]
mod tests {
    use super::*;
    use BenchUnit::{Millimetre, SixtyFourths, Thou};

    #[test]
    fn numbers_for_table_cells() {
        assert_eq!(Thou.number(2.4), "94.5");
        assert_eq!(SixtyFourths.number(2.4), "6.05");
        assert_eq!(Millimetre.number(2.4), "2.400");
        assert_eq!(Thou.signed(2.4), "+94.5");
        assert_eq!(Thou.signed(-2.4), "-94.5");
    }

    #[test]
    fn nought_has_no_sign() {
        for unit in BenchUnit::ALL {
            for mm in [0.0, -0.0, unit.step() * 0.99, -unit.step() * 0.99] {
                assert!(!unit.number(mm).contains('-'), "{unit:?} {mm}");
                assert!(!unit.show(mm).contains('-'), "{unit:?} {mm}");
                assert!(!unit.signed(mm).contains(['-', '+']), "{unit:?} {mm}");
            }
            assert!(unit.number(-unit.step() * 1.01).starts_with('-'));
            assert!(unit.signed(unit.step() * 1.01).starts_with('+'));
        }
    }

    #[test]
    fn lengths_with_their_unit() {
        assert_eq!(Thou.show(2.4), "94.5 thou");
        assert_eq!(Millimetre.show(-2.4), "-2.400 mm");
        for (inches, shown) in [
            (0.0, "0 in"),
            (25.0, "25 in"),
            (25.375, "25 3/8 in"),
            (-25.375, "-25 3/8 in"),
            (3.0 / 32.0, "3/32 in"),
            (1.0 / 64.0, "1/64 in"),
            (63.0 / 64.0, "63/64 in"),
            (63.996 / 64.0, "1 in"),
            (6.05 / 64.0, "6.05/64 in"),
            (6.1 / 64.0, "6.1/64 in"),
            (-0.01 / 64.0, "-0.01/64 in"),
            (1.0 + 6.05 / 64.0, "1 6.05/64 in"),
        ] {
            assert_eq!(SixtyFourths.show(inches * MM_PER_INCH), shown);
        }
    }

    #[test]
    fn what_is_not_finite_does_not_panic() {
        for unit in BenchUnit::ALL {
            for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN] {
                assert!(!unit.show(value).is_empty());
                assert!(!unit.signed(value).is_empty());
            }
        }
    }

    #[test]
    fn names_read_back() {
        for unit in BenchUnit::ALL {
            assert_eq!(BenchUnit::parse(unit.name()), Some(unit));
        }
        assert_eq!(BenchUnit::parse("in"), None);
    }

    #[test]
    fn the_unit_beside_is_of_the_other_system() {
        assert_eq!(Thou.other(), Millimetre);
        assert_eq!(SixtyFourths.other(), Millimetre);
        assert_eq!(Millimetre.other(), Thou);
    }
}
