//! A string of the survey up to its contact.

use crate::Blank;
use instrument::{BlankPoint, Frame, StringLine, StringRun, Vec3};
use serde::Serialize;
use strings::{FrettedString, NutPath, Point, SaddleHeight, Setback};

/// Whether a contact stands where it is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hold {
    /// At the wanted place.
    Free,
    /// Wanted further forward; held at the land in front.
    Front,
    /// Wanted further back; held at the land behind.
    Back,
}

/// A string's line in side view, which the nut's place fixes with the target.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Side {
    pub(crate) nut: Point,
    /// Where the nut contact may stand.
    pub(crate) path: NutPath,
    pub(crate) target: Point,
    pub(crate) run: StringRun,
    /// How much lower than the string's line its ridge stands, mm.
    pub(crate) lower: f64,
}

impl Side {
    pub(crate) fn line(&self) -> StringLine {
        StringLine::through((self.nut.x, self.nut.z), (self.target.x, self.target.z))
    }

    pub(crate) fn height(&self) -> SaddleHeight {
        SaddleHeight::Through(self.target)
    }

    /// The same string with its nut contact moved on its path to a setback.
    pub(crate) fn with_setback(&self, setback: f64) -> Self {
        Self {
            nut: self.path.at(setback),
            ..*self
        }
    }

    /// Contact in side view at `x`.
    pub(crate) fn contact(&self, x: f64) -> Point {
        self.height().contact(self.nut, x)
    }

    /// The ridge at `x`.
    pub(crate) fn place(&self, x: f64) -> Vec3 {
        Vec3::new(x, self.run.y(x), self.line().z(x) - self.lower)
    }

    pub(crate) fn direction(&self) -> Vec3 {
        Vec3::new(1.0, self.run.slope, self.line().slope)
    }

    /// x where the string crosses the plane `b` of the blank.
    pub(crate) fn x_at_b(&self, frame: &Frame, b: f64) -> f64 {
        let from = self.nut.x;
        from + (b - frame.to_blank(self.place(from)).b) / frame.direction_to_blank(self.direction()).b
    }
}

impl Side {
    /// Where a contact that is wanted at `x` stands along x, mm: there, or held at the land.
    pub(crate) fn held(&self, frame: &Frame, blank: &Blank, x: f64) -> (Hold, f64) {
        let b = frame.to_blank(self.place(x)).b;
        let (low, high) = (blank.land, blank.thickness - blank.land);
        if b < low {
            (Hold::Front, self.x_at_b(frame, low))
        } else if b > high {
            (Hold::Back, self.x_at_b(frame, high))
        } else {
            (Hold::Free, x)
        }
    }
}

/// A string solved up to its contact.
pub(crate) struct Solved {
    pub(crate) number: u32,
    pub(crate) string: FrettedString,
    pub(crate) side: Side,
    pub(crate) hold: Hold,
    pub(crate) wanted: BlankPoint,
    pub(crate) contact: BlankPoint,
    pub(crate) x: f64,
    pub(crate) setback: Setback,
    pub(crate) calibration: Option<f64>,
    pub(crate) stretch_found: bool,
    pub(crate) stand_off: f64,
}
