//! The fingerboard: fret places, relief, camber, and where a string lies over it.

use serde::Serialize;
use thiserror::Error;

/// Crosswise shape of the fingerboard.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum BoardRadius {
    /// No camber.
    Flat,
    /// Radius in mm at the nut (x = 0) and at fret 12, linear in x between and beyond; equal values make a cylinder.
    Conical {
        /// Radius at x = 0, mm, positive.
        nut: f64,
        /// Radius at fret 12, mm, positive.
        fret_12: f64,
    },
}

/// Why a board cannot be built.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BoardError {
    /// Scale length in mm, zero, negative or not finite.
    #[error("the scale length {0} mm is not a positive length")]
    Scale(f64),
    /// The body joint must lie beyond fret 1.
    #[error("the joint fret {0} is not between 2 and 36")]
    Joint(u32),
    /// A radius in mm, zero, negative or not finite.
    #[error("the fingerboard radius {0} mm is not a positive length")]
    Radius(f64),
    /// Relief in mm is not finite.
    #[error("the relief is not a length")]
    Relief,
    /// Relief cannot be read over fret 1, over the joint fret, or beyond them.
    #[error("relief cannot be read at fret {0}: the straightedge rests on fret 1 and on the joint fret")]
    ReliefFret(u32),
}

/// A fingerboard with its frets. Built by [`Board::new`], so its values are usable lengths.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Board {
    scale: f64,
    joint_fret: u32,
    relief: f64,
    radius: BoardRadius,
}

impl Board {
    /// * `scale`: scale length, mm.
    /// * `joint_fret`: fret at the body joint, 2 to 36.
    /// * `relief`: gap at mid-span between fret 1 and the joint fret, mm; negative for a back-bow.
    ///
    /// # Errors
    /// [`BoardError`] for the first value that is out of its range.
    pub fn new(scale: f64, joint_fret: u32, relief: f64, radius: BoardRadius) -> Result<Self, BoardError> {
        let positive = |v: f64| v.is_finite() && v > 0.0;
        if !positive(scale) {
            return Err(BoardError::Scale(scale));
        }
        if !(2..=36).contains(&joint_fret) {
            return Err(BoardError::Joint(joint_fret));
        }
        if !relief.is_finite() {
            return Err(BoardError::Relief);
        }
        if let BoardRadius::Conical { nut, fret_12 } = radius
            && let Some(bad) = [nut, fret_12].into_iter().find(|r| !positive(*r))
        {
            return Err(BoardError::Radius(bad));
        }
        Ok(Self {
            scale,
            joint_fret,
            relief,
            radius,
        })
    }

    /// Relief at mid-span, mm, from a `reading` in mm over fret `fret`.
    ///
    /// # Errors
    /// [`BoardError::ReliefFret`] unless the fret lies between fret 1 and the joint fret.
    pub fn relief_from_reading(scale: f64, joint_fret: u32, reading: f64, fret: u32) -> Result<f64, BoardError> {
        if fret <= 1 || fret >= joint_fret {
            return Err(BoardError::ReliefFret(fret));
        }
        let unit = Self::new(scale, joint_fret, 1.0, BoardRadius::Flat)?;
        Ok(reading / unit.dip(unit.fret_x(fret)))
    }

    /// Scale length, mm.
    #[inline]
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Fret at the body joint.
    #[inline]
    #[must_use]
    pub fn joint_fret(&self) -> u32 {
        self.joint_fret
    }

    /// Relief at mid-span, mm; negative for a back-bow.
    #[must_use]
    pub fn relief(&self) -> f64 {
        self.relief
    }

    /// Crosswise shape.
    #[must_use]
    pub fn radius(&self) -> BoardRadius {
        self.radius
    }

    /// x of fret `n` in mm: equal temperament, `L (1 - 2^(-n/12))`.
    #[inline]
    #[must_use]
    pub fn fret_x(&self, n: u32) -> f64 {
        self.scale * (1.0 - (-f64::from(n) / 12.0).exp2())
    }

    /// How far the crowns sink below the fret plane on the centre line at `x`, mm: a parabola through fret 1 and the
    /// joint fret, zero outside them.
    #[inline]
    #[must_use]
    pub fn dip(&self, x: f64) -> f64 {
        let (start, end) = (self.fret_x(1), self.fret_x(self.joint_fret));
        let t = (x - start) / (end - start);
        if (0.0..=1.0).contains(&t) {
            4.0 * self.relief * t * (1.0 - t)
        } else {
            0.0
        }
    }

    /// How far a crown at `y` sinks below the crown on the centre line, mm. Not a number where |y| exceeds the radius.
    #[inline]
    #[must_use]
    pub fn camber(&self, x: f64, y: f64) -> f64 {
        match self.radius {
            BoardRadius::Flat => 0.0,
            BoardRadius::Conical { nut, fret_12 } => {
                let radius = nut + (fret_12 - nut) * x / self.fret_x(12);
                // R - sqrt(R^2 - y^2) without its cancellation.
                y * y / (radius + (radius * radius - y * y).sqrt())
            }
        }
    }

