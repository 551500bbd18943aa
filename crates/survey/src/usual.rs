//! What is usual: answers that are taken where nobody gave one, and figures that are assumed.

use job::Profiles;

use crate::flow::{Interview, Step};
use crate::{Answers, Instrument};

/// Rounds in which usual answers are filled in: each may bring up further questions.
const ROUNDS: usize = 12;
/// What an answer under the key of an assumption says.
const YES: &str = "yes";

impl Interview {
    /// Gives every step that is asked now, and that `of` picks, its usual answer if it has none.
    pub fn fill(&mut self, of: impl Fn(&Step) -> bool) {
        for _ in 0..ROUNDS {
            let open: Vec<(String, String)> = self
                .steps()
                .iter()
                .filter(|step| of(step) && self.answers.get(&step.key()).is_none())
                .filter_map(|step| Some((step.key(), self.usual(step)?)))
                .collect();
            if open.is_empty() {
                return;
            }
            for (key, text) in open {
                self.answers.set(&key, &text);
            }
        }
    }

    /// An interview that takes what is usual for what stands folded, and asks only the rest.
    #[must_use]
    pub fn short(answers: Answers, profiles: Profiles) -> Self {
        let mut interview = Self::new(answers, profiles).folded();
        interview.take_usual();
        interview
    }

    /// Begins from what is usual on a kind of instrument; what was answered before stays.
    pub fn begin(&mut self, instrument: &Instrument) {
        let free = |answers: &Answers, key: &str| answers.get(key).is_none();
        let assumed = instrument.assumed.iter().filter(|key| {
            let of = |step: &Step| step.question.assumed.is_some_and(|(assumed, _)| assumed == **key);
            !self
                .steps()
                .iter()
                .any(|step| of(step) && !free(&self.answers, &step.key()))
        });
        let assumed: Vec<&str> = assumed.copied().collect();
        for (key, text) in instrument
            .answers
            .iter()
            .filter(|(key, _)| free(&self.answers, key))
            .collect::<Vec<_>>()
        {
            self.answers.set(key, text);
        }
        for key in assumed {
            self.answers.assume(key, true);
        }
        self.take_usual();
    }

    /// Gives what stands folded its usual answer, where it has none and this interview does not ask it.
    pub(crate) fn take_usual(&mut self) {
        if !self.asks_all() {
            self.fill(|step| step.question.folded);
        }
    }

    /// Whether the value of a step is what is usual, and nobody read it.
    #[must_use]
    pub fn is_assumed(&self, step: &Step) -> bool {
        let key = step.question.assumed.map(|(key, _)| key);
        key.is_some_and(|key| self.answers.is_assumed(key)) && self.answers.given(&step.key()).is_some()
    }
}

impl Answers {
    /// Whether a key of `[assumed]` is set.
    pub(crate) fn is_assumed(&self, key: &str) -> bool {
        self.given(key) == Some(YES)
    }

    /// Sets a key of `[assumed]`, or takes it back.
    pub fn assume(&mut self, key: &str, assumed: bool) {
        if assumed {
            self.set(key, YES);
        } else {
            self.forget(key);
        }
    }
}
