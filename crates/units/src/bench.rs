//! Bench units: how a bench tells lengths, each as the tool reads that it is taken with.

use numerics::{fixed, signed};

use crate::MM_PER_INCH;

/// Millimetres in a thousandth of an inch.
const THOU: f64 = MM_PER_INCH / 1000.0;
/// Millimetres in a 64th of an inch.
const SIXTY_FOURTH: f64 = MM_PER_INCH / 64.0;
/// A figure this close to half a step, in steps, stands on it: 1/32 in is 31.25 thou however it was worked out.
const ON_THE_HALF: f64 = 1e-6;

/// How a bench tells its lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum System {
    /// Thousandths of an inch for all.
    Thou,
    /// As the trade mixes them: 64ths for the action, thousandths for feelers and calipers, fractions for the rule.
    Imperial,
    /// Millimetres.
    Metric,
}

/// What a length is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum ReadBy {
    /// Feelers, caliper, depth rod.
    Caliper,
    /// A rule stood on a fret, or stepped gauges under the string.
    ActionRule,
    /// A rule along the instrument.
    Rule,
}

/// The unit that a repairer measures in, for show: what is set or read with caliper and feelers, unless [`BenchUnit::action`] or
/// [`BenchUnit::rule`] is asked for. Figures go as far as can be made: half a thou, a hundredth of a millimetre (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct BenchUnit {
    system: System,
    read_by: ReadBy,
}

impl BenchUnit {
    /// Thousandths of an inch for all lengths.
    pub const THOU: Self = Self::of(System::Thou);
    /// Each length as an imperial tool reads it: 64ths of an inch for the action, thousandths for feelers and calipers, fractions for the rule.
    pub const IMPERIAL: Self = Self::of(System::Imperial);
    /// Millimetres.
    pub const METRIC: Self = Self::of(System::Metric);

    /// Every way, in the order to list them to a user.
    pub const ALL: [Self; 3] = [Self::THOU, Self::IMPERIAL, Self::METRIC];

    const fn of(system: System) -> Self {
        Self {
            system,
            read_by: ReadBy::Caliper,
        }
    }

    /// The bench of this name: exactly `thou`, `imperial` or `metric`; `64ths` and `mm` as older job files have them.
    pub fn parse(key: &str) -> Option<Self> {
        let older = match key {
            "64ths" => Self::IMPERIAL,
            "mm" => Self::METRIC,
            _ => return Self::ALL.into_iter().find(|bench| bench.key() == key),
        };
        Some(older)
    }

    /// The name of the bench, as [`BenchUnit::parse`] reads it.
    pub fn key(self) -> &'static str {
        match self.system {
            System::Thou => "thou",
            System::Imperial => "imperial",
            System::Metric => "metric",
        }
    }

    /// The same bench, for the height of a string over a fret, as a rule there reads it.
    #[must_use]
    pub fn action(self) -> Self {
        Self {
            read_by: ReadBy::ActionRule,
            ..self
        }
    }

    /// The same bench, for a length along the instrument, as a rule reads it.
    #[must_use]
    pub fn rule(self) -> Self {
        Self {
            read_by: ReadBy::Rule,
            ..self
        }
    }

    /// Whether millimetres are told.
    pub fn is_metric(self) -> bool {
        self.system == System::Metric
    }

    /// Name of the unit, a heading for [`BenchUnit::number`]: `thou`, `64ths`, `in` or `mm`.
    pub fn name(self) -> &'static str {
        match self.unit() {
            Told::Thou => "thou",
            Told::SixtyFourths => "64ths",
            Told::Fractions => "in",
            Told::Hundredths | Told::Tenths => "mm",
        }
    }

    /// A length in mm as a number of this unit, for a table cell: `94.5`, `6.0`, `25 3/8`, `2.40`, `644.5`.
    /// Never `-0.0`. (A value that is not finite comes out as `NaN` or `inf`.)
    pub fn number(self, mm: f64) -> String {
        self.told(mm, fixed)
    }

    /// As [`BenchUnit::number`], with `+` before what is above nought as shown.
    pub fn signed(self, mm: f64) -> String {
        self.told(mm, signed)
    }

    /// A length in mm with its unit, as [`parse_length`](crate::parse_length) reads it:
    /// `94.5 thou`, `2.40 mm`, `25 3/8 in`; 64ths as `6/64 in`, `6.1/64 in`.
    pub fn show(self, mm: f64) -> String {
        let number = self.number(mm);
        match self.unit() {
            Told::SixtyFourths => format!("{}/64 in", number.trim_end_matches(".0")),
            _ => format!("{number} {}", self.name()),
        }
    }

    /// A radius in mm as gauges are marked, to a tenth: `16 in`, `406 mm`.
    pub fn gauge(self, mm: f64) -> String {
        let (size, name) = match self.system {
            System::Thou | System::Imperial => (mm / MM_PER_INCH, "in"),
            System::Metric => (mm, "mm"),
        };
        format!("{} {name}", fixed(size, 1).trim_end_matches(".0"))
    }

    /// The unit to show beside this one: mm beside inch units, thou beside mm.
    #[must_use]
    pub fn other(self) -> Self {
        let system = match self.system {
            System::Thou | System::Imperial => System::Metric,
            System::Metric => System::Thou,
        };
        Self { system, ..self }
    }

    /// The largest rounding error of a shown length, in mm: half of the step that figures go in.
    pub fn step(self) -> f64 {
        self.unit().step() / 2.0
    }

    fn unit(self) -> Told {
        match (self.system, self.read_by) {
            (System::Thou, _) | (System::Imperial, ReadBy::Caliper) => Told::Thou,
            (System::Imperial, ReadBy::ActionRule) => Told::SixtyFourths,
            (System::Imperial, ReadBy::Rule) => Told::Fractions,
            (System::Metric, ReadBy::Caliper | ReadBy::ActionRule) => Told::Hundredths,
            (System::Metric, ReadBy::Rule) => Told::Tenths,
        }
    }

    fn told(self, mm: f64, decimals: fn(f64, usize) -> String) -> String {
        let unit = self.unit();
        let rounded = rounded(mm, unit.step());
        match unit {
            Told::Thou => decimals(rounded / THOU, 1),
            Told::SixtyFourths => decimals(rounded / SIXTY_FOURTH, 1),
            Told::Fractions => {
                let sixty_fourths = rounded / SIXTY_FOURTH;
                let sign = decimals(sixty_fourths, 0);
                let sign = sign.get(..1).filter(|sign| ["-", "+"].contains(sign)).unwrap_or("");
                format!("{sign}{}", fractions(sixty_fourths.abs()))
            }
            Told::Hundredths => decimals(rounded, 2),
            Told::Tenths => decimals(rounded, 1),
        }
    }
}

