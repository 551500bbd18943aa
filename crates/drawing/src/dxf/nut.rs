//! The nut as a DXF drawing, written as the saddle's is.

use super::document::{NOTE_HEIGHT, NUMBER_DROP, NUMBER_HEIGHT, VIEW_GAP, finished, new_body};
use crate::DrawingError;
use crate::cautions;
use crate::figures::Figures;
use crate::views::nut::NutScene;
use nut::NutPlan;
use units::BenchUnit;
use work::Hazards;

/// DXF of a nut of a material with these hazards, in mm at full size, as seen from the front (from the frets): x = 0 on the centre line, y = 0 at the seat.
///
/// Layers: `OUTLINE` the finished nut from the front, with its slots; `TOP` the blank from above, its front face `VIEW_GAP` above
/// the front view's highest point, and the slots' lines from bearing edge to back; `STATIONS` a vertical line from the seat to each
/// floor with the string's number below; `NOTES` units, scale and cautions.
///
/// # Errors
/// [`DrawingError::NotFinite`] if a place is not a number.
pub fn nut_dxf(plan: &NutPlan, hazards: Hazards) -> Result<String, DrawingError> {
    let scene = NutScene {
        plan,
        names: &[],
        figures: Figures::new(BenchUnit::METRIC),
    };
    let outline = scene.outline(true);
    let t = plan.blank.thickness;
    let strings = plan.strings.iter().flat_map(|s| [s.u, s.b, s.floor, s.back_y]);
    let numbers = outline.iter().flatten().copied().chain(strings);
    if numbers.chain([t, plan.blank.length, plan.fall]).any(|v| !v.is_finite()) {
        return Err(DrawingError::NotFinite {
            sheet: "DXF of the nut".to_owned(),
        });
    }
    let sign = if plan.left_handed { -1.0 } else { 1.0 };
    let x = |u: f64| sign * (u - plan.centre);
    let front_face = scene.crest() + VIEW_GAP;
    let mut body = new_body();
    body.polyline("OUTLINE", true, outline.iter().map(|p| (x(p[0]), p[1], 0.0)));
    let half = 0.5 * plan.blank.length;
    let corners = [(-half, 0.0), (half, 0.0), (half, t), (-half, t)];
    body.polyline("TOP", true, corners.into_iter().map(|(x, b)| (x, front_face + b, 0.0)));
    for s in &plan.strings {
        let (from, to) = (x(s.u), x(plan.centre + s.back_y));
        body.line("TOP", [from, front_face + s.b], [to, front_face + t]);
        body.line("STATIONS", [from, 0.0], [from, s.floor]);
        let number = s.number.to_string();
        body.text("STATIONS", [from, -NUMBER_DROP], NUMBER_HEIGHT, true, &number);
    }
    let mut lines = vec!["Nut. Units: millimetres. Scale 1:1.".to_owned()];
    if plan.left_handed {
        lines.push("Left-handed: mirrored, treble at the left.".to_owned());
    }
    lines.extend([
        "Below: front view, seen from the frets.".to_owned(),
        format!("{VIEW_GAP:.0} mm over it: view from above, front face below."),
        format!(
            "Blank {:.2} long, {:.2} thick; slots fall {:.1} degrees.",
            plan.blank.length,
            t,
            plan.fall.to_degrees()
        ),
        "Slots are finished with gauged files, by hand.".to_owned(),
    ]);
    lines.extend(cautions::of_dxf(hazards));
    let mut y = front_face + t;
    for line in lines.iter().rev() {
        y += 1.8 * NOTE_HEIGHT;
        body.text("NOTES", [-half, y], NOTE_HEIGHT, false, line);
    }
    Ok(finished(&body, (-half, half), y))
}
