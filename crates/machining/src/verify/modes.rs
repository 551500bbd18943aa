//! Modes, spindle, tools and end of a program.

use super::check::Check;
use super::finding::{Fault, Findings};
use super::moves::SLACK_Z;
use crate::MotionKind;
use crate::program::{Event, EventKind, Replay};

/// Modes that a program sets before it moves, in tenths; of each group one will do.
const START: [(&[u32], &str); 8] = [
    (&[200, 210], "the unit (G21 or G20)"),
    (&[900], "G90"),
    (&[170], "G17"),
    (&[940], "G94"),
    (&[400], "G40"),
    (&[490], "G49"),
    (&[800], "G80"),
    (&[540, 550, 560, 570, 580, 590], "a work offset (G54)"),
];

pub(super) fn judge(done: &Replay, check: &Check, findings: &mut Findings) {
    start(done, check, findings);
    tools_and_spindle(done, check, findings);
    end(done, check, findings);
    for motion in &done.motions {
        if motion.kind != MotionKind::Rapid && motion.spindle <= 0.0 {
            findings.add(motion.line, Some(motion.from), Fault::SpindleStill);
        }
    }
}

fn start(done: &Replay, check: &Check, findings: &mut Findings) {
    let accepted = &check.setup.machine.words.g;
    let first = done.motions.first().map_or(1, |m| m.line);
    let early: Vec<u32> = done
        .events
        .iter()
        .filter(|e| e.after == 0)
        .filter_map(|e| {
            if let EventKind::Mode(code) = e.kind {
                Some(code)
            } else {
                None
            }
        })
        .collect();
    for (codes, name) in START {
        // What the controller does not know it cannot be asked for.
        let possible = codes.iter().any(|c| accepted.contains(c));
        if possible && !codes.iter().any(|c| early.contains(c)) {
            findings.add(first, None, Fault::MissingMode(name.to_owned()));
        }
    }
    let mut offset = None;
    for Event { line, kind, .. } in &done.events {
        match kind {
            EventKind::Mode(code @ (200 | 210)) => {
                let name = |inch| if inch { "inches" } else { "millimetres" };
                if (*code == 200) != check.setup.machine.inch {
                    let (program, machine) = (name(*code == 200), name(check.setup.machine.inch));
                    findings.add(*line, None, Fault::Units { program, machine });
                }
            }
            EventKind::Mode(910) => findings.add(*line, None, Fault::Steps),
            EventKind::Mode(code @ 540..=590) if offset.replace(*code).is_some_and(|before| before != *code) => {
                findings.add(*line, None, Fault::OffsetChanges);
            }
            _ => {}
        }
    }
}

fn tools_and_spindle(done: &Replay, check: &Check, findings: &mut Findings) {
    let machine = &check.setup.machine;
    let (least, most) = machine.spindle;
    let mut low = |event: &Event, what| {
        if let Some(last) = event.after.checked_sub(1).and_then(|i| done.motions.get(i))
            && last.to[2] < check.setup.safe_z() - SLACK_Z
        {
            let (z, safe) = (last.to[2], check.setup.safe_z());
            findings.add(event.line, Some(last.to), Fault::StandsLow { z, safe, what });
        }
    };
    for event in &done.events {
        match event.kind {
            EventKind::Tool(_) => low(event, "the tool is changed"),
            EventKind::Pause => low(event, "the program waits"),
            EventKind::End => low(event, "the program ends"),
            _ => {}
        }
    }
    if check.tool(check.loaded).is_none() && done.motions.iter().any(|m| m.tool == check.loaded) {
        findings.add(1, None, Fault::ToolUnknown(check.loaded));
    }
    for Event { line, kind, .. } in &done.events {
        match *kind {
            EventKind::Spindle(speed, forward) => {
                if !forward {
                    findings.add(*line, None, Fault::SpindleReverse);
                }
                if !(least..=most).contains(&speed) {
                    findings.add(*line, None, Fault::SpindleRange { speed, least, most });
                }
            }
            EventKind::Tool(_) if !machine.tool_change => findings.add(*line, None, Fault::ToolChange),
            EventKind::Tool(tool) | EventKind::Select(tool) => {
                if check.tool(tool).is_none() {
                    findings.add(*line, None, Fault::ToolUnknown(tool));
                } else if !machine.tool_change && tool != check.loaded {
                    let loaded = check.loaded;
                    findings.add(*line, None, Fault::ToolNotLoaded { wanted: tool, loaded });
                }
            }
            _ => {}
        }
    }
}

fn end(done: &Replay, check: &Check, findings: &mut Findings) {
    let last = done.motions.last();
    let line = last.map_or(1, |m| m.line);
    if !done.events.iter().any(|e| e.kind == EventKind::End) {
        findings.add(line, None, Fault::NoEnd);
        if let Some(motion) = last
            && motion.to[2] < check.setup.safe_z() - SLACK_Z
        {
            let (z, safe) = (motion.to[2], check.setup.safe_z());
            let what = "the program ends";
            findings.add(line, Some(motion.to), Fault::StandsLow { z, safe, what });
        }
    }
    let mut turning = None;
    for event in &done.events {
        match event.kind {
            EventKind::Spindle(..) => turning = Some(event.line),
            EventKind::SpindleOff | EventKind::Tool(_) => turning = None,
            _ => {}
        }
    }
    if let Some(line) = turning {
        findings.add(line, None, Fault::SpindleLeftOn);
    }
}
