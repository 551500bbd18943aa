//! What is worth a stroke of the file: after stringing up and before, the same.

/// A contact that would move by less than this stays where it is, mm: no file at the bench is so fine. Common practice, no source.
pub const STAYS: f64 = 0.02;
/// Fret 12 that ends further off by less than this is no worse, cents: no tuner shows it.
pub(crate) const NO_TUNER: f64 = 0.05;
