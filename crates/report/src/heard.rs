//! What was heard of a string: as text, as JSON, and why nothing was.

use crate::figures::sentence;
use crate::json::pretty;
use crate::wrap::wrapped;
use crate::{Note, NoteTopic};
use listen::{Heard, Sure, Unheard};
use numerics::{fixed, math, signed, trimmed};
use serde::Serialize;
use work::{HeardString, NotTheString, Severity, SoundsLike};

/// Partials of the table: those above say the same.
const ROWS: usize = 30;

/// What was heard, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn heard_page(string: &HeardString) -> String {
    let heard = &string.heard;
    let mut text = wrapped(&heard_headline(string), "", "");
    text += "\n";
    let lead = |name: &str| format!("{name:<10}");
    let mut line = |name: &str, words: String| text += &wrapped(&words, &lead(name), &lead(""));
    if let Some(one_peak) = string.one_peak_off {
        line(
            "One peak:",
            format!("its lowest partial alone stands {}.", cents_off(one_peak)),
        );
    }
    if let Some(at_12) = &string.at_12 {
        let alone = at_12.by_single_peaks.map_or_else(String::new, |cents| {
            format!(
                " Lowest partial against lowest partial would have said {} cents.",
                signed(cents, 1)
            )
        });
        line(
            "Fret 12:",
            format!(
                "{} cents against the open string, sure to {}, series against series.{alone} The open string's second partial stands {} cents \
                 over its octave for stiffness alone.",
                signed(at_12.cents.value, 2),
                fixed(at_12.cents.sure_to, 2),
                fixed(at_12.second_over_octave, 2)
            ),
        );
    }
    line("Stiff:", stiff(heard));
    if let Some(stretch) = stretch_words(string) {
        line("Stretch:", stretch);
    }
    if heard.began_sharp >= 0.5 {
        line(
            "Pluck:",
            format!(
                "it began {} cents sharp and came down; told is where it comes to rest. Pluck more softly to be surer.",
                fixed(heard.began_sharp, 1)
            ),
        );
    }
    let [from, to] = heard.listened;
    line(
        "Heard:",
        format!(
            "{} partials from {} to {} s, in {} stretches; they lie within {} cents of one series.",
            heard.partials.len(),
            fixed(from, 1),
            fixed(to, 1),
            heard.stretches,
            fixed(heard.scatter.max(0.01), 2)
        ),
    );
    text += "\n";
    text += &table(heard);
    text
}

/// The first line: how far off the note it is.
#[must_use]
pub fn heard_headline(string: &HeardString) -> String {
    let fret = match string.fret {
        0 => String::new(),
        fret => format!(" fretted at {fret}"),
    };
    format!(
        "{}{fret} is {}: {} Hz, sure to {} cents.",
        string.note,
        cents_off(string.off.value),
        fixed(string.heard.pitch.value, 3),
        fixed(string.off.sure_to, 2)
    )
}

pub(crate) fn cents_off(cents: f64) -> String {
    let size = fixed(cents.abs(), 1);
    match size.as_str() {
        "0.0" => "in tune".to_owned(),
        _ if cents > 0.0 => format!("{size} cents sharp"),
        _ => format!("{size} cents flat"),
    }
}

pub(crate) fn per_cent(share: f64) -> String {
    trimmed(100.0 * share, if share < 0.095 { 1 } else { 0 })
}

pub(crate) fn b_of(b: Sure) -> String {
    format!("B {}, sure to {} %", scientific(b.value), per_cent(b.share()))
}

