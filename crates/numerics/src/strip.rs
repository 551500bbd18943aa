//! The straight line that stays nearest to all points of a set.

/// The narrowest strip, measured along y, that holds every point: `y = offset + slope x`, plus or
/// minus `half_width`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// y of the middle line at x = 0.
    pub offset: f64,
    /// dy/dx of the middle line.
    pub slope: f64,
    /// Largest distance along y of any point from the middle line; not negative.
    pub half_width: f64,
}

impl Strip {
    /// y of the middle line at `x`.
    #[must_use]
    pub fn middle(&self, x: f64) -> f64 {
        self.offset + self.slope * x
    }
}

/// Chebyshev line: least largest |residual| over all points `(x, y)`.
///
/// One edge of the best strip passes through two of the points, so every pair is tried: O(n^3), meant for
/// a dozen points. One point, or points that share one x, give a level line. `None` without points.
#[must_use]
pub fn narrowest_strip(points: &[(f64, f64)]) -> Option<Strip> {
    let along = |slope: f64| -> Option<Strip> {
        let residuals = points.iter().map(|(x, y)| y - slope * x);
        let low = residuals.clone().min_by(f64::total_cmp)?;
        let high = residuals.max_by(f64::total_cmp)?;
        Some(Strip {
            offset: 0.5 * (low + high),
            slope,
            half_width: 0.5 * (high - low),
        })
    };
    let mut best = None;
    for (i, (xi, yi)) in points.iter().enumerate() {
        for (xj, yj) in &points[i + 1..] {
            let slope = (yj - yi) / (xj - xi);
            if !slope.is_finite() {
                continue;
            }
            best = match (best, along(slope)) {
                (Some(Strip { half_width, .. }), Some(next)) if next.half_width >= half_width => best,
                (_, next) => next,
            };
        }
    }
    best.or_else(|| along(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn three_points_equioscillate() {
        let strip = narrowest_strip(&[(0.0, 0.0), (1.0, 1.0), (2.0, 0.0)]).unwrap();
        assert!((strip.half_width - 0.5).abs() < 1e-15);
        assert!(strip.slope.abs() < 1e-15);
        assert!((strip.middle(7.0) - 0.5).abs() < 1e-15);
    }

    #[test]
    fn few_points() {
        assert_eq!(narrowest_strip(&[]), None);
        let one = narrowest_strip(&[(3.0, 2.0)]).unwrap();
        assert_eq!((one.offset, one.slope, one.half_width), (2.0, 0.0, 0.0));
    }

    proptest! {
        #[test]
        fn holds_all_points_and_no_other_line_is_narrower(
            points in prop::collection::vec((-30.0..30.0f64, -3.0..3.0f64), 3..9),
            tilt in -0.2..0.2f64,
        ) {
            let best = narrowest_strip(&points).unwrap();
            for (x, y) in &points {
                prop_assert!((y - best.middle(*x)).abs() <= best.half_width + 1e-9);
            }
            let other = best.slope + tilt;
            let residuals: Vec<f64> = points.iter().map(|(x, y)| y - other * x).collect();
            let spread = residuals.iter().cloned().fold(f64::MIN, f64::max)
                - residuals.iter().cloned().fold(f64::MAX, f64::min);
            prop_assert!(0.5 * spread >= best.half_width - 1e-9);
        }
    }
}
