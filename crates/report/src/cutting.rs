//! What came of cutting, in words.

mod setting;
mod top;

pub use setting::{SettingTable, check_table, coordinate, ends_of, touch_table};
pub use top::{top_advice, top_words};

use crate::figures::length;
use crate::wrap::wrapped;
use job::CutJob;
use machining::{Finding, Holding, PartKind, PrepareError, Prepared, SetupKind};
use units::BenchUnit;
use work::{CutError, Made};

/// Name of a setup.
#[must_use]
pub fn setup_words(part: PartKind, kind: SetupKind) -> &'static str {
    match (part, kind) {
        (PartKind::Saddle, SetupKind::OnEdge) => "Cutting on edge",
        (PartKind::Saddle, SetupKind::Flat) => "Cutting flat",
        (PartKind::Nut, SetupKind::OnEdge) => "Nut on edge",
        (PartKind::Nut, SetupKind::Flat) => "Nut flat",
        (_, SetupKind::OnEnd) => "Nut on end",
    }
}

/// Findings, indented, one a line.
#[must_use]
pub fn findings(list: &[Finding]) -> String {
    list.iter()
        .map(|finding| wrapped(&finding.to_string(), "    ", "      "))
        .collect()
}

/// What is wrong where there are no programs, in sentences.
#[must_use]
pub fn cut_faults(error: &CutError, cut: &CutJob) -> Vec<String> {
    match error {
        CutError::NoMaterial(_) => vec![format!(
            "{error}. Name a material in [{}] whose chips you know to suit it, or add a [[cutting]] profile of this name.",
            table(cut.part)
        )],
        CutError::Prepare(error) => match &**error {
            PrepareError::Refused(refused) => {
                let wrong = refused.reports.iter().filter(|(_, report)| !report.in_order());
                let told = wrong
                    .flat_map(|(name, report)| report.findings.iter().map(move |finding| format!("{name}: {finding}")));
                told.chain(refused.notes.iter().cloned()).collect()
            }
            other => vec![format!("{other}.")],
        },
    }
}

/// What to change there, in sentences.
#[must_use]
pub fn cut_hints(error: &CutError, cut: &CutJob) -> Vec<String> {
    let CutError::Prepare(error) = error else {
        return Vec::new();
    };
    let table = table(cut.part);
    let mut hints = Vec::new();
    match &**error {
        PrepareError::Refused(_) => hints.push(format!(
            "What to change: the cutters, the stock and the holding in [{table}] of the job."
        )),
        other => hints.extend(hint(other, cut.part).map(str::to_owned)),
    }
    if !cut.stock_measured {
        hints.push(format!(
            "The job has no {table}.stock, so the stock was taken to be the blank, with no extra height to cut away."
        ));
    }
    hints
}

/// Why there are no programs, indented: what is wrong, then what to change.
#[must_use]
pub fn cut_refusal(error: &CutError, cut: &CutJob) -> String {
    let mut text = String::new();
    let line = |text: &str| wrapped(text, "  ", "    ");
    match error {
        CutError::Prepare(refusal) if matches!(**refusal, PrepareError::Refused(_)) => {
            let PrepareError::Refused(refused) = &**refusal else {
                return text;
            };
            for (name, report) in refused.reports.iter().filter(|(_, report)| !report.in_order()) {
                text += &format!(
                    "  {name} was made, simulated and refused:\n{}",
                    findings(&report.findings)
                );
            }
            for note in &refused.notes {
                text += &wrapped(note, "  note: ", "    ");
            }
        }
        _ => text.extend(cut_faults(error, cut).iter().map(|fault| line(fault))),
    }
    text.extend(cut_hints(error, cut).iter().map(|hint| line(hint)));
    text
}

/// The table of the job that says how a part is cut.
fn table(part: PartKind) -> &'static str {
    match part {
        PartKind::Saddle => "cut",
        PartKind::Nut => "nut_cut",
    }
}

/// `1 min 5 s`.
#[must_use]
pub fn time(seconds: f64) -> String {
    let whole = seconds.max(0.0).round();
    let minutes = (whole / 60.0).floor();
    let rest = whole - 60.0 * minutes;
    if minutes > 0.0 {
        format!("{minutes:.0} min {rest:.0} s")
    } else {
        format!("{rest:.0} s")
    }
}

/// The time of all programs of a setup, and what it leaves out.
#[must_use]
pub fn all_time(prepared: &Prepared) -> String {
    let seconds = prepared
        .programs
        .iter()
        .map(|program| program.report.time.total())
        .sum();
    let mut tools: Vec<u32> = prepared.programs.iter().flat_map(|p| p.tools.clone()).collect();
    tools.dedup();
    format!(
        "{} of running; setting up{} and the air cut not counted",
        time(seconds),
        if tools.len() > 1 { ", changing tools" } else { "" }
    )
}

