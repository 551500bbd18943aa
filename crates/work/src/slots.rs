//! What a stroke in a slot of the nut does, and what is left in each after stringing up.

use instrument::StrungString;
use nut::filing::{Lowered, PresentString, SlotWork};
use nut::{NutPlan, OpenString};
use serde::Serialize;
use units::BenchUnit;

/// Depth of one stroke that a bench counts in, mm: a thou in inch units, 0.02 mm in metric.
#[must_use]
pub fn stroke_depth(bench: BenchUnit) -> f64 {
    match bench {
        BenchUnit::Millimetre => 0.02,
        BenchUnit::Thou | BenchUnit::SixtyFourths => 0.0254,
    }
}

/// One slot before its final strokes, after them, and one stroke too far.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotStrokes {
    /// Left proud.
    pub proud: Lowered,
    /// Final.
    #[serde(rename = "final")]
    pub last: Lowered,
    /// One stroke further.
    #[serde(rename = "stroke_further")]
    pub further: Lowered,
}

impl SlotStrokes {
    /// Every slot, bass to treble; a stroke goes down by `depth` mm.
    #[must_use]
    pub fn of(nut: &NutPlan, depth: f64) -> Vec<Self> {
        let at = |s: &OpenString| {
            let standing = PresentString::planned(s);
            Self {
                proud: standing.lowered(-nut.proud),
                last: standing.lowered(0.0),
                further: standing.lowered(depth),
            }
        };
        nut.lines.iter().map(at).collect()
    }
}

/// A slot as read after stringing up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotRead {
    /// Gap read over fret 1, mm.
    pub clearance: f64,
    /// What is left to do.
    pub work: SlotWork,
}

impl SlotRead {
    /// Every slot, bass to treble; `None` where no gap was read. Where no action was read the planned one is taken.
    #[must_use]
    pub fn of(nut: &NutPlan, readings: &[StrungString]) -> Vec<Option<Self>> {
        let read = |(s, r): (&OpenString, &StrungString)| {
            let clearance = r.clearance?;
            let standing = PresentString::read(s, clearance, r.action_12.unwrap_or_else(|| s.action_12()));
            Some(Self {
                clearance,
                work: standing.verdict(s.action_1()),
            })
        };
        nut.lines.iter().zip(readings).map(read).collect()
    }
}
