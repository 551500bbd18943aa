//! Ends of a through saddle that are blended into the wings of the bridge: the line that the top does not rise over.

use numerics::math;
use serde::Serialize;

/// A contour may stop this far below the crown, mm: less than a file's stroke.
pub const MEETS: f64 = 0.01;

/// The contour at both ends, each as points of distance inward from the end and height v, mm: each further in than the one before and
/// no lower. Before the first point the height is that point's; beyond the last one the crown is free.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wings {
    bass: Vec<(f64, f64)>,
    treble: Vec<(f64, f64)>,
}

/// Where the contour of one end meets the crown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WingEnd {
    /// Which end.
    pub end: &'static str,
    /// Place along the blank up to which the contour lies below the crown, mm.
    pub u: f64,
    /// How far the contour stops below the crown, mm; 0 where it meets it.
    pub short: f64,
}

fn usable(points: &[(f64, f64)]) -> bool {
    !points.is_empty()
        && points.iter().all(|(x, v)| x.is_finite() && v.is_finite() && *v > 0.0)
        && points.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 >= w[0].1)
}

/// Height at `x` inward from the end; no cap beyond the last point.
#[inline]
fn height(points: &[(f64, f64)], x: f64) -> f64 {
    let i = points.partition_point(|p| p.0 <= x);
    match (i.checked_sub(1).and_then(|j| points.get(j)), points.get(i)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0),
        (None, Some(first)) => first.1,
        (Some(last), None) if last.0 == x => last.1,
        _ => f64::INFINITY,
    }
}

impl Wings {
    /// Contours from the bass end and from the treble end.
    ///
    /// # Errors
    /// The end whose contour has no point, falls inward, does not go inward, or is not above the bottom edge.
    pub fn new(bass: &[(f64, f64)], treble: &[(f64, f64)]) -> Result<Self, &'static str> {
        for (points, end) in [(bass, "bass"), (treble, "treble")] {
            if !usable(points) {
                return Err(end);
            }
        }
        Ok(Self {
            bass: bass.to_vec(),
            treble: treble.to_vec(),
        })
    }

    /// Points from the bass end: distance inward and height v, mm.
    #[must_use]
    pub fn bass(&self) -> &[(f64, f64)] {
        &self.bass
    }

    /// Points from the treble end.
    #[must_use]
    pub fn treble(&self) -> &[(f64, f64)] {
        &self.treble
    }

    /// Height v that the top does not exceed at `u`, mm, of a blank between `ends`; infinite where the crown is free.
    #[must_use]
    #[inline]
    pub fn cap(&self, ends: (f64, f64), u: f64) -> f64 {
        height(&self.bass, u - ends.0).min(height(&self.treble, ends.1 - u))
    }

    /// u of every point of the contours, mm.
    pub fn kinks(&self, ends: (f64, f64)) -> impl Iterator<Item = f64> + '_ {
        let bass = self.bass.iter().map(move |p| ends.0 + p.0);
        bass.chain(self.treble.iter().map(move |p| ends.1 - p.0))
    }

    /// u between which the contours have no part, mm.
    #[must_use]
    pub fn between(&self, ends: (f64, f64)) -> (f64, f64) {
        let last = |points: &[(f64, f64)]| points.last().map_or(0.0, |p| p.0);
        (ends.0 + last(&self.bass), ends.1 - last(&self.treble))
    }

    /// Last point of each contour as (end, (u, v)), mm.
    #[must_use]
    pub fn tops(&self, ends: (f64, f64)) -> [(&'static str, (f64, f64)); 2] {
        let last = |points: &[(f64, f64)]| points.last().copied().unwrap_or_default();
        let (bass, treble) = (last(&self.bass), last(&self.treble));
        [
            ("bass", (ends.0 + bass.0, bass.1)),
            ("treble", (ends.1 - treble.0, treble.1)),
        ]
    }

    /// Steepest slope of a contour, no unit.
    #[must_use]
    pub fn steepest(&self) -> f64 {
        let slopes = |points: &[(f64, f64)]| {
            let slopes = points.windows(2).map(|w| (w[1].1 - w[0].1) / (w[1].0 - w[0].0));
            slopes.fold(0.0, f64::max)
        };
        slopes(&self.bass).max(slopes(&self.treble))
    }

    /// Largest angle by which a contour turns upward at one of its own points, radians.
    #[must_use]
    pub fn inner_corner(&self) -> f64 {
        inner_corner(&self.bass).max(inner_corner(&self.treble))
    }

    /// The same ends with every point so much higher, mm; negative is lower.
    ///
    /// # Errors
    /// As [`Wings::new`]: a point would lie at or below the bottom edge.
    pub fn raised(&self, by: f64) -> Result<Self, &'static str> {
        let raise = |points: &[(f64, f64)]| points.iter().map(|p| (p.0, p.1 + by)).collect::<Vec<_>>();
        Self::new(&raise(&self.bass), &raise(&self.treble))
    }

    /// Where each contour meets the crown, whose highest place at u is `crown(u)`: bass, then treble.
    pub fn meet(&self, ends: (f64, f64), crown: impl Fn(f64) -> f64) -> [WingEnd; 2] {
        let one = |end, points: &[(f64, f64)], u: &dyn Fn(f64) -> f64| {
            let below = |x: f64| crown(u(x)) - height(points, x);
            let last = points.last().map_or(0.0, |p| p.0);
            let short = below(last);
            if short > MEETS {
                return WingEnd { end, u: u(last), short };
            }
            // From the last point back to the last place where it still lies below the crown.
            let stations = points.iter().map(|p| p.0).chain([0.0]);
            let from = stations
                .filter(|x| *x < last && below(*x) > 0.0)
                .fold(None, |kept: Option<f64>, x| Some(kept.map_or(x, |kept| kept.max(x))));
            let Some(mut low) = from else {
                return WingEnd {
                    end,
                    u: u(0.0),
                    short: 0.0,
                };
            };
            let mut high = points.iter().map(|p| p.0).filter(|x| *x > low).fold(last, f64::min);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if below(middle) > 0.0 {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            WingEnd {
                end,
                u: u(high),
                short: 0.0,
            }
        };
        [
            one("bass", &self.bass, &|x| ends.0 + x),
            one("treble", &self.treble, &|x| ends.1 - x),
        ]
    }
}

