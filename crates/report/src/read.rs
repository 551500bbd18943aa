//! What was read, round by round, and what the marks of its picture mean.

use crate::figures::{cents_of, fixed, sentence};
use crate::taken::{places, sure_to};
use instrument::At;
use units::BenchUnit;
use work::{Belief, Mark, Round, Rounds, TAKES_UP, WeighedBy, of_words};

/// The words at a picture of what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadWords {
    /// Its heading.
    pub heading: &'static str,
    /// How it is drawn.
    pub how: &'static str,
    /// A line a round, in the order of [`Rounds::rounds`]; the picture numbers them from 1.
    pub lines: Vec<String>,
    /// What its marks mean, each with a mark as it is drawn.
    pub legend: Vec<(Mark, String)>,
}

/// The words for these readings, lengths in `bench`.
#[must_use]
pub fn read_words(read: &Rounds, bench: BenchUnit) -> ReadWords {
    let numbers: Vec<u32> = read.lanes.iter().map(|lane| lane.number).collect();
    ReadWords {
        heading: "What was read",
        how: "From above and from the side, nut to the left. Each number is a round of readings; its marks stand where they were taken. \
              Only the order is true: nothing is to scale.",
        lines: read.rounds.iter().map(|round| line(round, &numbers, bench)).collect(),
        legend: legend(read, bench),
    }
}

fn line(round: &Round, numbers: &[u32], bench: BenchUnit) -> String {
    let at = |marks: &mut dyn Iterator<Item = &Mark>| {
        let at: Vec<At> = marks.map(|mark| mark.at).collect();
        places(&at, numbers)
    };
    let mut text = sentence(&of_words(round.of));
    if let Some(place) = at(&mut round.marks.iter()) {
        text += &format!(", {place}");
    }
    if round.over_made {
        text += ", after stringing up";
    }
    text += &format!(": {}", round.tool);
    if round.visit > 1 {
        text += &format!(" on visit {}", round.visit);
    }
    if let Some(sure) = round.sure_to {
        text += &format!(", sure to {}", sure_to(round.of, sure, bench));
    }
    text += &times(&round.marks);
    if round.struck_out {
        return text + "; struck out, not counted";
    }
    let most = round.marks.iter().filter_map(|mark| mark.takes_up).fold(0.0, f64::max);
    if most >= TAKES_UP {
        text += &format!(". Takes up {} %", fixed(100.0 * most, 0));
    }
    for (belief, words) in [
        (Belief::Doubted, "Does not fit the others"),
        (Belief::Suspected, "Or this one does not fit"),
    ] {
        let of = round.marks.iter().filter(|mark| mark.belief == belief);
        let of: Vec<Mark> = of.copied().collect();
        if of.is_empty() {
            continue;
        }
        text += &format!(". {words}");
        // Where only some of them are meant.
        if of.len() < round.marks.len()
            && let Some(place) = at(&mut of.iter())
        {
            text += &format!(": {place}");
        }
    }
    text
}

/// How often each was read, where that is more than once.
fn times(marks: &[Mark]) -> String {
    let most = marks.iter().map(|mark| mark.times).max().unwrap_or(1);
    let words = |times: usize| match times {
        2 => "twice".to_owned(),
        times => format!("{times} times"),
    };
    match marks.iter().map(|mark| mark.times).min() {
        _ if most < 2 => String::new(),
        Some(least) if least == most => format!(", read {}", words(most)),
        _ => format!(", read up to {}", words(most)),
    }
}

/// What each kind of mark says, of those that are drawn; thin and thick lines always.
fn legend(read: &Rounds, bench: BenchUnit) -> Vec<(Mark, String)> {
    let plain = Mark {
        at: At::Whole,
        times: 1,
        takes_up: Some(0.0),
        is_checked: false,
        belief: Belief::Counted,
    };
    let marks = || read.rounds.iter().flat_map(|round| &round.marks);
    let mut all = Vec::new();
    let tolerance = match read.weighed_by {
        None => None,
        Some(WeighedBy::Saddle(band)) => Some(format!(
            "action at fret 12 within {}, its pitch within {}",
            bench.show(band.action),
            cents_of(band.cents)
        )),
        Some(WeighedBy::Slots(mm)) => Some(format!("a slot's floor within {}", bench.show(mm))),
    };
    if let Some(tolerance) = tolerance {
        all.push((plain, "Thin line: sure enough.".to_owned()));
        all.push((
            Mark {
                takes_up: Some(1.0),
                ..plain
            },
            format!(
                "Thick line: unsure. By itself it takes up 100 % of the tolerance ({tolerance}); half as thick, 25 %."
            ),
        ));
    }
    if marks().any(|mark| mark.is_checked && mark.belief != Belief::StruckOut) {
        all.push((
            Mark {
                is_checked: true,
                ..plain
            },
            "With a dot: a slip in it would show in other readings.".to_owned(),
        ));
        if marks().any(|mark| !mark.is_checked && mark.belief != Belief::StruckOut) {
            all.push((plain, "Without a dot: nothing else would show a slip in it.".to_owned()));
        }
    } else {
        all.push((
            plain,
            "No dot in any: nothing is read twice over that would show a slip.".to_owned(),
        ));
    }
    for (belief, words) in [
        (
            Belief::Doubted,
            "Crossed out: it does not fit the others. Take it again before you cut.",
        ),
        (
            Belief::Suspected,
            "Struck through: it may be this one that does not fit; the readings cannot tell which.",
        ),
        (
            Belief::StruckOut,
            "Dashed and struck: struck out in the job, not counted.",
        ),
    ] {
        if marks().any(|mark| mark.belief == belief) {
            all.push((Mark { belief, ..plain }, words.to_owned()));
        }
    }
    all
}
