//! The mark of one place that was read.

use super::layout::read_weight;
use crate::canvas::{Canvas, Fill, Item, LineKind, Point};
use work::{Belief, Mark};

/// Radius of the hole in a ring, mm.
const HOLE: f64 = 0.85;
/// Radius of the dot in it, mm.
const DOT: f64 = 0.42;
/// Least and most width of the ring, mm.
const RING: [f64; 2] = [0.15, 0.95];
/// Largest radius of a mark, strokes left out, mm.
pub(super) const RADIUS: f64 = HOLE + RING[1];
/// Half the length and half the width of a stroke through it, and of the white beside that, mm.
const STROKE: [f64; 3] = [2.8, 0.22, 0.36];

/// Draws it; answers the item that stands for it.
pub(super) fn mark<'c>(canvas: &'c mut Canvas, at: Point, mark: &Mark) -> &'c mut Item {
    let radius = HOLE + RING[0] + (RING[1] - RING[0]) * read_weight(mark.takes_up);
    let struck_out = mark.belief == Belief::StruckOut;
    let stands = canvas.items.len();
    if struck_out {
        canvas.circle(at, HOLE + RING[0], Some(LineKind::Hidden), Fill::Paper);
        let reach = std::f64::consts::FRAC_1_SQRT_2 * STROKE[0];
        canvas.line(
            [at[0] - reach, at[1] + reach],
            [at[0] + reach, at[1] - reach],
            LineKind::Narrow,
        );
    } else {
        canvas.circle(at, radius, None, Fill::Ink);
        canvas.circle(at, HOLE, None, Fill::Paper);
        if mark.is_checked {
            canvas.circle(at, DOT, None, Fill::Ink);
        }
    }
    let strokes: &[f64] = match mark.belief {
        Belief::Counted | Belief::StruckOut => &[],
        Belief::Suspected => &[1.0],
        Belief::Doubted => &[1.0, -1.0],
    };
    // White beside all strokes first, so that none parts another.
    for (half, fill) in [(STROKE[2], Fill::Paper), (STROKE[1], Fill::Ink)] {
        for way in strokes {
            stroke(canvas, at, *way, half, fill);
        }
    }
    &mut canvas.items[stands]
}

/// A stroke through a mark, rising to the right or, the other way, falling.
fn stroke(canvas: &mut Canvas, [x, y]: Point, way: f64, half: f64, fill: Fill) {
    let unit = std::f64::consts::FRAC_1_SQRT_2;
    let (long, wide) = (unit * STROKE[0], unit * half);
    let corner = |along: f64, across: f64| {
        [
            x + along * long + across * wide,
            y - way * (along * long - across * wide),
        ]
    };
    canvas.polygon(
        vec![
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ],
        None,
        fill,
    );
}
