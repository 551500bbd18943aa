//! One string without a survey: closed forms for short questions. Frets tempered, no camber, no skew, nothing known of the string but how
//! high it stands.

use crate::filing::{action_loss, facet_drop};
use instrument::{Board, BoardError, BoardRadius, Frame, StringLine, StringRun, Vec3};
use numerics::math;
use serde::Serialize;

/// What is taken of the string. Lengths in mm, angles in radians.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bare {
    /// Scale length.
    pub scale: f64,
    /// Contact on the saddle beyond the scale's end.
    pub setback: f64,
    /// Lean of the saddle, top toward the nut positive.
    pub lean: f64,
    /// Fall of the crown toward the nut where it is filed; 0 for a flat top.
    pub fall: f64,
    /// Action at fret 12.
    pub action_12: f64,
    /// Gap over fret 1, string open.
    pub gap_1: f64,
    /// Fret at the body joint: the straightedge for relief rests on it and on fret 1.
    pub joint_fret: u32,
}

/// A contact filed forward or back. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BareFiled {
    /// Move toward the nut; away from it negative.
    pub forward: f64,
    /// How far the string's contact drops; negative where it rises.
    pub drop: f64,
    /// Loss of action at fret 12.
    pub loss_12: f64,
    /// What it must be proud up the saddle's face before, so that it ends on its target; negative where it must be under it.
    pub proud: f64,
    /// What fret 12 changes by, cents, by the length alone; sharper positive.
    pub cents: f64,
}

/// Action changed at a fret from the saddle. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BareLowered {
    /// Off the saddle, up its face; negative where it is raised.
    pub off: f64,
    /// What the action at fret 12 falls by.
    pub at_12: f64,
    /// What the gap over fret 1 falls by.
    pub at_1: f64,
}

/// A slot at the nut taken down. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BareSlot {
    /// Off the slot's floor; negative where it is raised.
    pub off: f64,
    /// What the action at fret 12 falls by.
    pub at_12: f64,
}

/// Centre line: the string runs straight.
const STRAIGHT: StringRun = StringRun { nut: 0.0, slope: 0.0 };

impl Bare {
    fn board(&self, relief: f64) -> Result<Board, BoardError> {
        Board::new(self.scale, self.joint_fret, relief, BoardRadius::Flat)
    }

    /// The board, level; its string; and where that meets the saddle, along x.
    fn strung(&self) -> Result<(Board, StringLine, f64), BoardError> {
        let board = self.board(0.0)?;
        let line = StringLine::over_frets(&board, &STRAIGHT, (1, self.gap_1), (12, self.action_12));
        Ok((board, line, self.scale + self.setback))
    }

    /// Height over the frets' plane that a way up the saddle's face brings over a line that rises by `slope`, for each unit of it.
    fn each_up(&self, slope: f64) -> f64 {
        math::cos(self.lean) + slope * math::sin(self.lean)
    }

    /// The contact filed `forward` mm toward the nut (negative: away from it), along the fall: it drops by `forward tan(lean + fall)`.
    ///
    /// # Errors
    /// [`BoardError`] for a scale or joint out of its range.
    pub fn filed(&self, forward: f64) -> Result<BareFiled, BoardError> {
        let (board, line, x) = self.strung()?;
        let fret_12 = board.fret_x(12, &STRAIGHT);
        let frame = Frame::leaning(Vec3::zeros(), Vec3::y(), self.lean);
        let drop = frame.map_or(f64::NAN, |frame| {
            facet_drop(&frame, &STRAIGHT, forward, self.fall, (0.0, 0.0))
        });
        Ok(BareFiled {
            forward,
            drop,
            loss_12: action_loss(&line, 0.0, x, fret_12, forward, drop),
            // Proud by p, the contact ends at p up the face, `forward` nearer and `drop` lower: on the line where p is this.
            proud: (drop - forward * line.slope) / self.each_up(line.slope),
            cents: octave_cents(x - forward, fret_12) - octave_cents(x, fret_12),
        })
    }

