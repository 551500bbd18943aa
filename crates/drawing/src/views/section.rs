//! Sections at the strings, enlarged: the blank as it leans in the instrument, nut to the left.

use super::callouts::{HELD, RING, ring};
use super::{Scene, contact, mouth, short};
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::dimension::linear;
use crate::figures::Figures;
use crate::hatch::hatch;
use crate::outline::silhouette;
use numerics::math;
use saddle::{Bearing, Hold, StringPlan};

/// Enlargements, largest first (ISO 5455 prefers 10, 5 and 2; the others fill the sheet better).
const SCALES: [f64; 7] = [10.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.0];
/// Chords of the rounding.
const CHORDS: u32 = 24;
/// Room for the exposure and the bridge top on the left, for the height on the right, and for b above, mm.
const LEFT: f64 = 12.0;
const RIGHT: f64 = 10.5;
const ABOVE: f64 = 9.5;
/// Ring and note over the section, mm.
const HEAD: f64 = 2.0 * RING + 1.2;
/// Lines of figures below it.
const FIGURE_LINES: f64 = 5.0;
const FIGURE: Lettering = Lettering::FIGURE;
/// How far the string's line is drawn in front of the blank, mm: short of the exposure's dimension line.
const RUN: f64 = 3.6;
/// How far the bridge top is hinted at, and the string behind the blank, mm: short of the dimension lines.
const SHORT: f64 = 3.0;

/// Turn of the blank into the instrument's side view: right is toward the tail, up is square to the fret plane.
#[derive(Clone, Copy)]
pub(crate) struct Leaning {
    scale: f64,
    sin: f64,
    cos: f64,
    zero: Point,
}

impl Leaning {
    /// Leaning by `lean` radians, `scale` times as large, with the blank's origin at `zero`.
    pub fn new(lean: f64, scale: f64, zero: Point) -> Self {
        let (sin, cos) = math::sin_cos(lean);
        Self { scale, sin, cos, zero }
    }

    /// Place of `(b, v)` on the sheet, mm.
    pub fn at(&self, b: f64, v: f64) -> Point {
        let [x, y] = self.along(b, v);
        [self.zero[0] + self.scale * x, self.zero[1] + self.scale * y]
    }

    fn along(&self, b: f64, v: f64) -> Point {
        [b * self.cos - v * self.sin, -(b * self.sin + v * self.cos)]
    }
}

/// Size of the blank's section in the side view at 1:1: (left of the origin, right of it, above it, below it), mm.
fn reach(scene: &Scene) -> [f64; 4] {
    let (sin, cos) = math::sin_cos(scene.plan.lean);
    let (t, v) = (scene.plan.blank.thickness, scene.crest());
    let corners = [(0.0, 0.0), (t, 0.0), (0.0, v), (t, v)].map(|(b, v)| (b * cos - v * sin, b * sin + v * cos));
    let least = |f: fn(&(f64, f64)) -> f64| corners.iter().map(f).fold(f64::INFINITY, f64::min);
    let most = |f: fn(&(f64, f64)) -> f64| corners.iter().map(f).fold(f64::NEG_INFINITY, f64::max);
    [-least(|c| c.0), most(|c| c.0), most(|c| c.1), -least(|c| c.1)]
}

/// The largest enlargement whose section fits a cell, mm.
pub(crate) fn fitting_scale(scene: &Scene, width: f64, height: f64) -> Option<f64> {
    let [left, right, up, down] = reach(scene);
    let (wide, high) = (
        width - LEFT - RIGHT,
        height - HEAD - ABOVE - FIGURE_LINES * FIGURE.line() - 2.0,
    );
    SCALES
        .into_iter()
        .find(|k| k * (left + right) <= wide && k * (up + down) <= high)
}

/// Height of a cell at this scale, mm.
pub(crate) fn cell_height(scene: &Scene, scale: f64) -> f64 {
    let [_, _, up, down] = reach(scene);
    HEAD + ABOVE + FIGURE_LINES * FIGURE.line() + 2.0 + scale * (up + down)
}

/// The section at one string in a cell `width` mm wide.
pub(crate) fn section(scene: &Scene, string: &StringPlan, scale: f64, width: f64) -> Block {
    let [left, right, up, down] = reach(scene);
    let mut canvas = Canvas::default();
    let slack = width - LEFT - RIGHT - scale * (left + right);
    let floor = HEAD + ABOVE + scale * up;
    let zero = [LEFT + 0.5 * slack + scale * left, floor];
    let lean = Leaning::new(scene.plan.lean, scale, zero);
    let cut = scene.plan.crown.section(string.contact.u);
    let t = scene.plan.blank.thickness;
    let crown: Vec<Point> = cut.outline(CHORDS).into_iter().map(|(b, v)| lean.at(b, v)).collect();
    let mut outline = vec![lean.at(t, 0.0), lean.at(0.0, 0.0)];
    outline.extend(&crown);
    hatch(&mut canvas, &outline);
    canvas
        .polygon(outline, Some(LineKind::Outline), Fill::None)
        .id(format!("section-{}", string.number));
    slot(&mut canvas, scene, string, &lean);
    taut(&mut canvas, scene, string, &lean, &crown);
    dimensions(&mut canvas, scene, string, &lean);
    let at = lean.at(string.contact.b, string.contact.v);
    contact(
        &mut canvas,
        at,
        string,
        Some(format!("section-contact-{}", string.number)),
    );
    head(&mut canvas, string, width);
    let mut y = floor + scale * down + 2.0;
    for line in lines(string, scene.figures) {
        y += FIGURE.line();
        let lettering = if line.contains(HELD) {
            Lettering::FIGURE_BOLD
        } else {
            FIGURE
        };
        canvas.text([0.5 * width, y], line, lettering, Anchor::Middle);
    }
    Block {
        canvas,
        width,
        height: cell_height(scene, scale),
    }
}

