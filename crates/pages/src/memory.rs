//! Jobs kept in memory alone: they last as long as the program.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use crate::jobs::{Binned, Jobs, KEPT, MOST_BYTES, Old, OldVersion, Stamp, StoreError, Version};
use crate::name::JobName;

/// A text that is no longer that of its job.
#[derive(Debug)]
struct Past {
    number: u64,
    text: String,
    when: SystemTime,
}

/// Old versions of one kind, oldest first.
#[derive(Debug, Default)]
struct Pile(Vec<Past>);

impl Pile {
    fn put(&mut self, text: String, when: SystemTime) {
        let number = self.0.last().map_or(1, |last| last.number + 1);
        self.0.push(Past { number, text, when });
        let over = self.0.len().saturating_sub(KEPT);
        self.0.drain(..over);
    }

    fn take(&mut self) -> Option<String> {
        self.0.pop().map(|past| past.text)
    }
}

/// One job and what it was.
#[derive(Debug, Default)]
struct Held {
    text: String,
    touched: Option<SystemTime>,
    /// How often it and what is beside it was changed.
    changes: u64,
    old: Pile,
    undone: Pile,
    aside: Pile,
    beside: String,
}

impl Held {
    fn pile(&self, kind: Old) -> &Pile {
        match kind {
            Old::Before => &self.old,
            Old::Undone => &self.undone,
            Old::Aside => &self.aside,
        }
    }

    /// Gives it another text: the one that it had.
    fn put(&mut self, text: String) -> String {
        self.touched = Some(SystemTime::now());
        self.changes += 1;
        std::mem::replace(&mut self.text, text)
    }

    fn save(&mut self, text: &str) -> Result<(), StoreError> {
        if self.text == text {
            return Ok(());
        }
        if text.len() > MOST_BYTES {
            return Err(StoreError::NoJob);
        }
        let old = self.put(text.to_owned());
        self.old.put(old, SystemTime::now());
        for past in std::mem::take(&mut self.undone).0 {
            self.aside.put(past.text, past.when);
        }
        Ok(())
    }
}

#[derive(Debug, Default)]
struct Shelf {
    jobs: BTreeMap<JobName, Held>,
    bin: BTreeMap<u64, (JobName, SystemTime, Held)>,
    /// How many jobs were begun: no two have the same stamp, one after the other under one name neither.
    begun: u64,
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
    fn held(&self, name: &JobName) -> Result<&Held, StoreError> {
        self.jobs.get(name).ok_or(StoreError::Missing)
    }

    /// The job, if it is still of this version.
    fn unchanged(&mut self, name: &JobName, from: &Version) -> Result<&mut Held, StoreError> {
        let held = self.jobs.get_mut(name).ok_or(StoreError::Missing)?;
        if Version::of(&held.text) == *from {
            Ok(held)
        } else {
            Err(StoreError::Changed)
        }
    }

    /// Whether another job than `own` has this name.
    fn has(&self, name: &JobName, own: Option<&JobName>) -> bool {
        let same = |other: &JobName| other.as_str().eq_ignore_ascii_case(name.as_str());
        self.jobs.keys().any(|other| same(other) && Some(other) != own)
    }
}

impl Jobs for MemoryJobs {
    fn place(&self) -> String {
        "memory".to_owned()
    }

    fn names(&self) -> Vec<JobName> {
        self.shelf().jobs.keys().cloned().collect()
    }

    fn touched(&self, name: &JobName) -> Option<SystemTime> {
        self.shelf().held(name).ok()?.touched
    }

    fn stamp(&self, name: &JobName) -> Option<Stamp> {
        let shelf = self.shelf();
        Some(Stamp(shelf.held(name).ok()?.changes.to_string()))
    }

