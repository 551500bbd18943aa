//! One note and its subject.

use serde::Serialize;
use work::Severity;

/// What a note is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum NoteTopic {
    /// Something else than a saddle is the remedy, or comes first.
    Remedy,
    /// A reading that does not fit the others.
    Reading,
    /// The blank is too low, or leaves too little to clean up.
    BlankHeight,
    /// Strings held at the land.
    Held,
    /// Blended ends that take a string's place, or that stop below the crown.
    Ends,
    /// Gap over fret 1 too small.
    FirstFret,
    /// A string touches a fret it should clear.
    Buzz,
    /// Height of the saddle above the bridge.
    Exposure,
    /// How deep the saddle stands in its slot.
    SlotDepth,
    /// Where the taut string really ends.
    StringEnd,
    /// Pressure on the front wall of the slot.
    FrontWall,
    /// Bend of the strings over the saddle.
    BreakAngle,
    /// Cents readings that calibrated strings.
    Calibration,
    /// A move of the nut that the plan counts on.
    Nut,
    /// Slots of a nut that is made.
    NutSlots,
    /// What is done before what, where nut and saddle are both made.
    OrderOfWork,
    /// What a setback of the nut is worth.
    Compensation,
    /// Falls that the plan chose.
    Crown,
    /// The instrument is left-handed.
    LeftHanded,
}

/// One note: whole sentences, then numbered points if there is a choice to make.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Note {
    /// What it is about.
    pub topic: NoteTopic,
    /// How much it matters.
    pub severity: Severity,
    /// The note.
    pub text: String,
    /// Choices, numbered from 1 where they are shown; most notes have none.
    pub points: Vec<String>,
}

impl Note {
    pub(crate) fn new(topic: NoteTopic, severity: Severity, text: String) -> Self {
        Self {
            topic,
            severity,
            text,
            points: Vec::new(),
        }
    }

    /// Whether it comes before anything is made: something else is the remedy, or a reading is taken again.
    #[must_use]
    pub fn is_first(&self) -> bool {
        matches!(self.topic, NoteTopic::Remedy | NoteTopic::Reading)
    }

    /// Whether it stands in the way of making the part.
    #[must_use]
    pub fn stops(&self) -> bool {
        self.severity <= Severity::Unsafe
    }
}
