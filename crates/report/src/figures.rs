//! Numbers as text.

pub(crate) use numerics::{fixed, signed};
use units::BenchUnit;

/// Newtons in a pound-force, exact: 0.453 592 37 kg times 9.806 65 m/s2 (NIST Special Publication 811, appendix B.8).
pub(crate) const NEWTONS_PER_POUND: f64 = 4.448_221_615_260_5;

/// A length in mm in the bench unit with the other beside it: `94.5 thou (2.40 mm)`.
pub fn length(bench: BenchUnit, mm: f64) -> String {
    format!("{} ({})", bench.show(mm), bench.other().show(mm))
}

/// `1 cent`, `1.5 cents`.
pub(crate) fn cents_of(cents: f64) -> String {
    if cents == 1.0 {
        "1 cent".to_owned()
    } else {
        format!("{} cents", fixed(cents, 1))
    }
}

/// An angle in radians as `8.0 degrees`.
pub(crate) fn degrees(radians: f64) -> String {
    format!("{} degrees", fixed(radians.to_degrees(), 1))
}

/// `string 6`, `strings 6 and 2`, `strings 6, 5 and 2`.
pub(crate) fn strings(numbers: &[u32]) -> String {
    match numbers {
        [one] => format!("string {one}"),
        many => {
            let names: Vec<String> = many.iter().map(u32::to_string).collect();
            format!("strings {}", list(&names))
        }
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// `text` with its first letter large.
pub(crate) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pound_is_what_a_standard_kilogram_weighs() {
        assert!((NEWTONS_PER_POUND - 0.453_592_37 * 9.806_65).abs() < 1e-15);
    }

    #[test]
    fn lists_read_as_they_are_spoken() {
        assert_eq!(strings(&[6]), "string 6");
        assert_eq!(strings(&[6, 2]), "strings 6 and 2");
        assert_eq!(strings(&[6, 5, 2]), "strings 6, 5 and 2");
        assert_eq!(list(&[]), "");
        assert_eq!(sentence("string 6"), "String 6");
        assert_eq!(sentence(""), "");
    }

    #[test]
    fn lengths_carry_both_units() {
        assert_eq!(length(BenchUnit::THOU, 2.4), "94.5 thou (2.40 mm)");
        assert_eq!(length(BenchUnit::METRIC, 2.4), "2.40 mm (94.5 thou)");
    }
}
