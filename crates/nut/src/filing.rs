//! What a stroke in a nut slot does. The saddle contact stays.

use crate::OpenString;
use serde::Serialize;
use strings::Point;

/// A string with its slot floor lowered. mm, cents.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lowered {
    /// How far the floor went down; negative: up.
    #[serde(rename = "lowered")]
    pub by: f64,
    /// Gap of the open string over fret 1.
    pub clearance: f64,
    /// Action at fret 12.
    pub action_12: f64,
    /// Error at fret 1, cents.
    pub cents_1: f64,
    /// Error at fret 12, cents.
    pub cents_12: f64,
}

/// A string as it stands: the planned one, or one read after stringing up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PresentString<'a> {
    string: &'a OpenString,
    nut: Point,
    saddle: Point,
}

impl<'a> PresentString<'a> {
    /// As planned.
    #[must_use]
    pub fn planned(string: &'a OpenString) -> Self {
        Self {
            string,
            nut: string.nut,
            saddle: string.saddle,
        }
    }

    /// As read: the open gap over fret 1 and the action at fret 12, mm. The nut edge and the saddle contact stand where planned along x.
    #[must_use]
    pub fn read(string: &'a OpenString, clearance: f64, action_12: f64) -> Self {
        let [one, .., twelve] = string.string.crowns;
        let line = instrument::StringLine::through((one.x, one.z + clearance), (twelve.x, twelve.z + action_12));
        let at = |x: f64| Point { x, z: line.z(x) };
        Self {
            string,
            nut: at(string.nut.x),
            saddle: at(string.saddle.x),
        }
    }

    /// The string with its floor lowered by `by` mm; negative raises it.
    #[must_use]
    pub fn lowered(&self, by: f64) -> Lowered {
        let nut = Point {
            x: self.nut.x,
            z: self.nut.z - by,
        };
        let line = instrument::StringLine::through((nut.x, nut.z), (self.saddle.x, self.saddle.z));
        let [one, .., twelve] = self.string.string.crowns;
        let cents = self.string.string.cents(nut, self.saddle);
        Lowered {
            // Nought has no sign.
            by: by + 0.0,
            clearance: line.z(one.x) - one.z,
            action_12: line.z(twelve.x) - twelve.z,
            cents_1: cents[0],
            cents_12: cents[cents.len() - 1],
        }
    }

    /// How far to lower the floor so that the open gap over fret 1 becomes `clearance` mm; negative: raise it.
    #[must_use]
    pub fn lowering_to(&self, clearance: f64) -> f64 {
        let fret_1 = self.string.string.crowns[0].x;
        let share = (self.saddle.x - fret_1) / (self.saddle.x - self.nut.x);
        (self.lowered(0.0).clearance - clearance) / share
    }
}
