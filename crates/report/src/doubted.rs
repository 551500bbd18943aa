//! Readings that do not fit the others, and those that nothing checks, in words.

use crate::figures::{cents_of, degrees, length, list, sentence};
use crate::{Note, NoteTopic, wrapped};
use instrument::Of;
use known::Kind;
use units::BenchUnit;
use work::{Charge, Doubted, Fitted, Place, Planned, ReadAt, Refusal, Severity, SlipOfKind, Stands, Wrong, of_words};

/// Most that may be wrong which are told of one doubt.
const MOST_TOLD: usize = 4;

/// Why a part cannot be planned, with what of the readings does not fit where that is why.
#[must_use]
pub fn refusal_words(refusal: &Refusal, bench: BenchUnit) -> String {
    let mut text = refusal.to_string();
    if let Refusal::Readings(unread) = refusal {
        for doubted in &unread.doubted {
            text += &format!(". {}", doubt_words(doubted, CUT, bench).trim_end_matches('.'));
        }
    }
    text
}

/// What does not fit, as a note.
pub(crate) fn doubt_note(doubted: &Doubted, bench: BenchUnit) -> Note {
    Note::new(NoteTopic::Reading, Severity::Mind, doubt_words(doubted, CUT, bench))
}

/// What does not fit of all that was read before and after stringing up, a paragraph each.
#[must_use]
pub fn doubts_after(fitted: &Fitted, bench: BenchUnit) -> Vec<String> {
    let words = |doubted: &Doubted| {
        let mut text = doubt_words(doubted, FILE, bench);
        let is = |test: fn(Of) -> bool| doubted.of_made().any(|reading| test(reading.of));
        if is(|of| !matches!(of, Of::Cents { .. })) {
            let lies = if fitted.fit.next.zero_fret {
                "on the zero fret"
            } else {
                "in its nut slot"
            };
            text += &format!(" At pitch; see that the string lies on the ridge and {lies}.");
        }
        if is(|of| matches!(of, Of::Cents { .. })) {
            text +=
                " With a fresh string, tuned open first and pressed lightly; see that the gauge is the one surveyed.";
        }
        text
    };
    fitted.doubted.iter().map(words).collect()
}

/// What a doubtful reading is taken again before.
const CUT: &str = "you cut";
/// The same after stringing up.
const FILE: &str = "you file";

/// What does not fit, in sentences.
fn doubt_words(doubted: &Doubted, before: &str, bench: BenchUnit) -> String {
    let listed = doubted.slip.as_ref().filter(|slip| slip.readings.len() > 1);
    if let Some(slip) = listed {
        return format!(
            "{}: they do not fit the other readings. It is as if {}. Take them again before {before}.",
            sentence(&list_name(&slip.readings)),
            kind_words(slip, bench)
        );
    }
    let Some((first, others)) = doubted.charges.split_first() else {
        return format!("The readings do not fit each other. Take them again before {before}.");
    };
    let is_reading = matches!(first.what, Wrong::Reading(_));
    let mut text = format!("{}.", sentence(&charged(first, bench)));
    let told = others.iter().take(MOST_TOLD - 1).map(|charge| or_words(charge, bench));
    let mut told: Vec<String> = told.collect();
    if others.len() >= MOST_TOLD {
        told.push("or something less likely".to_owned());
    }
    if !told.is_empty() {
        text += &format!(" {}: the readings cannot tell which.", sentence(&told.join(", ")));
    }
    if let Some(slip) = &doubted.slip {
        text += &format!(" It is as if {}.", kind_words(slip, bench));
    }
    let readings = others.iter().any(|charge| matches!(charge.what, Wrong::Reading(_)));
    let again = match (is_reading, readings) {
        (true, true) => "Take them again",
        (true, false) => "Take it again",
        (false, true) => "Take those readings again",
        (false, false) => "Look at that",
    };
    format!("{text} {again} before {before}.")
}

