//! A section before and after a stroke of the file, enlarged: the crown as it leans in the instrument, nut to the left.

mod cut;
mod given;

use super::section::Leaning;
use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, Point};
use crate::figures::Figures;
use crate::hatch::{cross_hatch, hatch};
use crate::text::{clean, shorten, wrap};
use crate::views::callouts::{RING, ring};
use cut::{Cut, cut};
pub use given::FiledSection;
use instrument::BlankPoint;
use numerics::math;
use saddle::Plan;

/// Enlargements, largest first (ISO 5455 prefers 20, 10, 5 and 2; the others fill the sheet better).
const SCALES: [f64; 13] = [20.0, 15.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0];
/// How far the string's line is drawn in front of the blank, mm.
const RUN: f64 = 6.0;
/// Air at the back of the section and between it and the figures, mm.
const BESIDE: f64 = 3.0;
/// Ring and note over a cell, mm.
const HEAD: f64 = 2.0 * RING + 2.0;
/// Break line and the lean's figure below the section, mm.
const FOOT: f64 = 5.0;
/// Air between caption and figure, mm.
const AIR: f64 = 2.0;
/// Longest line of words, mm.
const WIDEST: f64 = 60.0;
/// Most lines of the caller's words in a cell.
const WORD_LINES: usize = 5;
const FIGURE: Lettering = Lettering::FIGURE;
const WORD: Lettering = Lettering::SMALL_BOLD;
/// Radius of the marks on the contacts, mm.
const MARK: f64 = 0.6;

/// One string's picture, worked out.
pub(crate) struct Filed<'a> {
    section: &'a FiledSection<'a>,
    cut: Cut,
    from: BlankPoint,
    to: Option<BlankPoint>,
    /// Rise of the string toward the tail, before and after.
    rises: (f64, f64),
    figures: Vec<(String, String)>,
    lean: f64,
}

impl<'a> Filed<'a> {
    pub fn new(plan: &Plan, section: &'a FiledSection<'a>, figures: Figures) -> Self {
        let from = section.standing.contact();
        let to = section.stroke.map(|s| s.contact);
        let line = section.standing.line();
        let rise = line.z(1.0) - line.z(0.0);
        let nut = section.string.nut;
        let then = to.map_or(rise, |to| {
            let place = plan.frame.to_fret(to);
            (place.z - nut.z) / (place.x - nut.x)
        });
        Self {
            section,
            cut: cut(plan, section, (rise, then)),
            from,
            to,
            rises: (rise, then),
            figures: rows(section, figures),
            lean: plan.lean,
        }
    }

    /// Whether every number that is drawn or written is finite.
    pub fn is_finite(&self) -> bool {
        let all = self.cut.before.iter().chain(&self.cut.after).flatten();
        all.chain([&self.rises.0, &self.rises.1, &self.lean, &self.cut.low])
            .all(|v| v.is_finite())
            && self.section.numbers().all(f64::is_finite)
    }

    /// Size of the section down to `low` in side view at 1:1, (left, top, right, bottom) of the origin of the blank, y downward, mm.
    fn reach(&self, low: f64) -> [f64; 4] {
        let lean = Leaning::new(self.lean, 1.0, [0.0, 0.0]);
        let ends = [self.cut.before.first(), self.cut.before.last()].map(|p| [p.map_or(0.0, |p| p[0]), low]);
        let all = self.cut.before.iter().chain(&self.cut.after).chain(&ends);
        let mut reach = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for [x, y] in all.map(|[b, v]| lean.at(*b, v.max(low))) {
            reach = [reach[0].min(x), reach[1].min(y), reach[2].max(x), reach[3].max(y)];
        }
        reach
    }

    /// Width and height of the section, no more shown than must be, at 1:1, mm.
    fn size(&self) -> [f64; 2] {
        let [left, top, right, bottom] = self.reach(self.cut.low);
        [right - left, bottom - top]
    }