/// A unit as shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// Thousandths of an inch, to half of one.
    Thou,
    /// 64ths of an inch, to a tenth of one: a rule is read to half a division, and steps are seen between.
    SixtyFourths,
    /// Inches, to a 64th.
    Fractions,
    /// Millimetres, to a hundredth.
    Hundredths,
    /// Millimetres, to a tenth.
    Tenths,
}

impl Told {
    /// The step that figures go in, mm.
    fn step(self) -> f64 {
        match self {
            Self::Thou => 0.5 * THOU,
            Self::SixtyFourths => 0.1 * SIXTY_FOURTH,
            Self::Fractions => SIXTY_FOURTH,
            Self::Hundredths => 0.01,
            Self::Tenths => 0.1,
        }
    }
}

/// To whole steps; half a step goes away from nought, also where arithmetic left it a hair short.
fn rounded(mm: f64, step: f64) -> f64 {
    let steps = mm.abs() / step;
    ((steps + ON_THE_HALF).round() * step).copysign(mm)
}

/// Inches in lowest terms, from whole 64ths that are not negative.
fn fractions(sixty_fourths: f64) -> String {
    if !sixty_fourths.is_finite() {
        return fixed(sixty_fourths, 0);
    }
    let whole = (sixty_fourths / 64.0 + ON_THE_HALF).floor();
    let (mut over, mut under) = ((sixty_fourths - 64.0 * whole).round(), 64);
    if over <= 0.0 {
        return fixed(whole, 0);
    }
    while over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2;
    }
    if whole > 0.0 {
        format!("{whole:.0} {over:.0}/{under}")
    } else {
        format!("{over:.0}/{under}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{LengthUnit, parse_length};
    use proptest::prelude::*;

    const THOU: BenchUnit = BenchUnit::THOU;
    const IMPERIAL: BenchUnit = BenchUnit::IMPERIAL;
    const METRIC: BenchUnit = BenchUnit::METRIC;

    /// Every unit that is shown.
    fn every() -> impl Iterator<Item = BenchUnit> {
        BenchUnit::ALL
            .into_iter()
            .flat_map(|bench| [bench, bench.action(), bench.rule()])
    }

    #[test]
    fn a_radius_as_gauges_are_marked() {
        for (mm, imperial, metric) in [
            (406.4, "16 in", "406.4 mm"),
            (406.0, "16 in", "406 mm"),
            (241.3, "9.5 in", "241.3 mm"),
            (508.0, "20 in", "508 mm"),
        ] {
            assert_eq!(THOU.gauge(mm), imperial);
            assert_eq!(IMPERIAL.gauge(mm), imperial);
            assert_eq!(METRIC.gauge(mm), metric);
            let read = parse_length(imperial, LengthUnit::Millimetre).unwrap();
            assert!((read - mm).abs() <= 0.05 * 25.4 + 1e-9);
        }
    }

    #[test]
    fn each_length_as_its_tool_reads_it() {
        // 2.4 mm is 94.488 thou and 6.047/64 in; 644.525 mm is 25 3/8 in.
        for (unit, short, long, name) in [
            (THOU, "94.5", "25375.0", "thou"),
            (THOU.action(), "94.5", "25375.0", "thou"),
            (THOU.rule(), "94.5", "25375.0", "thou"),
            (IMPERIAL, "94.5", "25375.0", "thou"),
            (IMPERIAL.action(), "6.0", "1624.0", "64ths"),
            (IMPERIAL.rule(), "3/32", "25 3/8", "in"),
            (METRIC, "2.40", "644.53", "mm"),
            (METRIC.action(), "2.40", "644.53", "mm"),
            (METRIC.rule(), "2.4", "644.5", "mm"),
        ] {
            assert_eq!([unit.number(2.4), unit.number(644.525)], [short, long], "{unit:?}");
            assert_eq!(unit.name(), name);
            assert_eq!(unit.signed(2.4), format!("+{short}"));
            assert_eq!(unit.signed(-2.4), format!("-{short}"));
            assert_eq!(unit.number(-644.525), format!("-{long}"));
        }
    }

    #[test]
    fn nought_has_no_sign() {
        for unit in every() {
            for mm in [0.0, -0.0, unit.step() * 0.99, -unit.step() * 0.99] {
                assert!(!unit.number(mm).contains('-'), "{unit:?} {mm}");
                assert!(!unit.show(mm).contains('-'), "{unit:?} {mm}");
                assert!(!unit.signed(mm).contains(['-', '+']), "{unit:?} {mm}");
            }
            assert!(unit.number(-unit.step() * 1.01).starts_with('-'), "{unit:?}");
            assert!(unit.signed(unit.step() * 1.01).starts_with('+'), "{unit:?}");
        }
    }

    #[test]
    fn lengths_with_their_unit() {
        assert_eq!(THOU.show(2.4), "94.5 thou");
        assert_eq!(METRIC.show(-2.4), "-2.40 mm");
        for (inches, shown) in [
            (0.0, "0 in"),
            (25.0, "25 in"),
            (25.375, "25 3/8 in"),
            (-25.375, "-25 3/8 in"),
            (3.0 / 32.0, "3/32 in"),
            (1.0 / 64.0, "1/64 in"),
            (63.0 / 64.0, "63/64 in"),
            (63.996 / 64.0, "1 in"),
            (6.05 / 64.0, "3/32 in"),
            (1.0 + 6.6 / 64.0, "1 7/64 in"),
        ] {
            assert_eq!(IMPERIAL.rule().show(inches * MM_PER_INCH), shown);
        }
        for (sixty_fourths, shown) in [
            (6.0, "6/64 in"),
            (6.12, "6.1/64 in"),
            (-0.1, "-0.1/64 in"),
            (70.0, "70/64 in"),
        ] {
            assert_eq!(IMPERIAL.action().show(sixty_fourths * SIXTY_FOURTH), shown);
        }
    }

    /// 1/32 in is 31.25 thou: one figure, by whatever way it was reached.
    #[test]
    fn what_stands_on_the_half_is_one_figure() {
        let ways = [
            MM_PER_INCH / 32.0,
            0.79375,
            0.1 + 0.2 + 0.49375,
            1.0 - 0.20625,
            0.793_75 - 1e-12,
            0.793_75 + 1e-12,
        ];
        for mm in ways {
            assert_eq!(THOU.number(mm), "31.5");
            assert_eq!(THOU.number(-mm), "-31.5");
        }
    }

    proptest! {
        /// What is told in thou and in mm is one figure, rounded twice; and what is told reads back to within its step.
        #[test]
        fn both_units_tell_one_figure(mm in -800.0..800.0f64) {
            let number = |unit: BenchUnit| unit.number(mm).parse::<f64>().unwrap();
            prop_assert!((number(THOU) * 0.0254 - mm).abs() <= 0.25 * 0.0254 + 1e-6);
            prop_assert!((number(METRIC) - mm).abs() <= 0.005 + 1e-6);
            prop_assert!((number(THOU) * 0.0254 - number(METRIC)).abs() <= 0.25 * 0.0254 + 0.005 + 1e-6);
            // An action of over an inch has no 64ths that read back.
            for unit in every().filter(|unit| mm.abs() < MM_PER_INCH || unit.name() != "64ths") {
                let back = parse_length(&unit.show(mm), LengthUnit::Millimetre).unwrap();
                prop_assert!((back - mm).abs() <= unit.step() + 1e-5, "{} {}", unit.show(mm), mm);
                // What was rounded once stays.
                prop_assert_eq!(unit.show(back), unit.show(mm));
            }
        }
    }

    #[test]
    fn what_is_not_finite_does_not_panic() {
        for unit in every() {
            for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN] {
                assert!(!unit.show(value).is_empty());
                assert!(!unit.signed(value).is_empty());
            }
        }
    }

    #[test]
    fn names_read_back() {
        for bench in BenchUnit::ALL {
            assert_eq!(BenchUnit::parse(bench.key()), Some(bench));
        }
        // As older job files have them.
        assert_eq!(BenchUnit::parse("64ths"), Some(IMPERIAL));
        assert_eq!(BenchUnit::parse("mm"), Some(METRIC));
        assert_eq!(BenchUnit::parse("in"), None);
    }

    #[test]
    fn the_unit_beside_is_of_the_other_system() {
        assert_eq!(THOU.other(), METRIC);
        assert_eq!(IMPERIAL.action().other(), METRIC.action());
        assert_eq!(METRIC.rule().other(), THOU.rule());
    }
}
