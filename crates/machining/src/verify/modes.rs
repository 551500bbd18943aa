//! Modes, spindle, tools and end of a program.

use super::check::Check;
use super::finding::{Fault, Findings};
use super::moves::SLACK_Z;
use crate::program::{Event, EventKind, Replay};
use crate::{MotionKind, ToolLengths};

/// Longest wait, s: as long as any profile's spindle takes to come to speed.
pub const WAIT_MOST: f64 = 60.0;
/// Waits are the same within this, s.
const SAME_TIME: f64 = 1e-6;
/// Places are the same within this, mm.
const SAME_PLACE: f64 = 1e-3;

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
    arcs(done, check, findings);
    tools_and_spindle(done, check, findings);
    lengths(done, check, findings);
    waits(done, check, findings);
    pauses(done, findings);
    machine_places(done, check, findings);
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

/// Arcs by their centre mean two things, until G91.1 (or G90.1) says which.
fn arcs(done: &Replay, check: &Check, findings: &mut Findings) {
    const CENTRES: [u32; 2] = [901, 911];
    let words = &check.setup.machine.words;
    let Some(first) = done.centred.filter(|_| CENTRES.iter().any(|code| words.takes_g(*code))) else {
        return;
    };
    let said = |e: &Event| e.after <= first && matches!(e.kind, EventKind::Mode(code) if CENTRES.contains(&code));
    if !done.events.iter().any(said) {
        let line = done.motions.get(first).map_or(1, |m| m.line);
        findings.add(
            line,
            None,
            Fault::MissingMode("G91.1 (its arcs' centres count from their starts)".to_owned()),
        );
    }
}

/// Calls `at` with every motion, and with the events before it; and with the events behind the last.
fn in_order(done: &Replay, mut event: impl FnMut(&Event), mut motion: impl FnMut(usize)) {
    let mut events = done.events.iter().peekable();
    for i in 0..=done.motions.len() {
        while let Some(next) = events.next_if(|e| e.after <= i) {
            event(next);
        }
        if i < done.motions.len() {
            motion(i);
        }
    }
}

/// Every tool moves with its own length and no other.
fn lengths(done: &Replay, check: &Check, findings: &mut Findings) {
    use std::cell::Cell;
    let way = check.setup.machine.tool_lengths;
    let (in_force, touched) = (Cell::new(None), Cell::new(true));
    in_order(
        done,
        |event| match event.kind {
            EventKind::Length(tool) => in_force.set(tool),
            // Put in by the machine, and not yet touched off.
            EventKind::Tool(_) => touched.set(false),
            EventKind::ToolByHand(_) | EventKind::Pause => touched.set(true),
            _ => {}
        },
        |i| {
            let motion = &done.motions[i];
            if done.blind.iter().any(|b| b.motion == i && b.machine) {
                return;
            }
            let (tool, have) = (motion.tool, in_force.get());
            let fault = match (way, have) {
                (ToolLengths::Table, have) if have != Some(tool) => {
                    let touched = false;
                    Fault::LengthNotTaken { tool, have, touched }
                }
                (ToolLengths::Table, _) => return,
                (_, Some(tool)) => Fault::LengthAdded { tool },
                (ToolLengths::TouchOff, None) if !touched.get() => {
                    let touched = true;
                    Fault::LengthNotTaken { tool, have, touched }
                }
                _ => return,
            };
            findings.add(motion.line, None, fault);
        },
    );
}

