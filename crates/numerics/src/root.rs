//! Bracketed roots of one variable.

use roots::{SearchError, SimpleConvergency, find_root_brent};
use thiserror::Error;

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum RootError {
    /// The function has the same sign at both ends of the bracket, or is not a number there.
    #[error("the function does not change sign between the ends of the bracket")]
    NotBracketed,
    /// The tolerance was not reached within the allowed rounds.
    #[error("the tolerance was not reached")]
    NotConverged,
}

/// Most function calls before giving up; Brent's method needs about ten on smooth functions.
const MAX_ROUNDS: usize = 100;

/// Root of `f` between `a` and `b` by Brent's method.
///
/// Stops when either the bracket or `|f|` is smaller than `tolerance` (same number for both).
///
/// # Errors
/// [`RootError::NotBracketed`] if `f(a)` and `f(b)` have the same sign or are not finite.
pub fn find_root(a: f64, b: f64, tolerance: f64, mut f: impl FnMut(f64) -> f64) -> Result<f64, RootError> {
    let mut convergency = SimpleConvergency {
        eps: tolerance,
        max_iter: MAX_ROUNDS,
    };
    match find_root_brent(a, b, &mut f, &mut convergency) {
        Ok(x) if x.is_finite() => Ok(x),
        Ok(_) | Err(SearchError::NoBracketing) => Err(RootError::NotBracketed),
        Err(_) => Err(RootError::NotConverged),
    }
}

/// Closes in on the place between `yes` and `no` where `holds` turns from true to false, by halving.
///
/// `holds` is taken to be true at `yes` and false at `no`, in either order along the line; neither is asked. The answer is the last
/// place known to hold and the last known not to, apart by `|yes - no|` over two to the power of `halvings`.
#[must_use]
pub fn halve(yes: f64, no: f64, halvings: u32, mut holds: impl FnMut(f64) -> bool) -> (f64, f64) {
    let (mut yes, mut no) = (yes, no);
    for _ in 0..halvings {
        let middle = 0.5 * (yes + no);
        if holds(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    (yes, no)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math;
    use proptest::prelude::*;

    #[test]
    fn square_root_of_two() {
        let x = find_root(0.0, 2.0, 1e-13, |x| x * x - 2.0).unwrap();
        assert!((x - std::f64::consts::SQRT_2).abs() < 1e-12);
    }

    #[test]
    fn refuses_what_is_not_bracketed() {
        assert_eq!(
            find_root(1.0, 2.0, 1e-12, |x| x * x + 1.0),
            Err(RootError::NotBracketed)
        );
        assert!(find_root(0.0, 1.0, 1e-12, |_| f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn halving_closes_in_from_either_side(edge in 0.0..1.0f64, halvings in 0u32..40) {
            for ((yes, no), up) in [((0.0, 1.0), true), ((1.0, 0.0), false)] {
                let (yes, no) = halve(yes, no, halvings, |x| (x < edge) == up);
                prop_assert!(yes.min(no) <= edge && edge <= yes.max(no));
                prop_assert!(((yes - no).abs() - math::powi(0.5f64, halvings as i32)).abs() < 1e-15);
            }
        }

        #[test]
        fn finds_a_planted_root(root in -5.0..5.0f64, bend in 0.0..3.0f64) {
            let x = find_root(-10.0, 10.0, 1e-12, |x| (x - root) * (1.0 + bend * math::powi(x - root, 2))).unwrap();
            prop_assert!((x - root).abs() < 1e-9);
        }
    }
}
