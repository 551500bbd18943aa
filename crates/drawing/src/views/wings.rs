//! The blended ends of a through saddle: the line on the patterns, and a template of each end at true size.

use super::{Along, Scene, heading};
use crate::canvas::{Anchor, Block, Canvas, Lettering, LineKind, PartZero, Point};
use crate::outline::from_front;
use saddle::WingEnd;

/// How much of the crown a template takes in beyond the place where the contour meets it, mm.
const SHOULDER: f64 = 3.0;
/// Between two templates, and room beside each for its name, mm.
const BESIDE: f64 = 16.0;

/// What is said of the line on the patterns; empty where no end is blended.
pub(crate) fn words(scene: &Scene) -> &'static str {
    if scene.plan.blank.blended().is_some() {
        " Chain line: the ends are blended to it last; leave them proud until the height is final."
    } else {
        ""
    }
}

/// The finished part's front outline from an end to the place `reach` mm beyond where its contour meets the crown, as u and v, the end first.
fn line(scene: &Scene, met: &WingEnd, reach: f64) -> Vec<[f64; 2]> {
    let (start, end) = scene.plan.ends;
    let bass = met.end == "bass";
    let (from, to) = if bass {
        (start, (met.u + reach).min(end))
    } else {
        ((met.u - reach).max(start), end)
    };
    let sign = from_front(scene.plan, 1.0);
    let top = scene.shape.front.iter().filter(|p| p[1] > 0.0);
    let mut line: Vec<[f64; 2]> = top
        .map(|p| [sign * p[0], p[1]])
        .filter(|p| p[0] >= from && p[0] <= to)
        .collect();
    line.sort_by(|a, b| a[0].total_cmp(&b[0]));
    if !bass {
        line.reverse();
    }
    line
}

/// The lines to which the ends are blended, on a pattern; `at` places u and v.
pub(crate) fn blend(canvas: &mut Canvas, scene: &Scene, at: &impl Fn(f64, f64) -> Point, id: &str) {
    for met in scene.plan.wing_ends().iter().flatten() {
        let points = line(scene, met, 0.0).into_iter().map(|[u, v]| at(u, v)).collect();
        canvas
            .path(points, LineKind::Centre)
            .id(format!("blend-{id}-{}", met.end));
    }
}

/// A template for each end, seen from the front: to be cut out of card and laid on the end.
pub(crate) fn templates(scene: &Scene) -> Option<Block> {
    let plan = scene.plan;
    let mut ends = plan.wing_ends()?;
    let sign = from_front(plan, 1.0);
    if sign < 0.0 {
        // From left to right, as seen from the front.
        ends.reverse();
    }
    let mut canvas = Canvas::default();
    let lines = ends.map(|met| (met, line(scene, &met, SHOULDER)));
    let high = lines
        .iter()
        .flat_map(|(_, line)| line)
        .map(|p| p[1])
        .fold(0.0, f64::max);
    let small = "Cut them out of card and lay each on the front face, flush with the end and the bottom edge. Blend the end down to its slope last of all.";
    let top = heading(
        &mut canvas,
        0.0,
        "Templates for the ends, seen from the front, 1:1",
        small,
        scene.width(),
    );
    let bottom = top + 2.0 + high;
    let mut left = BESIDE;
    for (met, line) in lines {
        let (Some(first), Some(last)) = (line.first(), line.last()) else {
            continue;
        };
        let long = (last[0] - first[0]).abs();
        let along = Along::from_left(left, sign, [first[0], last[0]]);
        let at = |u: f64, v: f64| [along.x(u), bottom - v];
        let sides = vec![
            at(first[0], first[1]),
            at(first[0], 0.0),
            at(last[0], 0.0),
            at(last[0], last[1]),
        ];
        canvas.path(sides, LineKind::Narrow);
        let slope = line.iter().map(|p| at(p[0], p[1])).collect();
        canvas
            .path(slope, LineKind::Narrow)
            .id(format!("template-{}", met.end))
            .zero(PartZero {
                u0_x: along.zero,
                v0_y: bottom,
                u_sign: along.sign,
            });
        let name = met.end.to_uppercase();
        let outward = along.x(first[0]) <= along.x(last[0]);
        let (x, anchor) = if outward {
            (left - 2.0, Anchor::End)
        } else {
            (left + long + 2.0, Anchor::Start)
        };
        canvas.text([x, bottom], name, Lettering::SMALL_BOLD, anchor);
        left += long + 2.0 * BESIDE;
    }
    Some(Block {
        canvas,
        width: scene.width().max(left - BESIDE),
        height: bottom + 1.0,
    })
}