    /// The contact moved so far that fret 12 comes down by `sharp` cents by the length alone: back for what is sharp. Positive `forward` is
    /// toward the nut. With `r = x/(x - x_12) 2^(-sharp/1200)` the string ends at `r x_12/(r - 1)`.
    ///
    /// # Errors
    /// As [`Bare::filed`].
    pub fn flattened(&self, sharp: f64) -> Result<BareFiled, BoardError> {
        let (board, _, x) = self.strung()?;
        let fret_12 = board.fret_x(12, &STRAIGHT);
        let r = x / (x - fret_12) * math::exp2(-sharp / CENTS);
        self.filed(x - r * fret_12 / (r - 1.0))
    }

    /// The action at a fret brought down by `by` mm from the saddle, the nut kept.
    ///
    /// # Errors
    /// As [`Bare::filed`].
    pub fn lowered(&self, fret: u32, by: f64) -> Result<BareLowered, BoardError> {
        let (board, line, x) = self.strung()?;
        let at = |n: u32| board.fret_x(n, &STRAIGHT);
        let slope = line.slope - by / at(fret);
        let share = |n: u32| by * at(n) / at(fret);
        Ok(BareLowered {
            off: by * x / at(fret) / self.each_up(slope),
            at_12: share(12),
            at_1: share(1),
        })
    }

    /// The gap over fret 1 brought down by `by` mm at the nut, the saddle kept.
    ///
    /// # Errors
    /// As [`Bare::filed`].
    pub fn slotted(&self, by: f64) -> Result<BareSlot, BoardError> {
        let (board, _, x) = self.strung()?;
        let to_saddle = |n: u32| x - board.fret_x(n, &STRAIGHT);
        Ok(BareSlot {
            off: by * x / to_saddle(1),
            at_12: by * to_saddle(12) / to_saddle(1),
        })
    }

    /// What the action at fret 12 rises by where the relief at mid-span between fret 1 and the joint becomes `by` mm more, both ends of the
    /// string kept over those frets: how far the crown there sinks.
    ///
    /// # Errors
    /// As [`Bare::filed`].
    pub fn relieved(&self, by: f64) -> Result<f64, BoardError> {
        Ok(self.board(by)?.dip(12))
    }
}

/// Cents in an octave.
const CENTS: f64 = 1200.0;

