//! What `bonewright tolerance` prints of a nut.

use crate::columns::{in_bench, in_both, names};
use crate::figures::length;
use crate::grid::grid;
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use nut::tolerance::SlotSpread;
use units::BenchUnit;
use work::{Hazards, NutSureness};

/// Standard deviations either side that hold 95 of 100 (normal distribution).
const NINETY_FIVE: f64 = 1.96;

/// How sure each slot is. At most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn nut_tolerance_page(title: &str, sure: &NutSureness, hazards: Hazards, bench: BenchUnit) -> String {
    let (nut, spreads) = (sure.nut, &sure.slots);
    let of = |value: fn(&SlotSpread) -> f64| spreads.iter().map(move |s| Some(value(s)));
    let mut text = opening(title);
    text += "NUT: HOW SURE THE GAP AT FRET 1 IS\n\n";
    text += &grid(&[
        names(nut.lines.iter().map(|s| (s.number, s.note.as_str()))),
        in_both(bench, &["gap at fret 1"], nut.strings.iter().map(|s| Some(s.clearance))),
        in_bench(bench, &["+/- cut to", "the stack"], of(|s| NINETY_FIVE * s.by_stack)),
        in_bench(bench, &["+/- cut by", "reading it"], of(|s| NINETY_FIVE * s.by_reading)),
        in_bench(bench, &["+/- of action", "at 12"], of(|s| NINETY_FIVE * s.action_12)),
        in_both(bench, &["leave proud"], of(|s| s.proud)),
    ]);
    text += &wrapped(
        "+/-: 95 of 100 slots end within it. The stack carries the fret's height and the stop of the file; the gap read at pitch carries the feeler alone, so the last strokes are made by it.",
        "",
        "",
    );
    text += "\nWHAT TO DO\n\n";
    let advice = if !sure.is_enough() {
        format!(
            "Leave {} above the stack, more than the {} of the job: a slot cut too deep is filled or the nut made again. Then string up and take each slot down by its gap at fret 1.",
            length(bench, sure.leave_proud),
            length(bench, nut.proud)
        )
    } else {
        format!(
            "The {} left above the stack is enough. Then string up and take each slot down by its gap at fret 1.",
            length(bench, nut.proud)
        )
    };
    text += &wrapped(&advice, "", "");
    text + &closing(hazards)
}
