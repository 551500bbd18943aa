//! From the programs of a setup to the plain figures of what they leave, in program coordinates (mm).

use machining::{CutTolerance, Motion, MotionKind, PartKind, SetupKind};
use work::Made;

/// Chords of an arc, mm.
const CHORD: f64 = 0.01;

/// What the programs of one setup leave, and the way of the tools.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CutOutcome {
    /// Name of the sheet.
    pub(super) name: &'static str,
    /// How the map looks at the part, such as "from above".
    pub(super) seen: &'static str,
    /// Side of a cell, mm.
    pub(super) cell: f64,
    /// Cells along X and Y.
    pub(super) count: [usize; 2],
    /// Left over (+) or cut too deep (-), mm; rows along X, the first at least Y. Not a number outside the part.
    pub(super) values: Vec<f64>,
    /// Deepest that is allowed, and highest, mm, both positive.
    pub(super) limits: [f64; 2],
    /// Deepest found, and highest, mm, both positive.
    pub(super) found: [f64; 2],
    /// Lines of the tip while feeding.
    pub(super) feeds: Vec<Vec<[f64; 3]>>,
    /// Lines of the tip at rapid rate.
    pub(super) rapids: Vec<Vec<[f64; 3]>>,
}

/// What the programs leave and how the tools go; `None` if nothing was simulated.
pub(super) fn outcome(made: &Made) -> Option<CutOutcome> {
    let Made { setup, prepared, .. } = made;
    let last = prepared.programs.last()?.report.deviation.as_ref()?;
    let limits = CutTolerance::of(setup);
    let (mut feeds, mut rapids) = (Vec::new(), Vec::new());
    for program in &prepared.programs {
        // The way up from wherever the tool stands is not known.
        for motion in program.report.motions.iter().skip(1) {
            let list = if motion.kind == MotionKind::Rapid {
                &mut rapids
            } else {
                &mut feeds
            };
            add(list, motion);
        }
    }
    Some(CutOutcome {
        name: match (setup.part, setup.kind) {
            (PartKind::Saddle, SetupKind::OnEdge) => "Left by cutting on edge",
            (PartKind::Saddle, SetupKind::Flat) => "Left by cutting flat",
            (PartKind::Nut, SetupKind::OnEdge) => "Nut: left by cutting on edge",
            (PartKind::Nut, SetupKind::Flat) => "Nut: left by cutting flat",
            (_, SetupKind::OnEnd) => "Nut: left by sawing on end",
        },
        seen: if setup.kind == SetupKind::OnEnd {
            "onto the top edge"
        } else {
            "from above"
        },
        cell: last.grid.cell,
        count: last.grid.count,
        values: last.values.clone(),
        limits: [limits.gouge, limits.excess],
        found: [last.gouge, last.excess.max(last.unreached)],
        feeds,
        rapids,
    })
}

/// Adds a motion to the line that ends where it begins, or begins a line.
fn add(lines: &mut Vec<Vec<[f64; 3]>>, motion: &Motion) {
    let count = motion.chord_count(CHORD);
    let points = (1..=count).map(|k| motion.at(f64::from(k) / f64::from(count)));
    match lines.last_mut() {
        Some(line) if line.last() == Some(&motion.from) => line.extend(points),
        _ => lines.push(std::iter::once(motion.from).chain(points).collect()),
    }
}
