//! Figures so small that no bench makes or reads them: they are no findings for a person.

use crate::{Neck, SlotFit};

/// Angles that differ by less are one angle at the bench, and an angle is told to this step, radians (half a degree). Common practice, no
/// source.
pub const LEAST_ANGLE: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// A wall of the slot that would move by less stays where it is, mm. Common practice, no source: what a router's fence is set to.
pub const LEAST_MOVE: f64 = 0.05;

/// An angle as it is told: to half a degree.
#[must_use]
pub fn told_angle(radians: f64) -> f64 {
    (radians / LEAST_ANGLE).round() * LEAST_ANGLE
}

impl SlotFit {
    /// Angle of the slot to a line square across now and with the best slot, as told; `None` where they are one at the bench.
    #[must_use]
    pub fn turned(&self) -> Option<[f64; 2]> {
        let [now, then] = self.angle;
        ((then - now).abs() >= LEAST_ANGLE).then(|| self.angle.map(told_angle))
    }
}

impl Neck {
    /// By which angle the neck goes back, as told; negative forward; `None` where it is none at the bench.
    #[must_use]
    pub fn turned(&self) -> Option<f64> {
        (self.angle.abs() >= LEAST_ANGLE).then(|| told_angle(self.angle))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slot(degrees: [f64; 2]) -> SlotFit {
        SlotFit {
            shift: [0.0; 2],
            angle: degrees.map(f64::to_radians),
            fits: true,
            strings: Vec::new(),
            worst_now: 0.0,
            worst_best: 0.0,
            places: None,
        }
    }

    #[test]
    fn angles_that_are_one_at_the_bench_are_not_told() {
        for (degrees, told) in [
            ([2.5, 2.3], None),
            ([2.5, 2.5], None),
            ([2.0, 2.49], None),
            ([2.0, 2.51], Some([2.0, 2.5])),
            ([2.3, 3.6], Some([2.5, 3.5])),
            ([-1.2, 0.1], Some([-1.0, 0.0])),
        ] {
            let found = slot(degrees).turned().map(|turned| turned.map(f64::to_degrees));
            assert_eq!(found.is_some(), told.is_some(), "{degrees:?}");
            for (found, told) in found.into_iter().flatten().zip(told.into_iter().flatten()) {
                assert!((found - told).abs() < 1e-9, "{degrees:?}");
            }
        }
    }
}
