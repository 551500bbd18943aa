//! The front view at true size: silhouette of the crown, stations with their heights.

use super::above::sides;
use super::{Along, Scene, contact, heading, mouth};
use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, PartZero};
use crate::dimension::{linear, room_below};
use crate::outline::silhouette;
use saddle::Plan;

/// How far the bridge top is drawn beyond the ends, mm.
const BEYOND: f64 = 3.0;

/// Draws the view; answers the y where it ends.
pub(crate) fn front(canvas: &mut Canvas, scene: &Scene, along: Along, top: f64) -> f64 {
    let (plan, figures) = (scene.plan, scene.figures);
    let mut small = "Figures: up from the bottom edge to the contact.".to_owned();
    if plan.mouth.is_some() {
        small += " Dashed: bridge top.";
    }
    if plan.blank.height > scene.crest() {
        small += " Double-dotted: blank before shaping.";
    }
    let figures_top = top
        + heading(
            canvas,
            top,
            "From the front (seen from the nut), 1:1",
            &small,
            scene.width(),
        );
    let row = scene.row(along, true, |s| vec![figures.one(s.contact.v)]);
    let raw = plan.blank.height.max(scene.crest());
    let bottom = figures_top + row.height + 1.0 + raw;
    let at = |u: f64, v: f64| [along.x(u), bottom - v];
    row.draw(canvas, figures_top, |_| bottom);
    let (left, right) = sides(plan, along);
    if plan.blank.height > scene.crest() {
        let y = bottom - plan.blank.height;
        let corners = vec![
            at(plan.ends.0, silhouette(plan, plan.ends.0)),
            [along.x(plan.ends.0), y],
            [along.x(plan.ends.1), y],
            at(plan.ends.1, silhouette(plan, plan.ends.1)),
        ];
        canvas.path(corners, LineKind::Before);
    }
    canvas
        .polygon(
            scene
                .shape
                .front
                .iter()
                .map(|p| [along.part(p[0]), bottom - p[1]])
                .collect(),
            Some(LineKind::Outline),
            Fill::None,
        )
        .id("outline-front")
        .zero(PartZero {
            u0_x: along.zero,
            v0_y: bottom,
            u_sign: along.sign,
        });
    for string in &plan.strings {
        let place = at(string.contact.u, string.contact.v);
        contact(canvas, place, string, Some(format!("station-{}", string.number)));
    }
    side_words(canvas, plan, along, bottom);
    let figure = figures.one(right - left);
    linear(
        canvas,
        [left, bottom],
        [right, bottom],
        -6.0,
        &figure,
        Lettering::FIGURE,
    );
    bottom + room_below(right - left, &figure, Lettering::FIGURE)
}

/// Names of the ends, and the bridge top.
fn side_words(canvas: &mut Canvas, plan: &Plan, along: Along, bottom: f64) {
    let (left, right) = sides(plan, along);
    let [at_left, at_right] = if along.sign < 0.0 {
        ["TREBLE", "BASS"]
    } else {
        ["BASS", "TREBLE"]
    };
    // Below the bottom edge, where the bridge top does not come.
    let lettering = Lettering::SMALL_BOLD;
    let y = bottom + 1.6 + lettering.capitals;
    canvas.text([left - 2.0, y], at_left, lettering, Anchor::End);
    canvas.text([right + 2.0, y], at_right, lettering, Anchor::Start);
    let ends = [plan.ends.0 - BEYOND, plan.ends.1 + BEYOND];
    let [Some(a), Some(b)] = ends.map(|u| mouth(plan, u)) else {
        return;
    };
    let places = [[along.x(ends[0]), bottom - a], [along.x(ends[1]), bottom - b]];
    canvas.line(places[0], places[1], LineKind::Hidden).id("bridge-top");
    let y = if along.sign < 0.0 { places[1][1] } else { places[0][1] };
    let y = (y + 0.5 * Lettering::SMALL.capitals).min(bottom + 1.0);
    canvas.text([left - BEYOND - 1.0, y], "bridge top", Lettering::SMALL, Anchor::End);
}