    /// Width of the captions and figures, mm.
    fn text_width(&self) -> f64 {
        let widest = |texts: &mut dyn Iterator<Item = &str>| texts.map(|t| FIGURE.width(t)).fold(0.0, f64::max);
        widest(&mut self.figures.iter().map(|f| f.0.as_str()))
            + AIR
            + widest(&mut self.figures.iter().map(|f| f.1.as_str()))
    }

    fn words(&self, width: f64) -> Vec<String> {
        let all = self.section.words.iter();
        let mut lines: Vec<String> = all
            .flat_map(|word| wrap(&clean(word), width, WORD.capitals, WORD.bold))
            .collect();
        if lines.len() > WORD_LINES {
            lines.truncate(WORD_LINES);
            if let Some(last) = lines.last_mut() {
                *last = shorten(&format!("{last} ……"), width, WORD.capitals, WORD.bold);
            }
        }
        lines
    }

    fn text_height(&self, width: f64) -> f64 {
        let lines = |n: usize| f64::from(u32::try_from(n).unwrap_or(0)) * FIGURE.line();
        let words = self.words(width).len();
        lines(self.figures.len()) + if words > 0 { lines(words) + 1.5 } else { 0.0 }
    }
}

/// How a sheet's cells are divided.
#[derive(Clone, Copy)]
pub(crate) struct Cells {
    pub scale: f64,
    pub width: f64,
    /// Height that a cell needs, mm.
    pub height: f64,
    text: f64,
    /// Blank shown below what must be, mm at 1:1.
    deeper: f64,
}

/// The largest enlargement at which all cells keep to `width` by `height` mm.
pub(crate) fn cells(all: &[Filed], width: f64, height: f64) -> Option<Cells> {
    let most = |of: &dyn Fn(&Filed) -> f64| all.iter().map(of).fold(0.0, f64::max);
    let text = most(&|f| f.text_width()).min(WIDEST);
    let (wide, high) = (most(&|f| f.size()[0]), most(&|f| f.size()[1]));
    let tilt = most(&|f| math::sin(f.lean).abs());
    let texts = most(&|f| f.text_height(text));
    let needed = |scale: f64| HEAD + (FOOT + scale * high).max(texts) + 1.0;
    let room = width - text - RUN - 3.0 * BESIDE;
    SCALES
        .into_iter()
        .find(|k| k * wide <= room && needed(*k) <= height)
        .map(|scale| {
            // Beside long figures more of the blank is shown.
            let down = needed(scale) - HEAD - FOOT - 1.0 - scale * high;
            let across = (room - scale * wide) / tilt.max(1e-6);
            Cells {
                scale,
                width,
                height: needed(scale),
                text,
                deeper: down.min(across) / scale,
            }
        })
}

/// Least width and height of a cell, mm.
pub(crate) fn least(all: &[Filed]) -> (f64, f64) {
    let wide = all.iter().map(|f| f.size()[0] + f.text_width().min(WIDEST));
    let high = all
        .iter()
        .map(|f| (FOOT + f.size()[1]).max(f.text_height(f.text_width().min(WIDEST))) + HEAD + 1.0);
    (wide.fold(0.0, f64::max) + RUN + 3.0 * BESIDE, high.fold(0.0, f64::max))
}

/// Captions and figures.
fn rows(section: &FiledSection, figures: Figures) -> Vec<(String, String)> {
    let mut rows: Vec<(String, String)> = Vec::new();
    let mut row = |caption: &str, figure: String| rows.push((caption.to_owned(), figure));
    if let Some(stroke) = section.stroke {
        let way = if stroke.forward < 0.0 {
            "move back"
        } else {
            "move forward"
        };
        row(way, figures.show(stroke.forward.abs()));
        row("drop at the crown", figures.show(stroke.drop));
        row("action 12 lost", figures.show(stroke.loss_12));
        row("action 12 then", figures.action().show(stroke.action_12));
        row(
            "off its target",
            figures.signed(stroke.action_12 - section.string.action_12),
        );
        row("cents by length", cents(stroke.by_length));
        row("cents by height", cents(stroke.by_height));
        row("cents 12 off aim", cents(stroke.cents_12 - section.string.aim_cents_12));
    } else {
        row("move", "none".to_owned());
    }
    if let Some(proud) = section.proud {
        row("leave proud by", figures.show(proud));
    }
    rows
}

