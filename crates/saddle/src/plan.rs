//! What to make: the plan of a saddle and of every string on it.

use crate::filing::FilingCost;
use crate::taut::Termination;
use crate::ways_out::WaysOut;
use crate::{Blank, Crown, Hold, WingEnd};
use instrument::{BlankPoint, Frame, StringLine, StringRun, Vec3};
use serde::Serialize;
use strings::{FRETS, FrettedString, NutPath, Point};

/// What to make.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Frame of the blank in the slot.
    pub frame: Frame,
    /// Where front wall and bridge top meet at bass and treble, fret frame, if the depth of the slot is known.
    pub mouth: Option<[Vec3; 2]>,
    /// Strings, bass to treble.
    pub strings: Vec<StringPlan>,
    /// The top of the blank.
    pub crown: Crown,
    /// The blank, as surveyed.
    pub blank: Blank,
    /// u of the blank's bass end and treble end, mm.
    pub ends: (f64, f64),
    /// Lean of the blank, radians, with the change under tension.
    pub lean: f64,
    /// Ways to bring held strings in tune; `None` if no held string is off by more than the survey calls good.
    pub ways_out: Option<WaysOut>,
    /// Sheets and programs are mirrored for a left-handed instrument.
    pub left_handed: bool,
    /// The strings rest on a zero fret instead of a nut.
    pub zero_fret: bool,
}

impl Plan {
    /// Height v that the blended ends leave at `u` at most, mm; infinite where they have no part.
    #[must_use]
    #[inline]
    pub fn cap(&self, u: f64) -> f64 {
        self.blank
            .blended()
            .map_or(f64::INFINITY, |wings| wings.cap(self.ends, u))
    }

    /// Where the contour of each blended end meets the crown: bass, then treble.
    #[must_use]
    pub fn wing_ends(&self) -> Option<[WingEnd; 2]> {
        let wings = self.blank.blended()?;
        Some(wings.meet(self.ends, |u| self.crown.silhouette(u)))
    }
}

/// One string's contact and what follows from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringPlan {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name.
    pub note: String,
    /// Contact in the blank, mm.
    pub contact: BlankPoint,
    /// The contact that the criterion wants, mm; equal to `contact` unless held.
    pub wanted: BlankPoint,
    /// Whether the contact is held at the land.
    pub hold: Hold,
    /// Contact in the fret frame, mm.
    #[serde(serialize_with = "instrument::xyz")]
    pub position: Vec3,
    /// Direction of the string at the saddle in the blank frame, toward the tail, not of unit length.
    #[serde(skip)]
    pub direction: BlankPoint,
    /// Underside of the string in side view.
    #[serde(skip)]
    pub line: StringLine,
    /// Nut contact in side view, mm.
    pub nut: Point,
    /// Where the nut contact may stand: one that stays keeps its height, a new one gives the gap asked for.
    #[serde(skip)]
    pub nut_path: NutPath,
    /// Run in plan.
    #[serde(skip)]
    pub run: StringRun,
    /// Setback of the contact as planned, mm.
    pub setback: f64,
    /// Setback that the criterion wants, mm.
    pub setback_wanted: f64,
    /// Setback of the nut, mm; negative is toward the bridge.
    pub nut_setback: f64,
    /// Action at fret 12 as it will be, mm.
    pub action_12: f64,
    /// Gap over fret 1 as it will be, mm.
    pub action_1: f64,
    /// Error at frets 1 to 12 as it will be, cents.
    pub cents: [f64; FRETS],
    /// Root mean square of those, cents.
    pub rms_cents: f64,
    /// Error at fret 12 that the criterion aims at, cents: 0 for the octave, what the best fit leaves there otherwise.
    #[serde(skip)]
    pub aim_cents_12: f64,
    /// The string over its frets, calibrated if a reading was given.
    #[serde(skip)]
    pub string: FrettedString,
    /// Tension, N.
    pub tension: f64,
    /// Factor found from the cents reading, by which the string's stretch stiffness was scaled.
    pub calibration: Option<f64>,
    /// How far the string's line passes over its ridge by elastic theory, mm; the survey's share of it is in the contact.
    pub stand_off: f64,
    /// Its stretch stiffness comes from pitch readings, of this survey or of an earlier one.
    #[serde(skip)]
    pub stretch_found: bool,
    /// From the slot's mouth up the front face to the contact's height, mm, if the depth of the slot is known.
    pub exposure: Option<f64>,
    /// What 1/64 in of filing forward, down the front fall, will cost.
    pub filing: FilingCost,
    /// Where the taut string really ends.
    pub termination: Termination,
}

impl StringPlan {
    /// Underside of the string in side view at `x` mm.
    pub(crate) fn side_at(&self, x: f64) -> Point {
        Point { x, z: self.line.z(x) }
    }

    /// x where the string crosses the plane `b` mm of a blank in `frame`.
    pub(crate) fn x_at_b(&self, frame: &Frame, b: f64) -> f64 {
        let Point { x, z } = self.side_at(self.position.x);
        let here = frame.to_blank(Vec3::new(x, self.run.y(x), z)).b;
        let along = Vec3::new(1.0, self.run.slope, self.line.slope);
        x + (b - here) / frame.direction_to_blank(along).b
    }
}
