//! The fork of an assessment: what comes first, and whether a saddle is the remedy.

use assess::Topic;

/// The fork of an assessment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fork {
    /// What is to be put in order before the rest is believed: of humidity, relief and nut.
    pub first: Vec<Topic>,
    /// What else is to be seen to where the saddle is the remedy only then ([`ForkEnd::Once`]).
    pub once: Vec<Topic>,
    /// Whether a saddle is the remedy.
    pub end: ForkEnd,
    /// What the plan counts on beside the saddle.
    pub beside: Beside,
}

/// What a plan counts on at the other end of the strings, beside the saddle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// That it stays as it is.
    Nothing,
    /// A new nut, or one cut to other gaps.
    Nut,
    /// Work on a zero fret.
    ZeroFret,
}

/// Whether a saddle is the remedy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ForkEnd {
    /// No: what was surveyed lets no such saddle be made.
    Impossible,
    /// No: it would endanger the bridge, and the job does not accept that.
    Unsafe,
    /// No: there is too little room for it; the neck is due.
    NeckDue,
    /// No: it would stand too tall.
    TooTall,
    /// Not known: the depth of the slot was not read.
    NotKnown,
    /// For the action, but not for the intonation in this slot.
    NotInTune,
    /// Yes, with something to be watched.
    Watch,
    /// Yes, and nothing stands in its way.
    Clear,
    /// Yes, once the findings are seen to.
    Once,
}

impl Fork {
    /// Whether the saddle may be made as it is planned, and nothing else comes first.
    #[must_use]
    pub fn is_make(&self) -> bool {
        self.first.is_empty() && matches!(self.end, ForkEnd::Clear | ForkEnd::Watch)
    }
}
