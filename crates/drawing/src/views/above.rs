//! The view from above: the ridge across the thickness.

use super::{Along, Scene, contact, heading, short};
use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, Point};
use crate::dimension::{ARROW, arrow, linear};
use saddle::{Hold, Plan};

/// Factors for the enlargement across, largest first; the first that keeps the view below [`ENLARGED`] is taken.
const FACTORS: [u32; 5] = [10, 5, 4, 3, 2];
/// Greatest height of the enlarged view, mm.
const ENLARGED: f64 = 18.0;

/// Draws outline and ridge; `at` places `(x, b)` of the part.
fn view(canvas: &mut Canvas, scene: &Scene, at: &impl Fn(f64, f64) -> Point, id: &str) {
    let corners = scene.shape.top.iter().map(|p| at(p[0], p[1])).collect();
    canvas
        .polygon(corners, Some(LineKind::Outline), Fill::None)
        .id(format!("outline-{id}"));
    let ridge = scene.shape.ridge.iter().map(|p| at(p[0], p[1])).collect();
    canvas.path(ridge, LineKind::Narrow).id(format!("ridge-{id}"));
}

/// Enlarged across, with b at every station unless it is `bare`; answers the y where it ends.
pub(crate) fn enlarged(canvas: &mut Canvas, scene: &Scene, along: Along, top: f64, bare: bool) -> f64 {
    let (plan, figures) = (scene.plan, scene.figures);
    let (t, land) = (plan.blank.thickness, plan.blank.land);
    let factor = FACTORS
        .into_iter()
        .find(|f| f64::from(*f) * t <= ENLARGED)
        .map_or(1.0, f64::from);
    let figure = if bare {
        "b, back from the front face: see the table."
    } else {
        "Figures: back from the front face."
    };
    let small = format!("{figure} Chain lines: land {}.", figures.show(land));
    let title = format!("From above, {factor:.0}:1 across, 1:1 along");
    let row = if bare {
        scene.row(along, false, |_| Vec::new())
    } else {
        scene.row(along, true, |s| vec![figures.one(s.contact.b)])
    };
    let figures_top = top + heading(canvas, top, &title, &small, scene.width());
    let back = figures_top + row.height + 2.0;
    let front = back + factor * t;
    let at = |u: f64, b: f64| [along.x(u), front - factor * b];
    row.draw(canvas, figures_top, |_| front);
    for b in [land, t - land] {
        let ends = [plan.ends.0, plan.ends.1].map(|u| at(u, b));
        canvas.line(ends[0], ends[1], LineKind::Centre);
    }
    let part = |x: f64, b: f64| [along.part(x), front - factor * b];
    view(canvas, scene, &part, "above-enlarged");
    for string in &plan.strings {
        let place = at(string.contact.u, string.contact.b);
        contact(
            canvas,
            place,
            string,
            Some(format!("station-above-enlarged-{}", string.number)),
        );
        if string.hold != Hold::Free {
            let up = -short(string).signum();
            arrow(canvas, [place[0], place[1] + up * (1.2 + ARROW)], [0.0, up]);
        }
    }
    let (left, right) = sides(plan, along);
    // The figures lie, because they are longer than the line.
    linear(canvas, [right, front], [right, back], -5.0, "", Lettering::FIGURE);
    let y = 0.5 * (front + back);
    canvas.text([right + 6.0, y + 1.3], figures.one(t), Lettering::FIGURE, Anchor::Start);
    words(canvas, left, front, back);
    front + 3.4
}

/// x of the left and the right end.
pub(crate) fn sides(plan: &Plan, along: Along) -> (f64, f64) {
    let (a, b) = (along.x(plan.ends.0), along.x(plan.ends.1));
    (a.min(b), a.max(b))
}

fn words(canvas: &mut Canvas, left: f64, front: f64, back: f64) {
    let (lettering, anchor) = (Lettering::SMALL, Anchor::End);
    canvas.text([left - 1.5, back + lettering.capitals], "back", lettering, anchor);
    canvas.text([left - 1.5, front], "front", lettering, anchor);
}

/// At true size; answers the y where it ends.
pub(crate) fn true_size(canvas: &mut Canvas, scene: &Scene, along: Along, top: f64) -> f64 {
    let plan = scene.plan;
    let back = top + heading(canvas, top, "From above, 1:1", "", scene.width()) + 1.0;
    let front = back + plan.blank.thickness;
    let at = |u: f64, b: f64| [along.x(u), front - b];
    let part = |x: f64, b: f64| [along.part(x), front - b];
    view(canvas, scene, &part, "above");
    for string in &plan.strings {
        let [x, y] = at(string.contact.u, string.contact.b);
        let id = format!("station-above-{}", string.number);
        canvas.circle([x, y], 0.3, None, Fill::Ink).id(id);
        canvas.line([x, front + 0.6], [x, front + 2.0], LineKind::Narrow);
    }
    front + 2.0
}
