//! A number for the library of offsets, whose arcs are turned by the functions of [`numerics::math`] in place of the platform's.

use cavalier_contours::core::traits::{FuzzyEq, FuzzyOrd, Real};
use cavalier_contours::static_aabb2d_index::IndexableNum;
use num_traits::{Bounded, Num, NumCast, One, ToPrimitive, Zero};
use numerics::math;
use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Rem, Sub};

/// A plain number; all that it does is an `f64`'s, but for sines and their kin.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub(super) struct Number(pub(super) f64);

macro_rules! operators {
    ($($operator:ident $method:ident)*) => { $(
        impl $operator for Number {
            type Output = Self;
            #[inline]
            fn $method(self, other: Self) -> Self {
                Self(f64::$method(self.0, other.0))
            }
        }
    )* };
}
operators!(Add add Sub sub Mul mul Div div Rem rem);

impl Neg for Number {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Zero for Number {
    #[inline]
    fn zero() -> Self {
        Self(0.0)
    }
    #[inline]
    fn is_zero(&self) -> bool {
        self.0 == 0.0
    }
}

impl One for Number {
    #[inline]
    fn one() -> Self {
        Self(1.0)
    }
}

impl Bounded for Number {
    #[inline]
    fn min_value() -> Self {
        Self(f64::MIN)
    }
    #[inline]
    fn max_value() -> Self {
        Self(f64::MAX)
    }
}

impl Num for Number {
    type FromStrRadixErr = <f64 as Num>::FromStrRadixErr;
    fn from_str_radix(text: &str, radix: u32) -> Result<Self, Self::FromStrRadixErr> {
        f64::from_str_radix(text, radix).map(Self)
    }
}

impl ToPrimitive for Number {
    #[inline]
    fn to_i64(&self) -> Option<i64> {
        self.0.to_i64()
    }
    #[inline]
    fn to_u64(&self) -> Option<u64> {
        self.0.to_u64()
    }
    #[inline]
    fn to_f64(&self) -> Option<f64> {
        Some(self.0)
    }
}

impl NumCast for Number {
    #[inline]
    fn from<T: ToPrimitive>(n: T) -> Option<Self> {
        n.to_f64().map(Self)
    }
}

impl IndexableNum for Number {
    #[inline]
    fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
    #[inline]
    fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }
    #[inline]
    fn total_cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl FuzzyEq for Number {
    #[inline]
    fn fuzzy_epsilon() -> Self {
        Self(f64::fuzzy_epsilon())
    }
    #[inline]
    fn fuzzy_eq_eps(&self, other: Self, epsilon: Self) -> bool {
        self.0.fuzzy_eq_eps(other.0, epsilon.0)
    }
    #[inline]
    fn fuzzy_eq_zero_eps(&self, epsilon: Self) -> bool {
        self.0.fuzzy_eq_zero_eps(epsilon.0)
    }
}

impl FuzzyOrd for Number {
    #[inline]
    fn fuzzy_gt_eps(&self, other: Self, epsilon: Self) -> bool {
        self.0.fuzzy_gt_eps(other.0, epsilon.0)
    }
    #[inline]
    fn fuzzy_lt_eps(&self, other: Self, epsilon: Self) -> bool {
        self.0.fuzzy_lt_eps(other.0, epsilon.0)
    }
}

impl Real for Number {}

macro_rules! functions {
    ($($name:ident($($other:ident)?) = $of:expr;)*) => { $(
        #[inline]
        fn $name(self $(, $other: Self)?) -> Self {
            Self($of(self.0 $(, $other.0)?))
        }
    )* };
}

impl num_traits::real::Real for Number {
    functions! {
        floor() = f64::floor;
        ceil() = f64::ceil;
        round() = f64::round;
        trunc() = f64::trunc;
        fract() = f64::fract;
        abs() = f64::abs;
        signum() = f64::signum;
        recip() = f64::recip;
        sqrt() = f64::sqrt;
        max(other) = f64::max;
        min(other) = f64::min;
        to_degrees() = f64::to_degrees;
        to_radians() = f64::to_radians;
        exp() = math::exp;
        exp2() = math::exp2;
        exp_m1() = math::exp_m1;
        ln() = math::ln;
        ln_1p() = math::ln_1p;
        log2() = math::log2;
        log10() = math::log10;
        powf(other) = math::powf;
        hypot(other) = math::hypot;
        sin() = math::sin;
        cos() = math::cos;
        tan() = math::tan;
        asin() = math::asin;
        acos() = math::acos;
        atan() = math::atan;
        atan2(other) = math::atan2;
        tanh() = math::tanh;
        // What no offset asks for, by its definition.
        cbrt() = |x: f64| math::powf(x.abs(), 1.0 / 3.0).copysign(x);
        sinh() = |x: f64| 0.5 * (math::exp(x) - math::exp(-x));
        cosh() = |x: f64| 0.5 * (math::exp(x) + math::exp(-x));
        asinh() = |x: f64| math::ln(x + (x * x + 1.0).sqrt());
        acosh() = |x: f64| math::ln(x + (x * x - 1.0).sqrt());
        atanh() = |x: f64| 0.5 * math::ln((1.0 + x) / (1.0 - x));
        log(base) = |x: f64, base: f64| math::ln(x) / math::ln(base);
        abs_sub(other) = |x: f64, other: f64| (x - other).max(0.0);
    }
    #[inline]
    fn min_value() -> Self {
        Self(f64::MIN)
    }
    #[inline]
    fn min_positive_value() -> Self {
        Self(f64::MIN_POSITIVE)
    }
    #[inline]
    fn epsilon() -> Self {
        Self(f64::EPSILON)
    }
    #[inline]
    fn max_value() -> Self {
        Self(f64::MAX)
    }
    #[inline]
    fn is_sign_positive(self) -> bool {
        self.0.is_sign_positive()
    }
    #[inline]
    fn is_sign_negative(self) -> bool {
        self.0.is_sign_negative()
    }
    #[inline]
    fn mul_add(self, a: Self, b: Self) -> Self {
        Self(self.0.mul_add(a.0, b.0))
    }
    #[inline]
    fn powi(self, n: i32) -> Self {
        Self(math::powi(self.0, n))
    }
    #[inline]
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = math::sin_cos(self.0);
        (Self(sin), Self(cos))
    }
}
