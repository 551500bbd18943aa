//! Programs being made and checked: how far it is, and the word to stop.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use machining::{PartKind, SetupKind};

/// How far it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Checked {
    /// Name of the job.
    pub(crate) job: String,
    /// Setups that are checked.
    pub(crate) before: usize,
    /// Setups in all.
    pub(crate) of: usize,
    /// The one in hand.
    pub(crate) now: (PartKind, SetupKind),
}

impl Checked {
    /// In words.
    pub(crate) fn words(&self) -> String {
        let (part, kind) = self.now;
        format!(
            "Checking setup {} of {}: the {}, {}.",
            self.before + 1,
            self.of,
            part.name(),
            kind.name()
        )
    }
}

/// What is being checked on this bench: one job at a time, as all programs are.
#[derive(Debug, Default)]
pub(crate) struct Checking {
    state: Mutex<Option<Checked>>,
    stop: AtomicBool,
    /// Who is told before each setup.
    told: Option<fn(usize, usize, &str)>,
}

impl Checking {
    /// The same, which tells how far it is before each setup.
    pub(crate) fn telling(told: fn(usize, usize, &str)) -> Self {
        Self {
            told: Some(told),
            ..Self::default()
        }
    }

    /// Begins on a job.
    pub(crate) fn begin(&self) {
        self.stop.store(false, Ordering::Relaxed);
        *self.locked() = None;
    }

    /// The next setup is taken in hand. Whether to go on.
    pub(crate) fn next(&self, now: Checked) -> bool {
        if let Some(told) = self.told {
            told(now.before, now.of, &now.words());
        }
        *self.locked() = Some(now);
        !self.stop.load(Ordering::Relaxed)
    }

    /// Nothing is checked any more. Whether it came to its end without a word to stop, which also counts in the last setup.
    pub(crate) fn end(&self) -> bool {
        *self.locked() = None;
        !self.stop.load(Ordering::Relaxed)
    }

    /// How far the check of a job is; `None` where it is not being checked.
    pub(crate) fn of(&self, job: &str) -> Option<Checked> {
        self.locked().clone().filter(|checked| checked.job == job)
    }

    /// Stops the check of a job before its next setup. Whether there was one.
    pub(crate) fn stop(&self, job: &str) -> bool {
        let there = self.of(job).is_some();
        if there {
            self.stop.store(true, Ordering::Relaxed);
        }
        there
    }

    fn locked(&self) -> MutexGuard<'_, Option<Checked>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
