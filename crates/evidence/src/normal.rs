//! The normal distribution, as far as tests of slips need it.

use numerics::find_root;

/// Chance that a standard normal figure lies further from nought than `k`, 0 or more.
#[must_use]
pub fn two_sided(k: f64) -> f64 {
    libm::erfc(k / std::f64::consts::SQRT_2)
}

/// Furthest that a threshold is looked for; beyond lies less than 1e-300.
const FURTHEST: f64 = 37.0;

/// How far from nought the largest of `tests` independent standard normal figures lies with a chance of `alpha` (0 to 1): Sidak's
/// threshold, Z. Sidak, J. Am. Stat. Assoc. 62, 626 (1967). Infinite for a chance of nought.
#[must_use]
pub fn threshold(alpha: f64, tests: usize) -> f64 {
    // 1 - (1 - alpha)^(1/n) without its cancellation.
    let single = -(f64::ln_1p(-alpha) / tests.max(1) as f64).exp_m1();
    if single <= two_sided(FURTHEST) {
        return f64::INFINITY;
    }
    find_root(0.0, FURTHEST, 1e-12, |k| two_sided(k) - single).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Handbook table of the normal distribution: 1.95996 for 5 in 100 on both sides, 2.57583 for 1, 3.29053 for 0.1 (from memory).
    #[test]
    fn one_test_is_the_table() {
        for (alpha, k) in [(0.05, 1.959_964), (0.01, 2.575_829), (0.001, 3.290_527)] {
            assert!((threshold(alpha, 1) - k).abs() < 1e-6);
            assert!((two_sided(k) - alpha).abs() < 1e-7);
        }
    }

    #[test]
    fn no_chance_is_no_threshold() {
        assert_eq!(threshold(0.0, 10), f64::INFINITY);
        assert_eq!(threshold(1.0, 10), 0.0);
    }

    #[test]
    fn many_tests_keep_the_chance_of_any() {
        for tests in [1, 5, 25, 60, 400] {
            let k = threshold(0.01, tests);
            let none = (1.0 - two_sided(k)).powi(i32::try_from(tests).unwrap());
            assert!((1.0 - none - 0.01).abs() < 1e-9);
        }
        assert!((3.5..3.6).contains(&threshold(0.01, 25)));
        assert!((3.7..3.8).contains(&threshold(0.01, 60)));
    }
}
