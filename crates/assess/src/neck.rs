//! The neck: where a straightedge lands on the bridge, where it must land, and what that takes off the heel.
//!
//! A neck set turns the neck about the top edge of the body, where the wedge taken off the heel tapers to nothing. Seen from
//! the frets, the whole body turns the other way, so it is the body that is turned here, exactly, and the survey is planned
//! again. Humidity, relief and the setting of the glue are not in it: read again after the work.

use crate::Facts;
use crate::exposure::{depths, mean};
use instrument::{Frame, SlotEnd, SlotSurvey, Vec3};
use numerics::{find_root, math};
use saddle::{ExitEnd, Plan, SaddleSurvey, TensionChange};
use serde::Serialize;

/// From the fret plane down to the top edge of the body where no reading is given, mm: a board of 6 mm and a fret of 1 mm.
/// Common practice, no source.
pub const PIVOT_BELOW: f64 = 7.0;
/// Largest change of angle that is looked for, radians (6 degrees); more is a new neck.
const MOST_ANGLE: f64 = 6.0 * std::f64::consts::PI / 180.0;
/// The wanted exposure is met within this angle, radians: 1e-7 mm at the bridge.
const ANGLE_TOLERANCE: f64 = 1e-10;

/// Why there is no answer on the neck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NeckError {
    /// The depth of the slot is not known, so neither is the bridge top.
    NoDepth,
    /// No change of angle up to 6 degrees gives the wanted exposure.
    NoAngle,
}

/// A change of the neck's angle that gives the wanted exposure with the wanted action. Positive where the neck goes back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Neck {
    /// From the joint fret to the mean contact, mm along x.
    pub joint_to_saddle: f64,
    /// Straightedge over the bridge top at the slot's front edge, bass and treble, mm, above positive: now.
    pub now: [f64; 2],
    /// Where it must land, mm.
    pub must: [f64; 2],
    /// Mean exposure as planned now, mm.
    pub exposure_now: f64,
    /// Mean exposure aimed at, mm.
    pub exposure_wanted: f64,
    /// Exposure of every string then, bass to treble, mm.
    pub exposure_then: Vec<f64>,
    /// Change of the neck's angle, radians.
    pub angle: f64,
    /// What that angle gains at the saddle: `joint_to_saddle tan(angle)`, mm.
    pub drop: f64,
    /// Wood off the heel, if its height is known.
    pub heel: Option<HeelCut>,
    /// Change of the distance from fret 12 to the slot, mm, longer positive, mean of bass and treble.
    pub scale_change: f64,
    /// What the end of the board does, if the last fret is known.
    pub board_end: Option<BoardEnd>,
    /// The survey as it will be.
    #[serde(skip)]
    pub survey: Box<SaddleSurvey>,
}

/// A wedge off the heel. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeelCut {
    /// Height of the heel.
    pub height: f64,
    /// Wood to take off at its lowest point, tapering to nothing at the top: `height drop / joint_to_saddle`. Negative: a
    /// wedge must be added there.
    pub wood: f64,
}

impl HeelCut {
    /// * `height`: of the heel; `drop`: gain at the saddle; `reach`: from the joint to the saddle; all in mm.
    #[must_use]
    pub fn new(height: f64, drop: f64, reach: f64) -> Self {
        Self {
            height,
            wood: height * drop / reach,
        }
    }
}

/// The end of the board over the body. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BoardEnd {
    /// Number of the last fret.
    pub fret: u32,
    /// How far it rises off the top: the thickness of the wedge under it, from nothing at the joint. Negative: it presses down.
    pub wedge: f64,
    /// How far the end moves along the body, toward the tail positive.
    pub along: f64,
}

/// Height of a straightedge along each outer string over the bridge top at the slot's front edge, mm.
fn landing(survey: &SaddleSurvey, mouth: &[Vec3; 2]) -> Option<[f64; 2]> {
    let runs = [survey.strings.first()?.run, survey.strings.last()?.run];
    Some([0, 1].map(|i| survey.board.straightedge(&runs[i], mouth[i].x) - mouth[i].z))
}

/// A point of the body when the neck is set back by `angle` radians about `pivot` (x and z, mm), fret frame.
fn turned(point: Vec3, pivot: (f64, f64), angle: f64) -> Vec3 {
    let (sin, cos) = math::sin_cos(angle);
    let (x, z) = (point.x - pivot.0, point.z - pivot.1);
    Vec3::new(pivot.0 + x * cos + z * sin, point.y, pivot.1 - x * sin + z * cos)
}

