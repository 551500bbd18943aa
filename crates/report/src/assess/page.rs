//! What `bonewright assess` prints.

use super::assessed::{Assessed, COMPARISON};
use crate::columns::{in_bench, names};
use crate::figures::{degrees, fixed, signed};
use crate::grid::{Group, grid};
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use assess::{Finding, Remedy, Topic, Verdict};
use work::Hazards;

/// The page, at most [`crate::WIDTH`] columns wide: findings ranked by what to do first, then the figures behind them.
#[must_use]
pub fn assess_page(of: &Assessed, hazards: Hazards) -> String {
    let all: Vec<&Finding> = of.found.findings.iter().collect();
    let mut text = body(of, "FINDINGS", &all);
    text += "\n";
    text += &wrapped(COMPARISON, "", "");
    text + &closing(hazards)
}

/// The same of several saddles: what is of the instrument once, at its head, and then what is of each saddle. `title`: of the whole job.
///
/// How far a neck would have to be set, and what another action would ask for, hang on all saddles together: they are not worked out.
#[must_use]
pub fn assess_pages(title: &str, each: &[(Assessed, Hazards)]) -> String {
    let mut text = opening(title);
    let Some((first, _)) = each.first() else { return text };
    // A neck that one saddle leaves too little room for is due, whatever the others say.
    let of_neck = each.iter().filter_map(|(of, _)| {
        let neck = of.found.findings.iter().find(|f| f.topic == Topic::Neck)?;
        Some((of, neck))
    });
    let neck = of_neck.min_by_key(|(_, neck)| neck.verdict);
    let shared = |f: &&Finding| matches!(f.topic, Topic::Humidity | Topic::Relief);
    let common: Vec<(&Assessed, &Finding)> = first.found.findings.iter().filter(shared).map(|f| (first, f)).collect();
    let common: Vec<(&Assessed, &Finding)> = common.into_iter().chain(neck).collect();
    let (open, sound): (Vec<_>, Vec<_>) = common.iter().partition(|(of, f)| !of.advice(f).is_empty());
    text += "OF THE INSTRUMENT, WHAT TO DO FIRST COMES FIRST\n";
    for (i, (of, finding)) in open.iter().enumerate() {
        text += &format!("\n{}", told(of, finding, i + 1));
    }
    if !sound.is_empty() {
        let sound: Vec<&Finding> = sound.into_iter().map(|(_, f)| f).collect();
        text += &format!("\n{}", in_order(first, &sound));
    }
    let mut hazards = Hazards::default();
    for (of, own) in each {
        hazards = hazards.and(*own);
        let mut found = of.found.clone();
        found.findings.retain(|f| !shared(&f));
        if let Some((_, neck)) = neck {
            for own in found.findings.iter_mut().filter(|f| f.topic == Topic::Neck) {
                own.verdict = neck.verdict;
            }
        }
        (found.neck, found.what_if) = (None, None);
        let of = Assessed { found: &found, ..*of };
        let own: Vec<&Finding> = found.findings.iter().filter(|f| f.topic != Topic::Neck).collect();
        text += &format!("\n\n{}", body(&of, "FINDINGS ON THIS SADDLE", &own));
    }
    text += "\n";
    text += &wrapped(COMPARISON, "", "");
    text + &closing(hazards)
}

/// Title, verdict, these findings and the figures behind them, under no cautions.
fn body(of: &Assessed, head: &str, findings: &[&Finding]) -> String {
    let mut text = opening(of.title);
    text += &wrapped(&of.fork(), "", "");
    for why in of.impossible() {
        text += &wrapped(&why, "- ", "  ");
    }
    let (open, sound): (Vec<&Finding>, Vec<&Finding>) = findings.iter().partition(|f| !of.advice(f).is_empty());
    text += &format!("\n{head}, WHAT TO DO FIRST COMES FIRST\n");
    for (i, finding) in open.iter().enumerate() {
        text += &format!("\n{}", told(of, finding, i + 1));
    }
    if !sound.is_empty() {
        text += &format!("\n{}", in_order(of, &sound));
    }
    text += &format!("\nFIGURES\n\n{}", figures(of));
    text += &lines(of);
    if of.found.what_if.is_some() {
        text += &format!("\nWHAT IF THE ACTION WERE ANOTHER\n\n{}", what_if(of));
    }
    text
}

