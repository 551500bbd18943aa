//! What `bonewright filing` and `bonewright fit` print of a nut.

use super::lines::saddle_stays;
use super::notes::who;
use crate::columns::{in_both, names, words};
use crate::figures::{fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use instrument::StrungString;
use nut::NutPlan;
use nut::filing::{GOOD, Lowered, SlotWork};
use units::BenchUnit;
use work::{Hazards, SlotRead, SlotStrokes, stroke_depth};

fn stroke(bench: BenchUnit) -> String {
    match bench {
        BenchUnit::Millimetre => "0.02 mm (0.8 thou)".to_owned(),
        BenchUnit::Thou | BenchUnit::SixtyFourths => "1 thou (0.025 mm)".to_owned(),
    }
}

/// What each stroke in a slot does, from the proud slot to the final one. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_filing_page(title: &str, nut: &NutPlan, hazards: Hazards, bench: BenchUnit) -> String {
    let down = stroke_depth(bench);
    let figures = SlotStrokes::of(nut, down);
    let of = |value: fn(&SlotStrokes) -> f64| figures.iter().map(move |f| Some(value(f)));
    let names = || names(nut.lines.iter().map(|s| (s.number, s.note.as_str())));
    let mut text = opening(title);
    text += &format!("WHAT ONE STROKE OF {} IN A SLOT DOES\n\n", stroke(bench).to_uppercase());
    text += &grid(&[
        names(),
        in_both(
            bench,
            &["gap at fret 1", "goes down by"],
            of(|f| f.last.clearance - f.further.clearance),
        ),
        in_both(
            bench,
            &["action at 12", "goes down by"],
            of(|f| f.last.action_12 - f.further.action_12),
        ),
        Group::new(&["cents", "at fret 1"]).column(
            "",
            figures.iter().map(|f| signed(f.further.cents_1 - f.last.cents_1, 2)),
        ),
    ]);
    text += &format!(
        "\nFROM THE PROUD SLOT TO THE FINAL ONE: {}\n\n",
        length(bench, nut.proud)
    );
    let count = |f: &SlotStrokes| fixed((nut.proud / down).max(0.0), if f.proud.by == 0.0 { 0 } else { 1 });
    text += &grid(&[
        names(),
        in_both(bench, &["gap at fret 1", "before"], of(|f| f.proud.clearance)),
        in_both(bench, &["gap at fret 1", "after"], of(|f| f.last.clearance)),
        in_both(bench, &["action at 12", "after"], of(|f| f.last.action_12)),
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
    let down = stroke_depth(bench);
    let found = SlotRead::of(nut, readings);
    let work = |f: &Option<SlotRead>| f.map(|f| f.work);
    let then = |f: &Option<SlotRead>| match work(f) {
        Some(SlotWork::File(then) | SlotWork::TooLow(then)) => Some(then),
        _ => None,
    };
    let of = |value: fn(&Lowered) -> f64| found.iter().map(move |f| then(f).map(|t| value(&t)));
    let say = |f: &Option<SlotRead>| match work(f) {
        None => "not read".to_owned(),
        Some(SlotWork::Good) => "good".to_owned(),
        Some(SlotWork::File(then)) => format!("file {} strokes", fixed(then.by / down, 0)),
        Some(SlotWork::TooLow(_)) => "TOO LOW".to_owned(),
    };
    let mut text = opening(title);
    text += "NUT SLOTS: WHAT IS LEFT TO DO\n\n";
    text += &grid(&[
        names(nut.lines.iter().map(|s| (s.number, s.note.as_str()))),
        in_both(
            bench,
            &["gap at fret 1", "read"],
            found.iter().map(|f| f.map(|f| f.clearance)),
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
    let low = |i: usize| matches!(found.get(i).and_then(work), Some(SlotWork::TooLow(_)));
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
