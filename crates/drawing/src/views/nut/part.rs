//! The nut from above and from the front, both enlarged alike.

use super::{NutScene, View};
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::dimension::{ARROW, linear, room_below};
use crate::figures::Figures;
use crate::views::heading;

/// Radius of the mark on a floor, mm.
const DOT: f64 = 0.35;
/// Between the two views, mm.
const BETWEEN: f64 = 5.0;

/// Both views, the one from above over the one from the front.
pub(crate) fn views(scene: &NutScene, scale: f64) -> Block {
    let view = scene.view(scale);
    let mut canvas = Canvas::default();
    let y = above(&mut canvas, scene, view, 0.0);
    let height = front(&mut canvas, scene, view, y + BETWEEN);
    Block {
        canvas,
        width: scene.width(scale),
        height,
    }
}

/// From above: the frets below, the tuners above. Answers the y where it ends.
fn above(canvas: &mut Canvas, scene: &NutScene, view: View, top: f64) -> f64 {
    let (plan, figures) = (scene.plan, scene.figures);
    let t = plan.blank.thickness;
    let mut small = "Figures: along, from the bass end of the blank. Double-dotted: blank.".to_owned();
    if plan.front_x > 0.0 {
        small += " Dashed: end of the board, below.";
    }
    let title = format!("From above, {scale:.0}:1, the frets below", scale = view.scale);
    let width = scene.width(view.scale);
    let figures_top = top + heading(canvas, top, &title, &small, width);
    let row = scene.row(view, |s| vec![figures.one(s.u)]);
    let front = figures_top + row.height + 1.0 + view.scale * t;
    let at = |u: f64, b: f64| view.at(u, b, front);
    row.draw(canvas, figures_top, |_| front - view.scale * t);
    let [start, end] = plan.ends;
    let rectangle = |a: f64, b: f64| vec![at(a, 0.0), at(b, 0.0), at(b, t), at(a, t)];
    if plan.blank.length > end - start + 1e-6 {
        canvas.polygon(rectangle(0.0, plan.blank.length), Some(LineKind::Before), Fill::None);
    }
    canvas
        .polygon(rectangle(start, end), Some(LineKind::Outline), Fill::None)
        .id("nut-outline-above");
    if plan.front_x > 0.0 {
        canvas.line(at(start, plan.front_x), at(end, plan.front_x), LineKind::Hidden);
    }
    for s in &plan.strings {
        let back = plan.centre + s.back_y;
        canvas
            .line(at(s.u, s.b), at(back, t), LineKind::Outline)
            .id(format!("nut-slot-above-{}", s.number));
        // The bearing edge, as wide as the slot and a little more.
        let half = 0.5 * s.width + 0.3;
        canvas.line(at(s.u - half, s.b), at(s.u + half, s.b), LineKind::Narrow);
    }
    let (left, right) = scene.sides(view);
    upright(canvas, figures, t, view.scale, [right, front]);
    let back = front - view.scale * t;
    let words = Lettering::SMALL;
    canvas.text([left - 1.5, back + words.capitals], "tuners", words, Anchor::End);
    // A thin nut leaves no room for both words beside it.
    let below = front.max(back + words.capitals + words.line());
    canvas.text([left - 1.5, below], "frets", words, Anchor::End);
    front + 2.0
}

/// From the front: seat below. Answers the y where it ends.
fn front(canvas: &mut Canvas, scene: &NutScene, view: View, top: f64) -> f64 {
    let (plan, figures) = (scene.plan, scene.figures);
    let small = "Figures: up, from the seat (bottom line) up to the floor. Dashed: board. Double-dotted: blank.";
    let title = format!("From the front (seen from the frets), {:.0}:1", view.scale);
    let figures_top = top + heading(canvas, top, &title, small, scene.width(view.scale));
    let row = scene.row(view, |s| vec![figures.one(s.floor)]);
    let crest = scene.crest();
    let raw = plan.blank.height.max(crest);
    let bottom = figures_top + row.height + 1.0 + view.scale * raw;
    let at = |u: f64, v: f64| view.at(u, v, bottom);
    row.draw(canvas, figures_top, |_| bottom - view.scale * raw);
    let (blank, [start, end]) = (&plan.blank, plan.ends);
    let corners = vec![
        at(0.0, 0.0),
        at(0.0, blank.height),
        at(blank.length, blank.height),
        at(blank.length, 0.0),
    ];
    canvas.polygon(corners, Some(LineKind::Before), Fill::None);
    let outline = scene.outline(true).into_iter().map(|[u, v]| at(u, v)).collect();
    canvas
        .polygon(outline, Some(LineKind::Outline), Fill::None)
        .id("nut-outline-front");
    let mut board = vec![(start, plan.strings.first()), (end, plan.strings.last())];
    let mut surface: Vec<_> = plan.strings.iter().map(|s| at(s.u, s.board)).collect();
    if let (Some((u, Some(s))), Some((w, Some(r)))) = (board.first().copied(), board.pop()) {
        surface.insert(0, at(u, s.board));
        surface.push(at(w, r.board));
    }
    canvas.path(surface, LineKind::Hidden).id("nut-board");
    for s in &plan.strings {
        let place = at(s.u, s.floor);
        // From the blank's top down to the floor.
        canvas.line([place[0], bottom - view.scale * raw], place, LineKind::Narrow);
        canvas
            .circle(place, DOT, None, Fill::Ink)
            .id(format!("nut-station-{}", s.number))
            .data("string", s.number.to_string());
    }
    let (left, right) = scene.sides(view);
    upright(canvas, figures, blank.height, view.scale, [right, bottom]);
    let [at_left, at_right] = scene.end_words();
    let y = bottom + 1.6 + Lettering::SMALL_BOLD.capitals;
    canvas.text([left - 2.0, y], at_left, Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([right + 2.0, y], at_right, Lettering::SMALL_BOLD, Anchor::Start);
    let (a, b) = (view.x(start), view.x(end));
    let figure = figures.one(end - start);
    linear(
        canvas,
        [a.min(b), bottom],
        [a.max(b), bottom],
        -6.0,
        &figure,
        Lettering::FIGURE,
    );
    bottom + room_below((b - a).abs(), &figure, Lettering::FIGURE)
}

/// A measure of `mm` up from the corner `[x, y]`, its figures beside it; one that is too short has figures alone.
fn upright(canvas: &mut Canvas, figures: Figures, mm: f64, scale: f64, [x, y]: Point) {
    let long = scale * mm;
    if long >= 4.5 * ARROW {
        // The figures lie, because they are longer than the line.
        linear(canvas, [x, y], [x, y - long], -5.0, "", Lettering::FIGURE);
    }
    let middle = y - 0.5 * long;
    canvas.text(
        [x + 6.0, middle + 1.3],
        figures.one(mm),
        Lettering::FIGURE,
        Anchor::Start,
    );
}
