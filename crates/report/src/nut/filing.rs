//! What `bonewright filing` and `bonewright fit` print of a nut.

use super::lines::saddle_stays;
use super::notes::{nut_stops, who};
use crate::columns::{in_both, names, words};
use crate::figures::{fixed, length, list, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, opening, stopped};
use crate::wrap::wrapped;
use nut::filing::Lowered;
use nut::{NutPlan, OpenString};
use units::BenchUnit;
use work::{Borne, Hazards, SLOT_GOOD, SlotLeft, SlotRead, SlotStrokes, SlotsRead, stroke_depth};

fn stroke(bench: BenchUnit) -> String {
    let stroke = if bench.is_metric() {
        "0.02 mm (1 thou)"
    } else {
        "1 thou (0.03 mm)"
    };
    stroke.to_owned()
}

/// What each stroke in a slot does, from the proud slot to the final one. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_filing_page(title: &str, nut: &NutPlan, hazards: Hazards, bench: BenchUnit) -> String {
    let down = stroke_depth(bench);
    let figures = SlotStrokes::of(nut, down);
    let of = |value: fn(&SlotStrokes) -> f64| figures.iter().map(move |f| Some(value(f)));
    let names = || names(nut.lines.iter().map(|s| (s.number, s.note.as_str())));
    let mut text = opening(title) + &stopped(&nut_stops(nut, bench));
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
        in_both(bench.action(), &["action at 12", "after"], of(|f| f.last.action_12)),
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

/// What is left to do in the slots after stringing up. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_fit_page(title: &str, slots: &SlotsRead, hazards: Hazards, bench: BenchUnit) -> String {
    let down = stroke_depth(bench);
    let SlotsRead { nut, slots: found, .. } = slots;
    let left = |f: &Option<SlotRead>| f.map(|f| f.left);
    let then = |f: &Option<SlotRead>| match left(f) {
        Some(SlotLeft::File(then) | SlotLeft::TooLow(then)) => Some(then),
        _ => None,
    };
    let of = |value: fn(&Lowered) -> f64| found.iter().map(move |f| then(f).map(|t| value(&t)));
    let say = |f: &Option<SlotRead>| match left(f) {
        None => "not read".to_owned(),
        Some(SlotLeft::Good) => "good".to_owned(),
        Some(SlotLeft::File(then)) => format!("file {} strokes", fixed(then.by / down, 0)),
        Some(SlotLeft::Low(..)) => "low, leave it".to_owned(),
        Some(SlotLeft::TooLow(_)) => "TOO LOW".to_owned(),
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
        in_both(bench.action(), &["action at 12", "then"], of(|t| t.action_12)),
        words("what to do", found.iter().map(say)),
    ]);
    text += &wrapped(
        &format!(
            "Good: within {} of the gap that is wanted. One stroke: {}; read again after each. A negative figure means that the floor must come up.",
            length(bench, SLOT_GOOD),
            stroke(bench)
        ),
        "",
        "",
    );
    for said in [too_low(slots, bench), slots_left(slots, bench)].into_iter().flatten() {
        text += "\n";
        text += &wrapped(&said, "", "");
    }
    text + &closing(hazards)
}

/// Slots that are too low, and what to do; `None` if there are none.
fn too_low(slots: &SlotsRead, bench: BenchUnit) -> Option<String> {
    let low = |i: usize| match slots.slots.get(i) {
        Some(Some(SlotRead {
            left: SlotLeft::TooLow(then),
            ..
        })) => Some(-then.by),
        _ => None,
    };
    let worst = (0..slots.slots.len()).filter_map(low).reduce(f64::max)?;
    Some(format!(
        "{}: too low, under the least gap that plays ({}, {}), by up to {} at the floor. Fill the slot (dust of the blank and thin glue, cured overnight, published) and file it again, or make a new nut. Raised to its place, it raises the action at 12 by about half of that, as the table shows{}.",
        who(slots.nut, |i| low(i).is_some()),
        bench.show(slots.limits.least.value),
        slots.limits.least.source.words(),
        length(bench, worst),
        if saddle_stays(slots.nut) {
            ""
        } else {
            ": bring the saddle to its height only then"
        },
    ))
}

/// Slots that are low and left so: which, by how much, and why; `None` if there are none.
#[must_use]
pub fn slots_left(slots: &SlotsRead, bench: BenchUnit) -> Option<String> {
    let of = |within: bool| {
        let low = |(line, slot): (&OpenString, &Option<SlotRead>)| match *slot {
            Some(SlotRead {
                clearance,
                left: SlotLeft::Low(by, borne),
            }) if (borne == Borne::WithinReading) == within => Some((line.number, clearance, by)),
            _ => None,
        };
        slots
            .nut
            .lines
            .iter()
            .zip(&slots.slots)
            .filter_map(low)
            .collect::<Vec<_>>()
    };
    let said = |low: &[(u32, f64, f64)]| {
        let each = low.iter().map(|(number, gap, by)| {
            format!(
                "string {number} (gap {}, {} under the one wanted)",
                bench.show(*gap),
                bench.show(*by)
            )
        });
        list(&each.collect::<Vec<_>>())
    };
    let mut text = Vec::new();
    let within = of(true);
    if !within.is_empty() {
        text.push(format!(
            "Leave {}: within what the reading can tell; good is within {}, and a reading is sure to {}.",
            said(&within),
            bench.show(SLOT_GOOD),
            bench.show(slots.limits.reading)
        ));
    }
    let over = of(false);
    if !over.is_empty() {
        let it = if over.len() == 1 { "it" } else { "they" };
        text.push(format!(
            "Leave {}: {it} will play, for the least gap is {} ({}). Fill only a slot whose open string buzzes on fret 1.",
            said(&over),
            bench.show(slots.limits.least.value),
            slots.limits.least.source.words()
        ));
    }
    (!text.is_empty()).then(|| text.join(" "))
}
