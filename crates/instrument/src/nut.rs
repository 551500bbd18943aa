//! The nut contact and the line of a string in side view.

use crate::{Board, StringRun};
use numerics::Real;
use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};

/// How the height of a string at the nut is known. Gaps in mm, from fret crown to the underside of the string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NutReading<R = f64> {
    /// The nut stays. Gap of the open string over fret 1 and over fret 12, both as they are now.
    Open {
        /// Gap over fret 1.
        clearance: R,
        /// Gap over fret 12.
        action_12: R,
    },
    /// The nut stays. Gap over fret 1 while the string is held down at fret 3.
    HeldAtThree {
        /// Gap over fret 1.
        gap: R,
    },
    /// A zero fret: the string rests on its crown, whose height was read against the other crowns.
    ZeroFret {
        /// How far the crown stands above (+) or below (-) the plane of the other crowns, along z, at the string.
        above: R,
    },
    /// A new nut: wanted gap of the open string over fret 1, with the target action at fret 12.
    New {
        /// Wanted gap over fret 1.
        clearance: R,
        /// Target action at fret 12.
        action_12: R,
    },
}

impl Serialize for NutReading {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (by, gap_1, action_12) = match *self {
            Self::ZeroFret { above } => {
                let mut out = serializer.serialize_struct("NutReading", 2)?;
                out.serialize_field("by", "zero-fret")?;
                out.serialize_field("above", &above)?;
                return out.end();
            }
            Self::Open { clearance, action_12 } | Self::New { clearance, action_12 } => {
                ("open-gaps", clearance, Some(action_12))
            }
            Self::HeldAtThree { gap } => ("held-at-3", gap, None),
        };
        let mut out = serializer.serialize_struct("NutReading", 3)?;
        out.serialize_field("by", by)?;
        out.serialize_field("gap_1", &gap_1)?;
        out.serialize_field("action_12", &action_12)?;
        out.end()
    }
}

/// The underside of a string in side view: a straight line in x and z, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringLine<R = f64> {
    /// x of the line's first known point, the nut contact or a fret.
    pub x0: R,
    /// z there.
    pub z0: R,
    /// dz/dx.
    pub slope: R,
}

impl<R: Real> StringLine<R> {
    /// Line through two points `(x, z)` with different x.
    #[inline]
    #[must_use]
    pub fn through(first: (R, R), second: (R, R)) -> Self {
        Self {
            x0: first.0,
            z0: first.1,
            slope: (second.1 - first.1) / (second.0 - first.0),
        }
    }

    /// Line that stands `gaps` over the crowns of two frets under a string.
    #[inline]
    #[must_use]
    pub fn over_frets(board: &Board<R>, run: &StringRun, first: (u32, R), second: (u32, R)) -> Self {
        let point = |(fret, gap): (u32, R)| (board.fret_x(fret, run), board.crown_under(fret, run) + gap);
        Self::through(point(first), point(second))
    }

    /// z at `x`.
    #[inline]
    #[must_use]
    pub fn z(&self, x: R) -> R {
        self.z0 + self.slope * (x - self.x0)
    }

    /// Action at a fret: gap along z between underside and crown, mm.
    #[inline]
    #[must_use]
    pub fn action(&self, board: &Board<R>, run: &StringRun, fret: u32) -> R {
        self.z(board.fret_x(fret, run)) - board.crown_under(fret, run)
    }
}

impl<R: Real> NutReading<R> {
    /// The line in side view on which the nut contact stands, wherever it stands along x.
    #[inline]
    #[must_use]
    pub fn line(&self, board: &Board<R>, run: &StringRun) -> StringLine<R> {
        match *self {
            Self::Open { clearance, action_12 } | Self::New { clearance, action_12 } => {
                StringLine::over_frets(board, run, (1, clearance), (12, action_12))
            }
            Self::HeldAtThree { gap } => StringLine::over_frets(board, run, (1, gap), (3, R::from(0.0))),
            // It stands at fret 0 and nowhere else, so its line is level.
            Self::ZeroFret { above } => StringLine {
                x0: board.fret_x(0, run),
                z0: board.crown_under(0, run) + above,
                slope: R::from(0.0),
            },
        }
    }

    /// Height z in mm of the nut contact at `nut_x` (mm; at fret 0 unless the nut is set forward or back).
    #[inline]
    #[must_use]
    pub fn height(&self, board: &Board<R>, run: &StringRun, nut_x: R) -> R {
        self.line(board, run).z(nut_x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::BoardRadius;
    use proptest::prelude::*;

    proptest! {
        /// Plant a nut height and an action, take both readings, and find the height again from each.
        #[test]
        fn both_readings_find_a_planted_nut(h in 0.0..0.6f64, action in 1.0..4.0f64, y in -20.0..20.0f64, relief in 0.0..0.4f64) {
            let board = Board::new(645.0, 14, relief, BoardRadius::Conical { nut: 300.0, fret_12: 400.0 }).unwrap();
            let run = StringRun::between(y, 1.4 * y, 645.0);
            let nut_z = h + board.crown_at_nut(run.y(0.0));
            let x12 = board.fret_x(12, &run);
            let open = StringLine::through((0.0, nut_z), (x12, board.crown_under(12, &run) + action));
            let held = StringLine::through((0.0, nut_z), (board.fret_x(3, &run), board.crown_under(3, &run)));
            let from_open = NutReading::Open { clearance: open.action(&board, &run, 1), action_12: action };
            let from_held = NutReading::HeldAtThree { gap: held.action(&board, &run, 1) };
            prop_assert!((from_open.height(&board, &run, 0.0) - nut_z).abs() < 1e-12);
            prop_assert!((from_held.height(&board, &run, 0.0) - nut_z).abs() < 1e-12);
        }
    }
}
