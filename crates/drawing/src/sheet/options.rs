//! How sheets are written.

use units::BenchUnit;

/// Paper, used lying (landscape).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 297 by 210 mm (ISO 216).
    A4,
    /// 11 by 8.5 in: 279.4 by 215.9 mm (ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Width and height of the sheet as it lies, mm.
    #[must_use]
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::Letter => (279.4, 215.9),
        }
    }

    /// Name, for title blocks.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }
}

/// How sheets are written. There is no date: the same plan and options give the same bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// Paper.
    pub paper: Paper,
    /// Unit in brackets beside millimetres; thou if the bench unit is the millimetre.
    pub bench: BenchUnit,
    /// Title, for the title block; too long a title is wrapped, then cut with an ellipsis.
    pub title: String,
    /// Notes in plain words, a paragraph each.
    pub notes: Vec<String>,
}
