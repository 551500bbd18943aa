//! How far the saddle stands out of its slot, what holds it there, and how far it can tip.

use crate::Facts;
use instrument::{BlankPoint, SlotSurvey};
use numerics::{find_root, math};
use saddle::{Plan, SaddleSurvey, StringPlan};
use serde::Serialize;
use strings::Point;

/// Exposure of the planned saddle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Exposure {
    /// Bass to treble.
    pub strings: Vec<StringExposure>,
    /// Mean of all strings, mm.
    pub mean: f64,
    /// Wood left under the slot, bass and treble, mm, if known.
    pub wood_under: Option<[f64; 2]>,
}

/// Exposure under one string.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringExposure {
    /// String number.
    pub number: u32,
    /// From the slot's mouth up the front face to the contact's height, mm.
    pub exposure: f64,
    /// Share of the height at the contact that stands in the slot, 0 to 1; less than 0 if it stands above the mouth.
    pub in_slot: f64,
}

/// v of the mouth line under each string, bass to treble, mm; `None` if the depth is not known.
pub(crate) fn mouth_heights(plan: &Plan) -> Option<Vec<f64>> {
    plan.strings.iter().map(|s| Some(s.contact.v - s.exposure?)).collect()
}

/// Depth of the slot along its front wall at bass and treble, mm, if it was read.
pub(crate) fn depths(survey: &SaddleSurvey) -> Option<[f64; 2]> {
    match survey.slot {
        SlotSurvey::Straightedge([bass, treble]) => Some([bass.depth, treble.depth]),
        SlotSurvey::Reference([bass, treble]) => Some([bass.depth?, treble.depth?]),
    }
}

pub(crate) fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = u32::try_from(values.len()).unwrap_or(u32::MAX);
    values.sum::<f64>() / f64::from(count)
}

/// Exposure of every string; `None` if the depth of the slot is not known.
#[must_use]
pub fn exposure(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Option<Exposure> {
    let one = |s: &StringPlan| {
        let exposure = s.exposure?;
        Some(StringExposure {
            number: s.number,
            exposure,
            in_slot: (s.contact.v - exposure) / s.contact.v,
        })
    };
    let strings: Vec<StringExposure> = plan.strings.iter().map(one).collect::<Option<_>>()?;
    let depths = depths(survey)?;
    let by_thickness = || {
        facts
            .bridge_thickness
            .map(|[bass, treble]| [bass - depths[0], treble - depths[1]])
    };
    Some(Exposure {
        mean: mean(strings.iter().map(|s| s.exposure)),
        wood_under: facts.wood_under.or_else(by_thickness),
        strings,
    })
}

/// The blank in a slot that is wider than it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Clearance {
    /// Slot width less blank thickness, mm; negative if the blank does not go in.
    pub clearance: f64,
    /// Tilt forward that it allows, radians, 0 or more; the largest along the slot.
    pub tilt: f64,
    /// What that tilt does to each string, bass to treble.
    pub strings: Vec<Tip>,
}

/// One string's contact when the blank tips forward as far as the slot lets it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tip {
    /// String number.
    pub number: u32,
    /// Move of the contact toward the nut from where the plan has it, mm along the slot's normal.
    pub forward: f64,
    /// The same from a blank that stood hard against the back wall, mm.
    pub swing: f64,
    /// Change at fret 12 from where the plan has it, cents, sharp positive.
    pub cents: f64,
    /// Change of action at fret 12, mm, lower negative.
    pub action: f64,
}

/// Tilt is searched up to this, radians (60 degrees); a blank that can lean further lies down.
const MOST_TILT: f64 = std::f64::consts::FRAC_PI_3;
/// Tolerance of that search, radians.
const TILT_TOLERANCE: f64 = 1e-12;

