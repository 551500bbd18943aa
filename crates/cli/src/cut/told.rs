//! What came of cutting, in words.

use job::CutJob;
use machining::{Finding, Holding, Part, PrepareError, Prepared, SetupKind};

use super::made::{Made, is_nut, name};

/// Findings, indented, one a line.
pub fn findings(list: &[Finding]) -> String {
    list.iter()
        .map(|finding| report::wrapped(&finding.to_string(), "    ", "      "))
        .collect()
}

/// Why there are no programs.
pub fn refusal(error: &PrepareError, part: Part, cut: &CutJob) -> String {
    let table = if is_nut(part) { "nut_cut" } else { "cut" };
    let mut text = String::new();
    match error {
        PrepareError::Refused(refused) => {
            for (name, report) in refused.reports.iter().filter(|(_, report)| !report.in_order()) {
                text += &format!(
                    "  {name} was made, simulated and refused:\n{}",
                    findings(&report.findings)
                );
            }
            for note in &refused.notes {
                text += &report::wrapped(note, "  note: ", "    ");
            }
            text += &report::wrapped(
                &format!("What to change: the cutters, the stock and the holding in [{table}] of the job."),
                "  ",
                "    ",
            );
        }
        other => {
            text += &report::wrapped(&format!("{other}."), "  ", "    ");
            if let Some(hint) = hint(other, part) {
                text += &report::wrapped(hint, "  ", "    ");
            }
        }
    }
    if !cut.stock_measured {
        text += &report::wrapped(
            &format!(
                "The job has no {table}.stock, so the stock was taken to be the blank, with no extra height to cut away."
            ),
            "  ",
            "    ",
        );
    }
    text
}

/// `1 min 5 s`.
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
pub fn deviation(prepared: &Prepared, unit: &str) -> Option<String> {
    Some(prepared.programs.last()?.report.deviation.as_ref()?.words(unit))
}

/// A short account of the programs of one setup.
pub fn summary(made: &Made) -> String {
    let Made {
        part,
        setup,
        prepared,
        measured: stock_measured,
        jaws_measured,
    } = made;
    let stock = &setup.stock;
    let nut = is_nut(*part);
    let head = format!(
        "{}: {} on {}; stock {:.2} x {:.2} x {:.2} mm ({}).",
        name(*part, setup.kind),
        setup.material.name,
        setup.machine.name,
        stock.thickness,
        stock.height,
        stock.length,
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
    let mut text = report::wrapped(&head, "", "  ");
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
        text += &report::wrapped(&line, "  ", "    ");
    }
    text += &report::wrapped(&format!("{}.", all_time(prepared)), "  ", "    ");
    if let Some(words) = deviation(prepared, "micrometres") {
        let said = format!("Simulated from their text and in order: {words}.");
        text += &report::wrapped(&said, "  ", "    ");
    }
    if setup.kind == SetupKind::OnEdge && !setup.outlined && !stock_measured && !nut {
        text += &report::wrapped(
            "The job gives no height of the raw stock, so it was taken to be as high as the blank. Measure it: a higher stock \
             meets deeper cuts than were simulated.",
            "  ",
            "  ",
        );
    }
    if let Holding::Vise { jaw_height, .. } = setup.holding
        && !jaws_measured
    {
        text += &report::wrapped(
            &if setup.kind == SetupKind::OnEnd {
                format!(
                    "The job gives no height of the jaws, so they were taken to cover {jaw_height:.2} mm from the bottom edge. \
                     Measure yours: the saw runs into wider ones."
                )
            } else {
                format!(
                    "The job gives no height of the jaws, so they were taken to stand {jaw_height:.2} mm above the parallel. \
                     Measure yours: the cutter runs into higher ones."
                )
            },
            "  ",
            "  ",
        );
    }
    for note in &prepared.notes {
        text += &report::wrapped(note, "  note: ", "    ");
    }
    text
}

/// What [`PrepareError`] says beyond its findings.
fn hint(error: &PrepareError, part: Part) -> Option<&'static str> {
    use machining::{PassError, SurfaceError};
    let nut = is_nut(part);
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
