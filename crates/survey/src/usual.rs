//! What is usual: answers that are taken where nobody gave one, and figures that are assumed.

use job::Profiles;
use units::BenchUnit;

use crate::Answers;
use crate::flow::{Interview, Step};
use crate::instrument::{Instrument, KIND, usual_in};

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
        let bench = self.bench();
        for (key, text) in instrument.answers {
            if free(&self.answers, key) {
                self.answers.set(key, &usual_in(key, text, bench));
            }
        }
        for key in assumed {
            self.answers.assume(key, true);
        }
        self.take_usual();
    }

    /// Writes what is usual, and was changed by nobody, as the bench writes it now.
    pub(crate) fn write_usual_anew(&mut self) {
        let kind = self.answers.given(KIND).and_then(Instrument::of);
        let of_kind = kind.into_iter().flat_map(|kind| kind.answers).copied();
        let assumed = crate::questions().filter_map(|question| Some((question.key, question.assumed?.1)));
        let bench = self.bench();
        for (key, text) in of_kind.chain(assumed) {
            let usual = BenchUnit::ALL.map(|bench| usual_in(key, text, bench));
            let now = self.answers.given(key);
            if now.is_some_and(|now| usual.iter().any(|usual| usual == now)) {
                self.answers.set(key, &usual_in(key, text, bench));
            }
        }
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
