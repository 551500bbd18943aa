//! Monotone cubic interpolation.

use thiserror::Error;

/// Why a curve cannot be laid through the points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum PchipError {
    /// No points, or as many abscissae as ordinates are wanted.
    #[error("one ordinate is wanted for each abscissa, and at least one point")]
    Count,
    /// Abscissae must rise strictly; values must be finite.
    #[error("abscissae must rise strictly and all values be finite")]
    Order,
}

/// Piecewise cubic Hermite curve that keeps the monotony of its points.
///
/// Slopes after F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise
/// cubic interpolants", SIAM J. Sci. Stat. Comput. 5(2), 300 (1984), with the three-point end
/// slopes of the same family. Beyond its ends the curve runs on straight with the end slope.
#[derive(Debug, Clone, PartialEq)]
pub struct Pchip {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl Pchip {
    /// Curve through `(x[i], y[i])`; one point gives a constant, two a straight line.
    ///
    /// # Errors
    /// [`PchipError`] if the counts differ, no point is given, or `x` does not rise strictly.
    pub fn new(x: &[f64], y: &[f64]) -> Result<Self, PchipError> {
        if x.len() != y.len() || x.is_empty() {
            return Err(PchipError::Count);
        }
        let finite = x.iter().chain(y).all(|v| v.is_finite());
        if !finite || x.windows(2).any(|w| w[1] <= w[0]) {
            return Err(PchipError::Order);
        }
        Ok(Self {
            x: x.to_vec(),
            y: y.to_vec(),
            slope: slopes(x, y),
        })
    }

    /// The same curve with level ends: it leaves its first and last point with no slope, and runs on level beyond them.
    #[must_use]
    pub fn with_level_ends(mut self) -> Self {
        let last = self.slope.len() - 1;
        self.slope[0] = 0.0;
        self.slope[last] = 0.0;
        self
    }

    /// Value at `x`.
    #[must_use]
    pub fn value(&self, x: f64) -> f64 {
        self.at(x).0
    }

    /// First derivative at `x`.
    #[must_use]
    pub fn slope(&self, x: f64) -> f64 {
        self.at(x).1
    }

    fn at(&self, x: f64) -> (f64, f64) {
        let last = self.x.len() - 1;
        let beyond = |i: usize| (self.y[i] + self.slope[i] * (x - self.x[i]), self.slope[i]);
        if x <= self.x[0] {
            return beyond(0);
        }
        if x >= self.x[last] {
            return beyond(last);
        }
        // Not a number stands before every knot; it comes out as it went in.
        let i = self.x.partition_point(|&knot| knot <= x).saturating_sub(1);
        let h = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / h;
        let (y0, y1) = (self.y[i], self.y[i + 1]);
        let (m0, m1) = (self.slope[i] * h, self.slope[i + 1] * h);
        let rise = y1 - y0;
        // Hermite cubic about its first point, in powers of t.
        let c2 = 3.0 * rise - 2.0 * m0 - m1;
        let c3 = m0 + m1 - 2.0 * rise;
        let value = y0 + t * (m0 + t * (c2 + t * c3));
        (value, (m0 + t * (2.0 * c2 + 3.0 * t * c3)) / h)
    }
}

fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let d: Vec<f64> = y.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
    match d.len() {
        0 => return vec![0.0],
        1 => return vec![d[0]; 2],
        _ => {}
    }
    let last = d.len() - 1;
    let mut slope = Vec::with_capacity(x.len());
    slope.push(end_slope(h[0], h[1], d[0], d[1]));
    for i in 0..last {
        slope.push(if d[i] * d[i + 1] <= 0.0 {
            0.0
        } else {
            let (w1, w2) = (2.0 * h[i + 1] + h[i], h[i + 1] + 2.0 * h[i]);
            (w1 + w2) / (w1 / d[i] + w2 / d[i + 1])
        });
    }
    slope.push(end_slope(h[last], h[last - 1], d[last], d[last - 1]));
    slope
}

/// Three-point end slope, limited so that the end interval stays monotone.
fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if slope * d0 <= 0.0 {
        0.0
    } else if d0 * d1 <= 0.0 && slope.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn passes_through_its_points_and_runs_on_straight() {
        let curve = Pchip::new(&[0.0, 1.0, 3.0], &[0.0, 2.0, 3.0]).unwrap();
        for (x, y) in [(0.0, 0.0), (1.0, 2.0), (3.0, 3.0)] {
            assert!((curve.value(x) - y).abs() < 1e-15);
        }
        let end = curve.slope(3.0);
        assert!((curve.value(5.0) - (3.0 + 2.0 * end)).abs() < 1e-14);
    }

    #[test]
    fn two_points_make_a_line_and_one_a_level() {
        let line = Pchip::new(&[1.0, 3.0], &[2.0, 6.0]).unwrap();
        assert!((line.value(2.0) - 4.0).abs() < 1e-15);
        assert!((line.value(-1.0) + 2.0).abs() < 1e-15);
        assert!((Pchip::new(&[1.0], &[7.0]).unwrap().value(90.0) - 7.0).abs() < 1e-15);
    }

    #[test]
    fn refuses_disorder() {
        assert_eq!(Pchip::new(&[], &[]), Err(PchipError::Count));
        assert_eq!(Pchip::new(&[0.0, 0.0], &[1.0, 2.0]), Err(PchipError::Order));
        assert_eq!(Pchip::new(&[0.0], &[f64::NAN]), Err(PchipError::Order));
    }

    #[test]
    fn not_a_number_comes_out_as_it_went_in() {
        let curve = Pchip::new(&[0.0, 1.0, 3.0], &[0.0, 2.0, 3.0]).unwrap();
        assert!(curve.value(f64::NAN).is_nan());
    }

    #[test]
    fn level_ends() {
        let curve = Pchip::new(&[0.0, 1.0, 3.0], &[0.0, 2.0, 3.0])
            .unwrap()
            .with_level_ends();
        assert_eq!((curve.slope(0.0), curve.slope(3.0)), (0.0, 0.0));
        assert_eq!((curve.value(-4.0), curve.value(9.0)), (0.0, 3.0));
        assert!(curve.value(0.5) > 0.0 && curve.value(0.5) < 2.0);
    }

    proptest! {
        #[test]
        fn never_leaves_the_band_of_its_neighbours(
            steps in prop::collection::vec(0.1..5.0f64, 2..10),
            heights in prop::collection::vec(-3.0..3.0f64, 10),
            t in 0.0..1.0f64,
        ) {
            let mut x = vec![0.0];
            for step in &steps { x.push(x[x.len() - 1] + step); }
            let y = &heights[..x.len().min(heights.len())];
            let x = &x[..y.len()];
            let curve = Pchip::new(x, y).unwrap();
            for i in 0..x.len() - 1 {
                let at = x[i] + t * (x[i + 1] - x[i]);
                let (low, high) = (y[i].min(y[i + 1]), y[i].max(y[i + 1]));
                let value = curve.value(at);
                prop_assert!(value >= low - 1e-12 && value <= high + 1e-12);
            }
        }

        #[test]
        fn slope_is_the_derivative(at in 0.05..6.9f64) {
            let curve = Pchip::new(&[0.0, 1.0, 2.5, 4.0, 7.0], &[0.0, 1.0, 1.2, 3.0, 2.0]).unwrap();
            let h = 1e-6;
            let secant = (curve.value(at + h) - curve.value(at - h)) / (2.0 * h);
            prop_assert!((secant - curve.slope(at)).abs() < 1e-4);
        }
    }
}
