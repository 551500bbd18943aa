//! Blended ends as a ball cuts them: the contours of [`saddle::Wings`], carried on over the stock beyond the finished ends.

use super::error::SurfaceError;
use numerics::math;
use saddle::Wings;

/// The contours over the stock: the top is not higher.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CutWings {
    over_stock: Wings,
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
            let drop = radius * (1.0 - 1.0 / math::hypot(slope, 1.0));
            Some((a.0 - drop / slope, a.1 - drop))
        }
        _ => None,
    };
    beyond.into_iter().chain(points.iter().copied()).collect()
}

impl CutWings {
    /// `radius`: of the ball that finishes the top, mm.
    pub(crate) fn new(
        bass: &[(f64, f64)],
        treble: &[(f64, f64)],
        ends: (f64, f64),
        radius: f64,
    ) -> Result<Self, SurfaceError> {
        let wing = |end| SurfaceError::Wing { end };
        let finished = Wings::new(bass, treble).map_err(wing)?;
        Ok(Self {
            over_stock: Wings::new(&carried_on(bass, radius), &carried_on(treble, radius)).map_err(wing)?,
            ends,
            inner_corner: finished.inner_corner(),
        })
    }

    /// Height that the top does not exceed at `u`.
    #[inline]
    pub(crate) fn cap(&self, u: f64) -> f64 {
        self.over_stock.cap(self.ends, u)
    }

    pub(crate) fn kinks(&self) -> impl Iterator<Item = f64> + '_ {
        self.over_stock.kinks(self.ends)
    }

    /// u between which the wings have no part.
    pub(crate) fn between(&self) -> (f64, f64) {
        self.over_stock.between(self.ends)
    }

    /// Last point of each contour as (u, v).
    pub(crate) fn tops(&self) -> [(&'static str, (f64, f64)); 2] {
        self.over_stock.tops(self.ends)
    }

    /// Steepest slope of a contour, no unit.
    pub(crate) fn steepest(&self) -> f64 {
        self.over_stock.steepest()
    }

    /// Largest angle by which a contour turns upward at one of its own points, radians.
    pub(crate) fn inner_corner(&self) -> f64 {
        self.inner_corner
    }
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
            let (level, slope) = (on[0].1, math::atan(rise));
            // The ball's centre, square from the contour at its end.
            let centre = [-radius * math::sin(slope), 8.0 + radius * math::cos(slope)];
            assert!((centre[1] - level - radius).abs() < 1e-9);
            assert!(on[0].0 >= centre[0] && on[0].0 < 0.0, "{on:?}");
            let wings = CutWings::new(&points, &points, (0.0, 80.0), radius).unwrap();
            assert!((wings.cap(0.0) - 8.0).abs() < 1e-12);
            assert!((wings.cap(2.0) - 8.0 - 2.0 * rise).abs() < 1e-12);
        }
        // Level toward the end already, or begun further in: nothing to carry on.
        for points in [[(0.0, 8.0), (4.0, 8.0)], [(1.0, 8.0), (4.0, 9.0)]] {
            assert_eq!(carried_on(&points, 1.5), points);
        }
    }
}