    /// Height of the fret crowns over the fret plane at `(x, y)`, mm; zero or negative unless the neck has a back-bow.
    #[inline]
    #[must_use]
    pub fn crown(&self, x: f64, y: f64) -> f64 {
        -self.dip(x) - self.camber(x, y)
    }

    /// Height of fret `n`'s crown under a string, mm.
    #[inline]
    #[must_use]
    pub fn crown_under(&self, n: u32, run: &StringRun) -> f64 {
        let x = self.fret_x(n);
        self.crown(x, run.y(x))
    }

    /// Height at `x` of a straightedge that lies along a string's run on the crowns of fret 1 and of the joint fret, mm.
    #[inline]
    #[must_use]
    pub fn straightedge(&self, run: &StringRun, x: f64) -> f64 {
        let (x1, xj) = (self.fret_x(1), self.fret_x(self.joint_fret));
        let (z1, zj) = (self.crown_under(1, run), self.crown_under(self.joint_fret, run));
        z1 + (zj - z1) * (x - x1) / (xj - x1)
    }
}

/// A string's straight run in plan, from its place at the nut (x = 0) to its place at the saddle (x = L).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringRun {
    /// y at x = 0, mm, positive on the treble side.
    pub nut: f64,
    /// dy/dx, no unit.
    pub slope: f64,
}

impl StringRun {
    /// Run from `nut` to `saddle` (both y in mm) over the scale length in mm.
    #[must_use]
    pub fn between(nut: f64, saddle: f64, scale: f64) -> Self {
        Self {
            nut,
            slope: (saddle - nut) / scale,
        }
    }

    /// y at `x`, mm; runs on straight beyond both ends.
    #[inline]
    #[must_use]
    pub fn y(&self, x: f64) -> f64 {
        self.nut + self.slope * x
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn board(radius: BoardRadius) -> Board {
        Board::new(610.0, 12, 0.18, radius).unwrap()
    }

    #[test]
    fn fret_twelve_halves_the_string() {
        assert!((board(BoardRadius::Flat).fret_x(12) - 305.0).abs() < 1e-12);
    }

    #[test]
    fn dip_is_the_relief_at_mid_span_and_nothing_outside() {
        let b = board(BoardRadius::Flat);
        let mid = 0.5 * (b.fret_x(1) + b.fret_x(12));
        assert!((b.dip(mid) - 0.18).abs() < 1e-15);
        assert_eq!(b.dip(b.fret_x(14)), 0.0);
        assert_eq!(b.dip(0.0), 0.0);
    }

    #[test]
    fn camber_is_the_sagitta() {
        let b = board(BoardRadius::Conical {
            nut: 300.0,
            fret_12: 300.0,
        });
        let want = 300.0 - (300.0f64 * 300.0 - 21.0 * 21.0).sqrt();
        assert!((b.camber(100.0, 21.0) - want).abs() < 1e-12);
    }

    #[test]
    fn refuses_nonsense() {
        let flat = BoardRadius::Flat;
        assert_eq!(Board::new(-1.0, 12, 0.0, flat), Err(BoardError::Scale(-1.0)));
        assert_eq!(Board::new(610.0, 1, 0.0, flat), Err(BoardError::Joint(1)));
        assert_eq!(Board::new(610.0, 12, f64::NAN, flat), Err(BoardError::Relief));
        let bad = BoardRadius::Conical {
            nut: 300.0,
            fret_12: 0.0,
        };
        assert_eq!(Board::new(610.0, 12, 0.0, bad), Err(BoardError::Radius(0.0)));
        assert_eq!(
            Board::relief_from_reading(610.0, 12, 0.1, 12),
            Err(BoardError::ReliefFret(12))
        );
    }

    proptest! {
        #[test]
        fn a_relief_reading_reads_back(relief in -0.3..0.6f64, fret in 2u32..14) {
            let b = Board::new(645.0, 14, relief, BoardRadius::Flat).unwrap();
            let reading = b.dip(b.fret_x(fret));
            let back = Board::relief_from_reading(645.0, 14, reading, fret).unwrap();
            prop_assert!((back - relief).abs() < 1e-12);
        }

        #[test]
        fn straightedge_touches_its_two_frets(nut in -20.0..20.0f64, saddle in -28.0..28.0f64) {
            let b = board(BoardRadius::Conical { nut: 300.0, fret_12: 350.0 });
            let run = StringRun::between(nut, saddle, b.scale());
            for fret in [1, 12] {
                let gap = b.straightedge(&run, b.fret_x(fret)) - b.crown_under(fret, &run);
                prop_assert!(gap.abs() < 1e-12);
            }
        }
    }
}
