//! Where the saddle (and the nut) must stand for a string to play in tune, and calibration of a string.

use crate::{FRETS, FrettedString, Point, Stiffness};
use numerics::{Round, find_root, settle};
use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};
use thiserror::Error;

/// What the setback of one string is chosen for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Criterion {
    /// A given setback of the saddle, mm, positive away from the nut.
    Offset(f64),
    /// Fret 12 in tune with the open string's octave.
    Octave,
    /// Least squares of cents over frets 1 to 12, by the saddle alone.
    BestFit,
    /// Least squares over frets 1 to 12, by saddle and nut together.
    BestFitWithNut,
}

impl Serialize for Criterion {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (intonation, offset) = match *self {
            Self::Offset(setback) => ("offsets", Some(setback)),
            Self::Octave => ("octave", None),
            Self::BestFit => ("best-fit", None),
            Self::BestFitWithNut => ("best-fit-with-nut", None),
        };
        let mut out = serializer.serialize_struct("Criterion", 2)?;
        out.serialize_field("intonation", intonation)?;
        out.serialize_field("offset", &offset)?;
        out.end()
    }
}

/// Height of the saddle contact as it moves along x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SaddleHeight {
    /// Always at this z, mm.
    Level(f64),
    /// On the straight line from the nut contact through this point, as a target action asks.
    Through(Point),
}

impl SaddleHeight {
    /// Saddle contact at `x` mm, with the nut contact at `nut`.
    #[must_use]
    pub fn contact(&self, nut: Point, x: f64) -> Point {
        let z = match self {
            Self::Level(z) => *z,
            Self::Through(target) => nut.z + (target.z - nut.z) * (x - nut.x) / (target.x - nut.x),
        };
        Point { x, z }
    }
}

/// Where the nut contact stands as it moves along x: on a straight line in side view. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NutPath {
    /// x of fret 0, mm.
    pub fret_0: f64,
    /// Where it stands before it is moved.
    pub from: Point,
    /// Rise toward the bridge, dz/dx, no unit: 0 for a nut that keeps its height, else that of the line on which every place gives
    /// the gap asked for.
    pub slope: f64,
}

impl NutPath {
    /// Whether the contact keeps its height wherever it is moved.
    #[must_use]
    pub fn keeps_height(&self) -> bool {
        self.slope == 0.0
    }

    /// Nut contact at a setback, mm, negative toward the bridge.
    #[must_use]
    pub fn at(&self, setback: f64) -> Point {
        let x = self.fret_0 - setback;
        Point {
            x,
            z: self.from.z + self.slope * (x - self.from.x),
        }
    }

    /// Setback of the contact before it is moved, mm.
    #[must_use]
    pub fn setback(&self) -> f64 {
        self.fret_0 - self.from.x
    }
}

impl From<Point> for NutPath {
    /// A contact that keeps its height, with fret 0 at x = 0.
    fn from(from: Point) -> Self {
        Self {
            fret_0: 0.0,
            from,
            slope: 0.0,
        }
    }
}

/// A solved setback, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setback {
    /// Saddle contact beyond the scale length; positive away from the nut.
    pub saddle: f64,
    /// Nut contact behind fret 0; negative toward the bridge.
    pub nut: f64,
}

/// Why no setback was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum SetbackError {
    /// No place within the range searched tunes fret 12.
    #[error("no place of the saddle brings fret 12 in tune: look at the string's data and the action")]
    NoOctave,
    /// Least squares did not settle.
    #[error("no best place was found: look at the string's data and the action")]
    NoBestFit,
}

/// Tolerance of the octave search: mm of setback or cents, whichever is met first.
const OCTAVE_TOLERANCE: f64 = 1e-11;
/// Range of setbacks searched, as shares of the scale length: from 4 % short to 12 % long.
const SEARCH: (f64, f64) = (-0.04, 0.12);
/// Least squares has settled when a step is smaller than this, mm.
const STEP_TOLERANCE: f64 = 1e-8;
/// Half-step of the central differences in least squares, mm. Cents are nearly linear over it, and rounding stays below 1e-9.
const DIFFERENCE: f64 = 1e-3;
/// Most steps of least squares; it needs about five.
const ROUNDS: usize = 60;