/// A figure of a kind of reading.
fn value(of: Of, value: f64, bench: BenchUnit) -> String {
    match of {
        Of::Lean => degrees(value),
        Of::Cents { .. } => cents_of(value),
        Of::Inharmonicity => format!("{value:.2e}"),
        Of::Action { .. } => length(bench.action(), value),
        _ => length(bench, value),
    }
}

/// What was read, with its place: `string 5's action at fret 12`.
fn name(of: Of, place: Place) -> String {
    let words = of_words(of);
    match (place, of) {
        (Place::Whole, _) => format!("the {words}"),
        (Place::End(0), _) => format!("the {words} at the bass end"),
        (Place::End(_), _) => format!("the {words} at the treble end"),
        (Place::String(n), Of::SaddleHeight | Of::Exposure) => format!("the {words} at string {n}"),
        (Place::String(n), Of::OverBridge) => format!("the height of string {n} over the bridge"),
        (Place::String(n), _) => format!("string {n}'s {words}"),
    }
}

/// How it was read, of a further reading.
fn how(reading: &ReadAt) -> String {
    let visit = if reading.visit > 1 {
        format!(" on visit {}", reading.visit)
    } else {
        String::new()
    };
    if reading.over_made {
        return " after stringing up".to_owned();
    }
    match &reading.tool {
        Some(tool) => format!(" with the {tool}{visit}"),
        None => visit,
    }
}

/// A whole list: `The heights of the present saddle, strings 6 to 1, with the caliper`.
fn list_name(readings: &[ReadAt]) -> String {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return String::new();
    };
    let places = match (first.place, last.place, readings.len()) {
        (Place::String(a), Place::String(b), 2) => format!("strings {a} and {b}"),
        (Place::String(a), Place::String(b), _) => format!("strings {a} to {b}"),
        _ => "bass and treble end".to_owned(),
    };
    format!("the readings of {}, {places},{}", of_words(first.of), how(first))
        .trim_end_matches(',')
        .to_owned()
}

fn more(over: f64) -> &'static str {
    if over < 0.0 { "less" } else { "more" }
}

/// What may be wrong, as a sentence.
fn charged(charge: &Charge, bench: BenchUnit) -> String {
    match &charge.what {
        Wrong::Reading(reading) => format!(
            "{}, read as {}{}, is {} {} than the other readings allow",
            name(reading.of, reading.place),
            value(reading.of, reading.value, bench),
            how(reading),
            value(reading.of, charge.over.abs(), bench),
            more(charge.over),
        ),
        other => other_words(other, charge.over, bench),
    }
}

/// The same behind another: `or string 5's gap over fret 1 (0.1 mm less than what was read)`.
fn or_words(charge: &Charge, bench: BenchUnit) -> String {
    match &charge.what {
        Wrong::Reading(reading) => format!(
            "or {}{} is {} too {}",
            name(reading.of, reading.place),
            how(reading),
            value(reading.of, charge.over.abs(), bench),
            if charge.over < 0.0 { "little" } else { "much" },
        ),
        other => format!("or {}", other_words(other, charge.over, bench)),
    }
}

fn other_words(what: &Wrong, over: f64, bench: BenchUnit) -> String {
    match what {
        Wrong::Reading(reading) => name(reading.of, reading.place),
        Wrong::NotTheSet(n) => format!("string {n} is not the string that the job says"),
        Wrong::Pull(n) => format!(
            "the body pulls the pitch of string {n} by {} {}",
            cents_of(over.abs()),
            if over < 0.0 { "flat" } else { "sharp" }
        ),
        Wrong::NotBetween(n, of) => format!(
            "string {n}'s {} is not in line with the outer strings', but {} {}",
            of_words(*of),
            length(bench, over.abs()),
            more(over)
        ),
        Wrong::Tool(tool, of) => format!(
            "every {} read with the {tool} is {} too {}",
            of_words(*of),
            value(*of, over.abs(), bench),
            if over < 0.0 { "little" } else { "much" }
        ),
        Wrong::Contact(n) => format!("string {n} does not end on the present saddle as it is taken to"),
        Wrong::Seat(end) => format!(
            "the present saddle stands off the slot's floor at the {} end",
            if *end == 0 { "bass" } else { "treble" }
        ),
        Wrong::Straightedge => format!(
            "the straightedge reads {} too {} at the saddle",
            length(bench, over.abs()),
            if over < 0.0 { "low" } else { "high" }
        ),
        Wrong::Floor => "the slot's floor is bowed".to_owned(),
        Wrong::Ends => "the ends of the strings hold otherwise than taken".to_owned(),
        Wrong::StandOff => "the strings stand off the ridge otherwise than taken".to_owned(),
        Wrong::Made => "the new saddle was not made or seated as planned".to_owned(),
        Wrong::Moved(visit) => format!("the neck or the top moved before visit {visit}"),
    }
}

