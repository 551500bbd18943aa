//! Lengths in profile files.

use units::{LengthUnit, parse_length};

/// A length that carries its unit, mm.
pub(crate) fn length(key: &'static str, text: &str) -> Result<f64, (&'static str, String)> {
    let mm = parse_length(text, LengthUnit::Millimetre).map_err(|e| (key, format!("{e}.")))?;
    if parse_length(text, LengthUnit::Inch) == Ok(mm) {
        Ok(mm)
    } else {
        Err((key, format!("\"{text}\" has no unit. Write it, as in \"0.012 in\".")))
    }
}
