//! Which way an assessment and what stops the work send the repairer.

use assess::{Assessment, Topic, Verdict, assess};

use crate::fork::{Beside, Fork, ForkEnd};
use crate::other_end::zero_fret_work;
use crate::{Remark, SaddleWork, Severity};

impl Fork {
    /// Of an assessment, of what stops the work, and of what is made beside the saddle.
    #[must_use]
    pub fn of(found: &Assessment, stops: &[Remark], beside: Beside) -> Self {
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
        const FIRST: [Topic; 4] = [Topic::Humidity, Topic::Relief, Topic::Nut, Topic::ZeroFret];
        let others = found.findings.iter().filter(|f| f.verdict == Verdict::Act);
        let mut once: Vec<Topic> = others.map(|f| f.topic).filter(|topic| !FIRST.contains(topic)).collect();
        if end != ForkEnd::Once {
            once.clear();
        }
        Self {
            first: FIRST.into_iter().filter(|topic| act(*topic)).collect(),
            once,
            end,
            beside,
        }
    }
}

impl SaddleWork<'_> {
    /// What the plan counts on at the other end of the strings.
    #[must_use]
    pub fn beside(&self) -> Beside {
        if self.survey.strings.iter().any(|s| s.new_gap.is_some()) {
            Beside::Nut
        } else if zero_fret_work(self.survey).is_some() {
            Beside::ZeroFret
        } else {
            Beside::Nothing
        }
    }

    /// Whether a saddle is the remedy, and what else was found.
    #[must_use]
    pub fn assess(&self) -> Assessment {
        assess(self.survey, self.plan, &self.facts())
    }
}
