//! What was heard of a string: as text, as JSON, and why nothing was.

use crate::figures::sentence;
use crate::json::pretty;
use crate::wrap::wrapped;
use listen::{Heard, Sure, Unheard};
use numerics::{fixed, signed, trimmed};
use serde::Serialize;
use work::HeardString;

/// Partials of the table: those above say the same.
const ROWS: usize = 30;

/// What was heard, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn heard_page(string: &HeardString) -> String {
    let heard = &string.heard;
    let mut text = wrapped(&headline(string), "", "");
    text += "\n";
    let lead = |name: &str| format!("{name:<10}");
    let mut line = |name: &str, words: String| text += &wrapped(&words, &lead(name), &lead(""));
    if let Some(one_peak) = string.one_peak_off {
        line("One peak:", format!("its lowest partial alone stands {}.", cents_off(one_peak)));
    }
    if let Some(at_12) = &string.at_12 {
        let alone = at_12.by_single_peaks.map_or_else(String::new, |cents| {
            format!(" Lowest partial against lowest partial would have said {} cents.", signed(cents, 1))
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
    if let Some(stretch) = stretch(string) {
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
fn headline(string: &HeardString) -> String {
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

fn cents_off(cents: f64) -> String {
    let size = fixed(cents.abs(), 1);
    match size.as_str() {
        "0.0" => "in tune".to_owned(),
        _ if cents > 0.0 => format!("{size} cents sharp"),
        _ => format!("{size} cents flat"),
    }
}

fn per_cent(share: f64) -> String {
    trimmed(100.0 * share, if share < 0.095 { 1 } else { 0 })
}

fn b_of(b: Sure) -> String {
    format!("B {}, sure to {} %", scientific(b.value), per_cent(b.share()))
}

/// B with three digits.
fn scientific(b: f64) -> String {
    let places = (2.0 - b.abs().log10().floor()).clamp(0.0, 12.0);
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

fn stretch(string: &HeardString) -> Option<String> {
    let stretch = string.stretch?;
    let off = stretch.factor - 1.0;
    let side = if off < 0.0 { "less" } else { "more" };
    let beside = match per_cent(off.abs()).as_str() {
        "0" => "as the string that the job describes".to_owned(),
        share => format!("{share} % {side} than of the string that the job describes"),
    };
    let not_it = if stretch.not_it {
        " That is not the string that the job describes: look at its gauge and its set."
    } else {
        ""
    };
    Some(format!(
        "{beside}, sure to {} % (before: {} %). Its B would be {}, sure to {} %; it was heard at {} times that.{not_it}",
        per_cent(stretch.after),
        per_cent(stretch.before),
        scientific(stretch.described),
        per_cent(stretch.described_sure_to),
        fixed(stretch.over_described, 2)
    ))
    .map(|words| sentence(&words))
}

/// A row a partial: where it stands, where a limp string's would, and how far it lies off the series.
fn table(heard: &Heard) -> String {
    let mut text = String::from("partial   stands at    limp string     off it    off the series   level   falls 60 dB\n");
    text += "                 Hz             Hz      cents             cents      dB             s\n";
    for partial in heard.partials.iter().take(ROWS) {
        let off = listen::cents(partial.frequency, partial.limp);
        let falls = partial.falls.map_or_else(|| "-".to_owned(), |falls| fixed(falls, 1));
        text += &format!(
            "{:>7} {:>11} {:>14} {:>10} {:>17} {:>7} {:>13}\n",
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
        Unheard::Rate { rate } => format!("{} samples a second are not read: 8,000 to 192,000 are.", trimmed(*rate, 0)),
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
        Unheard::Hum { mains } => format!("nothing is heard but hum of the mains at {} Hz and above.", trimmed(*mains, 0)),
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
        Unheard::Unsteady => "its pitch does not stay, as in speech or a slide. Pluck once and leave the peg alone.".to_owned(),
        Unheard::NoString => format!("no string near {note} stands out. Pluck it once, near the microphone, and damp the others."),
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
