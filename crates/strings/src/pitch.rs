//! Note names.

use numerics::math;
use thiserror::Error;

/// Why a note name was refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PitchError {
    /// Not a note name.
    #[error("read \"{0}\", expected a note name with its octave such as E2, F#3 or Bb3 (A4 is the tuning fork's A)")]
    Name(String),
}

/// Frequency in Hz of a note name in scientific pitch notation (middle C is C4), in equal temperament on `a4` Hz.
///
/// Letters A to G (either case), then `#`, `b`, `♯` or `♭` or nothing, then the octave 0 to 9.
///
/// # Errors
/// [`PitchError`] if the text is no note name.
pub fn frequency(note: &str, a4: f64) -> Result<f64, PitchError> {
    semitones_above_a4(note)
        .map(|n| a4 * math::exp2(f64::from(n) / 12.0))
        .ok_or_else(|| PitchError::Name(note.to_owned()))
}

fn semitones_above_a4(note: &str) -> Option<i32> {
    let mut chars = note.trim().chars();
    let step = match chars.next()?.to_ascii_uppercase() {
        'C' => 0,
        'D' => 2,
        'E' => 4,
        'F' => 5,
        'G' => 7,
        'A' => 9,
        'B' => 11,
        _ => return None,
    };
    let rest = chars.as_str();
    let (shift, octave) = match rest.chars().next()? {
        '#' | '♯' => (1, &rest[rest.chars().next()?.len_utf8()..]),
        'b' | '♭' => (-1, &rest[rest.chars().next()?.len_utf8()..]),
        _ => (0, rest),
    };
    let mut digits = octave.chars();
    let octave = i32::try_from(digits.next()?.to_digit(10)?).ok()?;
    digits.next().is_none().then_some(12 * (octave - 4) + step + shift - 9)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn standard_tuning() {
        // Equal-tempered frequencies on A4 = 440 Hz (ISO 16), as printed in acoustics handbooks.
        for (note, hz) in [
            ("E2", 82.4069),
            ("A2", 110.0),
            ("D3", 146.8324),
            ("G3", 195.9977),
            ("b3", 246.9417),
            ("E4", 329.6276),
            ("C4", 261.6256),
        ] {
            assert!((frequency(note, 440.0).unwrap() - hz).abs() < 5e-5, "{note}");
        }
    }

    #[test]
    fn sharps_and_flats_meet() {
        let close = |a: &str, b: &str| (frequency(a, 440.0).unwrap() - frequency(b, 440.0).unwrap()).abs() < 1e-9;
        assert!(close("F#3", "Gb3") && close("A♯2", "B♭2") && close("Cb4", "B3"));
    }

    #[test]
    fn refuses_other_text() {
        for text in ["", "E", "H2", "E22", "E 2", "E-1", "2E", "E##2", "do"] {
            assert!(frequency(text, 440.0).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_answered(text in "\\PC*") {
            let _ = frequency(&text, 440.0);
        }
    }
}
