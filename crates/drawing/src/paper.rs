//! The paper of sheets, which lies (landscape).

use job::Paper;

/// Width and height of the sheet as it lies, mm: 297 by 210 (ISO 216, A4), or 279.4 by 215.9, that is 11 by 8.5 in (ANSI/ASME Y14.1,
/// size A).
pub(crate) fn size(paper: Paper) -> (f64, f64) {
    match paper {
        Paper::A4 => (297.0, 210.0),
        Paper::Letter => (279.4, 215.9),
    }
}

/// Name, for title blocks.
pub(crate) fn name(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "Letter",
    }
}
