//! The saddle slot: from a survey to the blank's frame.

use crate::{Board, Frame, StringLine, StringRun, Vec3};
use numerics::{Real, Round};
use serde::Serialize;
use thiserror::Error;

/// Readings at one end of the slot, under an outer string, taken with a straightedge. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotEnd<R = f64> {
    /// From fret 12 to the slot's front edge, along x.
    pub edge_from_fret_12: R,
    /// Bridge top above (+) or below (-) the straightedge that lies along the string on frets 1 and joint.
    pub bridge_top: R,
    /// Depth of the slot along its front wall.
    pub depth: R,
}

/// Readings of a saddle of known size that stands in the slot, under one outer string. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReferenceEnd<R = f64> {
    /// From fret 12 to the contact, along x.
    pub contact_from_fret_12: R,
    /// Present action at fret 12, with the reference saddle in.
    pub action_12: R,
    /// Height of the reference saddle at the contact, from its bottom edge.
    pub height: R,
    /// The contact's distance back from the front face.
    pub back: R,
    /// Depth of the slot along its front wall, if read; wanted for the exposure only.
    pub depth: Option<R>,
}

/// How the slot was surveyed. Arrays run bass, treble.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SlotSurvey<R = f64> {
    /// By straightedge, rule and depth rod.
    Straightedge([SlotEnd<R>; 2]),
    /// By a saddle of known size that stands in the slot.
    Reference([ReferenceEnd<R>; 2]),
}

/// Why the slot's frame cannot be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum SlotError {
    /// The two ends coincide.
    #[error("the two ends of the slot fall on one point: the readings do not fix its direction")]
    NoDirection,
    /// Two different readings for the two ends, but only one string.
    #[error("one string has one place at the slot: give one reading, not two different ones")]
    OneString,
    /// The search for the floor line of a reference saddle did not settle.
    #[error("the readings of the reference saddle do not settle on one floor line")]
    NotSettled,
    /// A reading is not a finite number.
    #[error("a reading of the slot is not a number")]
    NotFinite,
}

/// The slot as found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot<R = f64> {
    /// Frame of the blank that bears on the front wall and stands on the floor (or on what lies under it).
    pub frame: Frame<R>,
    /// Where front wall and bridge top meet, bass and treble, in the fret frame; `None` if the depth is not known.
    pub mouth: Option<[Vec3<R>; 2]>,
}

/// Floor points must move less than this between rounds, mm.
const SETTLED: f64 = 1e-9;
/// Most rounds of the search for the floor line.
const ROUNDS: usize = 10;

impl<R: Real> SlotSurvey<R> {
    /// Frame of the blank and mouth of the slot.
    ///
    /// * `outer`: runs of the bass-most and treble-most strings; `nut`: their nut contacts `(x, z)`, mm, used by a reference saddle only.
    /// * `lean`: radians, square to the saddle, positive with the top forward.
    /// * `under`: thickness in mm of what will lie under the new saddle (by reference saddle: more than lay under that one).
    ///
    /// # Errors
    /// [`SlotError`] if the readings do not fix a frame.
    pub fn slot(
        &self,
        board: &Board<R>,
        outer: [StringRun; 2],
        nut: [(R, R); 2],
        lean: R,
        under: R,
    ) -> Result<Slot<R>, SlotError> {
        let x12 = outer.map(|run| board.fret_x(12, &run));
        let place = |run: &StringRun, x: R, z: R| Vec3::new(x, run.y(x), z);
        // One string alone does not fix a direction: its slot is taken to lie square across.
        let one_string = outer[0] == outer[1];
        let axes = |[bass, treble]: [Vec3<R>; 2]| {
            let each = bass.iter().chain(treble.iter()).chain([&lean]);
            if !each.into_iter().all(|v| v.re().is_finite()) {
                return Err(SlotError::NotFinite);
            }
            let along = treble - bass;
            if one_string && length(along) > SETTLED {
                return Err(SlotError::OneString);
            }
            Frame::leaning(bass, if one_string { Vec3::y() } else { along }, lean).ok_or(SlotError::NoDirection)
        };
        let (floor, depths, mouth_axes) = match self {
            Self::Straightedge(ends) => {
                let mouth = [0, 1].map(|i| {
                    let x = x12[i] + ends[i].edge_from_fret_12;
                    place(&outer[i], x, board.straightedge(&outer[i], x) + ends[i].bridge_top)
                });
                let by_mouth = axes(mouth)?;
                let floor = [0, 1].map(|i| mouth[i] - by_mouth.e_v * ends[i].depth);
                (floor, [Some(ends[0].depth), Some(ends[1].depth)], Some(by_mouth))
            }
            Self::Reference(ends) => {
                let contacts = [0, 1].map(|i| {
                    let (run, end) = (&outer[i], &ends[i]);
                    let x = x12[i] + end.contact_from_fret_12;
                    let line = StringLine::through(nut[i], (x12[i], board.crown_under(12, run) + end.action_12));
                    place(run, x, line.z(x))
                });
                let floor = settle(&axes, contacts, ends)?;
                (floor, ends.map(|end| end.depth), None)
            }
        };
        let mut frame = axes(floor)?;
        let mouth = match depths {
            [Some(bass), Some(treble)] => {
                let up = mouth_axes.map_or(frame.e_v, |axes| axes.e_v);
                Some([floor[0] + up * bass, floor[1] + up * treble])
            }
            _ => None,
        };
        frame.origin += frame.e_v * under;
        Ok(Slot { frame, mouth })
    }
}

fn length<R: Real>(v: Vec3<R>) -> f64 {
    v.map(|part| part.re()).norm()
}

/// Floor points of a reference saddle: the axes need the floor line and the floor line the axes.
fn settle<R: Real>(
    axes: &impl Fn([Vec3<R>; 2]) -> Result<Frame<R>, SlotError>,
    contacts: [Vec3<R>; 2],
    ends: &[ReferenceEnd<R>; 2],
) -> Result<[Vec3<R>; 2], SlotError> {
    let round = |floor: [Vec3<R>; 2]| {
        let frame = axes(floor)?;
        let next = [0, 1].map(|i| contacts[i] - frame.e_b * ends[i].back - frame.e_v * ends[i].height);
        Ok(Round {
            found: next,
            next,
            off: length(next[0] - floor[0]).max(length(next[1] - floor[1])),
        })
    };
    numerics::settle(contacts, SETTLED, ROUNDS, round)?.map_err(|_| SlotError::NotSettled)
}
