//! The survey station by station: what is asked at each, and what still waits there.

use crate::Station;
use crate::flow::{Interview, Step};

/// A station of the survey with what is asked there now.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// Which.
    pub station: Station,
    /// What is asked, in order, folded or not.
    pub steps: Vec<Step>,
    /// Steps that wait for an answer, or to be left out.
    pub waiting: usize,
    /// Those of them without which there is no plan.
    pub missing: usize,
    /// Steps that have one.
    pub given: usize,
}

impl Visit {
    /// Whether the way leads over it: something stands open there. What stands folded alone is visited by those who look for it.
    #[must_use]
    pub fn is_on_the_way(&self) -> bool {
        self.waiting > 0 || self.steps.iter().any(|step| !step.question.folded)
    }

    /// Whether its readings need the strings off.
    #[must_use]
    pub fn strings_off(&self) -> bool {
        self.steps.iter().any(|step| step.question.strings_off)
    }
}

impl Interview {
    /// The stations at which something is asked now, in the order of the work.
    #[must_use]
    pub fn visits(&self) -> Vec<Visit> {
        self.by_station(&self.steps())
    }

    /// The stations of the settings that go with the answers so far.
    #[must_use]
    pub fn settings_visits(&self) -> Vec<Visit> {
        self.by_station(&self.settings())
    }

    fn by_station(&self, steps: &[Step]) -> Vec<Visit> {
        let of = |steps: &[Step]| {
            let station = steps.first()?.question.station;
            Some(Visit {
                station,
                steps: steps.to_vec(),
                waiting: steps.iter().filter(|step| self.waits(step)).count(),
                missing: steps
                    .iter()
                    .filter(|step| self.waits(step) && self.is_missed(step))
                    .count(),
                given: steps
                    .iter()
                    .filter(|step| self.answers.given(&step.key()).is_some())
                    .count(),
            })
        };
        steps
            .chunk_by(|a, b| a.question.station == b.question.station)
            .filter_map(of)
            .collect()
    }

    /// Whether the job is none without an answer: it may not be left out, and the file has nothing in its place.
    fn is_missed(&self, step: &Step) -> bool {
        let row = step.question;
        self.is_missing(step) || !self.may_skip(step) && row.default.is_empty() && row.otherwise.is_empty()
    }

    /// The station to go to after one, or from the start: the next on the way at which something waits. `None` when nothing does.
    #[must_use]
    pub fn next_station(&self, after: Option<Station>) -> Option<Station> {
        let visits = self.visits();
        let waiting = |visit: &&Visit| visit.waiting > 0;
        let later = visits
            .iter()
            .filter(|visit| after.is_none_or(|after| visit.station > after));
        later
            .clone()
            .find(waiting)
            // What was left open before comes last.
            .or_else(|| visits.iter().find(waiting))
            .map(|visit| visit.station)
    }
}
