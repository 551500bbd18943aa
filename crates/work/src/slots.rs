//! What a stroke in a slot of the nut does, and what is left in each after stringing up.

use assess::Bound;
use instrument::StrungString;
use job::Job;
use nut::filing::{Lowered, PresentString};
use nut::{NutPlan, OpenString};
use serde::Serialize;
use units::BenchUnit;

use crate::NutWork;
use crate::borne::{Borne, least_left};

/// Depth of one stroke that a bench counts in, mm: a thou in inch units, 0.02 mm in metric.
#[must_use]
pub fn stroke_depth(bench: BenchUnit) -> f64 {
    if bench.is_metric() { 0.02 } else { 0.0254 }
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

/// A gap over fret 1 within this of the one wanted is good, mm: about one thou, a step of a feeler (common practice, no source).
pub const SLOT_GOOD: f64 = 0.03;

/// What slots are judged by after stringing up. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotLimits {
    /// Standard uncertainty of a gap over fret 1.
    pub reading: f64,
    /// Least open gap over fret 1 that plays.
    pub least: Bound,
}

impl SlotLimits {
    /// The job's own where it sets them.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let own = job.saddles().next().map(|saddle| saddle.assess.limits.least_first_fret);
        Self {
            reading: job.uncertainty.clearance.total(),
            least: own.unwrap_or_else(|| assess::Limits::default().least_first_fret),
        }
    }
}

/// What is left to do in a slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SlotLeft {
    /// Within [`SLOT_GOOD`].
    Good,
    /// Lower the floor; what it then does.
    File(Lowered),
    /// Leave it: its gap is this much under the one wanted, mm, and can be borne.
    Low(f64, Borne),
    /// Too low: fill the slot or make a new nut. What the string does with its floor raised to where it should be.
    TooLow(Lowered),
}

/// A slot as read after stringing up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotRead {
    /// Gap read over fret 1, mm.
    pub clearance: f64,
    /// What is left to do.
    pub left: SlotLeft,
}

impl SlotRead {
    fn of(standing: &PresentString, clearance: f64, wanted: f64, limits: &SlotLimits) -> Self {
        let then = || standing.lowered(standing.lowering_to(wanted));
        let low = wanted - clearance;
        let least = least_left(wanted - SLOT_GOOD, Some(limits.least.value), limits.reading);
        let left = if low < -SLOT_GOOD {
            SlotLeft::File(then())
        } else if low <= SLOT_GOOD {
            SlotLeft::Good
        } else if clearance < least {
            SlotLeft::TooLow(then())
        } else if low <= SLOT_GOOD + limits.reading {
            SlotLeft::Low(low, Borne::WithinReading)
        } else {
            SlotLeft::Low(low, Borne::OverFloor(limits.least.value))
        };
        Self { clearance, left }
    }
}

/// The slots of a nut after stringing up.
#[derive(Debug, Clone, PartialEq)]
pub struct SlotsRead<'a> {
    /// The nut as planned.
    pub nut: &'a NutPlan,
    /// The readings, bass to treble.
    pub read: &'a [StrungString],
    /// What they are judged by.
    pub limits: SlotLimits,
    /// Every slot, bass to treble; `None` where no gap was read.
    pub slots: Vec<Option<SlotRead>>,
}

impl<'a> SlotsRead<'a> {
    /// Judges every slot. Where no action was read the planned one is taken.
    #[must_use]
    pub fn of(nut: &'a NutPlan, read: &'a [StrungString], limits: SlotLimits) -> Self {
        let slot = |(s, r): (&OpenString, &StrungString)| {
            let clearance = r.clearance?;
            let standing = PresentString::read(s, clearance, r.action_12.unwrap_or_else(|| s.action_12()));
            Some(SlotRead::of(&standing, clearance, s.action_1(), &limits))
        };
        Self {
            nut,
            read,
            limits,
            slots: nut.lines.iter().zip(read).map(slot).collect(),
        }
    }
}

impl<'a> NutWork<'a> {
    /// What these readings after stringing up say of the slots, bass to treble.
    #[must_use]
    pub fn slots(&self, read: &'a [StrungString]) -> SlotsRead<'a> {
        SlotsRead::of(self.plan, read, SlotLimits::of(self.job))
    }
}