    fn read(&self, name: &JobName) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let held = shelf.held(name)?;
        if held.text.len() > MOST_BYTES {
            return Err(StoreError::NoJob);
        }
        Ok(held.text.clone())
    }

    fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        if shelf.has(name, None) {
            return Err(StoreError::Exists);
        }
        shelf.begun += 1;
        let held = Held {
            text: text.to_owned(),
            touched: Some(SystemTime::now()),
            // More than one job is ever changed.
            changes: shelf.begun << 32,
            ..Held::default()
        };
        shelf.jobs.insert(name.clone(), held);
        Ok(())
    }

    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
        self.shelf().unchanged(name, from)?.save(text)?;
        Ok(Version::of(text))
    }

    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.unchanged(name, from)?;
        let text = held.old.take().ok_or(StoreError::Nothing)?;
        let now = held.put(text);
        held.undone.put(now, SystemTime::now());
        Ok(())
    }

    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.unchanged(name, from)?;
        let text = held.undone.take().ok_or(StoreError::Nothing)?;
        let now = held.put(text);
        held.old.put(now, SystemTime::now());
        Ok(())
    }

    fn steps(&self, name: &JobName) -> (bool, bool) {
        let any = |held: &Held| (!held.old.0.is_empty(), !held.undone.0.is_empty());
        self.shelf().held(name).map_or((false, false), any)
    }

    fn rename(&self, name: &JobName, from: &Version, to: &JobName, text: &str) -> Result<Version, StoreError> {
        let mut shelf = self.shelf();
        let is_taken = shelf.has(to, Some(name));
        let held = shelf.unchanged(name, from)?;
        if is_taken {
            return Err(StoreError::Exists);
        }
        held.save(text)?;
        if let Some(held) = shelf.jobs.remove(name) {
            shelf.jobs.insert(to.clone(), held);
        }
        Ok(Version::of(text))
    }

    fn bin(&self, name: &JobName) -> Result<u64, StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.jobs.remove(name).ok_or(StoreError::Missing)?;
        let number = shelf.bin.keys().last().map_or(1, |last| last + 1);
        shelf.bin.insert(number, (name.clone(), SystemTime::now(), held));
        Ok(number)
    }

    fn binned(&self) -> Vec<Binned> {
        let shelf = self.shelf();
        let binned = shelf.bin.iter().rev().map(|(number, (name, when, _))| Binned {
            number: *number,
            name: name.clone(),
            when: Some(*when),
        });
        binned.collect()
    }

    fn read_binned(&self, number: u64) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let (.., held) = shelf.bin.get(&number).ok_or(StoreError::Missing)?;
        Ok(held.text.clone())
    }

    fn unbin(&self, number: u64, to: &JobName) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        if !shelf.bin.contains_key(&number) {
            return Err(StoreError::Missing);
        }
        if shelf.has(to, None) {
            return Err(StoreError::Exists);
        }
        if let Some((.., held)) = shelf.bin.remove(&number) {
            shelf.jobs.insert(to.clone(), held);
        }
        Ok(())
    }

    fn versions(&self, name: &JobName) -> Vec<OldVersion> {
        let shelf = self.shelf();
        let Ok(held) = shelf.held(name) else { return Vec::new() };
        let of = |kind| {
            held.pile(kind).0.iter().rev().map(move |past| OldVersion {
                kind,
                number: past.number,
                when: Some(past.when),
            })
        };
        [Old::Undone, Old::Before, Old::Aside]
            .into_iter()
            .flat_map(of)
            .collect()
    }

    fn read_version(&self, name: &JobName, kind: Old, number: u64) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let past = shelf.held(name)?.pile(kind).0.iter().find(|past| past.number == number);
        past.map(|past| past.text.clone()).ok_or(StoreError::Missing)
    }

    fn read_beside(&self, name: &JobName) -> String {
        self.shelf()
            .held(name)
            .map_or_else(|_| String::new(), |held| held.beside.clone())
    }

    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let held = shelf.jobs.get_mut(name).ok_or(StoreError::Missing)?;
        held.beside = change(&held.beside);
        held.changes += 1;
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
