//! What `bonewright filing` and `bonewright fit` print of a nut.

use super::lines::saddle_stays;
use super::notes::who;
use crate::Hazards;
use crate::columns::{in_both, names, words};
use crate::figures::{fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use nut::filing::{GOOD, Lowered, PresentString, SlotWork};
use nut::{NutPlan, OpenString};
use saddle::StrungString;
use units::BenchUnit;

/// One stroke's depth on the page, mm: a thou in inch units, 0.02 mm in metric.
pub(super) fn step(bench: BenchUnit) -> f64 {
    match bench {
        BenchUnit::Millimetre => 0.02,
        BenchUnit::Thou | BenchUnit::SixtyFourths => 0.0254,
    }
}

fn stroke(bench: BenchUnit) -> String {
    match bench {
        BenchUnit::Millimetre => "0.02 mm (0.8 thou)".to_owned(),
        BenchUnit::Thou | BenchUnit::SixtyFourths => "1 thou (0.025 mm)".to_owned(),
    }
}

/// Each string before the final strokes, after them, and one stroke of `down` mm too far, bass to treble.
pub(super) fn strokes(nut: &NutPlan, down: f64) -> Vec<(Lowered, Lowered, Lowered)> {
    let at = |s: &OpenString| {
        let standing = PresentString::planned(s);
        (
            standing.lowered(-nut.proud),
            standing.lowered(0.0),
            standing.lowered(down),
        )
    };
    nut.lines.iter().map(at).collect()
}

/// The gap read over fret 1 and what is left to do, bass to treble; `None` where no gap was read.
pub(super) fn judged(nut: &NutPlan, readings: &[StrungString]) -> Vec<Option<(f64, SlotWork)>> {
    let read = |(s, r): (&OpenString, &StrungString)| {
        let clearance = r.clearance?;
        let standing = PresentString::read(s, clearance, r.action_12.unwrap_or_else(|| s.action_12()));
        Some((clearance, standing.verdict(s.action_1())))
    };
    nut.lines.iter().zip(readings).map(read).collect()
}

/// What each stroke in a slot does, from the proud slot to the final one. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_filing_page(title: &str, nut: &NutPlan, hazards: Hazards, bench: BenchUnit) -> String {
    let down = step(bench);
    let figures = strokes(nut, down);
    let of = |value: fn(&(Lowered, Lowered, Lowered)) -> f64| figures.iter().map(move |f| Some(value(f)));
    let names = || names(nut.lines.iter().map(|s| (s.number, s.note.as_str())));
    let mut text = opening(title);
    text += &format!("WHAT ONE STROKE OF {} IN A SLOT DOES\n\n", stroke(bench).to_uppercase());
    text += &grid(&[
        names(),
        in_both(
            bench,
            &["gap at fret 1", "goes down by"],
            of(|f| f.1.clearance - f.2.clearance),
        ),
        in_both(
            bench,
            &["action at 12", "goes down by"],
            of(|f| f.1.action_12 - f.2.action_12),
        ),
        Group::new(&["cents", "at fret 1"]).column("", figures.iter().map(|f| signed(f.2.cents_1 - f.1.cents_1, 2))),
    ]);
    text += &format!(
        "\nFROM THE PROUD SLOT TO THE FINAL ONE: {}\n\n",
        length(bench, nut.proud)
    );
    let count = |f: &(Lowered, Lowered, Lowered)| fixed((nut.proud / down).max(0.0), if f.0.by == 0.0 { 0 } else { 1 });
    text += &grid(&[
        names(),
        in_both(bench, &["gap at fret 1", "before"], of(|f| f.0.clearance)),
        in_both(bench, &["gap at fret 1", "after"], of(|f| f.1.clearance)),
        in_both(bench, &["action at 12", "after"], of(|f| f.1.action_12)),
        Group::new(&["strokes"]).column("", figures.iter().map(count)),
    ]);
    text += &wrapped(
        &format!(
            "A gap at fret 1 that is too high by some amount: file the floor down by a little more than that amount, in strokes of {}, and read again after each. The string beds in, so the last stroke waits until it has been at pitch. A slot filed too deep is filled or the nut made again.",
            stroke(bench)
        ),
        "",
        "",
    );
    text + &closing(hazards)
}

/// What is left to do in the slots after stringing up. `readings` run bass to treble, one for each string; where no action was
/// read the planned one is taken. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_fit_page(
    title: &str,
    nut: &NutPlan,
    readings: &[StrungString],
    hazards: Hazards,
    bench: BenchUnit,
) -> String {
    let down = step(bench);
    let found = judged(nut, readings);
    let then = |f: &Option<(f64, SlotWork)>| match f {
        Some((_, SlotWork::File(then) | SlotWork::TooLow(then))) => Some(*then),
        _ => None,
    };
    let of = |value: fn(&Lowered) -> f64| found.iter().map(move |f| then(f).map(|t| value(&t)));
    let say = |f: &Option<(f64, SlotWork)>| match f {
        None => "not read".to_owned(),
        Some((_, SlotWork::Good)) => "good".to_owned(),
        Some((_, SlotWork::File(then))) => format!("file {} strokes", fixed(then.by / down, 0)),
        Some((_, SlotWork::TooLow(_))) => "TOO LOW".to_owned(),
    };
    let mut text = opening(title);
    text += "NUT SLOTS: WHAT IS LEFT TO DO\n\n";
    text += &grid(&[
        names(nut.lines.iter().map(|s| (s.number, s.note.as_str()))),
        in_both(
            bench,
            &["gap at fret 1", "read"],
            found.iter().map(|f| f.as_ref().map(|f| f.0)),
        ),
        in_both(bench, &["floor", "down by"], of(|t| t.by)),
        in_both(bench, &["action at 12", "then"], of(|t| t.action_12)),
        words("what to do", found.iter().map(say)),
    ]);
    text += &wrapped(
        &format!(
            "Good: within {} of the gap that is wanted. One stroke: {}; read again after each. A negative figure means that the floor must come up.",
            length(bench, GOOD),
            stroke(bench)
        ),
        "",
        "",
    );
    let low = |i: usize| matches!(found.get(i), Some(Some((_, SlotWork::TooLow(_)))));
    if (0..found.len()).any(low) {
        let worst = (0..found.len())
            .filter(|i| low(*i))
            .filter_map(|i| found.get(i).and_then(then))
            .fold(0.0, |most: f64, t| most.max(-t.by));
        text += "\n";
        text += &wrapped(
            &format!(
                "{}: too low, by up to {} at the floor. Fill the slot (dust of the blank and thin glue, cured overnight, published) and file it again, or make a new nut. Raised to its place, it raises the action at 12 by about half of that, as the table shows{}.",
                who(nut, low),
                length(bench, worst),
                if saddle_stays(nut) {
                    ""
                } else {
                    ": bring the saddle to its height only then"
                },
            ),
            "",
            "",
        );
    }
    text + &closing(hazards)
}
