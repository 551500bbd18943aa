//! The same slot where the same blank holds the wanted contacts best.

use crate::place::moved_slot;
use crate::{Hold, Plan, SaddleSurvey};
use instrument::{Frame, SlotSurvey, StringRun, Vec3};
use numerics::{Round, narrowest_strip, settle};

/// The slot moved and re-angled so that the largest distance of a wanted contact from the middle of the blank is least.
#[derive(Debug, Clone, PartialEq)]
pub struct BestSlot {
    /// Move of the front wall along x under the bass-most and treble-most string, mm, positive back. Every other reading of the slot
    /// stays as it is.
    pub shift: [f64; 2],
    /// Frame of the blank there.
    pub frame: Frame,
    /// Largest distance of a wanted contact from the middle of the blank, along x, mm.
    pub furthest: f64,
    /// Whether the blank holds every wanted contact inside its land.
    pub fits: bool,
    /// Every string's contact there, bass to treble: the wanted one, or held at the land. x in mm, and whether it is held.
    pub contacts: Vec<(f64, Hold)>,
}

/// The slot has settled when a round moves it less than this, mm.
const SETTLED: f64 = 1e-10;
/// Most rounds; each gains two digits or more.
const ROUNDS: usize = 40;

/// Where the slot of a plan should be. `None` without strings, or if the moved readings make no slot.
#[must_use]
pub fn best_slot(survey: &SaddleSurvey, plan: &Plan) -> Option<BestSlot> {
    let wanted: Vec<Vec3> = plan.strings.iter().map(|s| plan.frame.to_fret(s.wanted)).collect();
    let runs = [plan.strings.first()?.run, plan.strings.last()?.run];
    let blank = &plan.blank;
    let half = 0.5 * blank.thickness;
    // Moved in its own frame to where the best straight line through the contacts lies in its middle, the blank takes a new frame; there
    // the line is sought again.
    let round = |readings: [f64; 2]| {
        let frame = moved_slot(survey, readings)?.frame;
        let there: Vec<(f64, f64)> = wanted.iter().map(|p| frame.to_blank(*p)).map(|p| (p.u, p.b)).collect();
        let (Some(strip), Some(first), Some(last)) = (narrowest_strip(&there), there.first(), there.last()) else {
            return Ok(Round {
                found: (readings, frame),
                next: readings,
                off: f64::NAN,
            });
        };
        let off = [first, last].map(|(u, _)| (strip.middle(*u) - half) / frame.e_b.x);
        Ok::<_, crate::PlanError>(Round {
            found: (readings, frame),
            next: [readings[0] + off[0], readings[1] + off[1]],
            off: off[0].abs().max(off[1].abs()),
        })
    };
    let settled = settle([0.0; 2], SETTLED, ROUNDS, round).ok()?;
    let (readings, frame) = settled.unwrap_or_else(numerics::NotSettled::last);
    let shift = match survey.slot {
        // What is read is the front wall itself.
        SlotSurvey::Straightedge(_) => readings,
        SlotSurvey::Reference(_) => {
            let [bass, treble] = runs;
            let moved = |run: &StringRun| wall(&frame, run) - wall(&plan.frame, run);
            [moved(&bass), moved(&treble)]
        }
    };
    let bounds = (blank.land, blank.thickness - blank.land);
    let places: Vec<f64> = wanted.iter().map(|p| frame.to_blank(*p).b).collect();
    let furthest = places.iter().map(|b| (b - half).abs()).fold(0.0, f64::max);
    let contacts = plan.strings.iter().zip(&wanted).zip(&places).map(|((s, p), b)| {
        if *b < bounds.0 {
            (s.x_at_b(&frame, bounds.0), Hold::Front)
        } else if *b > bounds.1 {
            (s.x_at_b(&frame, bounds.1), Hold::Back)
        } else {
            (p.x, Hold::Free)
        }
    });
    Some(BestSlot {
        shift,
        furthest: furthest / frame.e_b.x,
        fits: places.iter().all(|b| (bounds.0..=bounds.1).contains(b)),
        contacts: contacts.collect(),
        frame,
    })
}

/// x where the front wall, at the blank's bottom, passes under a string, mm.
fn wall(frame: &Frame, run: &StringRun) -> f64 {
    let (from, along) = (frame.origin, frame.e_u);
    let aside = run.y(from.x) - from.y;
    from.x + along.x * aside / (along.y - run.slope * along.x)
}