/// Setback of one string for a criterion. `nut` is where the nut contact stands; only [`Criterion::BestFitWithNut`] moves it, on its
/// path.
///
/// # Errors
/// [`SetbackError`] if there is none within -4 % to +12 % of the scale length.
pub fn setback(
    string: &FrettedString,
    nut: impl Into<NutPath>,
    height: SaddleHeight,
    criterion: Criterion,
) -> Result<Setback, SetbackError> {
    let path = nut.into();
    let nut = path.from;
    let kept = |saddle: f64| Setback {
        saddle,
        nut: path.setback(),
    };
    match criterion {
        Criterion::Offset(saddle) => Ok(kept(saddle)),
        Criterion::Octave => {
            let error = |s: f64| string.cents_at_12(nut, height.contact(nut, string.scale_end() + s));
            find_root(
                SEARCH.0 * string.scale,
                SEARCH.1 * string.scale,
                OCTAVE_TOLERANCE,
                error,
            )
            .map(kept)
            .map_err(|_| SetbackError::NoOctave)
        }
        Criterion::BestFit => saddle_fit(string, path, height, Free::Saddle),
        Criterion::BestFitWithNut => saddle_fit(string, path, height, Free::Both),
    }
}

/// Setback of the nut alone, mm, negative toward the bridge: least squares of cents over frets 1 to 12 with the saddle contact
/// held at `saddle`. `nut` is where the nut contact may stand.
///
/// # Errors
/// [`SetbackError::NoBestFit`] if there is none within 12 % of the scale length.
pub fn nut_setback(string: &FrettedString, nut: NutPath, saddle: Point) -> Result<f64, SetbackError> {
    let held = Setback {
        saddle: saddle.x - string.scale_end(),
        nut: 0.0,
    };
    let cents = |at: Setback| string.cents(nut.at(at.nut), saddle);
    least_squares(string.scale, cents, held, Free::Nut).map(|found| found.nut)
}

/// Which end may move in least squares.
#[derive(Clone, Copy)]
enum Free {
    Saddle,
    Nut,
    Both,
}

fn saddle_fit(
    string: &FrettedString,
    path: NutPath,
    height: SaddleHeight,
    free: Free,
) -> Result<Setback, SetbackError> {
    let cents = |at: Setback| {
        let nut = path.at(at.nut);
        string.cents(nut, height.contact(nut, string.scale_end() + at.saddle))
    };
    let start = Setback {
        saddle: 0.0,
        nut: path.setback(),
    };
    least_squares(string.scale, cents, start, free)
}

/// Gauss-Newton on the sum of squared cents. Residuals are nearly linear in both unknowns, so it converges in a few steps.
fn least_squares(
    scale: f64,
    cents: impl Fn(Setback) -> [f64; FRETS],
    start: Setback,
    free: Free,
) -> Result<Setback, SetbackError> {
    let slope = |ds: f64, dn: f64, at: Setback| -> [f64; FRETS] {
        let moved = |sign: f64| {
            cents(Setback {
                saddle: at.saddle + sign * ds,
                nut: at.nut + sign * dn,
            })
        };
        let (low, high) = (moved(-1.0), moved(1.0));
        std::array::from_fn(|i| (high[i] - low[i]) / (2.0 * DIFFERENCE))
    };
    let dot = |a: &[f64; FRETS], b: &[f64; FRETS]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let range = SEARCH.0 * scale..=SEARCH.1 * scale;
    let step = |at: Setback| {
        let r = cents(at);
        let by_saddle = || slope(DIFFERENCE, 0.0, at);
        let by_nut = || slope(0.0, DIFFERENCE, at);
        let (ds, dn) = match free {
            Free::Saddle => {
                let js = by_saddle();
                (-dot(&js, &r) / dot(&js, &js), 0.0)
            }
            Free::Nut => {
                let jn = by_nut();
                (0.0, -dot(&jn, &r) / dot(&jn, &jn))
            }
            Free::Both => {
                let (js, jn) = (by_saddle(), by_nut());
                let (ss, sn, nn) = (dot(&js, &js), dot(&js, &jn), dot(&jn, &jn));
                let (rs, rn) = (dot(&js, &r), dot(&jn, &r));
                let det = ss * nn - sn * sn;
                ((sn * rn - nn * rs) / det, (sn * rs - ss * rn) / det)
            }
        };
        let next = Setback {
            saddle: at.saddle + ds,
            nut: at.nut + dn,
        };
        if !range.contains(&next.saddle) || !range.contains(&next.nut.abs()) {
            return Err(SetbackError::NoBestFit);
        }
        Ok(Round {
            found: next,
            next,
            off: ds.abs().max(dn.abs()),
        })
    };
    settle(start, STEP_TOLERANCE, ROUNDS, step)?.map_err(|_| SetbackError::NoBestFit)
}