/// After every start the spindle has its time before it cuts; no wait is absurd.
fn waits(done: &Replay, check: &Check, findings: &mut Findings) {
    use std::cell::Cell;
    let machine = &check.setup.machine;
    let needed = if machine.words.waits() { machine.spindle_up } else { 0.0 };
    // Seconds since a start that nothing was cut after.
    let waited: Cell<Option<f64>> = Cell::new(None);
    let turning = Cell::new(false);
    let mut early = Vec::new();
    in_order(
        done,
        |event| match event.kind {
            EventKind::Spindle(..) if turning.replace(true) => {}
            EventKind::Spindle(..) => waited.set(Some(0.0)),
            EventKind::SpindleOff | EventKind::Tool(_) => {
                turning.set(false);
                waited.set(None);
            }
            EventKind::Dwell(seconds) => waited.set(waited.get().map(|w| w + seconds)),
            _ => {}
        },
        |i| {
            let motion = &done.motions[i];
            if motion.kind != MotionKind::Rapid
                && let Some(seconds) = waited.take()
                && seconds < needed - SAME_TIME
            {
                early.push((motion.line, seconds));
            }
        },
    );
    for (line, waited) in early {
        findings.add(line, None, Fault::NoWait { waited, needed });
    }
    for Event { line, kind, .. } in &done.events {
        if let EventKind::Dwell(seconds) = *kind
            && seconds > WAIT_MOST
        {
            let most = WAIT_MOST;
            findings.add(*line, None, Fault::LongWait { seconds, most });
        }
    }
}

/// Nothing turns or flows while a hand is in the machine.
fn pauses(done: &Replay, findings: &mut Findings) {
    let (mut turning, mut flowing) = (false, false);
    for Event { line, kind, .. } in &done.events {
        match kind {
            EventKind::Spindle(..) => turning = true,
            EventKind::SpindleOff | EventKind::Tool(_) => turning = false,
            EventKind::Coolant(on) => flowing = *on,
            EventKind::Pause | EventKind::OptionalPause | EventKind::ToolByHand(_) => {
                for (what, word, runs) in [("spindle", "M5", turning), ("coolant", "M9", flowing)] {
                    if runs {
                        findings.add(*line, None, Fault::RunsAtPause { what, word });
                    }
                }
            }
            _ => {}
        }
    }
}

/// Ways in machine coordinates and to stored places, and how far corners are rounded.
fn machine_places(done: &Replay, check: &Check, findings: &mut Findings) {
    let machine = &check.setup.machine;
    let safe = check.setup.safe_z();
    for Event { line, kind, after } in &done.events {
        match *kind {
            EventKind::Machine(Some(z)) => {
                let why = match machine.top_z {
                    None => "the machine's profile has no top_z".to_owned(),
                    Some(top) if (z - top).abs() > SAME_PLACE => {
                        format!("it names Z {z:.3} mm, and the top of the machine's travel is Z {top:.3} mm")
                    }
                    Some(_) => continue,
                };
                let word = "G53";
                findings.add(*line, None, Fault::MachinePlace { word, why });
            }
            EventKind::Stored(code) => {
                let word = if code == 280 { "G28" } else { "G30" };
                let blind = done.blind.iter().any(|b| b.motion == *after && b.unknown[2]);
                let z = done.motions.get(*after).map_or(0.0, |m| m.from[2]);
                if blind {
                    let why = "nobody knows how high the tool stands when it goes there; write G0 and Z alone before"
                        .to_owned();
                    findings.add(*line, None, Fault::MachinePlace { word, why });
                } else if z < safe - SLACK_Z {
                    let what = "all axes go to a stored place";
                    findings.add(*line, None, Fault::StandsLow { z, safe, what });
                }
            }
            EventKind::Blend(by) => {
                let most = machine.corner;
                if by.is_none_or(|by| by > most + SAME_TIME) {
                    findings.add(*line, None, Fault::Rounding { by, most });
                }
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
            EventKind::Tool(_) | EventKind::ToolByHand(_) => low(event, "the tool is changed"),
            EventKind::Pause | EventKind::OptionalPause => low(event, "the program waits"),
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
            EventKind::Tool(_) | EventKind::ToolByHand(_) if machine.tool_lengths == ToolLengths::OneProgram => {
                findings.add(*line, None, Fault::ToolChange);
            }
            EventKind::Tool(tool) | EventKind::ToolByHand(tool) | EventKind::Select(tool) => {
                if check.tool(tool).is_none() {
                    findings.add(*line, None, Fault::ToolUnknown(tool));
                } else if machine.tool_lengths == ToolLengths::OneProgram && tool != check.loaded {
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
