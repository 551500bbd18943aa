//! Plucks of one string that are repeated until they agree: what each says, and what they say together.

use crate::heard::{b_of, cents_off, per_cent, scientific};
use listen::{Sure, cents};
use numerics::{fixed, signed};
use work::{Agreement, HeardPluck};

/// What one pluck says, in a few words; `expected` is the note's frequency, Hz.
#[must_use]
pub fn pluck_words(pluck: &HeardPluck, expected: f64) -> String {
    let off = cents_off(cents(pluck.pitch.value, expected));
    match pluck.inharmonicity {
        Some(b) => format!("{off}, B {}", scientific(b.value)),
        None => off,
    }
}

/// Whether the plucks agree, and what to do if they do not; `expected` is the note's frequency, Hz.
#[must_use]
pub fn agreement_words(agreement: &Agreement, expected: f64, fretted: bool) -> String {
    match agreement {
        Agreement::More => "Heard. Pluck it again: one reading counts when the next agrees with it.".to_owned(),
        Agreement::PitchApart(apart) => format!(
            "Not yet: the last two pitches lie {} cents apart, more than both are sure to. Pluck it again, as softly as before, and leave the peg alone.",
            fixed(*apart, 1)
        ),
        Agreement::StiffnessApart(share) => format!(
            "Not yet: the last two differ in B by {} %, more than both are sure to. Pluck it again, softly, with the others damped.",
            per_cent(*share)
        ),
        Agreement::CoreOnce => {
            "Not yet: of the last two, the core is heard in one alone. Pluck it again, nearer to the microphone."
                .to_owned()
        }
        Agreement::Agreed(pluck, count) => {
            let in_a_row = if *count == 2 { "two" } else { "three" };
            let pitch = pitch_words(pluck.pitch, expected);
            let b = match pluck.inharmonicity {
                Some(b) => format!(" {}.", b_of(b)),
                None if fretted => String::new(),
                None => {
                    " No core is heard: it is of floss, or too few partials are. Its stretch cannot be told from sound."
                        .to_owned()
                }
            };
            format!("Agreed, {in_a_row} plucks in a row: {pitch}.{b}")
        }
    }
}

fn pitch_words(pitch: Sure, expected: f64) -> String {
    format!(
        "{}, sure to {} cents",
        cents_off(cents(pitch.value, expected)),
        fixed(cents(1.0 + pitch.share(), 1.0), 2)
    )
}

/// Cents at 12, of plucks that agree open and fretted.
#[must_use]
pub fn at_12_words(at_12: Sure) -> String {
    format!(
        "Cents at 12: {} against the open string, sure to {}, series against series.",
        signed(at_12.value, 2),
        fixed(at_12.sure_to, 2)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_heard_of_plucks_is_told() {
        let sure = |value, sure_to| Sure { value, sure_to };
        let pluck = HeardPluck {
            pitch: sure(82.5, 0.01),
            inharmonicity: Some(sure(1.234e-4, 1.5e-6)),
        };
        let soft = HeardPluck {
            inharmonicity: None,
            ..pluck
        };
        assert_eq!(pluck_words(&pluck, 82.407), "2.0 cents sharp, B 0.000123");
        assert_eq!(pluck_words(&soft, 82.5), "in tune");
        for (agreement, fretted, words) in [
            (Agreement::More, false, "Pluck it again"),
            (Agreement::PitchApart(1.23), false, "lie 1.2 cents apart"),
            (Agreement::StiffnessApart(0.041), false, "differ in B by 4.1 %"),
            (Agreement::CoreOnce, false, "in one alone"),
            (
                Agreement::Agreed(pluck, 2),
                false,
                "Agreed, two plucks in a row: 2.0 cents sharp, sure to 0.21 cents. B 0.000123, sure to 1.2 %.",
            ),
            (
                Agreement::Agreed(soft, 3),
                false,
                "three plucks in a row: 2.0 cents sharp, sure to 0.21 cents. No core is heard",
            ),
            (Agreement::Agreed(soft, 2), true, "sure to 0.21 cents."),
        ] {
            let told = agreement_words(&agreement, 82.407, fretted);
            assert!(told.contains(words) && told.ends_with('.'), "{told}");
            assert_eq!(told.contains("No core"), words.contains("No core"), "{told}");
        }
        assert_eq!(
            at_12_words(sure(-1.236, 0.25)),
            "Cents at 12: -1.24 against the open string, sure to 0.25, series against series."
        );
    }
}
