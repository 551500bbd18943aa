//! Judges a program by its text alone.
//!
//! The text is read by two readers, carried out as a machine would, and what it does is held against machine, material,
//! holding and the surface to be left. Nothing that made the program is trusted here.

mod check;
mod finding;
mod modes;
mod moves;
mod outcome;
mod work;

pub use check::{Check, CutTolerance};
pub(crate) use moves::SKIM;
use moves::bounds;

pub use finding::{Fault, Finding};
pub use modes::WAIT_MOST;
pub use outcome::Deviation;

use crate::program::{Event, EventKind, Replay, agree, permitted, read, replay_under, too_long};
use crate::simulate::saw;
use crate::{Cutter, Grid, HeightMap, Met, Motion, MotionKind, SetupKind, durations, simulate};
use finding::Findings;

/// Seconds that a program takes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CycleTime {
    /// Taking material.
    pub cutting: f64,
    /// Moving without taking any.
    pub air: f64,
    /// Spindle starts and dwells. Tool changes by hand are not counted.
    pub other: f64,
}

impl CycleTime {
    /// All of it, seconds.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.cutting + self.air + self.other
    }
}

/// What came of a program.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// What is wrong, in order of lines; nothing when the program is in order.
    pub findings: Vec<Finding>,
    /// Its motions; none if the text could not be carried out.
    pub motions: Vec<Motion>,
    /// What each of them met.
    pub met: Vec<Met>,
    /// Material that it leaves.
    pub left: Option<HeightMap>,
    /// How far that is from the surface wanted.
    pub deviation: Option<Deviation>,
    /// Material taken, mm3, without what the cut takes of the board below it.
    pub removed: f64,
    /// How long it takes.
    pub time: CycleTime,
    /// Least and greatest places of the tip, mm, without the unknown start.
    pub bounds: Option<([f64; 3], [f64; 3])>,
}

impl Report {
    /// Whether nothing is wrong.
    #[must_use]
    pub fn in_order(&self) -> bool {
        self.findings.is_empty()
    }
}

/// Judges a program.
#[must_use]
pub fn verify(text: &str, check: &Check) -> Report {
    let mut findings = Findings::default();
    let Some(done) = carry_out(text, check, &mut findings) else {
        return Report {
            findings: findings.sorted(),
            ..Report::default()
        };
    };
    modes::judge(&done, check, &mut findings);

    let tools: Vec<&Cutter> = check.setup.cutters().collect();
    let start = check.start.cloned().unwrap_or_else(|| raw(check));
    let moving = known(&done);
    if let Some(motion) = work::too_much(&start, &moving, &tools).and_then(|i| moving.get(i)) {
        findings.add(motion.line, None, Fault::Long { motions: moving.len() });
        return Report {
            findings: findings.sorted(),
            ..Report::default()
        };
    }
    let mut left = start.clone();
    let met = match check.setup.kind {
        SetupKind::OnEnd => saw(&mut left, &moving, &tools, check.setup),
        SetupKind::OnEdge | SetupKind::Flat => simulate(&mut left, &moving, &tools),
    };
    moves::judge(&done, &moving, &met, check, &mut findings);
    let deviation = outcome::judge(&moving, &tools, &start, &left, check, &mut findings);

    Report {
        removed: removed(&start, &left, -check.setup.map_lift()),
        time: cycle_time(&done, &met, check),
        bounds: bounds(&moving),
        findings: findings.sorted(),
        motions: done.motions,
        met,
        left: Some(left),
        deviation: Some(deviation),
    }
}

/// The motions as far as their way is known: the way up from wherever the tool stands is no part of what the program does.
fn known(done: &Replay) -> Vec<Motion> {
    let mut moving = done.motions.clone();
    for blind in done.blind.iter().filter(|blind| blind.unknown[2]) {
        if let Some(motion) = moving.get_mut(blind.motion) {
            motion.from = motion.to;
        }
    }
    moving
}

/// Volume between two states of the material, mm3; what lies below the seat is board and not stock.
fn removed(start: &HeightMap, left: &HeightMap, seat: f64) -> f64 {
    let heights = start.heights.iter().zip(&left.heights);
    heights.map(|(a, z)| a - z.max(seat)).sum::<f64>() * start.grid.cell * start.grid.cell
}

/// What the first program of the setup meets.
fn raw(check: &Check) -> HeightMap {
    let grid = Grid::cover(check.setup.map_plan(), check.limits.cell);
    let mut map = HeightMap::block(grid, check.setup.map_top());
    for (cell, height) in map.heights.iter_mut().enumerate() {
        let [x, y] = grid.centre(cell % grid.count[0].max(1), cell / grid.count[0].max(1));
        if let Some(stock) = check.target.stock(x, y) {
            *height = stock;
        }
    }
    map
}

/// The motions of a text that both readers understand and that the machine accepts.
fn carry_out(text: &str, check: &Check, findings: &mut Findings) -> Option<Replay> {
    let lines = match read(text) {
        Ok(lines) => lines,
        Err(errors) => {
            for error in errors {
                findings.add(error.line, None, Fault::Text(error.fault));
            }
            return None;
        }
    };
    for error in permitted(&lines, &check.setup.machine.words) {
        findings.add(error.line, None, Fault::Text(error.fault));
    }
    for error in too_long(text, check.setup.machine.line_most) {
        findings.add(error.line, None, Fault::Text(error.fault));
    }
    if let Err(difference) = agree(text, &lines) {
        findings.add(difference.line(), None, Fault::Readers(difference));
    }
    let done = match replay_under(&lines, check.loaded, check.setup.safe_z()) {
        Ok(done) => done,
        Err(error) => {
            findings.add(error.line, None, Fault::Replay(error.fault));
            return None;
        }
    };
    if done.motions.is_empty() {
        findings.add(lines.last().map_or(1, |l| l.number), None, Fault::NoMotions);
        return None;
    }
    Some(done)
}

fn cycle_time(done: &Replay, met: &[Met], check: &Check) -> CycleTime {
    let machine = &check.setup.machine;
    let mut time = CycleTime::default();
    let mut stops = Vec::new();
    for Event { after, kind, .. } in &done.events {
        time.other += match kind {
            // Where a program waits for the spindle, the wait counts.
            EventKind::Spindle(..) if machine.words.waits() => 0.0,
            EventKind::Spindle(..) => machine.spindle_up,
            EventKind::Dwell(seconds) => *seconds,
            EventKind::SpindleOff
            | EventKind::Tool(_)
            | EventKind::ToolByHand(_)
            | EventKind::Pause
            | EventKind::OptionalPause
            | EventKind::Stored(_)
            | EventKind::End => 0.0,
            EventKind::Select(_)
            | EventKind::Mode(_)
            | EventKind::Length(_)
            | EventKind::Coolant(_)
            | EventKind::Blend(_)
            | EventKind::Machine(_) => continue,
        };
        stops.extend(after.checked_sub(1));
    }
    for ((seconds, motion), met) in durations(&done.motions, &stops, machine)
        .iter()
        .zip(&done.motions)
        .zip(met)
    {
        if motion.kind != MotionKind::Rapid && met.volume > 0.0 {
            time.cutting += seconds;
        } else {
            time.air += seconds;
        }
    }
    time
}