/// One finding with its number, figure, limit and source.
fn told(of: &Assessed, finding: &Finding, number: usize) -> String {
    let words = of.told(finding);
    let indent = "    ";
    wrapped(&words.head, &format!("{number:>2}. "), indent) + &wrapped(&words.advice, indent, indent)
}

/// What is in order as a table; sources as letters that are told below it.
fn in_order(of: &Assessed, sound: &[&Finding]) -> String {
    let rows: Vec<_> = sound.iter().map(|f| of.in_order(f)).collect();
    let mut sources: Vec<&str> = Vec::new();
    let mut letter = |words: &'static str| {
        let at = sources.iter().position(|s| *s == words).unwrap_or_else(|| {
            sources.push(words);
            sources.len() - 1
        });
        char::from(b'a'.saturating_add(u8::try_from(at).unwrap_or(25))).to_string()
    };
    let marks: Vec<String> = rows
        .iter()
        .map(|row| {
            row.sources
                .iter()
                .map(|words| letter(words))
                .collect::<Vec<_>>()
                .join(", ")
        })
        .collect();
    let left = |cells: Vec<String>| {
        let wide = cells.iter().map(|c| c.chars().count()).max().unwrap_or(0);
        cells.into_iter().map(move |c| format!("{c:<wide$}"))
    };
    let names = rows.iter().map(|row| row.name.to_owned()).collect();
    let table = grid(&[
        Group::new(&[]).column("", left(names)),
        Group::new(&[]).column("in order", rows.iter().map(|row| row.figure.clone())),
        Group::new(&[]).column("limit", rows.iter().map(|row| row.limit.clone())),
        Group::new(&[]).column("source", left(marks)),
    ]);
    let told = ('a'..='z')
        .zip(&sources)
        .map(|(letter, words)| format!("{letter}: {words}"));
    let told: Vec<String> = told.collect();
    table + &wrapped(&format!("{}.", told.join("; ")), "", "")
}

/// One row a string.
fn figures(of: &Assessed) -> String {
    let (plan, found) = (of.plan, of.found);
    let strings = || plan.strings.iter();
    let mut groups = vec![names(strings().map(|s| (s.number, s.note.as_str())))];
    if let Some(exposure) = &found.exposure {
        let values = exposure.strings.iter().map(|s| Some(s.exposure));
        groups.push(in_bench(of.bench, &["exposure"], values));
        let share = exposure.strings.iter().map(|s| fixed(100.0 * s.in_slot, 0));
        groups.push(Group::new(&["in slot"]).column("%", share));
    }
    if let Some(paths) = &found.paths {
        let bend = Group::new(&["bend, degrees"])
            .column("whole", paths.iter().map(|p| fixed(p.total.to_degrees(), 1)))
            .column("ridge", paths.iter().map(|p| fixed(p.at_ridge.to_degrees(), 1)));
        groups.push(bend);
    }
    if let Some(load) = &found.load {
        let push = Group::new(&["push, N"])
            .column("forward", load.strings.iter().map(|s| range(-s.none.b, -s.tuned_up.b)))
            .column("down", load.strings.iter().map(|s| fixed(-s.none.v, 0)));
        groups.push(push);
    }
    if let Some(slot) = &found.slot {
        let cents = Group::new(&["cents left"])
            .column("now", slot.strings.iter().map(|s| signed(s.now, 1)))
            .column("best", slot.strings.iter().map(|s| signed(s.best, 1)));
        groups.push(cents);
    }
    grid(&groups)
}

/// `12 to 18`, without friction and with the most.
fn range(from: f64, to: f64) -> String {
    format!("{} to {}", fixed(from, 0), fixed(to, 0))
}