/// What the fretted note at 12 stands over the open string's octave by the lengths alone, cents; `x` is where the string ends.
fn octave_cents(x: f64, fret_12: f64) -> f64 {
    CENTS * math::log2(x / (2.0 * (x - fret_12)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const INCH: f64 = 25.4;

    fn bare(lean: f64, fall: f64) -> Bare {
        Bare {
            scale: 25.4 * INCH,
            setback: 0.0,
            lean: lean.to_radians(),
            fall: fall.to_radians(),
            action_12: 2.4,
            gap_1: 0.5,
            joint_fret: 14,
        }
    }

    /// Derived: 1/32 in times tan 18 degrees is 0.010 15 in. Common practice, no source, says 0.010 in.
    #[test]
    fn a_thirty_second_at_eighteen_degrees() {
        let filed = bare(18.0, 0.0).filed(INCH / 32.0).unwrap();
        assert!((filed.drop / INCH - 0.010_154).abs() < 1e-6, "{filed:?}");
        // The string comes down by half of it at fret 12, less what the shorter string stands steeper.
        assert!((filed.loss_12 / filed.drop - 0.5).abs() < 0.02, "{filed:?}");
        // 1 mm is 2.7 cents at 645 (derived, by the lengths).
        let cents = bare(0.0, 0.0).filed(1.0).unwrap().cents;
        assert!((cents - 1200.0 / math::ln(2.0_f64) / 645.16).abs() < 0.02, "{cents}");
    }

    proptest! {
        /// Left proud by what is told, the stroke ends on the line that it started from.
        #[test]
        fn what_is_left_proud_ends_on_target(lean in -15.0..25.0f64, fall in 0.0..20.0f64, s in -1.5..1.5f64, action in 1.0..5.0f64) {
            let of = Bare { action_12: action, ..bare(lean, fall) };
            let (board, line, x) = of.strung().unwrap();
            let filed = of.filed(s).unwrap();
            prop_assert!((filed.drop - s * math::tan((lean + fall).to_radians())).abs() < 1e-12);
            let (sin, cos) = math::sin_cos(of.lean);
            let end = (x - filed.proud * sin - s, line.z(x) + filed.proud * cos - filed.drop);
            prop_assert!((end.1 - line.z(end.0)).abs() < 1e-12);
            // And without it the action is what is lost.
            let moved = StringLine::through((0.0, line.z(0.0)), (x - s, line.z(x) - filed.drop));
            let lost = of.action_12 - moved.action(&board, &STRAIGHT, 12);
            prop_assert!((lost - filed.loss_12).abs() < 1e-12);
        }

        /// The move that takes off so many cents takes off so many.
        #[test]
        fn cents_come_back(sharp in -30.0..30.0f64, lean in 0.0..20.0f64, setback in -2.0..6.0f64) {
            let of = Bare { setback, ..bare(lean, 0.0) };
            let moved = of.flattened(sharp).unwrap();
            prop_assert!((moved.cents + sharp).abs() < 1e-9);
            prop_assert!(moved.forward * sharp <= 0.0);
        }

        /// The string over the lowered saddle, and over the lowered slot, stands where it is told to.
        #[test]
        fn heights_come_down_as_told(by in -1.0..1.0f64, fret in 1u32..15, lean in -15.0..25.0f64) {
            let of = bare(lean, 0.0);
            let (board, line, x) = of.strung().unwrap();
            let action = |line: &StringLine, n| line.action(&board, &STRAIGHT, n);
            let told = of.lowered(fret, by).unwrap();
            let (sin, cos) = math::sin_cos(of.lean);
            let then = StringLine::through((0.0, line.z(0.0)), (x + told.off * sin, line.z(x) - told.off * cos));
            // The contact goes down its face, along which the line is a hair longer.
            prop_assert!((action(&line, fret) - action(&then, fret) - by).abs() < 1e-9);
            prop_assert!((action(&line, 12) - action(&then, 12) - told.at_12).abs() < 1e-9);
            prop_assert!((action(&line, 1) - action(&then, 1) - told.at_1).abs() < 1e-9);
            let slot = of.slotted(by).unwrap();
            let then = StringLine::through((0.0, line.z(0.0) - slot.off), (x, line.z(x)));
            prop_assert!((action(&line, 1) - action(&then, 1) - by).abs() < 1e-9);
            prop_assert!((action(&line, 12) - action(&then, 12) - slot.at_12).abs() < 1e-9);
        }
    }

    /// A parabola between fret 1 and the joint: nothing at a joint at 12, and at 14 the share of its place.
    #[test]
    fn relief_shows_by_its_parabola() {
        assert_eq!(
            Bare {
                joint_fret: 12,
                ..bare(0.0, 0.0)
            }
            .relieved(0.2)
            .unwrap(),
            0.0
        );
        let x = |n: f64| 645.16 * (1.0 - math::exp2(-n / 12.0));
        let t = (x(12.0) - x(1.0)) / (x(14.0) - x(1.0));
        let at_14 = bare(0.0, 0.0).relieved(0.2).unwrap();
        assert!((at_14 - 0.2 * 4.0 * t * (1.0 - t)).abs() < 1e-12);
        // Common practice, no source, takes half of the change; on a parabola that ends at fret 14 it is 0.39 of it.
        assert!((at_14 / 0.2 - 0.39).abs() < 0.01, "{at_14}");
        assert!(
            Bare {
                scale: -1.0,
                ..bare(0.0, 0.0)
            }
            .filed(0.1)
            .is_err()
        );
    }
}
