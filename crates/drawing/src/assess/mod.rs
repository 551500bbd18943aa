//! The sheet that the owner of the instrument can be given: how it stands, what is proposed, what else could be done, and
//! what to know before agreeing, with two pictures and a chart. It is not at true scale, so it carries no bars.

mod chart;
mod flow;
mod picture;

use crate::canvas::{Canvas, Lettering};
use crate::figures::Figures;
use crate::text::fonts_readable;
use crate::unscaled::{Frame, framed, room};
use crate::{DrawingError, Sheet, SheetOptions};
use assess::Assessment;
use flow::{Column, Flow};
use report::OwnerSheet;
use saddle::Plan;

/// Between columns, and between blocks, mm.
const GAP: f64 = 7.0;

/// The owner's sheets, one or more. Their cautions are those of `words`, which must have been made for the same hazards.
///
/// # Errors
/// A plan without strings, places that are not numbers, or a font that cannot be read.
pub fn assess_sheets(
    plan: &Plan,
    found: &Assessment,
    words: &OwnerSheet,
    options: &SheetOptions,
) -> Result<Vec<Sheet>, DrawingError> {
    if plan.strings.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    let figures = Figures::new(options.bench);
    let [left, top, edge, bottom] = room(options.paper);
    let across = 0.5 * (edge - left - GAP);
    let right = left + across + GAP;

    let mut flow = Flow::new([
        ("How it stands", &words.present),
        ("What is proposed", &words.proposal),
        ("What could be done instead", &words.alternatives),
        ("Before you agree", &words.cautions),
    ]);
    let mut pages: Vec<Canvas> = Vec::new();
    while pages.is_empty() || !flow.is_empty() {
        let mut canvas = Canvas::default();
        let mut from = top;
        if pages.is_empty() {
            for block in [
                picture::pictures(plan, found, figures, across),
                chart::chart(found, figures, across),
            ]
            .into_iter()
            .flatten()
            {
                let height = block.height;
                canvas.place(block.canvas, [right, from]);
                from += height + GAP;
            }
        }
        for (x, y) in [(left, top), (right, from)] {
            let column = Column {
                at: [x, y],
                width: across,
                height: bottom - y,
            };
            flow.fill(&mut canvas, column);
        }
        pages.push(canvas);
    }
    let of = pages.len();
    let sheets = pages.into_iter().enumerate();
    let one = |(i, page)| {
        let frame = Frame {
            name: "for the owner",
            under: "For the owner: what was found, and what is proposed. A comparison, not a promise: grain, cracks and glue decide.",
            small: Lettering::SMALL,
            number_of: [i + 1, of],
        };
        framed(page, &frame, options)
    };
    sheets.map(one).collect()
}
