//! Jobs kept in memory, as the files that a folder of jobs would hold. What changes is told, so that another can write it down: a
//! browser, which has no folder of its own.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use crate::jobs::{Binned, Jobs, KEPT, MOST_BYTES, OWN_PROFILES, Old, OldVersion, Stamp, StoreError, Version};
use crate::name::JobName;

/// Where what is kept beside the jobs lies, and the bin in it; no job's name begins so.
const HIDDEN: &str = ".bonewright/";
const BIN: &str = ".bonewright/_bin/";
/// What was kept of a job, in the bin.
const BINNED_BESIDE: &str = "kept/";
const BESIDE: &str = "beside.toml";
const ENDING: &str = ".toml";

/// A file: what it holds, and when it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// What it holds.
    pub text: String,
    /// When it was written.
    pub when: SystemTime,
}

/// A file of this path was written, or is gone.
pub type Change = (String, Option<Record>);

#[derive(Debug, Default)]
struct Shelf {
    /// By the path within the folder.
    records: BTreeMap<String, Record>,
    /// Paths of those that changed since that was asked for last.
    changed: BTreeSet<String>,
    /// How often anything was changed, and that count at the last change of each job: no two states have the same stamp.
    changes: u64,
    stamps: BTreeMap<String, u64>,
}

/// Jobs in memory, for a home without a disk and for tests. A clone has the same jobs.
#[derive(Debug, Clone)]
pub struct MemoryJobs {
    shelf: Arc<Mutex<Shelf>>,
    place: String,
    clock: fn() -> SystemTime,
}

impl Default for MemoryJobs {
    fn default() -> Self {
        Self::new("memory".to_owned(), SystemTime::now)
    }
}

fn job_path(name: &JobName) -> String {
    name.file()
}

/// Beginning of the paths of all that is kept of a job.
fn kept_path(name: &JobName) -> String {
    format!("{HIDDEN}{name}/")
}

fn beside_path(name: &JobName) -> String {
    kept_path(name) + BESIDE
}

fn binned_path(number: u64) -> String {
    format!("{BIN}{number:06}/")
}

const fn prefix(kind: Old) -> &'static str {
    match kind {
        Old::Before => "old-",
        Old::Undone => "undone-",
        Old::Aside => "aside-",
    }
}

fn old_path(name: &JobName, kind: Old, number: u64) -> String {
    format!("{}{}{number:06}{ENDING}", kept_path(name), prefix(kind))
}

/// The name of a job, of the path of its file without folder.
fn job_of(path: &str) -> Option<JobName> {
    JobName::parse(path.strip_suffix(ENDING)?)
}

/// Whether a path is one that a folder of jobs has.
fn is_of_a_folder(path: &str) -> bool {
    let kept = |file: &str| {
        let number = |rest: &str| {
            let digits = rest.strip_suffix(ENDING).unwrap_or_default();
            digits.len() >= 6 && digits.bytes().all(|digit| digit.is_ascii_digit())
        };
        let old = |kind| file.strip_prefix(prefix(kind)).is_some_and(number);
        file == BESIDE || [Old::Before, Old::Undone, Old::Aside].into_iter().any(old)
    };
    if let Some(binned) = path.strip_prefix(BIN) {
        let Some((number, file)) = binned.split_once('/') else {
            return false;
        };
        return number.parse::<u64>().is_ok()
            && file
                .strip_prefix(BINNED_BESIDE)
                .map_or_else(|| job_of(file).is_some(), kept);
    }
    match path.strip_prefix(HIDDEN).and_then(|rest| rest.split_once('/')) {
        Some((name, file)) => JobName::parse(name).is_some() && kept(file),
        None => path == OWN_PROFILES || job_of(path).is_some(),
    }
}

impl Shelf {
    fn put(&mut self, path: String, record: Record) {
        self.changed.insert(path.clone());
        self.records.insert(path, record);
    }

    fn take(&mut self, path: &str) -> Option<Record> {
        let record = self.records.remove(path)?;
        self.changed.insert(path.to_owned());
        Some(record)
    }

