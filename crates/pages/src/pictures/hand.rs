//! The crown under the file: the section as it stands, and the contact where it would be moved to.

use instrument::BlankPoint;
use saddle::filing::{Standing, Stroke};
use saddle::{Plan, StringPlan};

use super::pen::{Pen, escaped};

/// Width and height, user units.
const WIDE: f64 = 360.0;
const TALL: f64 = 250.0;
/// How much of the blank below the contact is shown, mm.
const BELOW: f64 = 2.2;
/// And above it, mm.
const ABOVE: f64 = 0.9;
/// Points of the present crown.
const POINTS: u32 = 80;

/// The picture. The grip carries how many user units one millimetre toward the nut is, for dragging.
#[must_use]
pub fn filing(plan: &Plan, string: &StringPlan, standing: &Standing, stroke: Option<&Stroke>) -> String {
    let thick = plan.blank.thickness;
    let u = standing.contact().u;
    let side = |p: BlankPoint| {
        let place = plan.frame.to_fret(p);
        [place.x, place.z]
    };
    let now = side(standing.contact());
    let top: Vec<[f64; 2]> = (0..=POINTS)
        .map(|i| thick * f64::from(i) / f64::from(POINTS))
        .map(|b| (b, standing.surface(b, u)))
        .filter(|(_, v)| v.is_finite())
        .map(|(b, v)| side(BlankPoint { b, u, v }))
        .collect();
    // The cut goes on below the picture.
    let low = standing.contact().v - 3.0 * BELOW;
    let feet = [thick, 0.0].map(|b| side(BlankPoint { b, u, v: low }));
    let across = feet.iter().chain(&top).map(|p| p[0]);
    let (x0, x1) = (
        across.clone().fold(f64::INFINITY, f64::min),
        across.fold(f64::NEG_INFINITY, f64::max),
    );
    let scale = ((WIDE - 90.0) / (x1 - x0).max(0.5)).min((TALL - 30.0) / (ABOVE + BELOW));
    let left = 0.5 * (WIDE - scale * (x1 - x0)) + 10.0;
    let at = |[x, z]: [f64; 2]| [left + scale * (x - x0), 14.0 + scale * (now[1] + ABOVE - z)];
    let mut pen = Pen::new(
        "hand",
        WIDE,
        TALL,
        &format!("String {} on the crown as it stands", string.number),
    );
    pen.path("body", feet.iter().chain(&top).map(|p| at(*p)), true);
    let nut = at([string.nut.x, string.nut.z]);
    pen.line("string", nut, at(now));
    pen.circle("ring", at(now), 4.0);
    let there = stroke.map_or(now, |stroke| side(stroke.contact));
    if stroke.is_some() {
        pen.line("string then", nut, at(there));
    }
    let [x, y] = at(there);
    pen.open(&format!("g class=\"grip\" data-unit=\"{scale:.4}\""));
    pen.circle("touch", [x, y], 22.0);
    pen.circle("dot", [x, y], 5.0);
    pen.raw_path("dim", &format!("M{:.2} {y:.2}h-10M{:.2} {y:.2}h10", x - 8.0, x + 8.0));
    pen.head([x - 20.0, y], [x, y]);
    pen.head([x + 20.0, y], [x, y]);
    pen.close("g");
    pen.text("t small", [4.0, 12.0], "to the nut");
    pen.text("t small end", [WIDE - 4.0, 12.0], &escaped("to the tail"));
    pen.done()
}
