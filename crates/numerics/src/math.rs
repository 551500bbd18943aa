//! Sine, logarithm and their kin: the same to the last bit on every machine, in every build and in the browser.
//!
//! Those of the standard library are the platform's, and every platform's differ in their last digits, those of one C library even
//! between processors. A program's text, its marks and every figure in a file must not depend on that, so all of bonewright calls these
//! (`clippy.toml` refuses the others): `libm`'s, which are plain arithmetic, within 1 unit in the last place unless said otherwise.
//! Roots, `abs` and rounding are exact everywhere and stay the standard library's. All angles in radians.

use crate::Real;
use std::f64::consts::LN_2;

/// Sine.
#[inline]
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine.
#[inline]
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine.
#[inline]
#[must_use]
pub fn sin_cos<R: Real>(x: R) -> (R, R) {
    let (sin, cos) = libm::sincos(x.re());
    (x.through(sin, || cos), x.through(cos, || -sin))
}

/// Tangent.
#[inline]
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// The angle from -pi/2 to pi/2 of a sine; not a number beyond -1 to 1.
#[inline]
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// The angle from 0 to pi of a cosine; not a number beyond -1 to 1.
#[inline]
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// The angle from -pi/2 to pi/2 of a tangent.
#[inline]
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// The angle from -pi to pi from the positive x axis to the point (x, y).
#[inline]
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Hyperbolic tangent, within 2 units in the last place.
#[inline]
#[must_use]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

/// e to the power of a number.
#[inline]
#[must_use]
pub fn exp<R: Real>(x: R) -> R {
    let value = libm::exp(x.re());
    x.through(value, || value)
}

/// 2 to the power of a number.
#[inline]
#[must_use]
pub fn exp2(x: f64) -> f64 {
    libm::exp2(x)
}

/// e to the power of a number, less 1; as near for small ones.
#[inline]
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Natural logarithm; minus infinity of nought, not a number below.
#[inline]
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Natural logarithm of 1 and a number; as near for small ones.
#[inline]
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Logarithm to base 2; minus infinity of nought, not a number below.
#[inline]
#[must_use]
pub fn log2<R: Real>(x: R) -> R {
    let at = x.re();
    x.through(libm::log2(at), || 1.0 / (at * LN_2))
}

/// Logarithm to base 10; minus infinity of nought, not a number below.
#[inline]
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// A number to any power.
#[inline]
#[must_use]
pub fn powf(x: f64, power: f64) -> f64 {
    libm::pow(x, power)
}

/// A number to a whole power, by multiplying: every product rounds once.
#[inline]
#[must_use]
pub fn powi<R: Real>(x: R, power: i32) -> R {
    let (mut left, mut square, mut product) = (power.unsigned_abs(), x, R::from(1.0));
    loop {
        if left & 1 == 1 {
            product *= square;
        }
        left >>= 1;
        if left == 0 {
            break;
        }
        square *= square;
    }
    if power < 0 { product.recip() } else { product }
}