    /// Every path that begins so, in order.
    fn under<'a>(&'a self, beginning: &str) -> impl Iterator<Item = (&'a String, &'a Record)> + use<'a> {
        let beginning = beginning.to_owned();
        let from = self.records.range(beginning.clone()..);
        from.take_while(move |(path, _)| path.starts_with(&beginning))
    }

    /// Gives every path that begins so another beginning.
    fn move_all(&mut self, from: &str, to: &str) {
        let paths: Vec<String> = self.under(from).map(|(path, _)| path.clone()).collect();
        for path in paths {
            if let Some(record) = self.take(&path) {
                self.put(format!("{to}{}", path.trim_start_matches(from)), record);
            }
        }
    }

    fn touch(&mut self, name: &JobName) {
        self.changes += 1;
        self.stamps.insert(name.as_str().to_owned(), self.changes);
    }

    /// Jobs lie above all that is hidden.
    fn names(&self) -> impl Iterator<Item = JobName> {
        self.records.keys().filter_map(|path| job_of(path))
    }

    fn held(&self, name: &JobName) -> Result<&Record, StoreError> {
        self.records.get(&job_path(name)).ok_or(StoreError::Missing)
    }

    /// The job, if it is still of this version.
    fn unchanged(&self, name: &JobName, from: &Version) -> Result<&Record, StoreError> {
        let held = self.held(name)?;
        if Version::of(&held.text) == *from {
            Ok(held)
        } else {
            Err(StoreError::Changed)
        }
    }

    /// Whether another job than `own` has this name.
    fn has(&self, name: &JobName, own: Option<&JobName>) -> bool {
        let same = |other: &JobName| other.as_str().eq_ignore_ascii_case(name.as_str());
        self.names().any(|other| same(&other) && Some(&other) != own)
    }

    /// Old versions of one kind, the oldest first.
    fn pile(&self, name: &JobName, kind: Old) -> Vec<(u64, &Record)> {
        let beginning = kept_path(name) + prefix(kind);
        let number = |path: &str| path.strip_prefix(&beginning)?.strip_suffix(ENDING)?.parse().ok();
        let mut pile: Vec<(u64, &Record)> = self
            .under(&beginning)
            .filter_map(|(path, record)| Some((number(path)?, record)))
            .collect();
        pile.sort_by_key(|(number, _)| *number);
        pile
    }

    fn put_old(&mut self, name: &JobName, kind: Old, record: Record) {
        let pile = self.pile(name, kind);
        let next = pile.last().map_or(1, |(last, _)| last + 1);
        let over = (pile.len() + 1).saturating_sub(KEPT);
        let dropped: Vec<u64> = pile.iter().take(over).map(|(number, _)| *number).collect();
        for number in dropped {
            self.take(&old_path(name, kind, number));
        }
        self.put(old_path(name, kind, next), record);
    }

    /// The last old version of a kind, taken off its pile.
    fn take_old(&mut self, name: &JobName, kind: Old) -> Result<Record, StoreError> {
        let number = self
            .pile(name, kind)
            .last()
            .map(|(number, _)| *number)
            .ok_or(StoreError::Nothing)?;
        self.take(&old_path(name, kind, number)).ok_or(StoreError::Nothing)
    }

    /// Changes the text; the one that it had goes on a pile of old ones.
    fn change(&mut self, name: &JobName, kind: Old, record: Record) {
        let when = record.when;
        if let Some(was) = self.records.get(&job_path(name)) {
            let was = Record {
                text: was.text.clone(),
                when,
            };
            self.put_old(name, kind, was);
        }
        self.put(job_path(name), record);
        self.touch(name);
    }

    fn save(&mut self, name: &JobName, text: &str, when: SystemTime) -> Result<(), StoreError> {
        if self.held(name)?.text == text {
            return Ok(());
        }
        if text.len() > MOST_BYTES {
            return Err(StoreError::NoJob);
        }
        let record = Record {
            text: text.to_owned(),
            when,
        };
        self.change(name, Old::Before, record);
        for (number, undone) in self
            .pile(name, Old::Undone)
            .into_iter()
            .map(|(n, undone)| (n, undone.clone()))
            .collect::<Vec<_>>()
        {
            self.take(&old_path(name, Old::Undone, number));
            self.put_old(name, Old::Aside, undone);
        }
        Ok(())
    }

    /// The path of the job that has a number in the bin, and its name.
    fn binned(&self, number: u64) -> Result<(String, JobName), StoreError> {
        let there = binned_path(number);
        let mut found = self
            .under(&there)
            .filter_map(|(path, _)| Some((path.clone(), job_of(path.strip_prefix(&there)?)?)));
        found.next().ok_or(StoreError::Missing)
    }
}

