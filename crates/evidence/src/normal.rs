//! The normal distribution, as far as tests of slips need it.

use numerics::{find_root, math};

/// Chance that a standard normal figure lies further from nought than `k`, 0 or more.
#[must_use]
pub fn two_sided(k: f64) -> f64 {
    math::erfc(k / std::f64::consts::SQRT_2)
}

/// The standard normal figure that a chance of `chance` (over 0 and under 1) lies under, to 1.2e-9 of itself: the rational approximation of
/// P. J. Acklam, An algorithm for computing the inverse normal cumulative distribution function (2003; coefficients from memory, tested
/// against erfc).
#[must_use]
pub fn quantile(chance: f64) -> f64 {
    const A: [f64; 6] = [
        -39.696_830_286_653_76,
        220.946_098_424_520_5,
        -275.928_510_446_968_7,
        138.357_751_867_269,
        -30.664_798_066_147_16,
        2.506_628_277_459_239,
    ];
    const B: [f64; 6] = [
        -54.476_098_798_224_06,
        161.585_836_858_040_9,
        -155.698_979_859_886_6,
        66.801_311_887_719_72,
        -13.280_681_552_885_72,
        1.0,
    ];
    const C: [f64; 6] = [
        -0.007_784_894_002_430_293,
        -0.322_396_458_041_136_5,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 5] = [
        0.007_784_695_709_041_462,
        0.322_467_129_070_039_8,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
        1.0,
    ];
    /// Chance under which the tails have a form of their own.
    const TAIL: f64 = 0.024_25;
    let at = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let tail = |chance: f64| {
        let x = (-2.0 * math::ln(chance)).sqrt();
        at(&C, x) / at(&D, x)
    };
    if chance < TAIL {
        tail(chance)
    } else if chance > 1.0 - TAIL {
        -tail(1.0 - chance)
    } else {
        let x = chance - 0.5;
        x * at(&A, x * x) / at(&B, x * x)
    }
}

/// Furthest that a threshold is looked for; beyond lies less than 1e-300.
const FURTHEST: f64 = 37.0;

/// How far from nought the largest of `tests` independent standard normal figures lies with a chance of `alpha` (0 to 1): Sidak's
/// threshold, Z. Sidak, J. Am. Stat. Assoc. 62, 626 (1967). Infinite for a chance of nought.
#[must_use]
pub fn threshold(alpha: f64, tests: usize) -> f64 {
    // 1 - (1 - alpha)^(1/n) without its cancellation.
    let single = -math::exp_m1(math::ln_1p(-alpha) / tests.max(1) as f64);
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
    fn the_quantile_is_the_inverse_of_the_chance() {
        for i in 1..=4_000 {
            let chance = f64::from(i) / 8_002.0;
            for near_nought in [1.0, 1e-3, 1e-7] {
                let k = quantile(chance * near_nought);
                // 1.2e-9 of k moves its chance by less than 1 + k^2 times as much of itself.
                assert!((0.5 * two_sided(-k) / (chance * near_nought) - 1.0).abs() < 1.2e-9 * (1.0 + k * k));
            }
            let both = quantile(chance) + quantile(1.0 - chance);
            assert!(both.abs() < 1e-12, "{chance}");
        }
        assert!(quantile(0.5).abs() < 1e-15);
    }

    #[test]
    fn many_tests_keep_the_chance_of_any() {
        for tests in [1, 5, 25, 60, 400] {
            let k = threshold(0.01, tests);
            let none = math::powi(1.0 - two_sided(k), i32::try_from(tests).unwrap());
            assert!((1.0 - none - 0.01).abs() < 1e-9);
        }
        assert!((3.5..3.6).contains(&threshold(0.01, 25)));
        assert!((3.7..3.8).contains(&threshold(0.01, 60)));
    }
}
