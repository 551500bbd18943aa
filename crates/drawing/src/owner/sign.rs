//! Lines that are left open, to be filled in by hand.

use crate::canvas::{Anchor, Block, Canvas, LineKind};
use crate::columns::TEXT;

/// Height of a line to write on, mm.
const HEIGHT: f64 = 9.0;
/// Between two beside one another, mm.
const GAP: f64 = 7.0;
/// From the words to the line, mm.
const AFTER: f64 = 2.0;

/// The lines, two beside one another.
pub(super) fn lines(open: &[&str], width: f64) -> Block {
    let mut canvas = Canvas::default();
    let across = 0.5 * (width - GAP);
    let mut height = 0.0;
    for pair in open.chunks(2) {
        for (words, x) in pair.iter().zip([0.0, across + GAP]) {
            let base = height + HEIGHT - 1.5;
            canvas.text([x, base], *words, TEXT, Anchor::Start);
            canvas.line(
                [x + TEXT.width(words) + AFTER, base],
                [x + across, base],
                LineKind::Narrow,
            );
        }
        height += HEIGHT;
    }
    Block { canvas, width, height }
}