/// What a slip of a kind is like.
fn kind_words(slip: &SlipOfKind, bench: BenchUnit) -> String {
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
    let it = if slip.readings.len() > 1 { "they" } else { "it" };
    match slip.kind {
        Kind::Swapped => "bass and treble had been swapped".to_owned(),
        Kind::Reversed => "the list had been written from the wrong end".to_owned(),
        Kind::Sign => format!("{it} had the wrong sign"),
        Kind::Division(mm) => {
            let size = match mm.abs() {
                mm if near(mm, 0.397) => "a 64th of an inch".to_owned(),
                mm if near(mm, 0.794) => "a 32nd of an inch".to_owned(),
                mm if near(mm, 0.5) => "half a millimetre".to_owned(),
                mm if near(mm, 1.0) => "a whole millimetre".to_owned(),
                mm if near(mm, 10.0) => "a whole centimetre".to_owned(),
                mm if near(mm, 25.4) => "a whole inch".to_owned(),
                mm => length(bench, mm),
            };
            format!("{size} too {} had been read", if mm < 0.0 { "little" } else { "much" })
        }
        Kind::Unit(times) => {
            let pairs = [
                (25.4, "inches", "millimetres"),
                (15.625, "64ths", "thou"),
                (2.54, "thou", "hundredths of a millimetre"),
                (2.0, "32nds", "64ths"),
            ];
            let found = pairs.iter().find_map(|(factor, large, small)| {
                if near(times, *factor) {
                    Some((*large, *small))
                } else {
                    near(times, 1.0 / factor).then_some((*small, *large))
                }
            });
            match found {
                Some((written, meant)) => format!("{meant} had been written as {written}"),
                None => format!("{it} had been written in another unit"),
            }
        }
        Kind::Decimal(times) => format!(
            "the decimal point stood one place too far to the {}",
            if times > 1.0 { "right" } else { "left" }
        ),
        Kind::Semitones(cents) => format!(
            "{it} had been taken {} {} off",
            if near(cents.abs(), 1200.0) {
                "an octave"
            } else {
                "a semitone"
            },
            if cents < 0.0 { "flat" } else { "sharp" }
        ),
    }
}

/// Of a survey with further readings: what nothing checks, and how large a slip would hide; nothing for any other. Of several saddles
/// each is told under its name.
#[must_use]
pub fn unchecked_words(done: &Planned, bench: BenchUnit) -> String {
    let one = |done: &Planned| {
        let words = of_one(&done.stands(), bench);
        match &done.job.name {
            Some(name) if !words.is_empty() => format!("The {name} saddle:\n{words}"),
            _ => words,
        }
    };
    let one = |done: &Planned| {
        // How large a slip would hide is told once none stands.
        if done.doubted.is_empty() {
            one(done)
        } else {
            String::new()
        }
    };
    if done.is_split() {
        return done.saddles().map(one).collect();
    }
    one(done)
}

