//! One string from nut to saddle: all that the nut needs of the other end, whether a saddle is made or one stays.

use instrument::{StringLine, StringRun};
use saddle::StringPlan;
use strings::{FrettedString, NutPath, Point};

/// A string as it will be. mm.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenString {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name of the open string.
    pub note: String,
    /// The string over its frets, calibrated if a reading was given.
    pub string: FrettedString,
    /// Run in plan.
    pub run: StringRun,
    /// Nut contact in side view.
    pub nut: Point,
    /// Where the nut contact may stand: at every place of it the gap asked for is met, or the height of a nut that stays is kept.
    pub path: NutPath,
    /// Saddle contact in side view.
    pub saddle: Point,
    /// How it stands now, over a saddle that stays; `None` where a saddle is made.
    pub now: Option<Now>,
}

/// Gaps of the open string as they are before the nut is changed, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Now {
    /// Over fret 1.
    pub clearance: f64,
    /// Over fret 12.
    pub action_12: f64,
}

impl From<&StringPlan> for OpenString {
    fn from(s: &StringPlan) -> Self {
        Self {
            number: s.number,
            note: s.note.clone(),
            string: s.string,
            run: s.run,
            nut: s.nut,
            path: s.nut_path,
            saddle: Point {
                x: s.position.x,
                z: s.position.z,
            },
            now: None,
        }
    }
}

impl OpenString {
    /// Its underside in side view.
    #[must_use]
    pub fn line(&self) -> StringLine {
        StringLine::through((self.nut.x, self.nut.z), (self.saddle.x, self.saddle.z))
    }

    /// Gap over fret 1.
    #[must_use]
    pub fn action_1(&self) -> f64 {
        let [one, ..] = self.string.crowns;
        self.line().z(one.x) - one.z
    }

    /// Action at fret 12.
    #[must_use]
    pub fn action_12(&self) -> f64 {
        let [.., twelve] = self.string.crowns;
        self.line().z(twelve.x) - twelve.z
    }

    /// Setback of the nut; negative is toward the bridge.
    #[must_use]
    pub fn setback(&self) -> f64 {
        // Nought has no sign.
        self.path.fret_0 - self.nut.x
    }

    /// The same string with its nut contact moved on its path to a setback.
    pub(crate) fn with_setback(&self, setback: f64) -> Self {
        Self {
            nut: self.path.at(setback),
            ..self.clone()
        }
    }
}
