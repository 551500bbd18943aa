//! A sheet that is not at true scale: a border and words over and under it, and no bars.

use crate::DrawingError;
use crate::canvas::Item;
use crate::canvas::{Anchor, Canvas, Lettering, LineKind};
use crate::paper;
use crate::sheet::{MARGIN, Sheet, SheetOptions};
use crate::text::{clean, shorten};
use job::Paper;

/// Air inside the border, mm.
const PAD: f64 = 4.0;
/// Height of the head with the title, mm.
const HEAD: f64 = 13.0;
/// Height of the foot, mm.
const FOOT: f64 = 6.0;

/// The room inside border, head and foot: left, top, right, bottom, mm.
pub(crate) fn room(paper: Paper) -> [f64; 4] {
    let (width, height) = paper::size(paper);
    let left = MARGIN + PAD;
    [left, MARGIN + HEAD + PAD, width - left, height - MARGIN - FOOT - PAD]
}

/// What stands round a page.
pub(crate) struct Frame<'a> {
    /// Behind the title in the sheet's heading.
    pub name: &'a str,
    /// Under the title.
    pub under: &'a str,
    /// Lettering of what is under the title and in the foot.
    pub small: Lettering,
    /// Number of the sheet, and of how many.
    pub number_of: [usize; 2],
}

/// A page in its border, with the words over and under it.
///
/// # Errors
/// [`DrawingError::NotFinite`].
pub(crate) fn framed(page: Canvas, frame: &Frame, options: &SheetOptions) -> Result<Sheet, DrawingError> {
    let (width, height) = paper::size(options.paper);
    let (left, margin, small) = (MARGIN + PAD, MARGIN, frame.small);
    let title = clean(&options.title);
    let mut canvas = Canvas::default();
    canvas.rectangle(
        [margin, margin],
        width - 2.0 * margin,
        height - 2.0 * margin,
        LineKind::Border,
    );
    let line = margin + HEAD;
    canvas.line([margin, line], [width - margin, line], LineKind::Narrow);
    let room = width - 2.0 * left;
    let big = Lettering::TITLE;
    canvas.text(
        [left, margin + 5.6],
        shorten(&title, room, big.capitals, big.bold),
        big,
        Anchor::Start,
    );
    canvas.text([left, margin + 10.6], frame.under, small, Anchor::Start);
    let foot = height - margin - FOOT;
    canvas.line([margin, foot], [width - margin, foot], LineKind::Narrow);
    let base = foot + 0.5 * FOOT + 1.0;
    canvas.text([left, base], crate::PROGRAM, small, Anchor::Start);
    let [number, of] = frame.number_of;
    canvas.text(
        [width - left, base],
        format!("Sheet {number} of {of}; not to scale"),
        small,
        Anchor::End,
    );
    canvas.place(page, [0.0, 0.0]);
    let heading = format!("{title}: {}", frame.name);
    if canvas.items.iter().all(Item::is_finite) {
        Ok(Sheet {
            width,
            height,
            heading,
            title,
            items: canvas.items,
        })
    } else {
        Err(DrawingError::NotFinite { sheet: heading })
    }
}
