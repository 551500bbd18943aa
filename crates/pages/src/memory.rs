//! Jobs kept in memory alone: they last as long as the program.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::jobs::{Jobs, KEPT, MOST_BYTES, StoreError, Version};
use crate::name::JobName;

/// One job and what it was.
#[derive(Debug, Default)]
struct Held {
    text: String,
    /// Versions before, oldest first.
    old: Vec<String>,
    /// Versions undone, the last undone at the end.
    undone: Vec<String>,
}

#[derive(Debug, Default)]
struct Shelf {
    jobs: BTreeMap<JobName, Held>,
    beside: BTreeMap<JobName, String>,
}

/// Jobs in memory, for a home without a disk and for tests.
#[derive(Debug, Default)]
pub struct MemoryJobs(Mutex<Shelf>);

impl MemoryJobs {
    fn shelf(&self) -> MutexGuard<'_, Shelf> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Shelf {
    /// The job, if it is still of this version.
    fn unchanged(&mut self, name: &JobName, from: &Version) -> Result<&mut Held, StoreError> {
        let held = self.jobs.get_mut(name).ok_or(StoreError::Missing)?;
        if Version::of(&held.text) == *from {
            Ok(held)
        } else {
            Err(StoreError::Changed)
        }
    }
}

impl Jobs for MemoryJobs {
    fn place(&self) -> String {
        "memory".to_owned()
    }

    fn names(&self) -> Vec<JobName> {
        self.shelf().jobs.keys().cloned().collect()
    }

    fn read(&self, name: &JobName) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let held = shelf.jobs.get(name).ok_or(StoreError::Missing)?;
        if held.text.len() > MOST_BYTES {
            return Err(StoreError::NoJob);
        }
        Ok(held.text.clone())
    }

    fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let same = |other: &JobName| other.as_str().eq_ignore_ascii_case(name.as_str());
        if shelf.jobs.keys().any(same) {
            return Err(StoreError::Exists);
        }
        let held = Held {
            text: text.to_owned(),
            ..Held::default()
        };
        shelf.jobs.insert(name.clone(), held);
        Ok(())
    }

    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.unchanged(name, from)?;
        if held.text != text {
            if text.len() > MOST_BYTES {
                return Err(StoreError::NoJob);
            }
            held.old.push(std::mem::replace(&mut held.text, text.to_owned()));
            held.undone.clear();
            let over = held.old.len().saturating_sub(KEPT);
            held.old.drain(..over);
        }
        Ok(Version::of(text))
    }

    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.unchanged(name, from)?;
        let text = held.old.pop().ok_or(StoreError::Nothing)?;
        held.undone.push(std::mem::replace(&mut held.text, text));
        Ok(())
    }

    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.unchanged(name, from)?;
        let text = held.undone.pop().ok_or(StoreError::Nothing)?;
        held.old.push(std::mem::replace(&mut held.text, text));
        Ok(())
    }

    fn steps(&self, name: &JobName) -> (bool, bool) {
        let shelf = self.shelf();
        let any = |held: &Held| (!held.old.is_empty(), !held.undone.is_empty());
        shelf.jobs.get(name).map_or((false, false), any)
    }

    fn read_beside(&self, name: &JobName) -> String {
        self.shelf().beside.get(name).cloned().unwrap_or_default()
    }

    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let beside = shelf.beside.entry(name.clone()).or_default();
        *beside = change(beside);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contract;

    #[test]
    fn memory_keeps_the_contract() {
        for holds in contract::ALL {
            holds(&MemoryJobs::default());
        }
    }
}