/// Tilt forward, radians, of a blank `thickness` thick in a slot `width` wide and `depth` deep: it stands on its front bottom
/// corner, leans on the mouth and touches the back wall below, so `depth tan(tilt) + thickness cos(tilt) = width`. Lengths in
/// mm. 0 if the blank fills the slot. Derived.
#[must_use]
pub fn tilt(thickness: f64, width: f64, depth: f64) -> f64 {
    if width <= thickness || depth <= 0.0 {
        return 0.0;
    }
    let over = |t: f64| depth * math::tan(t) + thickness * math::cos(t) - width;
    // Where a thick blank in a shallow slot first narrows as it turns, the first crossing is not the one to find; the
    // slope at 0 is `depth`, so the first crossing above 0 is found from a bracket that doubles.
    let mut high = (width - thickness) / depth;
    while high < MOST_TILT && over(high) < 0.0 {
        high *= 2.0;
    }
    find_root(0.0, high.min(MOST_TILT), TILT_TOLERANCE, over).unwrap_or(MOST_TILT)
}

/// Clearance and what it lets the blank do; `None` if width or depth of the slot is not known.
#[must_use]
pub fn clearance(survey: &SaddleSurvey, plan: &Plan) -> Option<Clearance> {
    let (width, thickness) = (survey.slot_width?, plan.blank.thickness);
    let mouth = mouth_heights(plan)?;
    let shallow = mouth.iter().copied().fold(f64::INFINITY, f64::min);
    let tilt = tilt(thickness, width, shallow);
    let gap = (width - thickness).max(0.0);
    let (sin, cos) = math::sin_cos(tilt);
    let foot = shallow * math::tan(tilt);
    let tip = |s: &StringPlan| {
        let c = s.contact;
        let moved = BlankPoint {
            b: foot + c.b * cos - c.v * sin,
            u: c.u,
            v: c.b * sin + c.v * cos,
        };
        let at = plan.frame.to_fret(moved);
        let saddle = Point { x: at.x, z: at.z };
        let planned = Point {
            x: s.position.x,
            z: s.position.z,
        };
        let share = (survey.board.fret_x(12, &s.run) - s.nut.x) / (at.x - s.nut.x);
        let over_12 = s.nut.z + (at.z - s.nut.z) * share;
        Tip {
            number: s.number,
            forward: c.b - moved.b,
            swing: c.b - moved.b + gap,
            cents: s.string.cents_at_12(s.nut, saddle) - s.string.cents_at_12(s.nut, planned),
            action: over_12 - s.line.z(survey.board.fret_x(12, &s.run)),
        }
    };
    Some(Clearance {
        clearance: width - thickness,
        tilt,
        strings: plan.strings.iter().map(tip).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Derived figure of the trade's notes: 0.1 mm of gap in a slot 4 mm deep lets a saddle 8 mm tall swing 0.2 mm.
    #[test]
    fn slop_in_a_shallow_slot() {
        let t = tilt(2.9, 3.0, 4.0);
        let (foot, b) = (4.0 * math::tan(t), 1.45);
        let forward = b - (foot + b * math::cos(t) - 8.0 * math::sin(t));
        assert!((forward + 0.1 - 0.2).abs() < 0.005, "{forward}");
    }

    #[test]
    fn a_full_slot_does_not_tip() {
        assert_eq!(tilt(3.0, 3.0, 5.0), 0.0);
        assert_eq!(tilt(3.1, 3.0, 5.0), 0.0);
    }

    proptest! {
        /// The turned rectangle touches mouth and back wall and goes through neither.
        #[test]
        fn the_tilted_blank_touches_both_walls(thickness in 2.0..5.0f64, gap in 0.005..0.4f64, depth in 2.0..9.0f64) {
            let width = thickness + gap;
            let t = tilt(thickness, width, depth);
            prop_assert!(t > 0.0 && t < MOST_TILT);
            let foot = depth * math::tan(t);
            // A point of the front face at the mouth's height, and the bottom corner behind.
            let along = depth / math::cos(t);
            prop_assert!((foot - along * math::sin(t)).abs() < 1e-9);
            prop_assert!((foot + thickness * math::cos(t) - width).abs() < 1e-9);
        }
    }
}