/// Largest angle by which a contour turns upward at one of its points, radians; before the first it is level.
fn inner_corner(points: &[(f64, f64)]) -> f64 {
    let level = points.first().filter(|p| p.0 > 0.0).map(|p| (0.0, p.1));
    let points: Vec<(f64, f64)> = level.into_iter().chain(points.iter().copied()).collect();
    let slope = |w: &[(f64, f64)]| math::atan2(w[1].1 - w[0].1, w[1].0 - w[0].0);
    let turns = points.windows(3).map(|w| slope(&w[1..]) - slope(&w[..2]));
    turns.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_contour() {
        let sound = [(0.0, 5.0), (2.0, 5.0)];
        assert!(Wings::new(&sound, &sound).is_ok());
        for bad in [
            &[][..],
            &[(0.0, 0.0)],
            &[(0.0, 5.0), (0.0, 6.0)],
            &[(0.0, 5.0), (1.0, 4.9)],
            &[(0.0, f64::NAN)],
        ] {
            assert_eq!(Wings::new(bad, &sound), Err("bass"), "{bad:?}");
            assert_eq!(Wings::new(&sound, bad), Err("treble"), "{bad:?}");
        }
        assert_eq!(Wings::new(&sound, &sound).unwrap().raised(-5.0), Err("bass"));
    }

    #[test]
    fn steepest_and_sharpest() {
        let wing = [(0.0, 5.0), (2.0, 5.0), (4.0, 7.0), (6.0, 8.0)];
        let wings = Wings::new(&wing, &wing[2..]).unwrap();
        assert!((wings.steepest() - 1.0).abs() < 1e-12);
        assert!((wings.inner_corner() - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
        // A contour that begins inside the end is level before that, and turns up there.
        let later = Wings::new(&[(2.0, 5.0), (4.0, 7.0)], &wing[2..]).unwrap();
        assert!((later.inner_corner() - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
    }

    #[test]
    fn a_contour_meets_the_crown_once() {
        let wings = Wings::new(&[(0.0, 5.0), (4.0, 7.0), (6.0, 10.0)], &[(1.0, 5.0), (3.0, 8.0)]).unwrap();
        let [bass, treble] = wings.meet((-10.0, 50.0), |_| 8.5);
        assert_eq!((bass.end, treble.end), ("bass", "treble"));
        // 7 + 1.5 (x - 4) = 8.5.
        assert!((bass.u - -5.0).abs() < 1e-9 && bass.short == 0.0, "{bass:?}");
        // It stops half a millimetre below.
        assert!(
            (treble.u - 47.0).abs() < 1e-9 && (treble.short - 0.5).abs() < 1e-9,
            "{treble:?}"
        );
        // A crown below the whole contour meets it at the end.
        let [bass, _] = wings.meet((-10.0, 50.0), |_| 4.0);
        assert_eq!((bass.u, bass.short), (-10.0, 0.0));
        let cap = |u| wings.cap((-10.0, 50.0), u);
        assert_eq!(
            [cap(-10.0), cap(-8.0), cap(-4.0), cap(0.0)],
            [5.0, 6.0, 10.0, f64::INFINITY]
        );
        assert_eq!([cap(50.0), cap(48.0), cap(46.0)], [5.0, 6.5, f64::INFINITY]);
    }
}