/// B with three digits.
pub(crate) fn scientific(b: f64) -> String {
    let places = (2.0 - math::log10(b.abs()).floor()).clamp(0.0, 12.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 12
    let places = places as usize;
    fixed(b, places)
}

fn stiff(heard: &Heard) -> String {
    let b = heard.inharmonicity;
    if heard.core_is_heard() {
        return format!("{}.", b_of(b));
    }
    format!(
        "no core is heard: B is {} at most. A core of floss, or too few partials; its stretch cannot be told from sound.",
        scientific((b.value.max(0.0) + 2.0 * b.sure_to).max(1e-9))
    )
}

/// Strings that do not sound like those that the job describes.
pub(crate) fn not_it_note(strings: &[NotTheString]) -> Note {
    let each = strings.iter().map(|string| {
        let like = match string.like {
            SoundsLike::Plain => " It sounds like a plain wire, and the job has a wound string.",
            SoundsLike::Wound => " It sounds like a wound string, and the job has a plain wire.",
            SoundsLike::Another => "",
        };
        let heard = format!(
            "string {} does not sound like the string that the job describes: its B as heard is {} times that one's.{like}",
            string.number,
            fixed(string.over_described, 2)
        );
        sentence(&heard)
    });
    let each: Vec<String> = each.collect();
    let text = format!(
        "{} Look at its gauge and its set, or hear it again, before you cut: the plan stretches it as it was heard.",
        each.join(" ")
    );
    Note::new(NoteTopic::Reading, Severity::Mind, text)
}

/// What B makes of the string's stretch, as a sentence without its first letter large; `None` where nothing is made of it.
#[must_use]
pub fn stretch_words(string: &HeardString) -> Option<String> {
    let stretch = string.stretch?;
    let off = stretch.factor - 1.0;
    let side = if off < 0.0 { "less" } else { "more" };
    let beside = match per_cent(off.abs()).as_str() {
        "0" => "as the job describes the string".to_owned(),
        share => format!("{share} % {side} than the job describes"),
    };
    let not_it = if stretch.not_it {
        " That is not the string that the job describes: look at its gauge and its set."
    } else {
        ""
    };
    Some(format!(
        "it resists stretching {beside}, sure to {} % (before: {} %). As described its B would be {}, sure to {} %; heard is {} times that.{not_it}",
        per_cent(stretch.after),
        per_cent(stretch.before),
        scientific(stretch.described),
        per_cent(stretch.described_sure_to),
        fixed(stretch.over_described, 2)
    ))
}

/// A row a partial: where it stands, where a limp string's would, and how far it lies off the series.
fn table(heard: &Heard) -> String {
    let mut text = String::from("partial  stands at  limp string  off it  off the series  level  falls 60 dB\n");
    text += "                Hz           Hz   cents           cents     dB            s\n";
    for partial in heard.partials.iter().take(ROWS) {
        let off = listen::cents(partial.frequency, partial.limp);
        let falls = partial.falls.map_or_else(|| "-".to_owned(), |falls| fixed(falls, 1));
        text += &format!(
            "{:>7}  {:>9}  {:>11}  {:>6}  {:>14}  {:>5}  {:>11}\n",
            partial.number,
            fixed(partial.frequency, 2),
            fixed(partial.limp, 2),
            signed(off, 1),
            signed(partial.pulled, 2),
            fixed(partial.level, 0),
            falls
        );
    }
    text
}

/// Why a recording is not the sound of the string that is expected, and what to do.
#[must_use]
pub fn unheard_words(why: &Unheard, note: &str) -> String {
    match why {
        Unheard::Rate { rate } => format!(
            "{} samples a second are not read: 8,000 to 192,000 are.",
            trimmed(*rate, 0)
        ),
        Unheard::NoNumber => "a sample of it is no number. Record it again.".to_owned(),
        Unheard::Expected { expected } => format!("no string sounds at {} Hz.", trimmed(*expected, 3)),
        Unheard::Silence => "it is silent. Bring the microphone nearer, or turn its level up.".to_owned(),
        Unheard::Clipped { tops } => {
            format!("it is clipped: {tops} tops are cut off. Turn the level down until the loudest pluck leaves room.")
        }
        Unheard::TooShort { seconds, needed } => format!(
            "it is too short: {} s from the pluck to the end, and {} s are needed. Let the string ring for four seconds.",
            fixed(*seconds, 1),
            fixed(*needed, 1)
        ),
        Unheard::Hum { mains } => format!(
            "nothing is heard but hum of the mains at {} Hz and above.",
            trimmed(*mains, 0)
        ),
        Unheard::Clicks => "knocks or clicks are heard, and nothing that rings on.".to_owned(),
        Unheard::OtherString { pitch, cents } => format!(
            "it is another string: it sounds at {} Hz, {} from {note}. Name the string that was played, or tune it first.",
            fixed(*pitch, 1),
            cents_far(*cents)
        ),
        Unheard::TwoStrings { other } => format!(
            "two strings ring: another is at {} Hz. Damp the others with a cloth.",
            fixed(*other, 1)
        ),
        Unheard::Chord => "several strings ring, as in a chord. Damp all but the one.".to_owned(),
        Unheard::Unsteady => {
            "its pitch does not stay, as in speech or a slide. Pluck once and leave the peg alone.".to_owned()
        }
        Unheard::NoString => {
            format!("no string near {note} stands out. Pluck it once, near the microphone, and damp the others.")
        }
    }
}

fn cents_far(cents: f64) -> String {
    let side = if cents > 0.0 { "up" } else { "down" };
    format!("{} semitones {side}", fixed(cents.abs() / 100.0, 1))
}

/// What was heard as JSON for other programs; every key is described in `JSON.md`.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn heard_json(string: &HeardString) -> Result<String, serde_json::Error> {
    pretty(&Document {
        format: "bonewright-hear",
        version: 1,
        core_is_heard: string.heard.core_is_heard(),
        string,
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    core_is_heard: bool,
    #[serde(flatten)]
    string: &'a HeardString,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::{described_wholly, flat};
    use listen::{HeardAtTwelve, HeardPartial};
    use work::StretchHeard;

    fn low_e() -> HeardString {
        let partial = |number: u32, frequency: f64, falls| HeardPartial {
            number,
            frequency,
            limp: f64::from(number) * 82.5,
            pulled: -0.62,
            level: -3.4,
            falls,
            counts: 1.0,
        };
        let heard = Heard {
            pitch: Sure {
                value: 82.5,
                sure_to: 0.01,
            },
            inharmonicity: Sure {
                value: 1.234e-4,
                sure_to: 1.5e-6,
            },
            began_sharp: 3.2,
            pull: 4.0,
            scatter: 0.031,
            partials: vec![partial(1, 82.6, Some(12.34)), partial(2, 165.05, None)],
            listened: [0.31, 4.86],
            stretches: 17,
        };
        let at_12 = HeardAtTwelve {
            cents: Sure {
                value: -1.236,
                sure_to: 0.25,
            },
            by_single_peaks: Some(4.31),
            second_over_octave: 0.43,
        };
        let stretch = StretchHeard {
            described: 1.3e-4,
            described_sure_to: 0.3,
            over_described: 0.949,
            before: 0.15,
            after: 0.061,
            factor: 0.974,
            not_it: false,
        };
        let mut told = HeardString::of("E2".to_owned(), 82.407, 0, heard);
        told.at_12 = Some(at_12);
        told.stretch = Some(stretch);
        told
    }

    #[test]
    fn all_is_told_within_the_width() {
        let page = heard_page(&low_e());
        assert!(page.lines().all(|line| line.chars().count() <= crate::WIDTH), "{page}");
        let one = flat(&page);
        for words in [
            "E2 is 2.0 cents sharp: 82.500 Hz, sure to 0.21 cents.",
            "One peak: its lowest partial alone stands 4.0 cents sharp.",
            "Fret 12: -1.24 cents against the open string, sure to 0.25, series against series. Lowest partial against lowest partial would have said +4.3 cents.",
            "Stiff: B 0.000123, sure to 1.2 %.",
            "Stretch: it resists stretching 2.6 % less than the job describes, sure to 6.1 % (before: 15 %). As described its B would be 0.000130, sure to 30 %; heard is 0.95 times that.",
            "Pluck: it began 3.2 cents sharp and came down",
            "Heard: 2 partials from 0.3 to 4.9 s, in 17 stretches; they lie within 0.03 cents of one series.",
            "1 82.60 82.50 +2.1 -0.62 -3 12.3",
            "2 165.05 165.00 +0.5 -0.62 -3 -",
        ] {
            assert!(one.contains(words), "{words}\n{page}");
        }
        let mut other = low_e();
        other.stretch.as_mut().unwrap().not_it = true;
        assert!(flat(&heard_page(&other)).contains("That is not the string that the job describes"));
        let mut in_tune = low_e();
        (in_tune.off.value, in_tune.fret) = (0.02, 12);
        assert!(heard_page(&in_tune).starts_with("E2 fretted at 12 is in tune: "));
    }

    #[test]
    fn a_string_that_is_not_the_one_described_is_told_with_what_it_sounds_like() {
        let one = |number, over_described, like| NotTheString {
            number,
            over_described,
            like,
        };
        let note = not_it_note(&[one(5, 2.6, SoundsLike::Another), one(3, 5.03, SoundsLike::Plain)]);
        assert_eq!(note.severity, Severity::Mind);
        assert!(note.is_first());
        assert_eq!(
            note.text,
            "String 5 does not sound like the string that the job describes: its B as heard is 2.60 times that one's. String 3 does not sound \
             like the string that the job describes: its B as heard is 5.03 times that one's. It sounds like a plain wire, and the job has a \
             wound string. Look at its gauge and its set, or hear it again, before you cut: the plan stretches it as it was heard."
        );
        let wound = not_it_note(&[one(2, 0.3, SoundsLike::Wound)]);
        assert!(
            wound
                .text
                .contains("like a wound string, and the job has a plain wire."),
            "{}",
            wound.text
        );
    }

    #[test]
    fn a_core_that_is_not_heard_is_told_so() {
        let mut floss = low_e();
        floss.stretch = None;
        floss.heard.inharmonicity = Sure {
            value: 4e-6,
            sure_to: 3e-6,
        };
        let page = flat(&heard_page(&floss));
        assert!(page.contains("no core is heard: B is 0.0000100 at most."), "{page}");
    }

    #[test]
    fn every_refusal_says_what_to_do() {
        for (why, words) in [
            (Unheard::Rate { rate: 4000.0 }, "4000 samples a second"),
            (Unheard::NoNumber, "Record it again"),
            (Unheard::Expected { expected: 5.0 }, "no string sounds at 5 Hz"),
            (Unheard::Silence, "it is silent"),
            (Unheard::Clipped { tops: 12 }, "clipped: 12 tops"),
            (
                Unheard::TooShort {
                    seconds: 0.4,
                    needed: 0.96,
                },
                "too short: 0.4 s",
            ),
            (Unheard::Hum { mains: 50.0 }, "hum of the mains at 50 Hz"),
            (Unheard::Clicks, "knocks or clicks"),
            (
                Unheard::OtherString {
                    pitch: 110.0,
                    cents: 500.0,
                },
                "110.0 Hz, 5.0 semitones up from E2",
            ),
            (Unheard::TwoStrings { other: 110.0 }, "two strings ring"),
            (Unheard::Chord, "a chord"),
            (Unheard::Unsteady, "as in speech"),
            (Unheard::NoString, "no string near E2"),
        ] {
            let told = unheard_words(&why, "E2");
            assert!(told.contains(words), "{told}");
            assert!(told.ends_with('.'), "{told}");
        }
    }

    #[test]
    fn the_reference_names_every_key_and_no_other() {
        let document = serde_json::from_str(&heard_json(&low_e()).unwrap()).unwrap();
        described_wholly("bonewright-hear", std::iter::once(document));
    }
}
