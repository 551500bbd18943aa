//! What a finding says: topic, verdict, figure and its range.

use crate::Bound;
use serde::Serialize;

/// What a finding is about, in the order in which work is done: what is reversible and cheap comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Relative humidity when the survey was taken.
    Humidity,
    /// Relief of the neck.
    Relief,
    /// Open gap over fret 1.
    Nut,
    /// The same over a zero fret.
    ZeroFret,
    /// Exposure: whether a saddle alone brings the action.
    Saddle,
    /// Clearance of the blank in its slot.
    Fit,
    /// Share of the saddle that stands in the slot.
    InSlot,
    /// Bend of the strings over the saddle.
    BreakAngle,
    /// Whether the strings clear the back fall and the slot's back edge.
    BackFall,
    /// Whether the slot lies where the contacts are wanted.
    Slot,
    /// Wood under the slot.
    WoodUnder,
    /// Wood in front of the slot.
    FrontWall,
    /// Wood between slot and holes.
    ToHoles,
    /// Pressure on the front wall.
    Load,
    /// Angle of the neck.
    Neck,
    /// Height of the bridge.
    Bridge,
}

/// What a finding comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Outside its limit: something is to be done.
    Act,
    /// Near a limit, or outside one that the work can live with.
    Watch,
    /// A reading is missing.
    Unknown,
    /// In order.
    Sound,
}

/// Whether the remedy can be undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Undo {
    /// It can be undone.
    Reversible,
    /// It cannot be undone.
    Irreversible,
    /// There is nothing to do.
    NothingToDo,
}

/// Unit of a finding's figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// mm.
    Length,
    /// Radians.
    Angle,
    /// Cents.
    Cents,
    /// Share of 1.
    Share,
}

/// One finding: a figure against its limits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// What it is about.
    pub topic: Topic,
    /// What it comes to.
    pub verdict: Verdict,
    /// Strings that it concerns, bass to treble; empty if it concerns all.
    pub strings: Vec<u32>,
    /// The figure; `None` if a reading is missing.
    pub value: Option<f64>,
    /// Its unit.
    pub quantity: Quantity,
    /// It should not be less than this.
    pub least: Option<Bound>,
    /// It should not be more than this.
    pub most: Option<Bound>,
    /// Whether the remedy can be undone.
    pub undo: Undo,
}

impl Finding {
    /// Whether the figure lies under its least limit.
    #[must_use]
    pub fn is_low(&self) -> bool {
        matches!((self.value, self.least), (Some(value), Some(least)) if value < least.value)
    }

    /// Whether the figure lies over its most limit.
    #[must_use]
    pub fn is_high(&self) -> bool {
        matches!((self.value, self.most), (Some(value), Some(most)) if value > most.value)
    }
}
