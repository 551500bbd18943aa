//! Patterns at true size, to cut out and glue on the blank. Their outlines are narrow lines, so that the cut is exact.

use super::above::sides;
use super::{Scene, heading, wings};
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::outline::silhouette;
use saddle::Plan;

/// Which face a pattern is glued on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Face {
    Front,
    Back,
}

/// Length of the ticks inside the outline, mm.
const TICK: f64 = 1.2;
const NUMBER: Lettering = Lettering::SMALL;

/// A face pattern: outline with the crown, the edge to which the top falls, and the stations.
pub(crate) fn face(scene: &Scene, face: Face) -> Block {
    let (plan, figures) = (scene.plan, scene.figures);
    let along = scene.along(face == Face::Back);
    let (title, edge_b, id) = match face {
        Face::Front => ("Pattern for the front face, 1:1", 0.0, "pattern-front"),
        Face::Back => ("Pattern for the back face, 1:1", plan.blank.thickness, "pattern-back"),
    };
    let small = match face {
        Face::Front => {
            "Cut to the middle of the line. Dashed: edge of this face once the top falls. Figures: along from the bass end."
        }
        Face::Back => "Cut to the middle of the line. Dashed: edge of this face once the top falls.",
    };
    let mut canvas = Canvas::default();
    let small = format!("{small}{}", wings::words(scene));
    let top = heading(&mut canvas, 0.0, title, &small, scene.width());
    let row = scene.row(along, false, |s| match face {
        Face::Front => vec![figures.one(s.contact.u - plan.ends.0)],
        Face::Back => Vec::new(),
    });
    let bottom = top + row.height + 1.0 + scene.crest();
    let at = |u: f64, v: f64| [along.x(u), bottom - v];
    row.draw(&mut canvas, top, |c| {
        let own = plan.strings.iter().find(|s| s.number == c.number);
        bottom - own.map_or(0.0, |s| silhouette(plan, s.contact.u)) - 0.6
    });
    let corners = scene
        .proud
        .front
        .iter()
        .map(|p| [along.part(p[0]), bottom - p[1]])
        .collect();
    canvas
        .polygon(corners, Some(LineKind::Narrow), Fill::None)
        .id(format!("outline-{id}"));
    wings::blend(&mut canvas, scene, &at, id);
    let edge = scene.proud.ridge.iter().map(|p| {
        let u = (along.part(p[0]) - along.zero) / along.sign;
        at(u, plan.crown.section(u).height(edge_b))
    });
    let edge = edge.collect();
    canvas.path(edge, LineKind::Hidden);
    stations(&mut canvas, plan, &at, id);
    let (left, right) = sides(plan, along);
    ends(&mut canvas, along.sign > 0.0, (left, right), bottom);
    Block {
        canvas,
        width: scene.width(),
        height: bottom + 1.0,
    }
}

/// Ticks at the crown and at the bottom edge, with the numbers between them where they fit.
fn stations(canvas: &mut Canvas, plan: &Plan, at: &impl Fn(f64, f64) -> Point, id: &str) {
    for s in &plan.strings {
        let (u, top) = (s.contact.u, silhouette(plan, s.contact.u));
        let foot = canvas.line(at(u, 0.0), at(u, TICK), LineKind::Narrow);
        foot.id(format!("station-{id}-{}", s.number));
        canvas.line(at(u, top), at(u, (top - 1.5 * TICK).max(0.0)), LineKind::Narrow);
    }
    let widest = plan
        .strings
        .iter()
        .map(|s| NUMBER.width(&s.number.to_string()))
        .fold(0.0, f64::max)
        + 0.6;
    // Neighbours in one tier are as many strings apart as there are tiers.
    let free = |tiers: usize| {
        let mut apart = plan.strings.windows(tiers + 1);
        apart.all(|w| (w[tiers].contact.u - w[0].contact.u).abs() >= widest)
    };
    // The outer ones stand clear of the ends.
    let to_end = plan
        .strings
        .iter()
        .map(|s| (s.contact.u - plan.ends.0).min(plan.ends.1 - s.contact.u));
    let clear = to_end.fold(f64::INFINITY, f64::min) >= 0.5 * widest;
    let tiers = if free(1) { 1 } else { 2 };
    let least = plan
        .strings
        .iter()
        .flat_map(|s| [0.0, plan.blank.thickness].map(|b| plan.crown.section(s.contact.u).height(b)))
        .fold(f64::INFINITY, f64::min);
    let pitch = NUMBER.capitals + 0.6;
    let room = least - 2.5 * TICK - 0.8;
    if !clear || !free(tiers) || room < pitch * if tiers == 1 { 1.0 } else { 2.0 } {
        return; // the rings over the pattern name the stations
    }
    for (s, tier) in plan.strings.iter().zip((0..tiers).cycle()) {
        let v = TICK + 0.5 + if tier == 0 { 0.0 } else { pitch };
        canvas.text(at(s.contact.u, v), s.number.to_string(), NUMBER, Anchor::Middle);
    }
}

fn ends(canvas: &mut Canvas, bass_left: bool, (left, right): (f64, f64), bottom: f64) {
    let [at_left, at_right] = if bass_left {
        ["BASS", "TREBLE"]
    } else {
        ["TREBLE", "BASS"]
    };
    canvas.text([left - 2.0, bottom], at_left, Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([right + 2.0, bottom], at_right, Lettering::SMALL_BOLD, Anchor::Start);
}

/// The strip for the top: ridge and lands at true size.
pub(crate) fn strip(scene: &Scene) -> Block {
    let plan = scene.plan;
    let along = scene.along(false);
    let mut canvas = Canvas::default();
    let top = heading(
        &mut canvas,
        0.0,
        "Strip for the top, 1:1",
        "Inner line: ridge. Ticks: strings. The front edge is below.",
        scene.width(),
    );
    let row = scene.row(along, false, |_| Vec::new());
    let back = top + row.height + 1.0;
    let front = back + plan.blank.thickness;
    let at = |u: f64, b: f64| [along.x(u), front - b];
    row.draw(&mut canvas, top, |_| back - 0.4);
    let corners = scene
        .shape
        .top
        .iter()
        .map(|p| [along.part(p[0]), front - p[1]])
        .collect();
    canvas
        .polygon(corners, Some(LineKind::Narrow), Fill::None)
        .id("outline-strip");
    let ridge = scene
        .shape
        .ridge
        .iter()
        .map(|p| [along.part(p[0]), front - p[1]])
        .collect();
    canvas.path(ridge, LineKind::Narrow).id("ridge-strip");
    for s in &plan.strings {
        let (u, b) = (s.contact.u, s.contact.b);
        canvas.line(at(u, (b - 0.6).max(0.0)), at(u, b + 0.6), LineKind::Narrow);
    }
    let (left, right) = sides(plan, along);
    ends(&mut canvas, along.sign > 0.0, (left, right), front);
    Block {
        canvas,
        width: scene.width(),
        height: front + 2.0,
    }
}
