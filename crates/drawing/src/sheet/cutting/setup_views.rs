//! The stock, the jaws and the part, as they stand on the machine.

use super::setup::{CutSetup, Extent};
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::sheet::draft::GAP;

/// Largest enlargement of the views.
const SCALE_MOST: f64 = 2.0;
/// Room left of a view for the names of its axes, mm.
const SIDE: f64 = 12.0;
/// Of a jaw so much is drawn across the blank, mm: the rest of it says nothing.
const JAW_SHOWN: f64 = 6.0;
/// Air on both sides of a jaw's name, mm.
const NAME_AIR: f64 = 2.0;
/// Share of the height that the views and their titles have, one above the other and side by side: words need the rest.
const VIEWS_HEIGHT: [f64; 2] = [0.38, 0.5];
/// From the title of a view to what is drawn, mm.
const UNDER_TITLE: f64 = 5.5;

/// The stock, jaws and part from above and from the front, `width` mm wide, on a sheet that is `height` mm high.
pub(super) fn views(setup: &CutSetup, width: f64, height: f64) -> Block {
    let mut canvas = Canvas::default();
    let canvas = &mut canvas;
    let near = |jaw: &Extent| {
        let [x, y, z] = *jaw;
        let [front, back] = [setup.stock[1][0] - JAW_SHOWN, setup.stock[1][1] + JAW_SHOWN];
        [x, [y[0].max(front), y[1].min(back)], z]
    };
    let jaws: Vec<Extent> = setup.jaws.iter().map(near).collect();
    let all = || std::iter::once(&setup.stock).chain(&jaws);
    let reach = |axis: usize| {
        let low = all().map(|b| b[axis][0]).fold(0.0, f64::min);
        let high = all().map(|b| b[axis][1]).fold(0.0, f64::max);
        [low, high]
    };
    let (x, y, z) = (reach(0), reach(1), reach(2));
    let z = [z[0], z[1].max(setup.safe)];
    let long = (x[1] - x[0]).max(1.0);
    let (y_high, z_high) = ((y[1] - y[0]).max(0.5), (z[1] - z[0]).max(0.5));
    let room = VIEWS_HEIGHT.map(|most| most * height - 4.0 * GAP);
    let stacked = ((width - SIDE - GAP) / long).min(room[0] / (y_high + z_high));
    let beside = ((0.5 * width - SIDE - GAP) / long).min(room[1] / y_high.max(z_high));
    // A part that stands on end is seen larger with its views side by side.
    let in_a_row = beside > stacked;
    let scale = stacked.max(beside).min(SCALE_MOST);
    let mut left = 0.0;
    let mut top = 4.0;
    let ratio = if scale >= 1.0 {
        format!("{scale:.2}:1")
    } else {
        format!("1:{:.2}", 1.0 / scale)
    };
    for (title, second, lines, axis) in [
        ("From above", y, &setup.above, 1),
        ("From the front", z, &setup.side, 2),
    ] {
        let at = |[px, py]: Point| {
            [
                left + SIDE + (px - x[0]) * scale,
                top + UNDER_TITLE + (second[1] - py) * scale,
            ]
        };
        canvas.text(
            [left, top],
            format!("{title}, {ratio}"),
            Lettering::BODY_BOLD,
            Anchor::Start,
        );
        for jaw in &jaws {
            if axis == 1 {
                jaw_above(canvas, jaw, &at);
            } else {
                outline(canvas, jaw, axis, &at, LineKind::Narrow);
            }
        }
        outline(canvas, &setup.stock, axis, &at, LineKind::Before);
        for line in lines {
            canvas.path(line.iter().map(|p| at(*p)).collect(), LineKind::Outline);
        }
        if axis == 2 {
            canvas.line(at([x[0], setup.safe]), at([x[1], setup.safe]), LineKind::Hidden);
            let (end, anchor) = if in_a_row {
                (x[0], Anchor::Start)
            } else {
                (x[1], Anchor::End)
            };
            canvas.text(
                [at([end, setup.safe])[0], at([end, setup.safe])[1] - 1.0],
                "rapid moves no lower than this",
                Lettering::SMALL,
                anchor,
            );
        }
        zero(canvas, at([0.0, 0.0]), if axis == 1 { "Y" } else { "Z" });
        if in_a_row {
            left += 0.5 * width;
        } else {
            top += UNDER_TITLE + (second[1] - second[0]) * scale + 2.0 * GAP;
        }
    }
    if in_a_row {
        top += UNDER_TITLE + y_high.max(z_high) * scale + 2.0 * GAP;
    }
    Block {
        canvas: std::mem::take(canvas),
        width,
        height: top - GAP,
    }
}

/// A box seen along an axis.
fn outline(canvas: &mut Canvas, extent: &Extent, axis: usize, at: &dyn Fn(Point) -> Point, kind: LineKind) {
    let ([x0, x1], [y0, y1]) = (extent[0], extent[axis]);
    let corners = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(at);
    canvas.polygon(corners.to_vec(), Some(kind), Fill::None);
}

/// A jaw from above, open where it goes on away from the blank, with its name inside, or right of it where it is narrow.
fn jaw_above(canvas: &mut Canvas, [[x0, x1], [y0, y1], _]: &Extent, at: &dyn Fn(Point) -> Point) {
    let fixed = *y0 >= 0.0;
    let (name, near, far) = if fixed {
        ("fixed jaw", *y0, *y1)
    } else {
        ("moving jaw", *y1, *y0)
    };
    let corners = [[*x0, far], [*x0, near], [*x1, near], [*x1, far]].map(at);
    canvas.path(corners.to_vec(), LineKind::Narrow);
    let [left, right] = [corners[0][0], corners[2][0]];
    let middle = 0.5 * (corners[0][1] + corners[1][1]) + 0.5 * Lettering::SMALL.capitals;
    let (x, anchor) = if Lettering::SMALL.width(name) + 2.0 * NAME_AIR > right - left {
        (right + NAME_AIR, Anchor::Start)
    } else {
        (0.5 * (left + right), Anchor::Middle)
    };
    canvas.text([x, middle], name, Lettering::SMALL, anchor);
}

/// The work's zero and its axes.
fn zero(canvas: &mut Canvas, [x, y]: Point, up: &str) {
    const ARM: f64 = 7.0;
    canvas.line([x, y], [x + ARM, y], LineKind::Border);
    canvas.line([x, y], [x, y - ARM], LineKind::Border);
    canvas.circle([x, y], 1.3, Some(LineKind::Outline), Fill::Paper);
    canvas.circle([x, y], 0.5, None, Fill::Ink);
    canvas.text([x - 2.2, y + 3.6], "zero", Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([x - 1.2, y - ARM + 1.0], up, Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([x + ARM - 1.0, y + 3.6], "X", Lettering::SMALL_BOLD, Anchor::Start);
}