/// The survey as it will be when the neck is set back by `angle` radians about `pivot` (x and z in the fret frame, mm): read by
/// straightedge, at pitch. `None` if the depth of the slot is not known.
#[must_use]
pub(crate) fn rotated(survey: &SaddleSurvey, plan: &Plan, pivot: (f64, f64), angle: f64) -> Option<SaddleSurvey> {
    let mouth = plan.mouth?;
    let depths = depths(survey)?;
    let (first, last) = (survey.strings.first()?.run, survey.strings.last()?.run);
    let then = mouth.map(|p| turned(p, pivot, angle));
    // Directions turn about nothing.
    let [wall, along] = [plan.frame.e_v, plan.frame.e_u].map(|d| turned(d, (0.0, 0.0), angle));
    let upright = Frame::leaning(then[0], along, 0.0)?;
    let lean = math::atan2(-wall.dot(&upright.e_b), wall.dot(&upright.e_v));
    let runs = [first, last];
    let ends = [0, 1].map(|i| SlotEnd {
        edge_from_fret_12: then[i].x - survey.board.fret_x(12, &runs[i]),
        bridge_top: then[i].z - survey.board.straightedge(&runs[i], then[i].x),
        depth: depths[i],
    });
    let exit = survey.exit.map(|exit| {
        [0, 1].map(|i| {
            let at = mouth[i] + Vec3::new(exit[i].behind_slot, 0.0, exit[i].above_bridge_top);
            let at = turned(at, pivot, angle) - then[i];
            ExitEnd {
                behind_slot: at.x,
                above_bridge_top: at.z,
            }
        })
    });
    Some(SaddleSurvey {
        slot: SlotSurvey::Straightedge(ends),
        lean,
        under_tension: TensionChange::default(),
        exit,
        ..survey.clone()
    })
}

/// Mean exposure of a plan, mm.
pub(crate) fn mean_exposure(plan: &Plan) -> Option<f64> {
    let known: Option<Vec<f64>> = plan.strings.iter().map(|s| s.exposure).collect();
    Some(mean(known?.into_iter()))
}

/// The pivot of a neck set, x and z in the fret frame, mm.
pub(crate) fn pivot(survey: &SaddleSurvey, facts: &Facts) -> (f64, f64) {
    let board = &survey.board;
    (
        board.frets().line(board.joint_fret()).x,
        -facts.pivot_below.unwrap_or(PIVOT_BELOW),
    )
}

/// Angle in radians that gives a mean exposure of `wanted` mm; `None` if none up to 6 degrees does.
pub(crate) fn angle_for(survey: &SaddleSurvey, plan: &Plan, pivot: (f64, f64), wanted: f64) -> Option<f64> {
    let over = |angle: f64| {
        rotated(survey, plan, pivot, angle)
            .and_then(|then| saddle::plan(&then).ok())
            .and_then(|then| mean_exposure(&then))
            .map_or(f64::NAN, |exposure| exposure - wanted)
    };
    // A first guess by the lever keeps the bracket narrow, so that no plan far outside is tried.
    let reach = mean(plan.strings.iter().map(|s| s.position.x)) - pivot.0;
    let guess = (wanted - mean_exposure(plan)?) / reach;
    let slack = 0.1 * guess.abs() + 1e-3;
    if guess.is_nan() || guess.abs() > MOST_ANGLE {
        return None;
    }
    find_root(guess - slack, guess + slack, ANGLE_TOLERANCE, over).ok()
}

/// The neck set that gives the wanted exposure with the wanted action.
///
/// # Errors
/// [`NeckError`] if the bridge top is not known or no angle does it.
pub fn neck(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Result<Neck, NeckError> {
    let mouth = plan.mouth.ok_or(NeckError::NoDepth)?;
    let exposure_now = mean_exposure(plan).ok_or(NeckError::NoDepth)?;
    let wanted = facts.limits.wanted_exposure.value;
    let pivot = pivot(survey, facts);
    let angle = angle_for(survey, plan, pivot, wanted).ok_or(NeckError::NoAngle)?;
    let then = rotated(survey, plan, pivot, angle).ok_or(NeckError::NoDepth)?;
    let planned = saddle::plan(&then).map_err(|_| NeckError::NoAngle)?;
    let mouth_then = planned.mouth.ok_or(NeckError::NoDepth)?;
    let (now, must) = landing(survey, &mouth)
        .zip(landing(&then, &mouth_then))
        .ok_or(NeckError::NoDepth)?;
    let joint_to_saddle = mean(plan.strings.iter().map(|s| s.position.x)) - pivot.0;
    let drop = joint_to_saddle * math::tan(angle);
    let board_end = facts.last_fret.map(|fret| {
        let end = survey.board.frets().line(fret).x - pivot.0;
        BoardEnd {
            fret,
            wedge: end * math::tan(angle),
            // The board turns about the pivot below it as the body does, the other way.
            along: end * (math::cos(angle) - 1.0) + pivot.1 * math::sin(angle),
        }
    });
    Ok(Neck {
        joint_to_saddle,
        now,
        must,
        exposure_now,
        exposure_wanted: wanted,
        exposure_then: planned.strings.iter().filter_map(|s| s.exposure).collect(),
        angle,
        drop,
        heel: facts
            .heel_height
            .map(|height| HeelCut::new(height, drop, joint_to_saddle)),
        scale_change: mean([0, 1].into_iter().map(|i| mouth_then[i].x - mouth[i].x)),
        board_end,
        survey: Box::new(then),
    })
}
