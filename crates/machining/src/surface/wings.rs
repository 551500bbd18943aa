//! The height of the bridge's wings, which the ends of a through saddle blend into.

use super::error::SurfaceError;

/// Contours from both ends: the top is not higher.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wings {
    bass: Vec<(f64, f64)>,
    treble: Vec<(f64, f64)>,
    ends: (f64, f64),
    /// Largest angle by which a contour turns upward at one of its own points, radians.
    inner_corner: f64,
}

/// `points` carried on over the stock beyond the finished end, so far that a ball of `radius` mm that rests on the level after
/// that touches the contour right at the end: `R (1 - cos)` lower, or there would be a corner at the end which it does not reach.
fn carried_on(points: &[(f64, f64)], radius: f64) -> Vec<(f64, f64)> {
    let beyond = match points {
        // A contour that begins further in is level to the end.
        [a, b, ..] if a.0 <= 0.0 && b.1 > a.1 => {
            let slope = (b.1 - a.1) / (b.0 - a.0);
            let drop = radius * (1.0 - 1.0 / slope.hypot(1.0));
            Some((a.0 - drop / slope, a.1 - drop))
        }
        _ => None,
    };
    beyond.into_iter().chain(points.iter().copied()).collect()
}

fn usable(points: &[(f64, f64)]) -> bool {
    points.iter().all(|(x, v)| x.is_finite() && v.is_finite() && *v > 0.0)
        && points.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 >= w[0].1)
}

/// Height at `x` inward from the end; no cap beyond the last point.
fn height(points: &[(f64, f64)], x: f64) -> f64 {
    let i = points.partition_point(|p| p.0 <= x);
    match (i.checked_sub(1).and_then(|j| points.get(j)), points.get(i)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0),
        (None, Some(first)) => first.1,
        _ => f64::INFINITY,
    }
}

impl Wings {
    /// `radius`: of the ball that finishes the top, mm.
    pub(crate) fn new(
        bass: &[(f64, f64)],
        treble: &[(f64, f64)],
        ends: (f64, f64),
        radius: f64,
    ) -> Result<Self, SurfaceError> {
        for (points, end) in [(bass, "bass"), (treble, "treble")] {
            if !usable(points) {
                return Err(SurfaceError::Wing { end });
            }
        }
        Ok(Self {
            bass: carried_on(bass, radius),
            treble: carried_on(treble, radius),
            ends,
            inner_corner: inner_corner(bass).max(inner_corner(treble)),
        })
    }

    /// Height that the top does not exceed at `u`.
    pub(crate) fn cap(&self, u: f64) -> f64 {
        height(&self.bass, u - self.ends.0).min(height(&self.treble, self.ends.1 - u))
    }

    pub(crate) fn kinks(&self) -> impl Iterator<Item = f64> + '_ {
        let bass = self.bass.iter().map(|p| self.ends.0 + p.0);
        bass.chain(self.treble.iter().map(|p| self.ends.1 - p.0))
    }

    /// u between which the wings have no part.
    pub(crate) fn between(&self) -> (f64, f64) {
        (
            self.bass.last().map_or(f64::NEG_INFINITY, |p| self.ends.0 + p.0),
            self.treble.last().map_or(f64::INFINITY, |p| self.ends.1 - p.0),
        )
    }

    /// Last point of each contour as (u, v).
    pub(crate) fn tops(&self) -> Vec<(&'static str, (f64, f64))> {
        let bass = self.bass.last().map(|p| ("bass", (self.ends.0 + p.0, p.1)));
        let treble = self.treble.last().map(|p| ("treble", (self.ends.1 - p.0, p.1)));
        bass.into_iter().chain(treble).collect()
    }

    /// Steepest slope of a contour, no unit.
    pub(crate) fn steepest(&self) -> f64 {
        let slopes = |points: &[(f64, f64)]| {
            let slopes = points.windows(2).map(|w| (w[1].1 - w[0].1) / (w[1].0 - w[0].0));
            slopes.fold(0.0, f64::max)
        };
        slopes(&self.bass).max(slopes(&self.treble))
    }

    /// Largest angle by which a contour turns upward at one of its own points, radians.
    pub(crate) fn inner_corner(&self) -> f64 {
        self.inner_corner
    }
}

/// Largest angle by which a contour turns upward at one of its points, radians; before the first it is level.
fn inner_corner(points: &[(f64, f64)]) -> f64 {
    let level = points.first().filter(|p| p.0 > 0.0).map(|p| (0.0, p.1));
    let points: Vec<(f64, f64)> = level.into_iter().chain(points.iter().copied()).collect();
    let slope = |w: &[(f64, f64)]| (w[1].1 - w[0].1).atan2(w[1].0 - w[0].0);
    let turns = points.windows(3).map(|w| slope(&w[1..]) - slope(&w[..2]));
    turns.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ball on the level beyond the end touches the contour right at the end, and cuts nothing inside of it.
    #[test]
    fn the_contour_is_carried_on_as_far_as_a_ball_needs() {
        for (rise, radius) in [(0.3, 1.5), (1.0, 1.5), (1.0, 6.35), (2.5, 0.8)] {
            let points = [(0.0, 8.0), (4.0, 8.0 + 4.0 * rise)];
            let on = carried_on(&points, radius);
            let (level, slope) = (on[0].1, f64::atan(rise));
            // The ball's centre, square from the contour at its end.
            let centre = [-radius * slope.sin(), 8.0 + radius * slope.cos()];
            assert!((centre[1] - level - radius).abs() < 1e-9);
            assert!(on[0].0 >= centre[0] && on[0].0 < 0.0, "{on:?}");
            assert!((height(&on, 0.0) - 8.0).abs() < 1e-12);
            assert!((height(&on, 2.0) - 8.0 - 2.0 * rise).abs() < 1e-12);
        }
        // Level toward the end already, or begun further in: nothing to carry on.
        for points in [[(0.0, 8.0), (4.0, 8.0)], [(1.0, 8.0), (4.0, 9.0)]] {
            assert_eq!(carried_on(&points, 1.5), points);
        }
    }

    #[test]
    fn steepest_and_sharpest() {
        let wing = [(0.0, 5.0), (2.0, 5.0), (4.0, 7.0), (6.0, 8.0)];
        let wings = Wings::new(&wing, &wing[2..], (0.0, 80.0), 1.5).unwrap();
        assert!((wings.steepest() - 1.0).abs() < 1e-12);
        assert!((wings.inner_corner() - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
        // A contour that begins inside the end is level before that, and turns up there.
        let later = Wings::new(&[(2.0, 5.0), (4.0, 7.0)], &wing[2..], (0.0, 80.0), 1.5).unwrap();
        assert!((later.inner_corner() - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
    }
}
