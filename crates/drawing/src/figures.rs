//! Figures on the sheet: millimetres, with the bench unit in square brackets beside.

use units::BenchUnit;

/// The unit in brackets: the bench unit, or thou if that is the millimetre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Figures {
    beside: BenchUnit,
}

impl Figures {
    pub fn new(bench: BenchUnit) -> Self {
        let beside = if bench == BenchUnit::Millimetre {
            bench.other()
        } else {
            bench
        };
        Self { beside }
    }

    /// Name of the unit in brackets.
    pub fn beside_name(self) -> &'static str {
        match self.beside {
            BenchUnit::SixtyFourths => "64ths in",
            other => other.name(),
        }
    }

    /// `8.467`
    pub fn mm(self, mm: f64) -> String {
        BenchUnit::Millimetre.number(mm)
    }

    /// `[333.4]`
    pub fn bracket(self, mm: f64) -> String {
        format!("[{}]", self.beside.number(mm))
    }

    /// `8.467 [333.4]`
    pub fn both(self, mm: f64) -> String {
        format!("{} {}", self.mm(mm), self.bracket(mm))
    }

    /// `+0.120 [+4.7]`
    pub fn signed(self, mm: f64) -> String {
        format!("{} [{}]", BenchUnit::Millimetre.signed(mm), self.beside.signed(mm))
    }

    /// `+0.12`, with two decimals, for a mark on an axis.
    pub fn short_signed(self, mm: f64) -> String {
        let text = BenchUnit::Millimetre.signed(mm);
        text.strip_suffix('0').unwrap_or(&text).to_owned()
    }

    /// `[+4.7]`
    pub fn bracket_signed(self, mm: f64) -> String {
        format!("[{}]", self.beside.signed(mm))
    }

    /// Both, one over the other.
    pub fn stacked(self, mm: f64) -> Vec<String> {
        vec![self.mm(mm), self.bracket(mm)]
    }
}