/// Load, slot and neck in sentences, whatever the findings come to.
fn lines(of: &Assessed) -> String {
    let mut text = String::new();
    let mut add = |line: &str| text += &format!("\n{}", wrapped(line, "", ""));
    if let Some(load) = &of.found.load {
        let [none, up, _] = &load.states;
        add(&format!(
            "Load: the strings pull with {} N together{}. The saddle's push forward is {} N without friction over the crown and {} N with the most that was published (0.26 wound, 0.17 plain: Groves and Kemp, Archives of Acoustics 2019); it tips about the mouth of the slot with {} N mm. {}",
            fixed(load.tension, 0),
            load.tuning
                .as_ref()
                .map_or_else(String::new, |name| format!(" as \"{name}\", which pulls the most")),
            fixed(none.wall.force, 0),
            fixed(up.wall.force, 0),
            fixed(of.found.load.as_ref().map_or(0.0, |l| l.worst().moment), 0),
            of.load(),
        ));
    }
    if let Some(neck) = &of.found.neck {
        let side = |mm: f64| {
            let way = if mm < 0.0 { "below" } else { "above" };
            format!("{} {way}", of.bench.show(mm.abs()))
        };
        let due = of
            .found
            .findings
            .iter()
            .any(|f| f.topic == assess::Topic::Neck && f.verdict == Verdict::Act);
        let mut line = format!(
            "Neck: a straightedge on the frets lands {} the bridge top at the bass and {} at the treble. {}",
            side(neck.now[0]),
            side(neck.now[1]),
            if due {
                "It must land"
            } else {
                "Only if the neck were set, for other reasons, to"
            },
        );
        line += &if due {
            format!(
                " {} and {}. The slot then lies {} further from fret 12: plan the saddle anew after the work.",
                side(neck.must[0]),
                side(neck.must[1]),
                of.bench.show(neck.scale_change),
            )
        } else {
            format!(
                " a mean exposure of {} would it land {} and {}{}.",
                of.bench.show(neck.exposure_wanted),
                side(neck.must[0]),
                side(neck.must[1]),
                neck.turned().map_or_else(String::new, |angle| format!(
                    ": {} {}",
                    degrees(angle.abs()),
                    if angle < 0.0 { "forward" } else { "back" }
                )),
            )
        };
        add(&line);
    }
    text
}

/// Every third sample, and where the remedies change.
fn what_if(of: &Assessed) -> String {
    let Some(what_if) = &of.found.what_if else {
        return String::new();
    };
    let shown = || what_if.actions.iter().step_by(3);
    let lengths = |bench, head: &[&str], value: fn(&assess::ActionSample) -> f64| {
        in_bench(bench, head, shown().map(move |s| Some(value(s))))
    };
    let remedy = shown().map(|s| {
        match s.remedy {
            Remedy::Neck => "set the neck",
            Remedy::Saddle => "saddle alone",
            Remedy::Bridge => "taller bridge",
        }
        .to_owned()
    });
    let change =
        Group::new(&["change of", "the target"]).column(of.bench.name(), shown().map(|s| of.bench.signed(s.change)));
    let mut text = grid(&[
        change,
        lengths(of.bench.action(), &["action at 12,", "outer strings"], |s| s.action),
        lengths(of.bench, &["mean", "exposure"], |s| s.mean),
        lengths(of.bench, &["least", "exposure"], |s| s.least),
        Group::new(&["remedy"]).column("", remedy),
    ]);
    let signed = |mm: f64| of.bench.signed(mm);
    let unit = of.bench.name();
    let mut line = match (what_if.saddle_from, what_if.saddle_to) {
        (Some(from), Some(to)) => format!(
            "A saddle alone serves from {} to {} {unit} of the target.",
            signed(from),
            signed(to)
        ),
        (Some(from), None) => format!(
            "A saddle alone serves from {} {unit} of the target upward.",
            signed(from)
        ),
        (None, Some(to)) => format!("A saddle alone serves up to {} {unit} of the target.", signed(to)),
        (None, None) => "In all of this range the remedy is the same.".to_owned(),
    };
    if let Some(planed) = what_if.planed_from {
        line += &format!(
            " A bridge planed to the least thickness ({}; {}) would serve from {} {unit}, but planing weakens it and cannot be undone.",
            of.bench.show(of.found.limits.least_bridge.value),
            of.found.limits.least_bridge.source.words(),
            signed(planed),
        );
    }
    text += &wrapped(&line, "", "");
    text
}