/// Length of the way (x, y); no overflow on the way to it.
#[inline]
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// The error function's complement: twice the chance that a normal number of deviation 1/sqrt 2 exceeds `x`.
#[inline]
#[must_use]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ContentMark, Slope};
    use nalgebra::{Const, U1};

    /// Values to 60 digits by mpmath 1.3, rounded once to the nearest number, and by how many steps ours are off it. A change of `libm`
    /// that moves one bit of these, or of any of `marked`, is seen here: it would change programs and their marks.
    #[test]
    fn values_stand_to_the_last_bit() {
        let rows = [
            ("sin 0.1", sin(0.1), 0.09983341664682815, 0),
            ("sin 0.7", sin(0.7), 0.644217687237691, 0),
            ("sin 100", sin(100.0), -0.5063656411097588, 0),
            ("cos 0.1", cos(0.1), 0.9950041652780258, 0),
            ("cos 2.5", cos(2.5), -0.8011436155469337, 0),
            ("cos 100", cos(100.0), 0.8623188722876839, 0),
            ("tan 0.1", tan(0.1), 0.10033467208545055, 0),
            ("tan 0.7", tan(0.7), 0.8422883804630794, 0),
            ("tan 1.5", tan(1.5), 14.101419947171719, 0),
            ("asin 0.7", asin(0.7), 0.775397496610753, 0),
            ("asin -0.99", asin(-0.99), -1.4292568534704693, 0),
            ("acos 0.7", acos(0.7), 0.7953988301841436, 0),
            ("acos -0.99", acos(-0.99), 3.000053180265366, 0),
            ("atan 0.1", atan(0.1), 0.09966865249116204, 0),
            ("atan 30", atan(30.0), 1.5374753309166493, 0),
            ("atan2 0.3 -0.7", atan2(0.3, -0.7), 2.7367008673047097, 0),
            ("atan2 2.5 650", atan2(2.5, 650.0), 0.0038461348810665233, 1),
            ("tanh 0.7", tanh(0.7), 0.6043677771171635, -1),
            ("tanh 2.5", tanh(2.5), 0.9866142981514303, 0),
            ("exp -0.3", exp(-0.3), 0.7408182206817179, 0),
            ("exp 1.7", exp(1.7), 5.4739473917272, -1),
            ("exp -20", exp(-20.0), 2.061153622438558e-09, 0),
            ("exp2 0.3", exp2(0.3), 1.2311444133449163, 0),
            ("exp2 5.7", exp2(5.7), 51.98415336679908, 0),
            ("exp_m1 1e-4", exp_m1(1e-4), 0.00010000500016667084, 0),
            ("exp_m1 -0.3", exp_m1(-0.3), -0.2591817793182821, 0),
            ("ln 0.3", ln(0.3), -1.2039728043259361, 0),
            ("ln 1.01", ln(1.01), 0.009950330853168092, 0),
            ("ln 650", ln(650.0), 6.476972362889683, 0),
            ("ln_1p 1e-4", ln_1p(1e-4), 9.999500033330834e-05, 0),
            ("ln_1p -0.3", ln_1p(-0.3), -0.35667494393873234, 0),
            ("log2 0.3", log2(0.3), -1.7369655941662063, 0),
            ("log2 1.01", log2(1.01), 0.014355292977070054, 0),
            ("log10 0.3", log10(0.3), -0.5228787452803376, 0),
            ("log10 650", log10(650.0), 2.8129133566428557, 0),
            ("powf 0.3 0.7", powf(0.3, 0.7), 0.4305116202499342, 0),
            ("powf 650 1.88", powf(650.0, 1.88), 194212.46947607948, -1),
            ("hypot 0.3 0.7", hypot(0.3, 0.7), 0.7615773105863908, 0),
            ("hypot 2.5 650", hypot(2.5, 650.0), 650.0048076745279, 0),
            ("erfc -0.5", erfc(-0.5), 1.5204998778130465, 0),
            ("erfc 0.7", erfc(0.7), 0.32219880616258156, 0),
            ("erfc 3.3", erfc(3.3), 3.0577097964381654e-06, -1),
        ];
        let off: Vec<String> = rows
            .iter()
            .filter_map(|&(name, ours, nearest, off): &(&str, f64, f64, i64)| {
                let steps = ours.to_bits().cast_signed() - nearest.to_bits().cast_signed();
                (steps != off).then(|| format!("{name}: {ours:?}, {steps}"))
            })
            .collect();
        assert!(off.is_empty(), "{off:#?}");
    }

    /// All functions at a thousand places each.
    #[test]
    fn marked() {
        let places = (1..=1000).map(|i| f64::from(i) * 0.007_3);
        let mut text = String::new();
        for x in places {
            let (turn, share) = (sin_cos(x), x / 7.5);
            let values = [
                sin(x),
                cos(x),
                turn.0,
                turn.1,
                tan(x),
                asin(share),
                acos(share),
                atan(x),
                atan2(x, 1.0 - x),
                tanh(x),
                exp(-x),
                exp2(x),
                exp_m1(x),
                ln(x),
                ln_1p(x),
                log2(x),
                log10(x),
                powf(x, 1.88),
                powi(x, 7),
                hypot(x, 3.1),
                erfc(x),
            ];
            values.iter().for_each(|v| text += &format!("{:016x} ", v.to_bits()));
        }
        assert_eq!(ContentMark::of(&text).to_string(), "aa72abccfb1083ca");
    }

    #[test]
    fn whole_powers() {
        assert_eq!([0, 1, 2, 3, -2].map(|n| powi(3.0, n)), [1.0, 3.0, 9.0, 27.0, 1.0 / 9.0]);
        assert_eq!(powi(0.0, 0), 1.0);
        assert_eq!(powi(2.0, i32::MIN), 0.0);
    }

    /// A number that carries its slope has the same value as a plain one, and the slope of the function.
    #[test]
    fn slopes_ride_along() {
        let x = Slope::<1>::from_re(0.7).derivative(0);
        let slope = |of: Slope<1>| of.eps.unwrap_generic(Const::<1>, U1)[0];
        let both = sin_cos(x);
        for (found, value, rises) in [
            (both.0, sin_cos(0.7).0, cos(0.7)),
            (both.1, sin_cos(0.7).1, -sin(0.7)),
            (exp(x), exp(0.7), exp(0.7)),
            (log2(x), log2(0.7), 1.0 / (0.7 * LN_2)),
            (powi(x, 3), powi(0.7, 3), 3.0 * 0.49),
            (powi(x, -2), powi(0.7, -2), -2.0 / 0.343),
        ] {
            assert_eq!(found.re, value);
            assert!((slope(found) - rises).abs() < 1e-13, "{} {rises}", slope(found));
        }
    }
}
