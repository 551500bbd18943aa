//! The fork of an assessment: what comes first, and whether a saddle is the remedy.

use assess::{Assessment, Topic, Verdict, assess};

use crate::{Remark, SaddleWork, Severity};

/// The fork of an assessment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fork {
    /// What is to be put in order before the rest is believed: of humidity, relief and nut.
    pub first: Vec<Topic>,
    /// What else is to be seen to where the saddle is the remedy only then ([`ForkEnd::Once`]).
    pub once: Vec<Topic>,
    /// Whether a saddle is the remedy.
    pub end: ForkEnd,
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
    /// Of an assessment, and of what stops the work.
    #[must_use]
    pub fn of(found: &Assessment, stops: &[Remark]) -> Self {
        let has = |topic, verdict| found.findings.iter().any(|f| f.topic == topic && f.verdict == verdict);
        let act = |topic| has(topic, Verdict::Act);
        let any = |verdict| found.findings.iter().any(|f| f.verdict == verdict);
        let stopped = |severity| stops.iter().any(|stop| stop.severity() == severity);
        let end = if stopped(Severity::Stop) {
            ForkEnd::Impossible
        } else if stopped(Severity::Unsafe) {
            ForkEnd::Unsafe
        } else if act(Topic::Neck) {
            ForkEnd::NeckDue
        } else if act(Topic::Bridge) {
            ForkEnd::TooTall
        } else if found.exposure.is_none() {
            ForkEnd::NotKnown
        } else if act(Topic::Slot) {
            ForkEnd::NotInTune
        } else if any(Verdict::Act) {
            ForkEnd::Once
        } else if any(Verdict::Watch) {
            ForkEnd::Watch
        } else {
            ForkEnd::Clear
        };
        const FIRST: [Topic; 3] = [Topic::Humidity, Topic::Relief, Topic::Nut];
        let others = found.findings.iter().filter(|f| f.verdict == Verdict::Act);
        let mut once: Vec<Topic> = others.map(|f| f.topic).filter(|topic| !FIRST.contains(topic)).collect();
        if end != ForkEnd::Once {
            once.clear();
        }
        Self {
            first: FIRST.into_iter().filter(|topic| act(*topic)).collect(),
            once,
            end,
        }
    }

    /// Whether the saddle may be made as it is planned, and nothing else comes first.
    #[must_use]
    pub fn is_make(&self) -> bool {
        self.first.is_empty() && matches!(self.end, ForkEnd::Clear | ForkEnd::Watch)
    }
}

impl SaddleWork<'_> {
    /// Whether a saddle is the remedy, and what else was found.
    #[must_use]
    pub fn assess(&self) -> Assessment {
        assess(self.survey, self.plan, &self.made.assess)
    }
}
