//! The fingerboard: frets, relief, camber, wear, and where a string lies over it.

use crate::StringRun;
use crate::frets::{FretLine, FretPlaces, Frets, MOST_FRETS};
use numerics::Real;
use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};
use thiserror::Error;

/// Crosswise shape of the fingerboard.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum BoardRadius<R = f64> {
    /// No camber.
    Flat,
    /// Radius in mm at the nut (x = 0) and at fret 12, linear in x between and beyond; equal values make a cylinder.
    Conical {
        /// Radius at x = 0, mm, positive.
        nut: R,
        /// Radius at fret 12, mm, positive.
        fret_12: R,
    },
}

/// Why a board cannot be built.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BoardError {
    /// Scale length in mm, zero, negative or not finite.
    #[error("the scale length {0} mm is not a positive length")]
    Scale(f64),
    /// A fret does not stand further toward the bridge than the one before it, or the last not before the scale's end.
    #[error("the frets do not stand one behind the other within the scale length")]
    Order,
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

/// A fingerboard with its frets. Built by [`Board::new`] or [`Board::with_frets`], so its values are usable lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Board<R = f64> {
    frets: Frets,
    /// All frets stand this many times as far from the centre of the frame as said.
    stretch: R,
    joint_fret: u32,
    relief: R,
    radius: BoardRadius<R>,
    /// How much lower than the other crowns each fret's is, mm.
    worn: Option<Worn>,
}

/// How much lower by wear the crowns of frets 1, 2, 3 and so on are, mm, 0 or more.
pub type Worn = [f64; MOST_FRETS];

impl Board {
    /// A board of equal temperament with square frets.
    ///
    /// * `scale`: scale length, mm.
    /// * `joint_fret`: fret at the body joint, 2 to 36.
    /// * `relief`: gap at mid-span between fret 1 and the joint fret, mm; negative for a back-bow.
    ///
    /// # Errors
    /// [`BoardError`] for the first value that is out of its range.
    pub fn new(scale: f64, joint_fret: u32, relief: f64, radius: BoardRadius) -> Result<Self, BoardError> {
        let frets = Frets::square(&FretPlaces::tempered(scale));
        Self::with_frets(frets, joint_fret, relief, radius)
    }

    /// A board with its frets where they stand; else as [`Board::new`].
    ///
    /// # Errors
    /// [`BoardError`] for the first value that is out of its range.
    pub fn with_frets(frets: Frets, joint_fret: u32, relief: f64, radius: BoardRadius) -> Result<Self, BoardError> {
        let positive = |v: f64| v.is_finite() && v > 0.0;
        let scale = frets.saddle().x;
        if !positive(scale) {
            return Err(BoardError::Scale(scale));
        }
        if !frets.rise() {
            return Err(BoardError::Order);
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
            frets,
            stretch: 1.0,
            joint_fret,
            relief,
            radius,
            worn: None,
        })
    }

    /// The same board with crowns of its frets lower by wear.
    #[must_use]
    pub fn worn(self, worn: Worn) -> Self {
        Self {
            worn: Some(worn),
            ..self
        }
    }

    /// The same board with its frets `stretch` times (about 1) as far along as said, another relief (mm at mid-span) and another radius,
    /// which are taken as they are.
    #[must_use]
    pub fn reshaped<R: Real>(&self, stretch: R, relief: R, radius: BoardRadius<R>) -> Board<R> {
        Board {
            frets: self.frets,
            stretch: stretch * self.stretch,
            joint_fret: self.joint_fret,
            relief,
            radius,
            worn: self.worn,
        }
    }

    /// Relief at mid-span, mm, from a `reading` in mm over fret `fret`.
    ///
    /// # Errors
    /// [`BoardError::ReliefFret`] unless the fret lies between fret 1 and the joint fret.
    pub fn relief_from_reading(frets: Frets, joint_fret: u32, reading: f64, fret: u32) -> Result<f64, BoardError> {
        if fret <= 1 || fret >= joint_fret {
            return Err(BoardError::ReliefFret(fret));
        }
        let unit = Self::with_frets(frets, joint_fret, 1.0, BoardRadius::Flat)?;
        Ok(reading / unit.dip(fret))
    }

    /// The frets as said, before any stretch.
    #[must_use]
    pub fn frets(&self) -> &Frets {
        &self.frets
    }
}

impl<R: Real> Board<R> {
    /// The same board with another relief, mm at mid-span.
    #[must_use]
    pub fn reshaped_to(self, relief: R) -> Self {
        Self { relief, ..self }
    }

    /// Scale length of a string by its run, mm along x: from fret 0 to where it would end by the scale length alone.
    #[inline]
    #[must_use]
    pub fn scale(&self, run: &StringRun) -> R {
        self.scale_end(run) - self.fret_x(0, run)
    }

    /// x where a string would end by its scale length alone, mm.
    #[inline]
    #[must_use]
    pub fn scale_end(&self, run: &StringRun) -> R {
        self.stretch * self.frets.saddle().crossed_by(run)
    }

    /// Fret at the body joint.
    #[inline]
    #[must_use]
    pub fn joint_fret(&self) -> u32 {
        self.joint_fret
    }

    /// How many times as far as said the frets stand from the middle of the frame.
    #[inline]
    #[must_use]
    pub fn stretch(&self) -> R {
        self.stretch
    }

    /// Relief at mid-span, mm; negative for a back-bow.
    #[must_use]
    pub fn relief(&self) -> R {
        self.relief
    }

    /// Crosswise shape.
    #[must_use]
    pub fn radius(&self) -> BoardRadius<R> {
        self.radius
    }

