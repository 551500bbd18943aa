//! Dimensions after ISO 129-1: narrow lines, filled closed arrowheads, the figure above the dimension line, read from
//! the bottom or the right of the sheet.

use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, Point};
use crate::text::extent;
use numerics::math;
use std::f64::consts::FRAC_PI_2;

/// Length of an arrowhead, mm.
pub(crate) const ARROW: f64 = 2.0;
/// Half its width, mm: about 20 degrees between the sides (ISO 129-1 allows 15 to 90).
const HALF_ARROW: f64 = 0.36;
/// How far an extension line runs on beyond the dimension line, mm (ISO 129-1: about eight line widths).
const BEYOND: f64 = 1.4;
/// Between the dimension line and its figure, mm.
const CLEAR: f64 = 0.8;
/// Tail of an arrow that points in from outside, mm.
const TAIL: f64 = 3.0;

/// A filled arrowhead with its point at `tip`, pointing along the unit vector `along`.
pub(crate) fn arrow(canvas: &mut Canvas, tip: Point, along: Point) {
    let back = [tip[0] - ARROW * along[0], tip[1] - ARROW * along[1]];
    let side = [-along[1] * HALF_ARROW, along[0] * HALF_ARROW];
    let wings = [
        [back[0] + side[0], back[1] + side[1]],
        [back[0] - side[0], back[1] - side[1]],
    ];
    canvas.polygon(vec![tip, wings[0], wings[1]], None, Fill::Ink);
}

/// Whether a figure is longer than the dimension line that it belongs to: it then stands beyond the ends of the extension lines.
pub(crate) fn overhangs(length: f64, figure: &str, lettering: Lettering) -> bool {
    lettering.width(figure) + 2.0 * ARROW > length
}

/// Room below a part for a dimension of `figure` along its `length`, 6 mm off, mm.
pub(crate) fn room_below(length: f64, figure: &str, lettering: Lettering) -> f64 {
    if overhangs(length, figure, lettering) {
        8.0 + 1.5 * lettering.capitals
    } else {
        8.0
    }
}

/// An aligned dimension from `from` to `to`, its line moved by `offset` mm to the left of that direction as seen (negative: right).
pub(crate) fn linear(canvas: &mut Canvas, from: Point, to: Point, offset: f64, figure: &str, lettering: Lettering) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = math::hypot(dx, dy);
    if length == 0.0 {
        return;
    }
    let along = [dx / length, dy / length];
    let left = [along[1], -along[0]]; // y points down
    let moved = |p: Point, across: f64, on: f64| {
        [
            p[0] + across * left[0] + on * along[0],
            p[1] + across * left[1] + on * along[1],
        ]
    };
    let sign = offset.signum();
    for p in [from, to] {
        canvas.line(
            moved(p, 0.6 * sign, 0.0),
            moved(p, offset + BEYOND * sign, 0.0),
            LineKind::Narrow,
        );
    }
    let (a, b) = (moved(from, offset, 0.0), moved(to, offset, 0.0));
    let inside = length >= 3.0 * ARROW;
    if inside {
        canvas.line(a, b, LineKind::Narrow);
        arrow(canvas, a, [-along[0], -along[1]]);
        arrow(canvas, b, along);
    } else {
        canvas.line(
            moved(a, 0.0, -ARROW - TAIL),
            moved(b, 0.0, ARROW + TAIL),
            LineKind::Narrow,
        );
        arrow(canvas, a, along);
        arrow(canvas, b, [-along[0], -along[1]]);
    }
    if figure.is_empty() {
        return;
    }
    // Anticlockwise turn that reads from the bottom or the right.
    let mut turn = math::atan2(-dy, dx);
    if turn > FRAC_PI_2 + 1e-9 {
        turn -= std::f64::consts::PI;
    } else if turn <= -FRAC_PI_2 + 1e-9 {
        turn += std::f64::consts::PI;
    }
    let up = [-math::sin(turn), -math::cos(turn)];
    let room = lettering.width(figure);
    if figure.chars().all(char::is_alphabetic) {
        // A word stands upright, outside the line, and beyond the extension lines if they leave no room between them.
        let between = inside && room + 2.0 * CLEAR < length;
        let clear = if between { CLEAR } else { BEYOND + 0.5 };
        let out = [left[0] * sign, left[1] * sign];
        // A short upright dimension has its word at the foot, where the string does not come.
        let on = if inside || dx.abs() > dy.abs() {
            0.5 * length
        } else {
            -ARROW
        };
        let middle = moved(a, 0.0, on);
        let ink = extent(figure, lettering.capitals, lettering.bold);
        // So far that its box clears the line, however that leans.
        let far = clear + 0.5 * (out[0].abs() * room + out[1].abs() * (ink.high - ink.low));
        let at = [
            middle[0] + out[0] * far,
            middle[1] + out[1] * far + 0.5 * (ink.high + ink.low),
        ];
        canvas.text(at, figure, lettering, Anchor::Middle);
        return;
    }
    if inside && overhangs(length, figure, lettering) {
        // Beyond the ends of the extension lines, whichever way is out.
        let middle = moved(a, 0.0, 0.5 * length);
        let out = [left[0] * sign, left[1] * sign];
        let is_down = out[0] * up[0] + out[1] * up[1] < 0.0;
        let far = BEYOND + 0.5 + if is_down { lettering.capitals } else { 0.0 };
        let at = [middle[0] + far * out[0], middle[1] + far * out[1]];
        canvas.turned(at, figure, lettering, Anchor::Middle, turn);
        return;
    }
    let middle = if inside || room < length {
        moved(a, 0.0, 0.5 * length)
    } else {
        moved(b, 0.0, ARROW + 0.5 * room.max(TAIL))
    };
    let at = [middle[0] + CLEAR * up[0], middle[1] + CLEAR * up[1]];
    canvas.turned(at, figure, lettering, Anchor::Middle, turn);
}
