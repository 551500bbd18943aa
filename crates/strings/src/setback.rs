//! Where the saddle (and the nut) must stand for a string to play in tune.

use crate::{FRETS, FrettedString, Point};
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
    shared_setback(&[(*string, 1.0)], nut, height, criterion)
}

/// One setback for several strings that take turns over the same frets (another tuning, another set), each with the weight of its
/// errors, 0 or more, no unit: weighted least squares of what the criterion looks at, the cents at fret 12 for the octave, else the
/// cents over frets 1 to 12. The first string tells the scale length.
///
/// # Errors
/// As [`setback`]; also where no string has a weight over 0.
pub fn shared_setback(
    strings: &[(FrettedString, f64)],
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
    let ends = |at: Setback| {
        let nut = path.at(at.nut);
        let end = strings.first().map_or(f64::NAN, |(string, _)| string.scale_end());
        (nut, height.contact(nut, end + at.saddle))
    };
    let start = kept(0.0);
    match criterion {
        Criterion::Offset(saddle) => Ok(kept(saddle)),
        Criterion::Octave => {
            let mut counted = strings.iter().filter(|(_, weight)| *weight > 0.0);
            if let (Some((string, _)), None) = (counted.next(), counted.next()) {
                return octave(string, nut, height).map(kept);
            }
            let at_12 = |string: &FrettedString, (nut, saddle)| [string.cents_at_12(nut, saddle)];
            let found = least_squares(strings, at_12, ends, kept(0.0), Free::Saddle);
            found.map_err(|_| SetbackError::NoOctave)
        }
        Criterion::BestFit => least_squares(strings, over_frets, ends, start, Free::Saddle),
        Criterion::BestFitWithNut => least_squares(strings, over_frets, ends, start, Free::Both),
    }
}

/// Setback of the saddle, mm, at which fret 12 of one string is in tune.
fn octave(string: &FrettedString, nut: Point, height: SaddleHeight) -> Result<f64, SetbackError> {
    let error = |s: f64| string.cents_at_12(nut, height.contact(nut, string.scale_end() + s));
    let (low, high) = (SEARCH.0 * string.scale, SEARCH.1 * string.scale);
    find_root(low, high, OCTAVE_TOLERANCE, error).map_err(|_| SetbackError::NoOctave)
}

fn over_frets(string: &FrettedString, (nut, saddle): (Point, Point)) -> [f64; FRETS] {
    string.cents(nut, saddle)
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
    let ends = |at: Setback| (nut.at(at.nut), saddle);
    least_squares(&[(*string, 1.0)], over_frets, ends, held, Free::Nut).map(|found| found.nut)
}

/// Which end may move in least squares.
#[derive(Clone, Copy)]
enum Free {
    Saddle,
    Nut,
    Both,
}

/// Weighted sums of products of slopes (by saddle s, by nut n) and residuals (r) over all strings.
#[derive(Default)]
struct Sums {
    ss: f64,
    sn: f64,
    nn: f64,
    rs: f64,
    rn: f64,
}