    /// x of fret `n` under a string, mm.
    #[inline]
    #[must_use]
    pub fn fret_x(&self, n: u32, run: &StringRun) -> R {
        self.stretch * self.frets.line(n).crossed_by(run)
    }

    /// How far fret `n` sinks below the fret plane by relief alone, mm, alike all along: a parabola from fret 1 to the joint fret, zero
    /// outside them.
    #[inline]
    #[must_use]
    pub fn dip(&self, n: u32) -> R {
        let [x, start, end] = [n, 1, self.joint_fret].map(|n| self.frets.line(n).x);
        let t = (x - start) / (end - start);
        if (0.0..=1.0).contains(&t) {
            self.relief * 4.0 * t * (1.0 - t)
        } else {
            R::from(0.0)
        }
    }

    /// How far a crown at `y` sinks below the crown on the centre line, mm. Not a number where |y| exceeds the radius.
    #[inline]
    #[must_use]
    pub fn camber(&self, x: R, y: R) -> R {
        match self.radius {
            BoardRadius::Flat => R::from(0.0),
            BoardRadius::Conical { nut, fret_12 } => {
                let radius = nut + (fret_12 - nut) * x / (self.stretch * self.frets.line(12).x);
                // R - sqrt(R^2 - y^2) without its cancellation.
                y * y / (radius + (radius * radius - y * y).sqrt())
            }
        }
    }

    /// Height of fret `n`'s crown under a string over the fret plane, mm; zero or negative unless the neck has a back-bow.
    #[inline]
    #[must_use]
    pub fn crown_under(&self, n: u32, run: &StringRun) -> R {
        let x = self.fret_x(n, run);
        let worn = self.worn.as_ref().and_then(|worn| worn.get(n.wrapping_sub(1) as usize));
        -self.dip(n) - self.camber(x, run.y(x)) - *worn.unwrap_or(&0.0)
    }

    /// Height over the fret plane of a crown on fret 0, `y` mm from the centre line, mm.
    #[inline]
    #[must_use]
    pub fn crown_at_nut(&self, y: f64) -> R {
        -self.camber(self.stretch * self.frets.line(0).at(y), R::from(y))
    }

    /// Height at `x` of a straightedge that lies along a string's run on the crowns of fret 1 and of the joint fret, mm.
    #[inline]
    #[must_use]
    pub fn straightedge(&self, run: &StringRun, x: R) -> R {
        let [x1, xj] = [1, self.joint_fret].map(|n| self.fret_x(n, run));
        let [z1, zj] = [1, self.joint_fret].map(|n| self.crown_under(n, run));
        z1 + (zj - z1) * (x - x1) / (xj - x1)
    }
}

impl Serialize for Board {
    /// The scale length, or where the frets do not follow from it: the frets' lines and the line of the scales' ends.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let scale = self.stretch * self.frets.saddle().x;
        let lines = self.frets != Frets::square(&FretPlaces::tempered(self.frets.saddle().x));
        let fields = 4 + 2 * usize::from(lines) + usize::from(self.worn.is_some());
        let mut out = serializer.serialize_struct("Board", fields)?;
        out.serialize_field("scale", &scale)?;
        if lines {
            let stretched = |line: &FretLine| FretLine {
                x: self.stretch * line.x,
                slant: self.stretch * line.slant,
            };
            let all: Vec<FretLine> = self.frets.all().iter().map(stretched).collect();
            out.serialize_field("frets", &all)?;
            out.serialize_field("scale_ends", &stretched(self.frets.saddle()))?;
        }
        out.serialize_field("joint_fret", &self.joint_fret)?;
        out.serialize_field("relief", &self.relief)?;
        out.serialize_field("radius", &self.radius)?;
        if let Some(worn) = &self.worn {
            out.serialize_field("worn", worn.as_slice())?;
        }
        out.end()
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
        assert!((board(BoardRadius::Flat).fret_x(12, &StringRun::CENTRE) - 305.0).abs() < 1e-12);
    }

    #[test]
    fn dip_is_the_parabola_of_the_relief_and_nothing_outside() {
        let b = board(BoardRadius::Flat);
        let [x1, x6, x12] = [1, 6, 12].map(|n| b.fret_x(n, &StringRun::CENTRE));
        let t = (x6 - x1) / (x12 - x1);
        assert!((b.dip(6) - 4.0 * 0.18 * t * (1.0 - t)).abs() < 1e-15);
        assert_eq!([b.dip(0), b.dip(1), b.dip(12), b.dip(14)], [0.0; 4]);
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
            Board::relief_from_reading(*board(flat).frets(), 12, 0.1, 12),
            Err(BoardError::ReliefFret(12))
        );
    }

    proptest! {
        #[test]
        fn a_relief_reading_reads_back(relief in -0.3..0.6f64, fret in 2u32..14) {
            let b = Board::new(645.0, 14, relief, BoardRadius::Flat).unwrap();
            let reading = b.dip(fret);
            let back = Board::relief_from_reading(*b.frets(), 14, reading, fret).unwrap();
            prop_assert!((back - relief).abs() < 1e-12);
        }

        #[test]
        fn straightedge_touches_its_two_frets(nut in -20.0..20.0f64, saddle in -28.0..28.0f64) {
            let b = board(BoardRadius::Conical { nut: 300.0, fret_12: 350.0 });
            let run = StringRun::between(nut, saddle, 610.0);
            for fret in [1, 12] {
                let gap = b.straightedge(&run, b.fret_x(fret, &run)) - b.crown_under(fret, &run);
                prop_assert!(gap.abs() < 1e-12);
            }
        }
    }
}
