//! What a program is held against, and how near it must come.

use crate::{Cutter, HeightMap, Setup, SetupKind, Target};

/// Deepest that a program may cut into the part, mm.
pub(crate) const GOUGE: f64 = 0.010;

/// Most that it may leave above the scallop, mm.
pub(crate) const EXCESS: f64 = 0.010;

/// Side of a cell when the blank stands on edge, mm.
const CELL_ON_EDGE: f64 = 0.025;

/// Side of a cell when it lies flat, mm; its walls are judged apart.
const CELL_FLAT: f64 = 0.05;

/// Side of a cell on end, mm: a blade's thickness is to be met by a few.
const CELL_ON_END: f64 = 0.02;

/// How far from the wanted surface a program may stay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutTolerance {
    /// Deepest into the part, mm.
    pub gouge: f64,
    /// Highest above the part, mm.
    pub excess: f64,
    /// Side of a cell of the simulation, mm.
    pub cell: f64,
    /// A chip too thin is written on the sheet, and so is not refused.
    pub rubbing_noted: bool,
}

impl CutTolerance {
    /// Limits for a setup: gouge `GOUGE`, excess its scallop and `EXCESS`.
    #[must_use]
    pub fn of(setup: &Setup) -> Self {
        Self {
            gouge: GOUGE,
            excess: setup.scallop + EXCESS,
            cell: match setup.kind {
                SetupKind::OnEdge => CELL_ON_EDGE,
                SetupKind::Flat => CELL_FLAT,
                SetupKind::OnEnd => CELL_ON_END,
            },
            rubbing_noted: false,
        }
    }
}

/// What a program is held against.
pub struct Check<'a> {
    /// How the blank is held and cut.
    pub setup: &'a Setup,
    /// The surface to be left.
    pub target: &'a dyn Target,
    /// How far from it the program may stay.
    pub limits: CutTolerance,
    /// Number of the tool in the spindle at the start.
    pub loaded: u32,
    /// Material as the program before left it; `None` for the raw stock.
    pub start: Option<&'a HeightMap>,
    /// Whether the part is to be finished after this program. If not, only what is cut too deep counts.
    pub last: bool,
}

impl Check<'_> {
    /// The setup's cutter of a number.
    pub(super) fn tool(&self, number: u32) -> Option<&Cutter> {
        self.setup.cutters().find(|tool| tool.number == number)
    }
}