/// Gauss-Newton on the weighted sum of squared cents, which `cents` gives of each string with its ends at nut and saddle. Residuals
/// are nearly linear in both unknowns, so it converges in a few steps.
fn least_squares<const N: usize>(
    strings: &[(FrettedString, f64)],
    cents: impl Fn(&FrettedString, (Point, Point)) -> [f64; N],
    ends: impl Fn(Setback) -> (Point, Point),
    start: Setback,
    free: Free,
) -> Result<Setback, SetbackError> {
    let (first, _) = strings.first().ok_or(SetbackError::NoBestFit)?;
    let range = SEARCH.0 * first.scale..=SEARCH.1 * first.scale;
    let moved = |at: Setback, ds: f64, dn: f64| {
        ends(Setback {
            saddle: at.saddle + ds,
            nut: at.nut + dn,
        })
    };
    let dot = |a: &[f64; N], b: &[f64; N]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let step = |at: Setback| {
        // The ends are the same for all strings.
        let here = ends(at);
        let by_saddle = [moved(at, -DIFFERENCE, 0.0), moved(at, DIFFERENCE, 0.0)];
        let by_nut = [moved(at, 0.0, -DIFFERENCE), moved(at, 0.0, DIFFERENCE)];
        let mut sums = Sums::default();
        for (string, weight) in strings.iter().filter(|(_, weight)| *weight > 0.0) {
            let slope = |[low, high]: [(Point, Point); 2]| -> [f64; N] {
                let (low, high) = (cents(string, low), cents(string, high));
                std::array::from_fn(|i| (high[i] - low[i]) / (2.0 * DIFFERENCE))
            };
            let r = cents(string, here);
            let js = (!matches!(free, Free::Nut)).then(|| slope(by_saddle));
            let jn = (!matches!(free, Free::Saddle)).then(|| slope(by_nut));
            if let Some(js) = &js {
                sums.ss += weight * dot(js, js);
                sums.rs += weight * dot(js, &r);
            }
            if let Some(jn) = &jn {
                sums.nn += weight * dot(jn, jn);
                sums.rn += weight * dot(jn, &r);
            }
            if let (Some(js), Some(jn)) = (&js, &jn) {
                sums.sn += weight * dot(js, jn);
            }
        }
        let Sums { ss, sn, nn, rs, rn } = sums;
        let (ds, dn) = match free {
            Free::Saddle => (-rs / ss, 0.0),
            Free::Nut => (0.0, -rn / nn),
            Free::Both => {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Ends, Material, StringModel, plain, rms};
    use numerics::math;
    use proptest::prelude::*;

    fn flat_board(model: StringModel, frequency: f64) -> FrettedString {
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - math::exp2(-(i as f64 + 1.0) / 12.0)),
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

        /// Two that take turns: the contact lies between their own, and to first order at the mean weighted by the square of how fast
        /// each goes off.
        #[test]
        fn a_shared_octave_lies_at_the_weighted_mean(d in 0.2..0.5f64, action in 1.0..3.0f64, down in 0.75..0.95f64, weight in 0.2..5.0f64) {
            let one = steel(d);
            let other = FrettedString { frequency: down * one.frequency, ..one };
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let own = [one, other].map(|s| setback(&s, NUT, height, Criterion::Octave).unwrap().saddle);
            let both = shared_setback(&[(one, 1.0), (other, weight)], NUT, height, Criterion::Octave).unwrap().saddle;
            let (low, high) = (own[0].min(own[1]), own[0].max(own[1]));
            prop_assert!((low - 1e-9..=high + 1e-9).contains(&both), "{own:?} {both}");
            let slope = |s: &FrettedString, at: f64| {
                let cents = |x: f64| s.cents_at_12(NUT, height.contact(NUT, 650.0 + x));
                (cents(at + 1e-3) - cents(at - 1e-3)) / 2e-3
            };
            let share = [math::powi(slope(&one, own[0]), 2), weight * math::powi(slope(&other, own[1]), 2)];
            let mean = (share[0] * own[0] + share[1] * own[1]) / (share[0] + share[1]);
            // What bends over the way between the two is of second order.
            prop_assert!((both - mean).abs() < 0.03 * math::powi(high - low, 2) + 1e-7, "{own:?} {both} {mean}");
        }

        /// What has no weight changes nothing, twice the same is once, and the order does not count.
        #[test]
        fn weights_nought_twins_and_order(d in 0.2..0.5f64, e in 0.2..0.5f64, action in 1.0..4.0f64, down in 0.75..1.0f64, weight in 0.2..5.0f64) {
            let one = steel(d);
            let other = FrettedString { frequency: down * one.frequency, ..steel(e) };
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            for criterion in [Criterion::Octave, Criterion::BestFit, Criterion::BestFitWithNut, Criterion::Offset(1.5)] {
                let of = |strings: &[(FrettedString, f64)]| shared_setback(strings, NUT, height, criterion).unwrap();
                // What the rounding of the difference quotients leaves; with both ends free it shows the more.
                let within = if criterion == Criterion::BestFitWithNut { 1e-7 } else { 1e-8 };
                let near = |a: Setback, b: Setback| (a.saddle - b.saddle).abs() < within && (a.nut - b.nut).abs() < within;
                let single = setback(&one, NUT, height, criterion).unwrap();
                prop_assert_eq!(of(&[(one, 1.0), (other, 0.0)]), single);
                let twins = of(&[(one, 1.0), (one, weight)]);
                prop_assert!(near(twins, single), "{criterion:?} {twins:?} {single:?}");
                let (ab, ba) = (of(&[(one, 1.0), (other, weight)]), of(&[(other, weight), (one, 1.0)]));
                prop_assert!(near(ab, ba), "{ab:?} {ba:?}");
                // Only how the weights stand to each other counts.
                let scaled = of(&[(one, 3.0), (other, 3.0 * weight)]);
                prop_assert!(near(ab, scaled), "{criterion:?} {ab:?} {scaled:?}");
            }
        }

        /// No way off the contact that serves both leads to less: the weighted squares are level there.
        #[test]
        fn a_shared_contact_is_where_the_squares_are_level(d in 0.2..0.5f64, e in 0.2..0.5f64, action in 1.0..4.0f64, down in 0.75..1.0f64, weight in 0.2..5.0f64) {
            let strings = [(steel(d), 1.0), (FrettedString { frequency: down * 329.6, ..steel(e) }, weight)];
            let height = SaddleHeight::Through(Point { x: 325.0, z: action });
            let squares = |criterion: Criterion, at: Setback| -> f64 {
                let nut = NutPath::from(NUT).at(at.nut);
                let saddle = height.contact(nut, 650.0 + at.saddle);
                let of = |s: &FrettedString| match criterion {
                    Criterion::Octave => math::powi(s.cents_at_12(nut, saddle), 2),
                    _ => s.cents(nut, saddle).iter().map(|c| c * c).sum(),
                };
                strings.iter().map(|(s, weight)| weight * of(s)).sum()
            };
            for criterion in [Criterion::Octave, Criterion::BestFit, Criterion::BestFitWithNut] {
                let found = shared_setback(&strings, NUT, height, criterion).unwrap();
                let level = |ds: f64, dn: f64| {
                    let at = |sign: f64| squares(criterion, Setback { saddle: found.saddle + sign * ds, nut: found.nut + sign * dn });
                    let (less, here, more) = (at(-1.0), at(0.0), at(1.0));
                    // How far the lowest point of the parabola lies away, in steps.
                    0.5 * (more - less) / (more - 2.0 * here + less)
                };
                prop_assert!(level(1e-2, 0.0).abs() < 1e-4, "{criterion:?}");
                if criterion == Criterion::BestFitWithNut {
                    prop_assert!(level(0.0, 1e-2).abs() < 1e-3, "{criterion:?}");
                }
            }
        }
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