impl MemoryJobs {
    /// None as yet: where they are, for show, and the clock.
    #[must_use]
    pub fn new(place: String, clock: fn() -> SystemTime) -> Self {
        Self {
            shelf: Arc::default(),
            place,
            clock,
        }
    }

    /// Takes in what another holds: files written, and files that are gone. Paths that no folder of jobs has are left out, and so is
    /// what is too long.
    pub fn load(&self, changes: impl IntoIterator<Item = Change>) {
        let mut shelf = self.shelf();
        for (path, record) in changes {
            match record.filter(|record| record.text.len() <= MOST_BYTES) {
                Some(record) if is_of_a_folder(&path) => drop(shelf.records.insert(path, record)),
                Some(_) => {}
                None => drop(shelf.records.remove(&path)),
            }
        }
        let names: Vec<JobName> = shelf.names().collect();
        for name in names {
            shelf.touch(&name);
        }
    }

    /// Takes in files as if they were written here: they are told as changes.
    pub fn write(&self, changes: impl IntoIterator<Item = Change>) {
        let changes: Vec<Change> = changes.into_iter().collect();
        let paths: Vec<String> = changes
            .iter()
            .map(|(path, _)| path.clone())
            .filter(|path| is_of_a_folder(path))
            .collect();
        self.load(changes);
        self.shelf().changed.extend(paths);
    }

    /// Every file, in order; those of one job alone, with all that is kept of it, or all.
    #[must_use]
    pub fn files(&self, of: Option<&JobName>) -> Vec<(String, Record)> {
        let shelf = self.shelf();
        let mine = |path: &String| of.is_none_or(|name| *path == job_path(name) || path.starts_with(&kept_path(name)));
        let files = shelf.records.iter().filter(|(path, _)| mine(path));
        files.map(|(path, record)| (path.clone(), record.clone())).collect()
    }

    /// What has changed since this was called last.
    #[must_use]
    pub fn changes(&self) -> Vec<Change> {
        let mut shelf = self.shelf();
        let changed = std::mem::take(&mut shelf.changed).into_iter();
        changed
            .map(|path| {
                let record = shelf.records.get(&path).cloned();
                (path, record)
            })
            .collect()
    }

    fn shelf(&self) -> MutexGuard<'_, Shelf> {
        self.shelf.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn step(&self, name: &JobName, from: &Version, back: Old, there: Old) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        shelf.unchanged(name, from)?;
        let text = shelf.take_old(name, back)?.text;
        shelf.change(name, there, Record { text, when: self.now() });
        Ok(())
    }
}

impl Jobs for MemoryJobs {
    fn place(&self) -> String {
        self.place.clone()
    }

    fn now(&self) -> SystemTime {
        (self.clock)()
    }

    fn names(&self) -> Vec<JobName> {
        let mut names: Vec<JobName> = self.shelf().names().collect();
        names.sort();
        names
    }

    fn touched(&self, name: &JobName) -> Option<SystemTime> {
        Some(self.shelf().held(name).ok()?.when)
    }

