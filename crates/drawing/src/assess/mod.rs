//! The sheet that the owner of the instrument can be given: how it stands, what is proposed, what else could be done, and
//! what to know before agreeing, with two pictures and a chart. It is not at true scale, so it carries no bars.

mod chart;
mod flow;
mod picture;

use crate::canvas::{Anchor, Canvas, Item, Lettering, LineKind};
use crate::figures::Figures;
use crate::paper;
use crate::text::{clean, fonts_readable, shorten};
use crate::{DrawingError, Sheet, SheetOptions};
use assess::Assessment;
use flow::{Column, Flow};
use report::OwnerSheet;
use saddle::Plan;

/// Air inside the border, mm.
const PAD: f64 = 4.0;
/// Height of the head with the title, mm.
const HEAD: f64 = 13.0;
/// Height of the foot, mm.
const FOOT: f64 = 6.0;
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
    let (width, height) = paper::size(options.paper);
    let margin = crate::Sheet {
        width,
        height,
        heading: String::new(),
        title: String::new(),
        items: Vec::new(),
    }
    .border()[0];
    let left = margin + PAD;
    let across = 0.5 * (width - 2.0 * left - GAP);
    let (top, bottom) = (margin + HEAD + PAD, height - margin - FOOT - PAD);
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
    sheets
        .map(|(i, page)| framed(page, [i + 1, of], margin, options))
        .collect()
}

/// A page in its border, with the words over and under it; `margin` mm from the edge of the paper.
fn framed(page: Canvas, [number, of]: [usize; 2], margin: f64, options: &SheetOptions) -> Result<Sheet, DrawingError> {
    let (width, height) = paper::size(options.paper);
    let left = margin + PAD;
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
    canvas.text(
        [left, margin + 10.6],
        "For the owner: what was found, and what is proposed. A comparison, not a promise: grain, cracks and glue decide.",
        Lettering::SMALL,
        Anchor::Start,
    );
    let foot = height - margin - FOOT;
    canvas.line([margin, foot], [width - margin, foot], LineKind::Narrow);
    let base = foot + 0.5 * FOOT + 1.0;
    canvas.text([left, base], crate::PROGRAM, Lettering::SMALL, Anchor::Start);
    canvas.text(
        [width - left, base],
        format!("Sheet {number} of {of}; not to scale"),
        Lettering::SMALL,
        Anchor::End,
    );
    canvas.place(page, [0.0, 0.0]);
    let heading = format!("{title}: for the owner");
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