/// A pitch reading on the present saddle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Present nut contact.
    pub nut: Point,
    /// Present saddle contact.
    pub saddle: Point,
    /// Fretted note at 12 against the open string's octave, cents, sharp positive.
    pub cents_12: f64,
}

/// Factors on stretch stiffness that a real string may show; a reading that asks for more is doubtful.
const CALIBRATION_RANGE: (f64, f64) = (0.3, 3.0);

/// Tolerance of the calibration, no unit (the factor) or cents.
const CALIBRATION_TOLERANCE: f64 = 1e-11;

/// Why a reading cannot calibrate a string.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CalibrationError {
    /// The factor would leave `CALIBRATION_RANGE`.
    #[error(
        "a reading of {read:+.1} cents is doubtful: this string at this place can show {low:+.1} to {high:+.1} cents; check the tuner, the place of the contact and the action"
    )]
    Doubtful {
        /// What was read, cents.
        read: f64,
        /// What the limp end of the range would show, cents.
        low: f64,
        /// What the stiff end of the range would show, cents.
        high: f64,
    },
}

/// Factor c by which the string's stretch stiffness must be scaled ([`Stiffness::scaled`]) so that the model shows the reading.
///
/// # Errors
/// [`CalibrationError`] outside `CALIBRATION_RANGE`.
pub fn calibration(string: &FrettedString, measured: &Measured) -> Result<f64, CalibrationError> {
    let shown = |c: f64| {
        let mut scaled = *string;
        scaled.model.stiffness = Stiffness::scaled(string.model.stiffness, c);
        scaled.cents_at_12(measured.nut, measured.saddle)
    };
    let (low, high) = CALIBRATION_RANGE;
    find_root(low, high, CALIBRATION_TOLERANCE, |c| shown(c) - measured.cents_12).map_err(|_| {
        CalibrationError::Doubtful {
            read: measured.cents_12,
            low: shown(low),
            high: shown(high),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Ends, Material, StringModel, plain, rms};
    use proptest::prelude::*;

    fn flat_board(model: StringModel, frequency: f64) -> FrettedString {
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - (-(i as f64 + 1.0) / 12.0).exp2()),
            z: 0.0,
        });
        FrettedString {
            model,
            frequency,
            fret_0: 0.0,
            scale: 650.0,
            crowns,
            press: 0.0,
            ends: Ends::PUBLISHED,
        }
    }

    fn steel(d: f64) -> FrettedString {
        flat_board(plain(d, Material::STEEL).unwrap(), 329.6)
    }

    const NUT: Point = Point { x: 0.0, z: 0.5 };

    proptest! {
        #[test]
        fn octave_leaves_no_error_at_12(d in 0.2..0.5f64, action in 1.0..4.0f64) {
            let string = steel(d);
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let s = setback(&string, NUT, height, Criterion::Octave).unwrap();
            let left = string.cents_at_12(NUT, height.contact(NUT, 650.0 + s.saddle));
            prop_assert!(left.abs() < 1e-6, "{left}");
        }

        #[test]
        fn no_other_place_fits_better(d in 0.2..0.5f64, action in 1.0..4.0f64, ds in -0.5..0.5f64, dn in -0.5..0.5f64) {
            let string = steel(d);
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let error = |s: f64, n: f64| {
                let nut = Point { x: -n, z: NUT.z };
                rms(&string.cents(nut, height.contact(nut, 650.0 + s)))
            };
            let alone = setback(&string, NUT, height, Criterion::BestFit).unwrap();
            prop_assert!(error(alone.saddle + ds, 0.0) >= error(alone.saddle, 0.0) - 1e-12);
            let both = setback(&string, NUT, height, Criterion::BestFitWithNut).unwrap();
            prop_assert!(error(both.saddle + ds, both.nut + dn) >= error(both.saddle, both.nut) - 1e-12);
            prop_assert!(error(both.saddle, both.nut) <= error(alone.saddle, 0.0));
        }

        /// With the saddle held where both ends together put it, the nut comes out at the same place; with it held elsewhere,
        /// no other place of the nut fits better.
        #[test]
        fn the_nut_alone_finds_its_place_again(d in 0.2..0.5f64, action in 1.0..4.0f64, off in -2.0..2.0f64, dn in -0.5..0.5f64) {
            let string = steel(d);
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let both = setback(&string, NUT, height, Criterion::BestFitWithNut).unwrap();
            let path = NutPath::from(NUT);
            let at = |n: f64| path.at(n);
            let alone = |saddle| nut_setback(&string, path, saddle).unwrap();
            // The saddle's height hangs on the nut's place when both move, so the two agree to what a string's rise makes of that.
            let found = alone(height.contact(at(both.nut), 650.0 + both.saddle));
            prop_assert!((found - both.nut).abs() < 1e-3, "{found} {}", both.nut);
            let elsewhere = height.contact(NUT, 650.0 + both.saddle + off);
            let error = |n: f64| rms(&string.cents(at(n), elsewhere));
            let best = alone(elsewhere);
            prop_assert!(error(best + dn) >= error(best) - 1e-12);
        }

        /// A nut that slides on the string's own line leaves the saddle's height alone, so each end is at its best for the other.
        #[test]
        fn on_the_strings_own_line_the_nut_alone_finds_its_very_place_again(d in 0.2..0.5f64, action in 1.0..4.0f64, ds in -0.5..0.5f64, dn in -0.5..0.5f64) {
            let string = steel(d);
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let path = NutPath { fret_0: 0.0, from: NUT, slope: (action - NUT.z) / 325.0 };
            let both = setback(&string, path, height, Criterion::BestFitWithNut).unwrap();
            let saddle = height.contact(path.at(both.nut), 650.0 + both.saddle);
            prop_assert!((nut_setback(&string, path, saddle).unwrap() - both.nut).abs() < 1e-6);
            let error = |s: f64, n: f64| rms(&string.cents(path.at(n), height.contact(path.at(n), 650.0 + s)));
            prop_assert!(error(both.saddle + ds, both.nut + dn) >= error(both.saddle, both.nut) - 1e-12);
        }

        #[test]
        fn calibration_recovers_a_planted_factor(d in 0.2..0.5f64, c in 0.35..2.8f64, x in 651.0..655.0f64) {
            let string = steel(d);
            let mut truth = string;
            truth.model.stiffness = string.model.stiffness.scaled(c);
            let saddle = Point { x, z: 4.0 };
            let measured = Measured { nut: NUT, saddle, cents_12: truth.cents_at_12(NUT, saddle) };
            prop_assert!((calibration(&string, &measured).unwrap() - c).abs() < 1e-8);
        }
    }

    #[test]
    fn refuses_a_wild_reading() {
        let measured = Measured {
            nut: NUT,
            saddle: Point { x: 652.0, z: 4.0 },
            cents_12: 60.0,
        };
        assert!(matches!(
            calibration(&steel(0.3), &measured),
            Err(CalibrationError::Doubtful { .. })
        ));
    }

    #[test]
    fn says_so_when_nothing_tunes() {
        let string = flat_board(
            plain(
                0.3,
                Material {
                    density: 7.85,
                    modulus: 2e5,
                },
            )
            .unwrap(),
            5.0,
        );
        let height = SaddleHeight::Through(Point { x: 325.0, z: 12.0 });
        assert_eq!(
            setback(&string, NUT, height, Criterion::Octave),
            Err(SetbackError::NoOctave)
        );
        assert!(setback(&string, NUT, height, Criterion::BestFit).is_err());
    }
}
