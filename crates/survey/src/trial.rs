//! Checks with the words of the job file: each answer as it is given, and all of them at the end.

use job::{Problem, Severity};

use crate::check::AnswerCheck;
use crate::flow::{Interview, Step, ValueAt, key_of};
use crate::instrument::{Instrument, KIND, usual_in};
use crate::values::SAME;
use crate::write::Ends;
use crate::{Kind, Spread};

/// What is said to "same" where there is nothing yet that it could be the same as.
const NO_BASS: &str = "`same` takes the bass value, and that is not given yet. Give that first.";

impl Interview {
    /// Judges one answer as the job file will: it is read into the file as it stands so far, and what the file then says
    /// about it is the reason for a refusal or a doubt.
    #[must_use]
    pub fn check(&self, step: &Step, text: &str) -> AnswerCheck {
        let kept = match self.read(step, text) {
            AnswerCheck::Keep(kept) => kept,
            other => return other,
        };
        if kept == SAME && self.answers.given(&key_of(step.question.key, ValueAt::Bass)).is_none() {
            return AnswerCheck::Refuse(NO_BASS.to_owned());
        }
        // A choice is sound as it is; what the file would miss with it is asked next.
        let choice = matches!(step.question.kind, Kind::Text | Kind::YesNo | Kind::Choice(_));
        if choice || kept.is_empty() || kept == SAME || !step.question.is_written() {
            return AnswerCheck::Keep(kept);
        }
        let mut trial = self.clone();
        trial.answers.forget(&step.key());
        let before = trial.file_problems(Ends::Apart);
        trial.answers.set(&step.key(), &kept);
        let caused: Vec<Problem> = trial
            .file_problems(Ends::Apart)
            .into_iter()
            .filter(|problem| {
                !before
                    .iter()
                    .any(|old| old.field == problem.field && old.kind == problem.kind)
            })
            .filter(|problem| problem.line.is_some())
            .collect();
        let here = |problem: &&Problem| trial.is_at(step, problem);
        let errors: Vec<&Problem> = caused
            .iter()
            .filter(|p| p.severity == Severity::Error)
            .filter(here)
            .collect();
        if !errors.is_empty() {
            return AnswerCheck::Refuse(sentences(&errors));
        }
        // A doubt may also be about this answer beside an earlier one, but not about the other end alone.
        let doubts: Vec<&Problem> = caused
            .iter()
            .filter(|p| p.severity == Severity::Warning)
            .filter(|p| here(p) || trial.step_of(&p.field).is_some_and(|of| of.question != step.question))
            .collect();
        if doubts.is_empty() {
            AnswerCheck::Keep(kept)
        } else {
            AnswerCheck::Doubt {
                text: kept,
                why: sentences(&doubts),
            }
        }
    }

    /// Judges one answer and keeps it if there is no doubt. To keep a doubtful one,
    /// [`keep`](Interview::keep) it.
    pub fn answer(&mut self, step: &Step, text: &str) -> AnswerCheck {
        let verdict = self.check(step, text);
        if let AnswerCheck::Keep(kept) = &verdict {
            self.keep(step, kept);
        }
        verdict
    }

    /// Keeps a text that was judged. What one gives by hand is read, and not assumed.
    pub fn keep(&mut self, step: &Step, kept: &str) {
        if let Some((key, _)) = step.question.assumed {
            self.answers.assume(key, false);
        }
        self.answers.set(&step.key(), kept);
        if step.question.key == KIND
            && let Some(instrument) = Instrument::of(kept)
        {
            self.begin(instrument);
        }
        if matches!(step.question.key, "unit" | "bench") {
            self.write_usual_anew();
        }
        self.take_usual();
    }

    /// Keeps "same" at the treble end of a step, where both ends are asked and the bass end has a value.
    pub fn keep_same(&mut self, step: &Step) {
        let bass = step.part == ValueAt::Bass && self.answers.given(&step.key()).is_some();
        if let Some(treble) = self.other_end(step).filter(|_| bass) {
            self.keep(&treble, SAME);
        }
    }

    /// Takes back the value of a step, and leaves the step open.
    pub fn leave_open(&mut self, step: &Step) {
        self.answers.forget(&step.key());
    }

    /// What can be assumed at a step, as the bench writes it.
    #[must_use]
    pub fn assumable(&self, step: &Step) -> Option<String> {
        let (_, usual) = step.question.assumed?;
        Some(usual_in(step.question.key, usual, self.bench()))
    }

    /// Takes what is usual at a step, as nobody's reading; false where nothing is.
    pub fn assume(&mut self, step: &Step) -> bool {
        let (Some((key, _)), Some(usual)) = (step.question.assumed, self.assumable(step)) else {
            return false;
        };
        self.keep(step, &usual);
        self.answers.assume(key, true);
        true
    }

    /// Every problem that the job file has, with the step to mend it at.
    #[must_use]
    pub fn problems(&self) -> Vec<(Problem, Option<Step>)> {
        let problems = self.file_problems(Ends::Joined).into_iter();
        problems
            .map(|problem| (self.step_of(&problem.field), problem))
            .map(|(step, problem)| (problem, step))
            .collect()
    }

    fn file_problems(&self, ends: Ends) -> Vec<Problem> {
        match job::read(&self.text(ends), &self.profiles) {
            Ok(checked) => checked.warnings,
            Err(problems) => problems,
        }
    }

    /// Whether a problem is about the very value of a step.
    fn is_at(&self, step: &Step, problem: &Problem) -> bool {
        let field = self.plain_field(&problem.field);
        let question = match step.part {
            ValueAt::Number(_) => step.key(),
            ValueAt::Whole | ValueAt::Bass | ValueAt::Treble | ValueAt::Common => step.question.key.replace(':', "."),
        };
        let end = match step.part {
            ValueAt::Bass => "bass",
            ValueAt::Treble => "treble",
            ValueAt::Common => "correlation",
            ValueAt::Whole if step.question.spread == Spread::Paired => "total",
            ValueAt::Whole | ValueAt::Number(_) => "",
        };
        let Some(rest) = field.strip_prefix(&question) else {
            // The first field of an inline table may be written as the plain value.
            let parent = step.question.key.split_once(':').map(|(parent, _)| parent);
            return parent == Some(field.as_str());
        };
        let of_end = || rest.strip_prefix('.').is_some_and(|rest| rest == end);
        rest.is_empty() || rest.starts_with('[') || of_end()
    }
}

fn sentences(problems: &[&Problem]) -> String {
    let mut all: Vec<String> = problems.iter().map(|problem| problem.what()).collect();
    all.dedup();
    all.join(" ")
}
