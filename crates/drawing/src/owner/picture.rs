//! The saddle in its slot under the outer strings, seen from the treble side with the nut to the left, enlarged.

use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::figures::Figures;
use crate::text::wrap;
use crate::views::mouth;
use assess::Assessment;
use instrument::BlankPoint;
use numerics::math;
use saddle::{Plan, StringPlan};

/// Bridge drawn in front of the slot and behind it, mm of the instrument.
const AROUND: (f64, f64) = (6.0, 13.0);
/// Wood drawn under the slot, mm of the instrument.
const UNDER: f64 = 2.5;
/// Chords of the rounding.
const CHORDS: u32 = 12;
/// Air above the saddle and below the bridge, mm.
const AIR: f64 = 2.0;

/// Two pictures side by side, so many mm wide together and so many times enlarged; `None` if the depth of the slot is not known.
pub(super) fn pictures(plan: &Plan, found: &Assessment, figures: Figures, [width, scale]: [f64; 2]) -> Option<Block> {
    let (bass, treble) = (plan.strings.first()?, plan.strings.last()?);
    let one = plan.strings.len() == 1;
    let cell = if one { width } else { 0.5 * width };
    let mut canvas = Canvas::default();
    let head = Lettering::BODY_BOLD;
    canvas.text(
        [0.0, head.capitals],
        format!("A saddle for the wanted strings, from the side; {}", figures.name()),
        head,
        Anchor::Start,
    );
    let mut height: f64 = 0.0;
    let ends = [(bass, "Bass", 0), (treble, "Treble", 1)];
    for (i, &(string, side, end)) in ends.iter().take(if one { 1 } else { 2 }).enumerate() {
        let block = picture(plan, found, figures, (string, side, end), [cell, scale])?;
        height = height.max(block.height);
        canvas.place(block.canvas, [if i == 0 { 0.0 } else { cell }, head.line() + 1.0]);
    }
    Some(Block {
        canvas,
        width,
        height: height + head.line() + 1.0,
    })
}

fn picture(
    plan: &Plan,
    found: &Assessment,
    figures: Figures,
    (string, side, end): (&StringPlan, &str, usize),
    [width, scale]: [f64; 2],
) -> Option<Block> {
    let frame = &plan.frame;
    let u = string.contact.u;
    let exposure = string.exposure?;
    let mouth_v = mouth(plan, u).unwrap_or(string.contact.v - exposure);
    let place = |b: f64, v: f64| frame.to_fret(BlankPoint { b, u, v });
    let at_mouth = place(0.0, mouth_v);
    let slot = plan.blank.thickness + found.clearance.as_ref().map_or(0.0, |c| c.clearance.max(0.0));
    let profile: Vec<(f64, f64)> = plan.crown.section(u).outline(CHORDS);
    let crest = profile.iter().map(|p| p.1).fold(mouth_v, f64::max);
    let above = scale * (crest - mouth_v).max(0.0) + AIR;
    let left = 0.5 * (width - scale * (AROUND.0 + AROUND.1));
    let text = Lettering::SMALL;
    let top = text.line() + 1.0 + above;
    // From the fret frame to the sheet, the mouth at a fixed place.
    let sheet = |x: f64, z: f64| -> Point {
        [
            left + scale * (AROUND.0 + x - at_mouth.x),
            top - scale * (z - at_mouth.z),
        ]
    };
    let blank = |b: f64, v: f64| {
        let p = place(b, v);
        sheet(p.x, p.z)
    };
    let mut canvas = Canvas::default();
    canvas.text(
        [0.5 * width, text.capitals],
        format!("{side}: string {} {}", string.number, string.note),
        Lettering::SMALL_BOLD,
        Anchor::Middle,
    );
    // The bridge: its top on both sides of the slot, the slot's walls and floor, and its underside.
    let (front, back) = (at_mouth.x - AROUND.0, at_mouth.x + AROUND.1);
    let floor = UNDER + mouth_v.max(0.0);
    let rear = {
        let p = place(slot, mouth_v);
        // Up or down the back wall to the bridge top.
        let along = (at_mouth.z - p.z) / frame.e_v.z;
        blank(slot, mouth_v + along)
    };
    let bottom = at_mouth.z - floor;
    canvas
        .polygon(
            vec![
                sheet(front, bottom),
                sheet(front, at_mouth.z),
                blank(0.0, mouth_v),
                blank(0.0, 0.0),
                blank(slot, 0.0),
                rear,
                sheet(back, at_mouth.z),
                sheet(back, bottom),
            ],
            Some(LineKind::Outline),
            Fill::None,
        )
        .id(format!("bridge-{}", side.to_lowercase()));
    // The saddle.
    let mut outline: Vec<Point> = vec![blank(0.0, 0.0)];
    outline.extend(profile.iter().map(|&(b, v)| blank(b, v)));
    outline.push(blank(plan.blank.thickness, 0.0));
    canvas
        .polygon(outline, Some(LineKind::Outline), Fill::Paper)
        .id(format!("saddle-{}", side.to_lowercase()));
    // The string: from the nut's side to the contact, and on to where it leaves.
    let contact = sheet(string.position.x, string.position.z);
    let from = sheet(front, string.line.z(front));
    let leaves = found
        .paths
        .as_ref()
        .and_then(|paths| paths.iter().find(|p| p.number == string.number))
        .map_or(0.0, |p| p.leaves);
    // It ends where it meets the bridge top, or at the edge of the picture.
    let (reach, fall) = (back - string.position.x, math::tan(leaves));
    let run = if fall > 0.0 {
        reach.min((string.position.z - at_mouth.z).max(0.0) / fall)
    } else {
        reach
    };
    let to = sheet(string.position.x + run, string.position.z - run * fall);
    canvas.path(vec![from, contact, to], LineKind::Narrow);
    // The straightedge on the frets.
    let mut lines = wrapped(&format!("stands out {}", figures.one(exposure)), width);
    if let Some(neck) = &found.neck {
        let now = neck.now[end];
        let height = (at_mouth.z + now).clamp(bottom, at_mouth.z + crest - mouth_v);
        let [x0, y] = sheet(front, height);
        let [x1, _] = sheet(at_mouth.x - 0.3, height);
        canvas.line([x0, y], [x1, y], LineKind::Hidden);
        let way = if now < 0.0 { "below" } else { "above" };
        let words = format!("line of the frets (dashed) {} {way} the bridge", figures.one(now.abs()));
        lines.extend(wrapped(&words, width));
    }
    let mut y = top + scale * floor + AIR;
    for line in lines {
        canvas.text([0.5 * width, y + text.capitals], line, text, Anchor::Middle);
        y += text.line();
    }
    Some(Block {
        canvas,
        width,
        height: y,
    })
}

/// Words under a picture, inside its cell.
fn wrapped(words: &str, width: f64) -> Vec<String> {
    let text = Lettering::SMALL;
    wrap(words, width - AIR, text.capitals, text.bold)
}
