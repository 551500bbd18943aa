//! The saddle as a DXF drawing in millimetres, for a cutter or another drawing program.
//!
//! Written by hand after Autodesk's published "DXF Reference" for AutoCAD 2000 (AC1015), with a handle on every object: the
//! oldest version that has both units and light polylines. It carries no date, so the same plan gives the same bytes.

mod document;
mod nut;

use numerics::math;
pub use nut::nut_dxf;

use crate::cautions;
use crate::outline::{Outlines, ShapeError, from_front, outlines};
use document::{NOTE_HEIGHT, NUMBER_DROP, NUMBER_HEIGHT, VIEW_GAP, finished, new_body};
use saddle::Plan;
use work::Hazards;

/// A flat between two roundings that is drawn, mm.
const LEAST_FLAT: f64 = 0.01;

/// DXF of the saddle that `plan` describes, of a material with these hazards, in mm at full size, in third angle as the sheets are: x to the right as seen
/// from the front (from the nut), x = 0 at u = 0, y = 0 at the bottom edge.
///
/// Layers: `OUTLINE` the front view, (x, v); `TOP` the view from above, its front face `VIEW_GAP` above the front view's
/// highest point and b running up; `RIDGE` the line that strings touch, in both views; `STATIONS` a vertical line from the
/// bottom edge to each contact with the string's number below, and a point at the contact in the view from above; `NOTES`
/// units, scale and cautions.
///
/// # Errors
/// [`ShapeError`] if the plan leaves no part to draw.
pub fn dxf(plan: &Plan, hazards: Hazards) -> Result<String, ShapeError> {
    let shape = outlines(plan)?;
    let highest = shape.front.iter().map(|p| p[1]).fold(0.0, f64::max);
    let thickness = plan.blank.thickness;
    let front_face = highest + VIEW_GAP;
    let mut body = new_body();
    body.polyline("OUTLINE", true, shape.front.iter().map(|p| (p[0], p[1], 0.0)));
    let above = top(plan, &shape)
        .into_iter()
        .map(|(x, b, bulge)| (x, front_face + b, bulge));
    body.polyline("TOP", true, above);
    body.polyline("RIDGE", false, shape.ridge.iter().map(|p| (p[0], p[2], 0.0)));
    body.polyline(
        "RIDGE",
        false,
        shape.ridge.iter().map(|p| (p[0], front_face + p[1], 0.0)),
    );
    for mark in &shape.stations {
        body.line("STATIONS", [mark.x, 0.0], [mark.x, mark.v]);
        body.point("STATIONS", [mark.x, front_face + mark.b]);
        let number = mark.number.to_string();
        body.text("STATIONS", [mark.x, -NUMBER_DROP], NUMBER_HEIGHT, true, &number);
    }
    let ends = [plan.ends.0, plan.ends.1].map(|u| from_front(plan, u));
    let (left, right) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let notes = notes(plan, hazards);
    let mut y = front_face + thickness;
    for note in notes.iter().rev() {
        y += 1.8 * NOTE_HEIGHT;
        body.text("NOTES", [left, y], NOTE_HEIGHT, false, note);
    }
    Ok(finished(&body, (left, right), y))
}

/// Outline from above as `(x, b, bulge of the side that follows)`, anticlockwise; the rounded ends of a drop-in blank are true arcs.
fn top(plan: &Plan, shape: &Outlines) -> Vec<(f64, f64, f64)> {
    let Some(radius) = plan.blank.end_radius() else {
        return shape.top.iter().map(|p| (p[0], p[1], 0.0)).collect();
    };
    let thickness = plan.blank.thickness;
    let (a, b) = (from_front(plan, plan.ends.0), from_front(plan, plan.ends.1));
    let (left, right) = (a.min(b), a.max(b));
    let (inner_left, inner_right) = (left + radius, right - radius);
    if 2.0 * radius > thickness - LEAST_FLAT {
        // A bulge of 1 is a half circle, anticlockwise.
        return vec![
            (inner_left, 0.0, 0.0),
            (inner_right, 0.0, 1.0),
            (inner_right, thickness, 0.0),
            (inner_left, thickness, 1.0),
        ];
    }
    // And of a quarter circle the tangent of a quarter of its turn.
    let quarter = math::tan(0.125 * std::f64::consts::PI);
    vec![
        (inner_left, 0.0, 0.0),
        (inner_right, 0.0, quarter),
        (right, radius, 0.0),
        (right, thickness - radius, quarter),
        (inner_right, thickness, 0.0),
        (inner_left, thickness, quarter),
        (left, thickness - radius, 0.0),
        (left, radius, quarter),
    ]
}

/// Lines of text, ASCII only.
fn notes(plan: &Plan, hazards: Hazards) -> Vec<String> {
    let blank = &plan.blank;
    let mut lines = vec!["Saddle. Units: millimetres. Scale 1:1.".to_owned()];
    if plan.left_handed {
        lines.push("Left-handed: mirrored, treble at the right.".to_owned());
    }
    lines.extend([
        "Below: front view, seen from the nut.".to_owned(),
        format!("{VIEW_GAP:.0} mm over it: view from above, front face below."),
        format!(
            "Blank {:.2} long, {:.2} thick; lean {:.2} degrees.",
            blank.length,
            blank.thickness,
            plan.lean.to_degrees()
        ),
        format!(
            "Front fall {:.1}, back fall {:.1} degrees; rounding {:.2}.",
            plan.crown.front_fall.to_degrees(),
            plan.crown.back_fall.to_degrees(),
            plan.crown.rounding
        ),
    ]);
    lines.extend(cautions::of_dxf(hazards));
    lines
}
