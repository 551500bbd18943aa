//! Directions of the nut: along its front face and square to it, for a nut that stands square or slants with fret 0.

use instrument::{Board, FretLine};
use numerics::math;

/// The line of fret 0, on which the front face of a plain nut stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Face {
    line: FretLine,
    sin: f64,
    cos: f64,
}

/// A place or a direction against the front face on fret 0. mm, or no unit.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    /// Along the face toward the treble side, from the centre line.
    pub(crate) along: f64,
    /// Square to it, toward the bridge.
    pub(crate) ahead: f64,
}

impl Face {
    pub(crate) fn of(board: &Board) -> Self {
        let line = *board.frets().line(0);
        let cos = 1.0 / math::hypot(1f64, line.slant);
        Self {
            line,
            sin: line.slant * cos,
            cos,
        }
    }

    /// Angle of the face, radians, positive where its treble end stands toward the bridge.
    pub(crate) fn slant(&self) -> f64 {
        math::atan(self.line.slant)
    }

    /// A place of the fret plane.
    pub(crate) fn place(&self, x: f64, y: f64) -> Seen {
        self.direction(x - self.line.x, y)
    }

    /// A direction of the fret plane.
    pub(crate) fn direction(&self, x: f64, y: f64) -> Seen {
        Seen {
            along: x * self.sin + y * self.cos,
            ahead: x * self.cos - y * self.sin,
        }
    }

    /// What is read along the face of two places that are `along` mm apart on it, square to the strings, mm.
    pub(crate) fn across(&self, along: f64) -> f64 {
        along * self.cos
    }
}