fn of_one(stands: &[Stands], bench: BenchUnit) -> String {
    let (unchecked, checked): (Vec<&Stands>, Vec<&Stands>) = stands.iter().partition(|stands| stands.is_unchecked);
    let mut text = String::new();
    let names: Vec<String> = kinds(&unchecked).into_iter().map(|(name, _)| name).collect();
    if !names.is_empty() {
        text += &wrapped(
            &format!("No other reading would show a slip in: {}.", list(&names)),
            "",
            "",
        );
    }
    let hidden = kinds(&checked).into_iter().map(|(name, of)| {
        let sizes = || of.iter().map(|stands| stands.hidden);
        let (least, most) = (sizes().fold(f64::INFINITY, f64::min), sizes().fold(0.0, f64::max));
        let kind = of.first().map_or(Of::Relief, |stands| stands.reading.of);
        let (least, most) = (value(kind, least, bench), value(kind, most, bench));
        if least == most {
            format!("{name}: {most}")
        } else {
            format!("{name}: {least} to {most}")
        }
    });
    let hidden: Vec<String> = hidden.collect();
    if !hidden.is_empty() {
        text += &wrapped("A slip up to this size may hide, and a larger one shows:", "", "");
        for line in hidden {
            text += &wrapped(&line, "  ", "    ");
        }
    }
    text
}

/// Readings of one kind by one tool on one visit, with their name.
fn kinds<'a>(stands: &[&'a Stands]) -> Vec<(String, Vec<&'a Stands>)> {
    let mut all: Vec<(String, Vec<&Stands>)> = Vec::new();
    for one in stands {
        let name = format!("{}{}", of_words(one.reading.of), how(&one.reading));
        match all.iter_mut().find(|(known, _)| *known == name) {
            Some((_, list)) => list.push(one),
            None => all.push((name, vec![one])),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(of: Of, place: Place, value: f64) -> ReadAt {
        ReadAt {
            of,
            place,
            value,
            tool: None,
            visit: 1,
            over_made: false,
        }
    }

    fn charge(what: Wrong, over: f64) -> Charge {
        Charge {
            what,
            over,
            sure_to: 0.05,
        }
    }

    #[test]
    fn a_group_is_told_with_sizes_and_that_none_can_be_told_from_the_other() {
        let doubted = Doubted {
            charges: vec![
                charge(
                    Wrong::Reading(reading(Of::Action { fret: 12 }, Place::String(5), 2.35)),
                    0.4,
                ),
                charge(Wrong::Reading(reading(Of::Clearance, Place::String(5), 0.5)), -0.12),
                charge(Wrong::NotTheSet(5), -1.06),
            ],
            slip: Some(SlipOfKind {
                kind: Kind::Division(0.397),
                readings: vec![reading(Of::Action { fret: 12 }, Place::String(5), 2.35)],
            }),
        };
        assert_eq!(
            doubt_words(&doubted, CUT, BenchUnit::METRIC),
            "String 5's action at fret 12, read as 2.35 mm (92.5 thou), is 0.40 mm (15.5 thou) more than the other readings allow. \
             Or string 5's gap over fret 1 is 0.12 mm (4.5 thou) too little, or string 5 is not the string that the job says: the \
             readings cannot tell which. It is as if a 64th of an inch too much had been read. Take them again before you cut."
        );
    }

    #[test]
    fn a_list_from_the_wrong_end_is_told_as_one() {
        let readings: Vec<ReadAt> = (1..=6)
            .rev()
            .map(|n| ReadAt {
                tool: Some("caliper".to_owned()),
                ..reading(Of::SaddleHeight, Place::String(n), 9.0)
            })
            .collect();
        let doubted = Doubted {
            charges: Vec::new(),
            slip: Some(SlipOfKind {
                kind: Kind::Reversed,
                readings,
            }),
        };
        assert_eq!(
            doubt_words(&doubted, CUT, BenchUnit::METRIC),
            "The readings of height of the present saddle, strings 6 to 1, with the caliper: they do not fit the other readings. It is \
             as if the list had been written from the wrong end. Take them again before you cut."
        );
    }
}