/// Cents with a sign, one decimal.
pub(crate) fn cents(value: f64) -> String {
    let text = format!("{value:+.1}");
    if text.ends_with("0.0") && text.len() == 4 {
        "0.0".to_owned()
    } else {
        text
    }
}

/// One string's cell.
pub(crate) fn cell(filed: &Filed, cells: Cells) -> Canvas {
    let mut canvas = Canvas::default();
    let low = (filed.cut.low - cells.deeper).max(0.0);
    let [left, top, right, bottom] = filed.reach(low);
    let room = cells.width - cells.text - BESIDE;
    let slack = room - BESIDE - RUN - cells.scale * (right - left);
    let x = RUN + (0.5 * slack).max(0.0);
    let foot = HEAD + cells.scale * (bottom - top);
    let lean = Leaning::new(
        filed.lean,
        cells.scale,
        [x - cells.scale * left, foot - cells.scale * bottom],
    );
    let number = filed.section.string.number;
    body(&mut canvas, filed, &lean, low);
    strings(&mut canvas, filed, &lean, x, number);
    lean_mark(
        &mut canvas,
        filed,
        &lean,
        low,
        [x + 0.5 * cells.scale * (right - left), foot],
    );
    ring(&mut canvas, [RING, RING], number);
    let note = [filed.section.string.note.as_str(), filed.section.crown].join(", ");
    let at = [2.0 * RING + 1.2, RING + 0.5 * FIGURE.capitals];
    let note = shorten(&clean(&note), cells.width - at[0] - BESIDE, FIGURE.capitals, false);
    canvas.text(at, note, FIGURE, Anchor::Start);
    let text_left = cells.width - cells.text - BESIDE;
    let mut y = HEAD;
    for (caption, figure) in &filed.figures {
        y += FIGURE.line();
        canvas.text([text_left, y], caption, FIGURE, Anchor::Start);
        canvas.text([text_left + cells.text, y], figure, FIGURE, Anchor::End);
    }
    y += 1.5;
    for line in filed.words(cells.text) {
        y += WORD.line();
        canvas.text([text_left, y], line, WORD, Anchor::Start);
    }
    canvas
}

/// What stays, what goes, and where the crown was.
fn body(canvas: &mut Canvas, filed: &Filed, lean: &Leaning, low: f64) {
    let (cut, number) = (&filed.cut, filed.section.string.number);
    let place = |points: &[Point]| -> Vec<Point> { points.iter().map(|[b, v]| lean.at(*b, v.max(low))).collect() };
    let (before, after) = (place(&cut.before), place(&cut.after));
    let thickness = cut.after.last().map_or(0.0, |p| p[0]);
    let ends = [lean.at(thickness, low), lean.at(0.0, low)];
    let mut stays = vec![ends[1]];
    stays.extend(&after);
    stays.push(ends[0]);
    hatch(canvas, &stays);
    canvas
        .path(stays, LineKind::Outline)
        .id(format!("filed-after-{number}"));
    let edge = if low > 0.0 { LineKind::Narrow } else { LineKind::Outline };
    broken(canvas, ends, edge);
    let goes = |i: usize| cut.before[i][1].max(low) > cut.after[i][1].max(low);
    let Some(first) = (0..before.len()).find(|i| goes(*i)) else {
        return;
    };
    let last = (0..before.len()).rev().find(|i| goes(*i)).unwrap_or(first);
    let (first, last) = (first.saturating_sub(1), (last + 1).min(before.len() - 1));
    let mut removed: Vec<Point> = before[first..=last].to_vec();
    removed.extend(after[first..=last].iter().rev());
    // Only the hatching that belongs to it.
    canvas.polygon(removed.clone(), None, Fill::Paper);
    cross_hatch(canvas, &removed);
    let mut was: Vec<Point> = before[first..=last].to_vec();
    // The faces that go with it.
    if last + 1 == before.len() {
        was.push(after[last]);
    }
    if first == 0 {
        was.insert(0, after[0]);
    }
    canvas.path(was, LineKind::Hidden).id(format!("filed-before-{number}"));
    canvas.path(after[first..=last].to_vec(), LineKind::Outline);
}

