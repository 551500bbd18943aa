//! Where the slot should be, and what it costs to leave it.

use crate::Facts;
use instrument::Frame;
use numerics::math;
use saddle::{Hold, Plan, SaddleSurvey, StringPlan, best_slot};
use serde::Serialize;
use strings::Point;

/// The present slot against the best one for the same blank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlotFit {
    /// Move of the front wall along x under the bass and treble string, mm, back positive.
    pub shift: [f64; 2],
    /// Angle of the slot to a line square across, radians, bass end back positive: now and with the best slot.
    pub angle: [f64; 2],
    /// Whether the blank then holds every contact inside its land.
    pub fits: bool,
    /// Bass to treble.
    pub strings: Vec<SlotString>,
    /// Largest remaining error at fret 12 with the present slot, cents, 0 or more.
    pub worst_now: f64,
    /// The same with the best slot.
    pub worst_best: f64,
    /// The old and the new slot under bass and treble, if its width is known.
    pub places: Option<[Place; 2]>,
}

/// What one string keeps of error at fret 12 beyond what its criterion leaves there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotString {
    /// String number.
    pub number: u32,
    /// With the present slot, cents, sharp positive.
    pub now: f64,
    /// With the best slot.
    pub best: f64,
}

/// Old and new slot under one outer string, from fret 12 along x, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Place {
    /// Front and back wall now.
    pub old: [f64; 2],
    /// Front and back wall of the best slot.
    pub new: [f64; 2],
    /// Wood to be filled in: from and to; `None` if the new slot covers the old one.
    pub fill: Option<[f64; 2]>,
    /// Wood between the back wall and the front of the hole now, if known.
    pub to_hole: Option<f64>,
    /// The same with the best slot; negative: the hole is in the way.
    pub to_hole_then: Option<f64>,
    /// Wood in front of the slot then, if known.
    pub front_wall_then: Option<f64>,
}

/// A smaller move is none, mm.
const NO_MOVE: f64 = 1e-6;

/// Present and best slot. `None` without strings.
#[must_use]
pub fn slot(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Option<SlotFit> {
    plan.strings.first()?;
    // A slot that holds every contact is left where it is.
    let held = plan.strings.iter().any(|s| s.hold != Hold::Free);
    let best = if held { best_slot(survey, plan) } else { None };
    let each = plan.strings.iter().enumerate();
    let strings: Vec<SlotString> = each
        .map(|(i, s)| SlotString {
            number: s.number,
            now: error_at(s, s.position.x, s.hold),
            best: best
                .as_ref()
                .and_then(|best| best.contacts.get(i))
                .map_or(0.0, |(x, hold)| error_at(s, *x, *hold)),
        })
        .collect();
    let shift = best.as_ref().map_or([0.0; 2], |best| best.shift);
    let then = best.as_ref().map_or(plan.frame, |best| best.frame);
    let worst = |of: fn(&SlotString) -> f64| strings.iter().map(|s| of(s).abs()).fold(0.0, f64::max);
    Some(SlotFit {
        shift,
        angle: [plan_angle(&plan.frame), plan_angle(&then)],
        fits: best.is_none_or(|best| best.fits),
        worst_now: worst(|s| s.now),
        worst_best: worst(|s| s.best),
        places: places(survey, plan, facts, shift, &then),
        strings,
    })
}

/// Angle of the blank to a line square across, radians, bass end back positive.
fn plan_angle(frame: &Frame) -> f64 {
    math::atan2(-frame.e_u.x, frame.e_u.y)
}

/// Error at fret 12 beyond the criterion's own with the contact at `x` mm, cents; none where the contact is not held.
fn error_at(s: &StringPlan, x: f64, hold: Hold) -> f64 {
    if hold == Hold::Free {
        return 0.0;
    }
    let contact = Point { x, z: s.line.z(x) };
    s.string.cents_at_12(s.nut, contact) - s.aim_cents_12
}

fn places(survey: &SaddleSurvey, plan: &Plan, facts: &Facts, shift: [f64; 2], then: &Frame) -> Option<[Place; 2]> {
    let mouth = plan.mouth?;
    let width = survey.slot_width? / plan.frame.e_b.x;
    let width_then = survey.slot_width? / then.e_b.x;
    let runs = [survey.strings.first()?.run, survey.strings.last()?.run];
    Some([0, 1].map(|i| {
        let front = mouth[i].x - survey.board.fret_x(12, &runs[i]);
        let (old, new) = (
            [front, front + width],
            [front + shift[i], front + shift[i] + width_then],
        );
        let fill = if shift[i] > NO_MOVE {
            Some([old[0], new[0].min(old[1])])
        } else if shift[i] < -NO_MOVE {
            Some([new[1].max(old[0]), old[1]])
        } else {
            None
        };
        let hole = survey.exit.map(|exit| front + exit[i].behind_slot);
        Place {
            old,
            new,
            fill,
            to_hole: hole.map(|hole| hole - old[1]),
            to_hole_then: hole.map(|hole| hole - new[1]),
            front_wall_then: facts.front_wall.map(|wall| wall[i] + shift[i]),
        }
    }))
}
