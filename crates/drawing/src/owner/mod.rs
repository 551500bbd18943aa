//! The sheets that the owner of the instrument can be given, before the work and after it, in the words of the report; before it with two
//! pictures and a chart. They are not at true scale, so they carry no bars.

mod chart;
mod picture;
mod sign;

use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::columns::{GAP, Page, Piece, set, table};
use crate::figures::Figures;
use crate::text::{clean, fonts_readable, wrap};
use crate::unscaled::{Frame, framed, room};
use crate::{DrawingError, Sheet, SheetOptions};
use assess::Assessment;
use report::{OwnerPart, OwnerSheet};
use saddle::Plan;

/// Lettering of the headline.
const HEADLINE: Lettering = Lettering {
    capitals: 2.9,
    bold: true,
};

/// How large pictures are drawn.
#[derive(Debug, Clone, Copy)]
struct Size {
    /// Enlargement of the saddle.
    scale: f64,
    /// Height of the chart's plot, mm.
    plot: f64,
}

/// On a sheet with words.
const SMALL: Size = Size { scale: 2.2, plot: 36.0 };
/// On a sheet of their own.
const LARGE: Size = Size { scale: 3.0, plot: 75.0 };

/// What the owner is told before the work: one sheet or more.
///
/// # Errors
/// A plan without strings, places that are not numbers, or a font that cannot be read.
pub fn owner_sheets(
    plan: &Plan,
    found: &Assessment,
    words: &OwnerSheet,
    options: &SheetOptions,
) -> Result<Vec<Sheet>, DrawingError> {
    if plan.strings.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    let figures = Figures::new(options.bench);
    let pictures = |across: f64, size: Size| {
        let both = [
            picture::pictures(plan, found, figures, [across, size.scale]),
            chart::chart(found, figures, [across, size.plot]),
        ];
        both.into_iter().flatten().collect()
    };
    sheets(words, "for the owner", pictures, options)
}

/// What the owner is told after the work: one sheet or more.
///
/// # Errors
/// Places that are not numbers, or a font that cannot be read.
pub fn handed_back_sheets(words: &OwnerSheet, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    sheets(words, "for the owner, after the work", |_, _| Vec::new(), options)
}

fn sheets(
    words: &OwnerSheet,
    name: &str,
    pictures: impl Fn(f64, Size) -> Vec<Block>,
    options: &SheetOptions,
) -> Result<Vec<Sheet>, DrawingError> {
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    let [left, top, edge, bottom] = room(options.paper);
    let width = edge - left;
    let headline = wrap(&clean(&words.headline), width, HEADLINE.capitals, HEADLINE.bold);
    let mut head = Canvas::default();
    let mut below = top;
    for line in headline {
        head.text([left, below + HEADLINE.capitals], line, HEADLINE, Anchor::Start);
        below += HEADLINE.line();
    }
    let page = Page {
        left,
        top,
        first_top: below + 0.5 * GAP,
        width,
        bottom,
        goes_on: true,
    };
    let across = page.column_width();
    let parts = words.parts.iter().map(|part| match part {
        OwnerPart::Words { head, paragraphs } => Piece::words(head, paragraphs),
        OwnerPart::Table(of) => Piece::Fixed(table(of.head, &of.columns, &of.rows, &of.note, across)),
    });
    let parts: Vec<Piece> = parts.collect();
    let drawn = |size| {
        pictures(across, size)
            .into_iter()
            .map(Piece::Floating)
            .collect::<Vec<_>>()
    };
    let open = || Some(sign::lines(&words.open, width));
    let mut pages = set(&parts, &page, open());
    if pages.len() == 1 {
        // All that is signed stands on one sheet, what is drawn large on the next.
        let next = Page {
            first_top: page.top,
            ..page
        };
        pages.extend(set(&drawn(LARGE), &next, None));
    } else {
        let mut all = parts;
        all.extend(drawn(SMALL));
        pages = set(&all, &page, open());
    }
    if let Some(first) = pages.first_mut() {
        first.place(head, [0.0, 0.0]);
    }
    let of = pages.len();
    let one = |(i, page)| {
        let frame = Frame {
            name,
            under: words.under,
            small: Lettering::BENCH,
            number_of: [i + 1, of],
        };
        framed(page, &frame, options)
    };
    pages.into_iter().enumerate().map(one).collect()
}
