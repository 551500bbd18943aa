//! Figures on the sheet: in the bench's unit, which the title block names once (ISO 129-1:2018, 5.3); the other stands beside it in tables alone.

use units::BenchUnit;

/// The unit of the bench, and the one beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Figures {
    bench: BenchUnit,
}

impl Figures {
    pub fn new(bench: BenchUnit) -> Self {
        Self { bench }
    }

    /// The same for the height of a string over a fret.
    pub fn action(self) -> Self {
        Self::new(self.bench.action())
    }

    /// Name of the unit: `thou`.
    pub fn name(self) -> &'static str {
        self.bench.name()
    }

    /// Name of the unit beside it: `mm`.
    pub fn beside_name(self) -> &'static str {
        self.bench.other().name()
    }

    /// `333.5`
    pub fn one(self, mm: f64) -> String {
        self.bench.number(mm)
    }

    /// `333.5 thou`
    pub fn show(self, mm: f64) -> String {
        self.bench.show(mm)
    }

    /// `[8.47]`
    pub fn bracket(self, mm: f64) -> String {
        format!("[{}]", self.bench.other().number(mm))
    }

    /// `+4.5`
    pub fn signed(self, mm: f64) -> String {
        self.bench.signed(mm)
    }

    /// A round step for an axis of lengths of a few millimetres, mm: 1 mm, or 50 thou.
    pub fn tick(self) -> f64 {
        if self.bench.is_metric() { 1.0 } else { 1.27 }
    }

    /// Without noughts at the end of the fraction.
    pub fn trimmed(self, mm: f64) -> String {
        let number = self.one(mm);
        let whole = number.trim_end_matches('0').trim_end_matches('.');
        if number.contains('.') { whole.to_owned() } else { number }
    }

    /// Both, one over the other, for a cell of a table.
    pub fn stacked(self, mm: f64) -> Vec<String> {
        vec![self.one(mm), self.bracket(mm)]
    }
}
