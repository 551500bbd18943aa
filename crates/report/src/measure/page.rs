//! What `bonewright measure` prints.

use super::words;
use crate::figures::{cents_of, length, sentence};
use crate::page::{closing, opening};
use crate::taken::{places, sure_to};
use crate::tolerance::percent;
use crate::wishes::MAIN_ALONE;
use crate::wrapped;
use units::BenchUnit;
use work::{Hazards, MOST_KINDS, MOST_SINGLES, Next, NextStep};

/// Columns that a chance takes.
const CHANCE: usize = 12;

/// The page, at most [`crate::WIDTH`] columns wide; `numbers` are those of the strings, bass to treble.
#[must_use]
pub fn measure_page(title: &str, next: &Next, numbers: &[u32], hazards: Hazards, bench: BenchUnit) -> String {
    let mut text = opening(title);
    text += "WHAT TO READ NEXT\n\n";
    text += &wrapped(&now_words(next, bench), "", "");
    if next.now >= next.wished {
        text += &wrapped("The survey is good enough: make the saddle as planned.", "", "");
        return text + &closing(hazards);
    }
    if let Some(without) = no_nut(next) {
        text += &wrapped(without, "", "");
    }
    for (head, list, most) in [
        ("BY KINDS OF READINGS", &next.kinds, MOST_KINDS),
        ("BY SINGLE READINGS", &next.singles, MOST_SINGLES),
    ] {
        text += &format!("\n{head}\n\n");
        for step in list {
            let chance = format!("{:>1$}  ", percent(step.chance), CHANCE);
            text += &wrapped(&step_words(step, numbers, bench), &chance, &" ".repeat(CHANCE + 2));
        }
        if !list.is_empty() {
            text += "\n";
        }
        text += &wrapped(&end(next, list, most), "", "");
    }
    text += "\nHOW\n\n";
    for line in how(next) {
        text += &wrapped(&line, "", "");
    }
    text + &closing(hazards)
}

/// The chance as the survey stands, in a sentence.
#[must_use]
pub fn now_words(next: &Next, bench: BenchUnit) -> String {
    let mut text = format!(
        "As read, the chance is {} that every string ends in tolerance: action within {}, fret 12 within {}. Wished for: {}.",
        percent(next.now),
        length(bench, next.band.action),
        cents_of(next.band.cents),
        percent(next.wished)
    );
    if next.shared {
        text += &format!(" {MAIN_ALONE}");
    }
    text
}

/// Each of these steps with the chance after it: what to read, where, with which tool, and how sure that is.
#[must_use]
pub fn next_steps(steps: &[NextStep], numbers: &[u32], bench: BenchUnit) -> Vec<(String, String)> {
    let each = steps.iter();
    each.map(|step| (percent(step.chance), step_words(step, numbers, bench)))
        .collect()
}

fn step_words(step: &NextStep, numbers: &[u32], bench: BenchUnit) -> String {
    let what = sentence(&words::what(step));
    let place = places(&step.places, numbers).map_or_else(String::new, |place| format!(", {place}"));
    let again = if step.again { " once more" } else { "" };
    format!(
        "{what}{place}{again}: {}, sure to {}",
        step.tool,
        sure_to(step.of, step.sure_to, bench)
    )
}

/// What a list comes to.
fn end(next: &Next, list: &[NextStep], most: usize) -> String {
    let count: usize = list.iter().map(|step| step.places.len()).sum();
    let readings = if count == 1 {
        "1 reading".to_owned()
    } else {
        format!("{count} readings")
    };
    if next.reaches(list) {
        format!("The figure is the chance after each step; {readings} in all.")
    } else if list.is_empty() {
        "Nothing that these tools can read makes the saddle much surer.".to_owned()
    } else {
        format!(
            "The figure is the chance after each step; {readings} in all. The list ends short of {}: {}.",
            percent(next.wished),
            if list.len() >= most {
                "more would be another survey"
            } else {
                "nothing else that these tools can read gains much"
            }
        )
    }
}

fn no_nut(next: &Next) -> Option<&'static str> {
    next.no_nut.then_some(
        "The present nut was not read, and without it nothing that is read of the strings counts: read the gap over fret 1 with each string \
         held at fret 3 (nut.held_at_3), and ask again. Action, heights of the present saddle and cents are then offered too.",
    )
}

/// How the readings are taken and written down.
fn how(next: &Next) -> Vec<String> {
    let steps = || next.kinds.iter().chain(&next.singles);
    let mut all = Vec::new();
    if steps().any(NextStep::wants_saddle) {
        all.push(
            "What is of a string or of the present saddle is read with that saddle in its slot and the strings at pitch; its height and \
             the contact's distance back are measured on it before it is touched by a file."
                .to_owned(),
        );
    }
    if steps().any(NextStep::wants_empty_slot) {
        all.push("Slot depth and lean are read in the empty slot.".to_owned());
    }
    all.push(if next.visit > 1 {
        format!(
            "All of it is counted as read on visit {}: what neck and bridge top may have moved since the survey makes it less sure.",
            next.visit
        )
    } else {
        "All of it is counted as read in the sitting of the survey. A second visit is one with its own drift of neck and bridge top: see \
         what is left with --visit 2."
            .to_owned()
    });
    all.push(
        "Write each round as [[readings]] with its tool, then ask again: the list is by what is read so far."
            .to_owned(),
    );
    all
}
