//! The crown in section before and after a stroke.

use super::given::FiledSection;
use crate::canvas::Point;
use instrument::BlankPoint;
use numerics::math;
use saddle::Plan;

/// Pieces that a crown is drawn with from front to back.
const PIECES: u32 = 96;
/// Blank shown below the lowest of the crown, mm at 1:1.
const BELOW: f64 = 0.9;
/// Most of the blank shown below the top of the crown, mm at 1:1.
const DEEPEST: f64 = 5.0;
/// A change of b smaller than this has no direction along the blank, mm.
const STILL: f64 = 1e-6;

/// Heights of the crown from front to back, in the string's own plane.
pub(super) struct Cut {
    /// `[b, v]`, mm.
    pub before: Vec<Point>,
    pub after: Vec<Point>,
    /// Lowest v that must be shown, mm; what lies below is cut off.
    pub low: f64,
}

/// The crown before and after; `rises`: of the string toward the tail, before and after.
pub(super) fn cut(plan: &Plan, section: &FiledSection, rises: (f64, f64)) -> Cut {
    let (from, to) = (section.standing.contact(), section.stroke.map(|s| s.contact));
    let shape = shape(plan, section, from, to);
    let (sin, cos) = math::sin_cos(plan.lean);
    // Whether a shape carries the string somewhere in front of or behind its end.
    let carries = |shape: &[Point], end: BlankPoint, rise: f64, front: bool| {
        let slope = (rise * cos - sin) / (cos + rise * sin);
        let beyond = |b: f64| if front { b < end.b } else { b > end.b };
        let mut over = shape.iter().map(|[b, v]| (*b, v - end.v - slope * (b - end.b)));
        over.any(|(b, over)| beyond(b) && over > STILL)
    };
    let falls = |shape: &[Point], top: BlankPoint, front: bool, back: bool| -> Vec<Point> {
        let fall = |b: f64| match b - top.b {
            d if d > 0.0 && back => top.v - math::tan(plan.crown.back_fall) * d,
            d if d < 0.0 && front => top.v + math::tan(plan.crown.front_fall) * d,
            _ => f64::INFINITY,
        };
        shape.iter().map(|[b, v]| [*b, v.min(fall(*b))]).collect()
    };
    let (forward, back) = (to.is_some_and(|to| to.b < from.b), to.is_some_and(|to| to.b > from.b));
    // Where the plain shape would carry the string elsewhere, the planned falls have been filed already; but not where
    // the stroke goes, for there the contact moves on the shape as it is.
    let filed = |front: bool| carries(&shape, from, rises.0, front);
    let before = falls(&shape, from, !forward && filed(true), !back && filed(false));
    let after = to.map_or_else(
        || before.clone(),
        // What stands between the new contact and the old one goes, and whatever would still carry the string elsewhere.
        |to| {
            let still = |front: bool| carries(&before, to, rises.1, front);
            falls(&before, to, back || still(true), forward || still(false))
        },
    );
    let top = before.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let lowest = after.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    let low = (lowest - BELOW).max(top - DEEPEST).max(0.0);
    Cut { before, after, low }
}

/// The present crown from front to back as the solver has it, in the string's own plane, through both contacts.
fn shape(plan: &Plan, section: &FiledSection, from: BlankPoint, to: Option<BlankPoint>) -> Vec<Point> {
    let thickness = plan.blank.thickness;
    let along = to
        .filter(|to| (to.b - from.b).abs() > STILL)
        .map_or(0.0, |to| (to.u - from.u) / (to.b - from.b));
    let ends = [from].into_iter().chain(to).map(|end| end.b);
    let mut places: Vec<f64> = (0..=PIECES)
        .map(|i| thickness * f64::from(i) / f64::from(PIECES))
        .chain(ends.filter(|b| (0.0..=thickness).contains(b)))
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    let height = |b: f64| section.standing.surface(b, from.u + along * (b - from.b));
    let mut shape: Vec<Point> = places.iter().map(|b| [*b, height(*b)]).collect();
    let start = places.partition_point(|b| *b < from.b).min(places.len() - 1);
    // A rounded crown ends at its quarter circles: a shoulder from there on.
    for i in start + 1..shape.len() {
        if shape[i][1].is_nan() {
            shape[i][1] = shape[i - 1][1];
        }
    }
    for i in (0..start).rev() {
        if shape[i][1].is_nan() {
            shape[i][1] = shape[i + 1][1];
        }
    }
    shape
}
