//! Sections along the slots, enlarged: tuners to the left, frets to the right.

use super::NutScene;
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::dimension::linear;
use crate::hatch::hatch;
use crate::views::callouts::{RING, ring};
use numerics::math;
use nut::NutString;

/// Enlargements, largest first (ISO 5455 prefers 10, 5 and 2; the others fill the sheet better).
const SCALES: [f64; 7] = [10.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.0];
/// Room for the string behind the nut on the left, for the dimensions on the right, mm.
const LEFT: f64 = 5.0;
const RIGHT: f64 = 22.5;
/// The dimension from the seat lies this far off, beyond the word of the one from the board, mm.
const UP: f64 = 16.0;
/// Ring over the section, and the tails of short dimensions below it, mm.
const HEAD: f64 = 2.0 * RING + 5.5;
/// Lines of figures below it.
const FIGURE_LINES: f64 = 5.0;
const FIGURE: Lettering = Lettering::FIGURE;
/// Least height of the board over the seat on the sheet at which the stack is dimensioned, mm.
const LEAST_BELOW: f64 = 4.5;
/// How far the board and the string are hinted at, mm.
const SHORT: f64 = 3.0;

/// Height of what is drawn at 1:1, mm.
fn reach(scene: &NutScene) -> f64 {
    let strings = scene.plan.strings.iter().map(|s| s.floor + s.gauge);
    strings.fold(scene.crest(), f64::max)
}

/// The largest enlargement whose section fits a cell, mm.
pub(crate) fn fitting_scale(scene: &NutScene, width: f64, height: f64) -> Option<f64> {
    let high = height - HEAD - FIGURE_LINES * FIGURE.line() - 3.0;
    SCALES
        .into_iter()
        .find(|k| k * scene.plan.blank.thickness <= width - LEFT - RIGHT && k * reach(scene) <= high)
}

/// Height of a cell at this scale, mm.
pub(crate) fn cell_height(scene: &NutScene, scale: f64) -> f64 {
    HEAD + FIGURE_LINES * FIGURE.line() + 3.0 + scale * reach(scene)
}

/// The section at one string in a cell `width` mm wide.
pub(crate) fn section(scene: &NutScene, index: usize, scale: f64, width: f64) -> Block {
    let mut canvas = Canvas::default();
    let height = cell_height(scene, scale);
    let plan = scene.plan;
    if let Some(s) = plan.strings.get(index) {
        let t = plan.blank.thickness;
        let slack = width - LEFT - RIGHT - scale * t;
        let zero = LEFT + 0.5 * slack + scale * t;
        let seat = HEAD + scale * reach(scene);
        let at = |b: f64, v: f64| [zero - scale * b, seat - scale * v];
        cut(&mut canvas, scene, s, &at);
        string(&mut canvas, scene, s, &at);
        // The stack from the board, and the floor from the seat.
        let right = at(0.0, 0.0)[0];
        let level = |v: f64| [right, at(0.0, v)[1]];
        // Over a shallow seat both would lie in each other's way; the figures below tell it too.
        if scale * s.board > LEAST_BELOW {
            linear(&mut canvas, level(s.board), level(s.floor), -5.0, "stack", FIGURE);
        }
        linear(&mut canvas, level(0.0), level(s.floor), -UP, "up", FIGURE);
        let name = scene.names.get(index).map_or("", String::as_str);
        head(&mut canvas, s, name, width);
        let mut y = seat + 2.0;
        for line in lines(scene, s) {
            y += FIGURE.line();
            canvas.text([0.5 * width, y], line, FIGURE, Anchor::Middle);
        }
    }
    Block { canvas, width, height }
}

/// The nut cut along the slot, and the top that stands beside it.
fn cut(canvas: &mut Canvas, scene: &NutScene, s: &NutString, at: &impl Fn(f64, f64) -> Point) {
    let plan = scene.plan;
    let t = plan.blank.thickness;
    // Below the board's surface the nut stands against the end of the board.
    let body = plan.front_x.max(0.0);
    let back = s.floor_at(plan.fall, t);
    let corners = vec![
        at(body, 0.0),
        at(t, 0.0),
        at(t, back),
        at(s.b, s.floor),
        at(s.b, s.board),
        at(body, s.board),
    ];
    hatch(canvas, &corners);
    canvas
        .polygon(corners, Some(LineKind::Outline), Fill::None)
        .id(format!("nut-section-{}", s.number));
    let top = vec![
        at(s.b, s.floor),
        at(s.b, s.top),
        at(t, s.top_at(plan.fall, t)),
        at(t, back),
    ];
    canvas.path(top, LineKind::Narrow);
    let end = at(body.min(0.0), s.board);
    canvas.line(at(body, s.board), [end[0] + SHORT, end[1]], LineKind::Hidden);
}

/// Underside of the string: from the frets to the bearing edge, along the floor, and away to the post.
fn string(canvas: &mut Canvas, scene: &NutScene, s: &NutString, at: &impl Fn(f64, f64) -> Point) {
    let plan = scene.plan;
    let edge = at(s.b, s.floor);
    let from = at(0.0, s.floor)[0] + SHORT;
    canvas.line(
        [from, edge[1] - (from - edge[0]) * math::tan(s.rise)],
        edge,
        LineKind::Narrow,
    );
    if let Some(down) = s.down {
        // It leaves at the back where it falls more steeply than the floor, else at the edge.
        let t = plan.blank.thickness;
        let leaves = if down > plan.fall {
            at(t, s.floor_at(plan.fall, t))
        } else {
            edge
        };
        let end = at(t, 0.0)[0] - SHORT;
        canvas.line(
            leaves,
            [end, leaves[1] + (leaves[0] - end) * math::tan(down)],
            LineKind::Narrow,
        );
    }
    let mark = canvas.circle(edge, 0.45, None, Fill::Ink);
    mark.id(format!("nut-section-edge-{}", s.number));
}

/// Ring with the number, note beside it.
fn head(canvas: &mut Canvas, s: &NutString, name: &str, width: f64) {
    let room = 0.5 * width - RING - 2.0;
    let note = crate::text::shorten(&crate::text::clean(name), room, FIGURE.capitals, false);
    let whole = if note.is_empty() {
        2.0 * RING
    } else {
        2.0 * RING + 1.2 + FIGURE.width(&note)
    };
    let x = 0.5 * (width - whole);
    ring(canvas, [x + RING, RING], s.number);
    if note.is_empty() {
        return;
    }
    let at = [x + 2.0 * RING + 1.2, RING + 0.5 * FIGURE.capitals];
    canvas.text(at, note, FIGURE, Anchor::Start);
}

fn lines(scene: &NutScene, s: &NutString) -> Vec<String> {
    let figures = scene.figures;
    let mut lines = vec![
        format!("up {}", figures.one(s.floor)),
        format!("stack {}", figures.one(s.stack)),
        format!("wide {}", figures.one(s.width)),
        format!("deep {}", figures.one(s.depth)),
    ];
    if s.setback != 0.0 {
        lines.push(format!("set {}", figures.one(s.setback)));
    }
    lines
}

/// What stands over the sections.
pub(crate) fn heading(scene: &NutScene, scale: f64) -> (String, String) {
    (
        format!("Sections along the slots, {scale}:1"),
        format!(
            "Tuners to the left, frets to the right. Up from the seat to the floor, stack of feelers on the board (dashed); floors fall {:.1}° and are round across.",
            scene.plan.fall.to_degrees()
        ),
    )
}