    fn stamp(&self, name: &JobName) -> Option<Stamp> {
        let shelf = self.shelf();
        shelf.held(name).ok()?;
        Some(Stamp(shelf.stamps.get(name.as_str())?.to_string()))
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
        let record = Record {
            text: text.to_owned(),
            when: self.now(),
        };
        shelf.put(job_path(name), record);
        shelf.touch(name);
        Ok(())
    }

    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
        let mut shelf = self.shelf();
        shelf.unchanged(name, from)?;
        shelf.save(name, text, self.now())?;
        Ok(Version::of(text))
    }

    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, Old::Before, Old::Undone)
    }

    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.step(name, from, Old::Undone, Old::Before)
    }

    fn steps(&self, name: &JobName) -> (bool, bool) {
        let shelf = self.shelf();
        let any = |kind| !shelf.pile(name, kind).is_empty();
        (any(Old::Before), any(Old::Undone))
    }

    fn rename(&self, name: &JobName, from: &Version, to: &JobName, text: &str) -> Result<Version, StoreError> {
        let mut shelf = self.shelf();
        shelf.unchanged(name, from)?;
        if shelf.has(to, Some(name)) {
            return Err(StoreError::Exists);
        }
        shelf.save(name, text, self.now())?;
        if name != to {
            if let Some(record) = shelf.take(&job_path(name)) {
                shelf.put(job_path(to), record);
            }
            shelf.move_all(&kept_path(name), &kept_path(to));
            shelf.touch(to);
        }
        Ok(Version::of(text))
    }

    fn bin(&self, name: &JobName) -> Result<u64, StoreError> {
        let mut shelf = self.shelf();
        let record = shelf.take(&job_path(name)).ok_or(StoreError::Missing)?;
        let number = |path: &String| path.strip_prefix(BIN)?.split('/').next()?.parse::<u64>().ok();
        let last = shelf.under(BIN).filter_map(|(path, _)| number(path)).max();
        let number = last.map_or(1, |last| last.saturating_add(1));
        let there = binned_path(number);
        let record = Record {
            when: self.now(),
            ..record
        };
        shelf.put(there.clone() + &name.file(), record);
        shelf.move_all(&kept_path(name), &(there + BINNED_BESIDE));
        Ok(number)
    }

    fn binned(&self) -> Vec<Binned> {
        let shelf = self.shelf();
        let mut all: Vec<Binned> = shelf
            .under(BIN)
            .filter_map(|(path, record)| {
                let (number, file) = path.strip_prefix(BIN)?.split_once('/')?;
                Some(Binned {
                    number: number.parse().ok()?,
                    name: job_of(file)?,
                    when: Some(record.when),
                })
            })
            .collect();
        all.sort_by_key(|binned| std::cmp::Reverse(binned.number));
        all
    }

    fn read_binned(&self, number: u64) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let (path, _) = shelf.binned(number)?;
        shelf
            .records
            .get(&path)
            .map(|record| record.text.clone())
            .ok_or(StoreError::Missing)
    }

    fn unbin(&self, number: u64, to: &JobName) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        let (path, _) = shelf.binned(number)?;
        if shelf.has(to, None) {
            return Err(StoreError::Exists);
        }
        if let Some(record) = shelf.take(&path) {
            shelf.put(job_path(to), record);
        }
        shelf.move_all(&(binned_path(number) + BINNED_BESIDE), &kept_path(to));
        shelf.touch(to);
        Ok(())
    }

    fn versions(&self, name: &JobName) -> Vec<OldVersion> {
        let shelf = self.shelf();
        let of = |kind| {
            shelf
                .pile(name, kind)
                .into_iter()
                .rev()
                .map(move |(number, record)| OldVersion {
                    kind,
                    number,
                    when: Some(record.when),
                })
        };
        [Old::Undone, Old::Before, Old::Aside]
            .into_iter()
            .flat_map(of)
            .collect()
    }

    fn read_version(&self, name: &JobName, kind: Old, number: u64) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let old = shelf.records.get(&old_path(name, kind, number));
        old.map(|old| old.text.clone()).ok_or(StoreError::Missing)
    }

    fn read_profiles(&self) -> Result<String, StoreError> {
        let shelf = self.shelf();
        let own = shelf.records.get(OWN_PROFILES);
        Ok(own.map(|own| own.text.clone()).unwrap_or_default())
    }

    fn save_profiles(&self, from: &Version, text: &str) -> Result<Version, StoreError> {
        let mut shelf = self.shelf();
        let now = shelf.records.get(OWN_PROFILES).map_or("", |own| own.text.as_str());
        if Version::of(now) != *from {
            return Err(StoreError::Changed);
        }
        if text.len() > MOST_BYTES {
            return Err(StoreError::NoJob);
        }
        let record = Record {
            text: text.to_owned(),
            when: self.now(),
        };
        shelf.put(OWN_PROFILES.to_owned(), record);
        Ok(Version::of(text))
    }

    fn read_beside(&self, name: &JobName) -> String {
        let shelf = self.shelf();
        let beside = shelf.records.get(&beside_path(name));
        beside.map(|beside| beside.text.clone()).unwrap_or_default()
    }

    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError> {
        let mut shelf = self.shelf();
        shelf.held(name)?;
        let path = beside_path(name);
        let text = change(shelf.records.get(&path).map_or("", |beside| &beside.text));
        let when = self.now();
        shelf.put(path, Record { text, when });
        shelf.touch(name);
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

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    /// Whoever writes down what changes, and reads it again, has all of it: after any change, the same as what is in memory.
    #[test]
    fn what_changes_is_told_and_read_again_is_the_same() {
        let jobs = MemoryJobs::default();
        let mut disk: BTreeMap<String, Record> = BTreeMap::new();
        let mut write = |what: &str| {
            let changes = jobs.changes();
            assert!(!changes.is_empty(), "{what}");
            for (path, record) in changes {
                assert!(is_of_a_folder(&path), "{path}");
                match record {
                    Some(record) => drop(disk.insert(path, record)),
                    None => drop(disk.remove(&path)),
                }
            }
            assert_eq!(jobs.changes(), [], "told once");
            assert_eq!(disk, jobs.shelf().records, "{what}");
            let again = MemoryJobs::default();
            again.load(disk.iter().map(|(path, record)| (path.clone(), Some(record.clone()))));
            assert_eq!((again.names(), again.binned()), (jobs.names(), jobs.binned()));
            assert_eq!(again.changes(), [], "what was read is not written again");
        };
        let (a, b) = (name("a"), name("b"));
        jobs.create(&a, "one").unwrap();
        write("create");
        let two = jobs.save(&a, &Version::of("one"), "two").unwrap();
        write("save");
        jobs.undo(&a, &two).unwrap();
        write("undo");
        jobs.redo(&a, &Version::of("one")).unwrap();
        write("redo");
        jobs.change_beside(&a, &|_| "ticks".to_owned()).unwrap();
        write("beside");
        jobs.rename(&a, &two, &b, "three").unwrap();
        write("rename");
        let number = jobs.bin(&b).unwrap();
        write("bin");
        jobs.unbin(number, &a).unwrap();
        write("unbin");
        assert_eq!(jobs.versions(&a).len(), 2);
        jobs.save_profiles(&Version::of(""), "# own").unwrap();
        write("the shop's own profiles");
    }

    #[test]
    fn what_no_folder_of_jobs_has_is_not_taken_in() {
        let record = |text: &str| {
            Some(Record {
                text: text.to_owned(),
                when: SystemTime::UNIX_EPOCH,
            })
        };
        let jobs = MemoryJobs::default();
        let good = [
            "a.toml",
            ".bonewright/a/old-000001.toml",
            ".bonewright/a/beside.toml",
            ".bonewright/_bin/000002/b.toml",
            ".bonewright/_bin/000002/kept/aside-000001.toml",
            ".bonewright/profiles.toml",
        ];
        let bad = [
            "",
            "a",
            "../a.toml",
            "x/a.toml",
            "a b.toml",
            ".bonewright/a/x.toml",
            ".bonewright/a/old-1.toml",
            ".bonewright/_bin/x/b.toml",
            ".bonewright/other.toml",
            ".bonewright/profiles.toml/old-000001.toml",
            ".bonewright/_moving",
            ".bonewright/a/",
            "/a.toml",
        ];
        jobs.load(good.iter().chain(&bad).map(|path| ((*path).to_owned(), record("x"))));
        jobs.load([("long.toml".to_owned(), record(&" ".repeat(MOST_BYTES + 1)))]);
        let mut held: Vec<String> = jobs.shelf().records.keys().cloned().collect();
        held.sort();
        let mut wanted = good.map(str::to_owned).to_vec();
        wanted.sort();
        assert_eq!(held, wanted);
        let before = jobs.stamp(&name("a"));
        jobs.load([("a.toml".to_owned(), record("y"))]);
        assert_ne!(jobs.stamp(&name("a")), before);
        jobs.load([("a.toml".to_owned(), None)]);
        assert!(jobs.names().is_empty());
    }
}