/// The lower end: broken off, or the bottom edge.
fn broken(canvas: &mut Canvas, [back, front]: [Point; 2], kind: LineKind) {
    if kind == LineKind::Outline {
        canvas.line(front, back, kind);
        return;
    }
    let (dx, dy) = (back[0] - front[0], back[1] - front[1]);
    let length = math::hypot(dx, dy).max(1e-9);
    let side = [-dy / length, dx / length];
    let on = |t: f64, out: f64| [front[0] + t * dx + out * side[0], front[1] + t * dy + out * side[1]];
    // ISO 128-2: a narrow line with a zigzag.
    let zigzag = [
        on(0.0, 0.0),
        on(0.42, 0.0),
        on(0.47, -0.9),
        on(0.53, 0.9),
        on(0.58, 0.0),
        on(1.0, 0.0),
    ];
    canvas.path(zigzag.to_vec(), kind);
}

/// The string before and after, up to where it ends, and the marks on its ends.
fn strings(canvas: &mut Canvas, filed: &Filed, lean: &Leaning, x: f64, number: u32) {
    let start = x - RUN;
    let mut one = |contact: BlankPoint, rise: f64, kind: LineKind, id: &str| {
        let end = lean.at(contact.b, contact.v);
        let from = [start, end[1] + rise * (end[0] - start)];
        canvas.line(from, end, kind).id(format!("filed-string-{id}-{number}"));
        end
    };
    let old = one(filed.from, filed.rises.0, LineKind::Hidden, "before");
    let new = filed.to.map(|to| one(to, filed.rises.1, LineKind::Narrow, "after"));
    canvas
        .circle(old, MARK, Some(LineKind::Narrow), Fill::Paper)
        .id(format!("filed-from-{number}"));
    if let Some(new) = new {
        canvas
            .circle(new, MARK, None, Fill::Ink)
            .id(format!("filed-to-{number}"));
    }
}

/// The lean between the front face and the normal of the fret plane, with its figure below the section.
fn lean_mark(canvas: &mut Canvas, filed: &Filed, lean: &Leaning, low: f64, [middle, foot]: Point) {
    let apex = lean.at(0.0, low);
    let face = lean.at(0.0, filed.cut.after.first().map_or(low, |p| p[1].max(low)));
    let tall = (0.9 * (apex[1] - face[1])).max(4.0);
    canvas.line(apex, [apex[0], apex[1] - tall], LineKind::Centre);
    let radius = 0.75 * tall;
    let arc = (0..=12).map(|i| {
        let (sin, cos) = math::sin_cos(filed.lean * f64::from(i) / 12.0);
        [apex[0] - radius * sin, apex[1] - radius * cos]
    });
    canvas.path(arc.collect(), LineKind::Narrow);
    let degrees = numerics::fixed(filed.lean.to_degrees(), 1);
    let at = [middle, foot + 1.8 + FIGURE.capitals];
    canvas.text(at, format!("lean {degrees}°"), FIGURE, Anchor::Middle);
}

/// What stands over the cells.
pub(crate) fn heading(plan: &Plan, scale: f64) -> (String, String) {
    let side = if plan.left_handed { "treble" } else { "bass" };
    (
        format!("Before and after the file, {scale}:1"),
        format!(
            "Seen from the {side} side, nut to the left. Dashed and ring: before. Full line and dot: after. Cross-hatched: what goes at least, cut down to the planned fall. Lengths: mm, bench unit in brackets."
        ),
    )
}