/// Ring with the number, note beside it.
fn head(canvas: &mut Canvas, string: &StringPlan, width: f64) {
    let room = 0.5 * width - RING - 2.0;
    let note = crate::text::shorten(&crate::text::clean(&string.note), room, FIGURE.capitals, false);
    let whole = 2.0 * RING + 1.2 + FIGURE.width(&note);
    let x = 0.5 * (width - whole);
    ring(canvas, [x + RING, RING], string.number);
    canvas.text(
        [x + 2.0 * RING + 1.2, RING + 0.5 * FIGURE.capitals],
        note,
        FIGURE,
        Anchor::Start,
    );
}

fn lines(string: &StringPlan, figures: Figures) -> Vec<String> {
    let mut lines = vec![
        format!("up {}", figures.one(string.contact.v)),
        format!("back {}", figures.one(string.contact.b)),
    ];
    if let Some(exposure) = string.exposure {
        lines.push(format!("out {}", figures.one(exposure)));
    }
    let side = match string.hold {
        Hold::Free => return lines,
        Hold::Front => "front",
        Hold::Back => "back",
    };
    lines.push(format!("{HELD} {side}"));
    lines.push(format!("{} short", figures.one(short(string).abs())));
    lines
}

/// A hint of the slot: its walls up to the bridge top, and the bridge top in front and behind.
fn slot(canvas: &mut Canvas, scene: &Scene, string: &StringPlan, lean: &Leaning) {
    let Some(v) = mouth(scene.plan, string.contact.u) else {
        return;
    };
    let front = lean.at(0.0, v);
    canvas.line(front, [front[0] - SHORT, front[1]], LineKind::Hidden);
    // Level with the front, where the line of the back wall meets the bridge top.
    let t = scene.plan.blank.thickness;
    let back = lean.at(t, v - t * lean.sin / lean.cos);
    canvas.line(back, [back[0] + SHORT, back[1]], LineKind::Hidden);
}

/// The underside of the string from the nut over the contact, along the crown as far as it bears, and away.
fn taut(canvas: &mut Canvas, scene: &Scene, string: &StringPlan, lean: &Leaning, crown: &[Point]) {
    let at = lean.at(string.contact.b, string.contact.v);
    let d = lean.along(string.direction.b, string.direction.v);
    if d[0] <= 0.0 {
        return;
    }
    // Fall per mm toward the tail; y points down.
    let fall = d[1] / d[0];
    let start = lean.at(0.0, string.contact.v)[0].min(at[0]) - RUN;
    canvas
        .line([start, at[1] + fall * (start - at[0])], at, LineKind::Narrow)
        .id(format!("section-string-{}", string.number));
    let (leaves, kind) = match string.termination.bearing {
        // The break angle is the string's rise before plus its fall behind.
        Bearing::Bears { break_angle } => (math::tan(break_angle + math::atan(fall)), LineKind::Narrow),
        Bearing::Lifted | Bearing::ExitUnknown => (fall, LineKind::Hidden),
    };
    let mut path = vec![at];
    if kind == LineKind::Narrow {
        // It leaves where the crown stands highest above its way out.
        let over = |p: &Point| leaves * p[0] - p[1];
        let behind: Vec<Point> = crown.iter().filter(|p| p[0] > at[0]).copied().collect();
        let last = (0..behind.len())
            .max_by(|a, b| over(&behind[*a]).total_cmp(&over(&behind[*b])))
            .filter(|i| over(&behind[*i]) > over(&at));
        path.extend(behind.iter().take(last.map_or(0, |i| i + 1)));
    }
    let from = path[path.len() - 1];
    let end = lean.at(scene.plan.blank.thickness, string.contact.v)[0].max(from[0]) + SHORT;
    // No lower than the foot of the blank, however steep it leaves.
    let foot = lean.at(0.0, 0.0)[1];
    let y = from[1] + leaves * (end - from[0]);
    path.push(if y > foot {
        [from[0] + (foot - from[1]) / leaves, foot]
    } else {
        [end, y]
    });
    canvas.path(path, kind);
}

/// Letters on dimension lines; the figures stand below the section.
fn dimensions(canvas: &mut Canvas, scene: &Scene, string: &StringPlan, lean: &Leaning) {
    let (t, c) = (scene.plan.blank.thickness, string.contact);
    let top = silhouette(scene.plan, c.u);
    // v on the back, b above, exposure in front.
    linear(canvas, lean.at(t, 0.0), lean.at(t, c.v), -5.0, "up", FIGURE);
    linear(canvas, lean.at(0.0, top), lean.at(c.b, top), 4.0, "back", FIGURE);
    if let Some(mouth) = mouth(scene.plan, c.u).filter(|m| c.v - m > 0.1) {
        linear(canvas, lean.at(0.0, mouth), lean.at(0.0, c.v), 4.5, "out", FIGURE);
    }
}

/// What stands over the sections.
pub(crate) fn heading(scene: &Scene, scale: f64) -> (String, String) {
    let side = if scene.plan.left_handed { "treble" } else { "bass" };
    let degrees = numerics::fixed(scene.plan.lean.to_degrees(), 1);
    (
        format!("Sections at the strings, {scale}:1"),
        format!(
            "Seen from the {side} side, nut to the left; lean {degrees}°. Up the face, back from the front face, out of the bridge. Dashed: bridge top."
        ),
    )
}
