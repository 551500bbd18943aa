//! The sheet that the owner gets after the work.

use super::before::CENTS;
use super::plain::{cell, per_cent, pitch, shown};
use super::sheet::{OwnerPart, OwnerSheet, OwnerTable};
use crate::figures::strings;
use units::BenchUnit;
use work::{AirChange, Beside, HandedBack, HandedString, Hazards, Whole};

/// How far strings rose with damp on one guitar, mm: the only figures that were found in print (a magazine column on humidity).
const ROSE: [f64; 2] = [2.2, 3.8];

/// The words of the sheet; `hazards` are those of the new saddle's material.
#[must_use]
pub fn handed_back_sheet(of: &HandedBack, bench: BenchUnit, hazards: Hazards) -> OwnerSheet {
    let mut parts = Vec::new();
    parts.extend(OwnerPart::words("What was done", done(of)));
    parts.push(OwnerPart::Table(table(of, bench)));
    parts.extend(OwnerPart::words("How close it came", close(of, bench)));
    parts.extend(OwnerPart::words("Humidity, then and now", air(of)));
    parts.extend(OwnerPart::words("What to expect next season", season(bench)));
    parts.extend(OwnerPart::words("When to come back", come_back(of)));
    parts.extend(OwnerPart::words("Mind", mind(hazards)));
    OwnerSheet {
        under: "For the owner: what was done, and how the instrument stands now.",
        headline: headline(of),
        parts,
        open: vec![
            "Also done",
            "Price",
            "Repairer, date and signature",
            "Owner, date and signature",
        ],
    }
}

/// Whether the work is done; the same verdict as that of the bench.
fn headline(of: &HandedBack) -> String {
    match of.whole {
        Whole::Good => "The work is done: every string stands as it was wanted.",
        Whole::AsNear => {
            "The work is done: the strings stand as near to what was wanted as this saddle can bring them."
        }
        Whole::File => "The work is not finished: some strings are still to be brought down.",
        Whole::Shim(_) | Whole::ShimOrNew(_) => {
            "The work is not finished: some strings stand too low, and the saddle has to come up."
        }
        Whole::NewSaddle(_) => {
            "The work is not finished: some strings stand too low, and another saddle has to be made."
        }
        Whole::SlotsFirst => "The work is not finished: the grooves of the nut are to be brought right first.",
        Whole::ReadAgain => "The work is not finished: a measurement is doubtful, and is taken again first.",
    }
    .to_owned()
}

fn done(of: &HandedBack) -> Vec<String> {
    let mut list = vec![format!("A new saddle of {} was made and fitted.", of.material)];
    match of.beside {
        Beside::Nothing => {}
        Beside::Nut => list.push("A new nut was made with it, or the nut was cut to other heights.".to_owned()),
        Beside::ZeroFret => list.push("The fret beside the nut was brought to its height.".to_owned()),
    }
    list.push("The old saddle is yours where it came out whole: keep it with the case.".to_owned());
    list
}

/// Every string: before, wanted and now.
fn table(of: &HandedBack, bench: BenchUnit) -> OwnerTable {
    let unread = || "-".to_owned();
    let height = |mm: Option<f64>| mm.map_or_else(unread, |mm| cell(bench.action(), mm));
    let tune = |cents: Option<f64>| cents.map_or_else(unread, pitch);
    let rows = of.strings.iter().map(|s| {
        vec![
            format!("{} {}", s.number, s.note),
            height(s.before.action),
            cell(bench.action(), s.wanted),
            height(s.after.action),
            tune(s.before.cents),
            tune(s.after.cents),
        ]
    });
    OwnerTable {
        head: "Each string at fret 12: height over the fret, and pitch",
        columns: vec!["string", "before", "wanted", "now", "pitch before", "pitch now"],
        rows: rows.collect(),
        note: format!("A dash: not measured. {CENTS}"),
    }
}

fn close(of: &HandedBack, bench: BenchUnit) -> Vec<String> {
    let off = |s: &HandedString| Some((s.after.action? - s.wanted).abs());
    let most = of.strings.iter().filter_map(off).reduce(f64::max);
    let mut list = Vec::new();
    list.extend(most.map(|most| {
        if most <= of.good {
            format!(
                "Every string that was measured is within {} of the height that was wanted; good is {}.",
                shown(bench, most),
                shown(bench, of.good)
            )
        } else {
            format!(
                "The furthest string is {} from the height that was wanted; good is {}.",
                shown(bench, most),
                shown(bench, of.good)
            )
        }
    }));
    if of.is_done() && !of.off.is_empty() {
        list.push(format!(
            "Left so: {}. A little off in height or in tune, by no more than is worth another cut; what is filed off a saddle cannot be put back.",
            strings(&of.off)
        ));
    }
    list
}

fn air(of: &HandedBack) -> Vec<String> {
    let said = |share: Option<f64>| share.map_or_else(|| "not noted".to_owned(), per_cent);
    let mut text = format!(
        "When it came: {}. When it was measured after the work: {}.",
        said(of.air.then),
        said(of.air.now)
    );
    text += match of.air.change() {
        AirChange::Unknown => " What of the change is the air's cannot be said.",
        AirChange::Alike => " About the same, so what changed is the work.",
        AirChange::Damper => {
            " It is damper now, which lifts the strings by itself: they will stand lower when it is dry again."
        }
        AirChange::Drier => {
            " It is drier now, which lowers the strings by itself: they will stand higher when it is damp again."
        }
    };
    vec![text]
}

fn season(bench: BenchUnit) -> Vec<String> {
    vec![
        format!(
            "In a damp season the top swells and the strings rise; in a dry one they sink (common practice, no source). How far differs from one instrument to another: a guitar that was written about went from {} to {} over fret 12 with damp (a magazine column).",
            shown(bench.action(), ROSE[0]),
            shown(bench.action(), ROSE[1])
        ),
        "Kept at about 45 per cent humidity, in its case with a humidifier in winter, it moves little.".to_owned(),
    ]
}

fn come_back(of: &HandedBack) -> Vec<String> {
    let mut list = Vec::new();
    if !of.is_done() {
        list.push("The instrument stays here, or comes back, until that is done.".to_owned());
    }
    list.extend(
        [
            "In two or three weeks, for a look: new strings and a new saddle settle (common practice, no source).",
            "When the season has turned, if the strings have become higher or lower than you like.",
            "At once, with the strings slackened, if you see a crack in the bridge, a gap under it, or the saddle tipping, or if a string begins to rattle.",
        ]
        .map(str::to_owned),
    );
    list
}

fn mind(hazards: Hazards) -> Vec<String> {
    let mut list =
        vec!["Strings under tension whip: slacken them before you change them, and mind your eyes.".to_owned()];
    list.extend(crate::cautions::accepted(hazards).into_iter().map(str::to_owned));
    if hazards.synthetic {
        list.push("The material of the saddle softens with heat.".to_owned());
    }
    if hazards.check_law {
        list.push(
            "The material of the saddle may be protected by law: check local rules before it is sold or taken abroad."
                .to_owned(),
        );
    }
    list
}
