//! What `bonewright tolerance` prints.

use super::{advice, words};
use crate::columns;
use crate::columns::{in_both, names};
use crate::figures::{fixed, length, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use saddle::tolerance::{Spread, StringSpread};
use units::BenchUnit;
use work::{Hazards, Sureness};

/// The page, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn tolerance_page(title: &str, sure: &Sureness, hazards: Hazards, bench: BenchUnit) -> String {
    let tolerance = &sure.tolerance;
    let chance = words::percent(sure.sampling.confidence);
    let mut text = opening(title);
    text += &format!("HOW SURE IT IS\n\n{}", chances(sure, bench));
    text += &format!("\nPER STRING\n\n{}", per_string(sure, bench));
    text += &wrapped(
        &format!(
            "Spread: against the plan, where 95 of 100 such saddles end. Good: in tolerance. Too low: the action ends under the tolerance. Proud: height to leave on that string alone, so that with a chance of {chance} it does not end too low."
        ),
        "",
        "",
    );
    text += "\nWHAT TO DO\n\n";
    text += &wrapped(&advice::advice(sure, bench), "", "");
    let readings = advice::readings(sure, bench);
    if !readings.is_empty() {
        text += "\nWHICH READINGS MATTER\n\n";
        for (i, reading) in readings.iter().enumerate() {
            text += &wrapped(reading, &format!("{}. ", i + 1), "   ");
        }
        text += &format!("\n{}", shares(sure, bench));
        text += &wrapped(
            "Sure to: one standard uncertainty, of the job's [uncertainty] or common practice. Shares are of the variance, to first order; all: action and cents of all strings, each against its tolerance.",
            "",
            "",
        );
    }
    text += "\n";
    text += &wrapped(
        &format!(
            "{} instruments were tried that may stand behind these readings (seed {}); the saddle is made to the plan each time.",
            tolerance.samples, sure.sampling.seed
        ),
        "",
        "",
    );
    text + &closing(hazards)
}

/// The chances that a plan has, in sentences.
#[must_use]
pub fn chance_words(sure: &Sureness, bench: BenchUnit) -> [String; 3] {
    let tolerance = &sure.tolerance;
    let chance = words::percent(sure.sampling.confidence);
    [
        format!(
            "Chance that every string ends within {} of its action and {} cents of the plan at fret 12: {}.",
            length(bench, sure.band.action),
            fixed(sure.band.cents, 1),
            words::percent(tolerance.all_within)
        ),
        format!(
            "Chance that some string ends too low: {}.",
            words::percent(tolerance.any_too_low)
        ),
        if tolerance.proud > 0.0 {
            format!(
                "Left {} proud all along, with a chance of {chance} no string ends too low.",
                length(bench, tolerance.proud)
            )
        } else {
            format!("As planned, with a chance of {chance} no string ends too low: nothing need be left proud.")
        },
    ]
}

fn chances(sure: &Sureness, bench: BenchUnit) -> String {
    let each = chance_words(sure, bench);
    each.iter().map(|text| wrapped(text, "- ", "  ")).collect()
}

fn per_string(sure: &Sureness, bench: BenchUnit) -> String {
    let each = || sure.tolerance.strings.iter();
    let range = |spread: Spread, show: &dyn Fn(f64) -> String| (show(spread.low), show(spread.high));
    let spread = |head: &str, unit: &str, cell: &dyn Fn(&StringSpread) -> (String, String)| {
        Group::new(&["spread of", head])
            .column(unit, each().map(|s| cell(s).0))
            .column("to", each().map(|s| cell(s).1))
    };
    grid(&[
        names(sure.plan.strings.iter().map(|s| (s.number, s.note.as_str()))),
        spread("action", bench.name(), &|s| range(s.action, &|mm| bench.signed(mm))),
        spread("cents", "", &|s| range(s.cents, &|cents| signed(cents, 1))),
        Group::new(&["good"]).column("", each().map(|s| words::percent(s.within))),
        Group::new(&["too low"]).column("", each().map(|s| words::percent(s.too_low))),
        in_both(bench, &["proud"], each().map(|s| Some(s.proud))),
    ])
}

fn shares(sure: &Sureness, bench: BenchUnit) -> String {
    let shares = &sure.tolerance.first_order.shares;
    let percent = |share: f64| format!("{} %", fixed(100.0 * share, 0));
    let most = |list: &[f64]| -> (String, String) {
        list.iter()
            .zip(&sure.plan.strings)
            .max_by(|a, b| a.0.total_cmp(b.0))
            .map_or_else(Default::default, |(share, s)| (percent(*share), s.number.to_string()))
    };
    let of = |head: &str, list: fn(&saddle::tolerance::Share) -> &Vec<f64>| {
        Group::new(&["most of", head])
            .column("", shares.iter().map(move |s| most(list(s)).0))
            .column("string", shares.iter().map(move |s| most(list(s)).1))
    };
    grid(&[
        columns::words("reading", shares.iter().map(|s| words::name(s.reading).to_owned())),
        Group::new(&["sure to"]).column("", shares.iter().map(|s| words::sure_to(s.reading, s.sigma, bench))),
        Group::new(&["all"]).column("", shares.iter().map(|s| percent(s.of_all))),
        of("its action", |s| &s.of_action),
        of("its cents", |s| &s.of_cents),
    ])
}
