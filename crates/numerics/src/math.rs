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