/// How far what is left is from the part, in plain words.
#[must_use]
pub fn deviation_words(prepared: &Prepared, unit: &str) -> Option<String> {
    Some(prepared.programs.last()?.report.deviation.as_ref()?.words(unit))
}

/// A short account of the programs of one setup, lengths that are measured by hand in `bench`.
#[must_use]
pub fn cut_summary(made: &Made, bench: BenchUnit) -> String {
    let Made {
        setup,
        prepared,
        stock_measured,
        jaws_measured,
    } = made;
    let stock = &setup.stock;
    let nut = setup.part == PartKind::Nut;
    let head = format!(
        "{}: {} on {}; stock {} thick, {} high, {} long ({}).",
        setup_words(setup.part, setup.kind),
        setup.material.name,
        setup.machine.name,
        length(bench, stock.thickness),
        length(bench, stock.height),
        length(bench, stock.length),
        if setup.outlined {
            if nut {
                "the nut with its outline cut"
            } else {
                "the saddle with its outline cut"
            }
        } else if *stock_measured {
            "as in the job"
        } else {
            "the blank itself"
        },
    );
    let mut text = wrapped(&head, "", "  ");
    if !nut {
        let words = format!("Height: {}.", top_words(setup.leave_proud, bench));
        text += &wrapped(&words, "  ", "    ");
    }
    for program in &prepared.programs {
        let t = program.report.time;
        let line = format!(
            "{}: mark {}; tool {}; {} cutting, {} in the air, {} waiting; {:.0} mm3 taken",
            program.name,
            program.marks.mark,
            program
                .tools
                .iter()
                .map(u32::to_string)
                .collect::<Vec<_>>()
                .join(" and "),
            time(t.cutting),
            time(t.air),
            time(t.other),
            program.report.removed,
        );
        text += &wrapped(&line, "  ", "    ");
    }
    text += &wrapped(&format!("{}.", all_time(prepared)), "  ", "    ");
    if let Some(words) = deviation_words(prepared, "micrometres") {
        let said = format!("Simulated from their text and in order: {words}.");
        text += &wrapped(&said, "  ", "    ");
    }
    if setup.kind == SetupKind::OnEdge && !setup.outlined && !stock_measured && !nut {
        text += &wrapped(
            "The job gives no height of the raw stock, so it was taken to be as high as the blank. Measure it: a higher stock \
             meets deeper cuts than were simulated.",
            "  ",
            "  ",
        );
    }
    if let Holding::Vise { jaw_height, .. } = setup.holding
        && !jaws_measured
    {
        text += &wrapped(
            &if setup.kind == SetupKind::OnEnd {
                format!(
                    "The job gives no height of the jaws, so they were taken to cover {} from the bottom edge. \
                     Measure yours: the saw runs into wider ones.",
                    length(bench, jaw_height)
                )
            } else {
                format!(
                    "The job gives no height of the jaws, so they were taken to stand {} above the parallel. \
                     Measure yours: the cutter runs into higher ones.",
                    length(bench, jaw_height)
                )
            },
            "  ",
            "  ",
        );
    }
    for note in &prepared.notes {
        text += &wrapped(note, "  note: ", "    ");
    }
    text
}

/// What [`PrepareError`] says beyond its findings.
fn hint(error: &PrepareError, part: PartKind) -> Option<&'static str> {
    use machining::{PassError, SurfaceError};
    let nut = part == PartKind::Nut;
    Some(match error {
        PrepareError::Pass(PassError::Surface(SurfaceError::Low { .. })) if nut => {
            "Write the height that you measured under [nut_cut] as stock = { height = .. }."
        }
        PrepareError::Pass(PassError::Surface(SurfaceError::Low { .. })) => {
            "Write the height that you measured under [cut] as stock = { height = .. }."
        }
        PrepareError::Pass(PassError::Jaws { .. } | PassError::JawsBeside { .. }) if nut => {
            "Write the height of the jaws over the parallel under [nut_cut] as vise = { jaw_height = .. }."
        }
        PrepareError::Pass(PassError::Jaws { .. }) => {
            "Write the height of the jaws over the parallel under [cut] as vise = { jaw_height = .. }."
        }
        PrepareError::Pass(PassError::Feed(_)) if nut => "Look at machine, spindle and the cutters in [nut_cut].",
        PrepareError::Pass(PassError::Feed(_)) => "Look at spindle, rougher and finisher in [cut].",
        PrepareError::Pass(PassError::NoGroove(_)) => {
            "Name finer ones under [nut_cut] as slot_cutters or saws; the outline alone is cut with --setup flat."
        }
        _ => return None,
    })
}
