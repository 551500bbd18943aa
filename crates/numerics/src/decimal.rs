//! Numbers as text in decimals, where nought has no sign.

/// `value` with a fixed number of decimals; what rounds to nought is shown without a sign: `0.00`, never `-0.00`.
///
/// A value that is not finite comes out as `NaN`, `inf` or `-inf`.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if is_nought(size) => size.to_owned(),
        _ => text,
    }
}

/// As [`fixed`], with `+` before what is above nought as shown.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.starts_with('-') || is_nought(&text) || value.is_nan() {
        text
    } else {
        format!("+{text}")
    }
}

/// As [`fixed`], with at most so many decimals: noughts at the end of the fraction are left off, and a bare point with them.
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn is_nought(number: &str) -> bool {
    number.chars().all(|c| c == '0' || c == '.')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math;
    use proptest::prelude::*;

    #[test]
    fn nought_has_no_sign() {
        for (value, decimals, three) in [
            (-0.0, 0, ["0", "0", "0"]),
            (-0.04, 1, ["0.0", "0.0", "0"]),
            (0.04, 1, ["0.0", "0.0", "0"]),
            (-0.06, 1, ["-0.1", "-0.1", "-0.1"]),
            (0.06, 1, ["0.1", "+0.1", "0.1"]),
            (-0.000_000_4, 6, ["0.000000", "0.000000", "0"]),
            (-2.5, 4, ["-2.5000", "-2.5000", "-2.5"]),
            (100.0, 0, ["100", "+100", "100"]),
            (100.0, 2, ["100.00", "+100.00", "100"]),
            (f64::NAN, 1, ["NaN"; 3]),
            (f64::INFINITY, 1, ["inf", "+inf", "inf"]),
            (f64::NEG_INFINITY, 1, ["-inf"; 3]),
        ] {
            let shown = [
                fixed(value, decimals),
                signed(value, decimals),
                trimmed(value, decimals),
            ];
            assert_eq!(shown, three, "{value}");
        }
    }

    proptest! {
        #[test]
        fn all_read_back_to_what_was_rounded(value in -2e3..2e3f64, decimals in 0u8..7) {
            let rounded: f64 = fixed(value, decimals.into()).parse().unwrap();
            prop_assert!((rounded - value).abs() <= 0.500_001 * math::powi(0.1f64, decimals.into()));
            prop_assert!(rounded != 0.0 || rounded.is_sign_positive());
            prop_assert_eq!(signed(value, decimals.into()).parse(), Ok(rounded));
            prop_assert_eq!(trimmed(value, decimals.into()).parse(), Ok(rounded));
        }
    }
}
