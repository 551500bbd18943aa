//! The jobs of one folder on disk: read, saved whole or not at all, old versions kept.
//!
//! `FOLDER/NAME.toml` is the job, the same file that the command line reads. What came before and what is kept beside lies in
//! `FOLDER/.bonewright/NAME/`, what is binned in `FOLDER/.bonewright/_bin/` (`files::Versions`). Another bench, and the command, may change the same folder at the same time.

use std::fs;
use std::io;
use std::path::Path;
use std::time::{Duration, SystemTime};

use files::{HIDDEN, Kept, RealDisk, VersionError, Versions};
use pages::{
    Binned, JobName, Jobs, KEPT, LeftOut, MOST_BYTES, OWN_PROFILES, Old, OldVersion, Stamp, StoreError, Version, WhyNot,
};

/// A file that was changed since may be changed again within the same tick of the disk's clock, which is two seconds on a memory card.
const SETTLES: Duration = Duration::from_secs(3);

/// The folder of jobs.
#[derive(Debug)]
pub struct Folder(Versions);

impl Folder {
    /// Opens a folder, which must exist, and clears what a crash left half written.
    ///
    /// # Errors
    /// If the folder cannot be listed.
    pub fn open(folder: &Path) -> io::Result<Self> {
        let folder = folder.canonicalize()?;
        fs::read_dir(&folder)?;
        let versions = Versions::new(folder, Box::new(RealDisk), MOST_BYTES, KEPT);
        // A folder that can only be read is shown all the same.
        let _ = versions.tidy();
        Ok(Self(versions))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        self.0.folder()
    }
}

/// What the page tells of a job's file; of a refusal of the disk, also which file it is.
fn told(name: &JobName, error: VersionError) -> StoreError {
    told_of(&name.file(), error)
}

/// The same of a file in the bin.
fn of_the_bin(error: VersionError) -> StoreError {
    told_of("the bin", error)
}

/// The same of the shop's own profiles.
fn of_profiles(error: VersionError) -> StoreError {
    told_of(OWN_PROFILES, error)
}

/// The file of the shop's own profiles, within the folder of what is kept beside the jobs.
fn own_file() -> &'static str {
    OWN_PROFILES.rsplit('/').next().unwrap_or(OWN_PROFILES)
}

fn told_of(file: &str, error: VersionError) -> StoreError {
    let of_disk = |error: io::Error| StoreError::Disk(io::Error::new(error.kind(), format!("{file}: {error}")));
    match error {
        VersionError::Missing => StoreError::Missing,
        VersionError::Exists => StoreError::Exists,
        VersionError::Changed => StoreError::Changed,
        VersionError::Nothing => StoreError::Nothing,
        VersionError::NoText => StoreError::NoJob,
        VersionError::Lock(error) => of_disk(error.into()),
        VersionError::Disk(error) => of_disk(error),
    }
}

impl Jobs for Folder {
    fn place(&self) -> String {
        self.0.folder().display().to_string()
    }

    /// Files whose names are no job names are left out.
    fn names(&self) -> Vec<JobName> {
        // What was left half moved; where that cannot be, both halves are shown as they lie.
        let _ = self.0.settle();
        let entries = fs::read_dir(self.0.folder()).into_iter().flatten().flatten();
        let mut names: Vec<JobName> = entries
            .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_file()))
            .filter_map(|entry| JobName::parse(entry.file_name().to_str()?.strip_suffix(".toml")?))
            .collect();
        names.sort();
        names
    }

    fn touched(&self, name: &JobName) -> Option<SystemTime> {
        let file = fs::symlink_metadata(self.0.folder().join(name.file())).ok()?;
        file.modified().ok()
    }

    fn stamp(&self, name: &JobName) -> Option<Stamp> {
        let folder = self.0.folder();
        let job = mark(&folder.join(name.file()))?;
        // There need be nothing beside it.
        let kept = folder.join(HIDDEN).join(name.as_str()).join("beside.toml");
        let beside = match kept.symlink_metadata() {
            Ok(_) => mark(&kept)?,
            Err(_) => String::new(),
        };
        Some(Stamp(format!("{job} {beside}")))
    }

    /// Hidden files are left out without a word.
    fn left_out(&self) -> Vec<LeftOut> {
        let entries = fs::read_dir(self.0.folder()).into_iter().flatten().flatten();
        let mut found: Vec<LeftOut> = entries.filter_map(|entry| left_out(&entry)).collect();
        found.sort_by(|a, b| a.file.cmp(&b.file));
        found
    }

    fn read(&self, name: &JobName) -> Result<String, StoreError> {
        self.0.read(name.as_str()).map_err(|error| told(name, error))
    }

    fn create(&self, name: &JobName, text: &str) -> Result<(), StoreError> {
        self.0.create(name.as_str(), text).map_err(|error| told(name, error))
    }

    fn save(&self, name: &JobName, from: &Version, text: &str) -> Result<Version, StoreError> {
        self.0
            .save(name.as_str(), &still(from), text)
            .map_err(|error| told(name, error))?;
        Ok(Version::of(text))
    }

    fn undo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.0
            .undo(name.as_str(), &still(from))
            .map_err(|error| told(name, error))
    }

    fn redo(&self, name: &JobName, from: &Version) -> Result<(), StoreError> {
        self.0
            .redo(name.as_str(), &still(from))
            .map_err(|error| told(name, error))
    }

    fn steps(&self, name: &JobName) -> (bool, bool) {
        self.0.steps(name.as_str())
    }

    fn rename(&self, name: &JobName, from: &Version, to: &JobName, text: &str) -> Result<Version, StoreError> {
        self.0
            .rename(name.as_str(), &still(from), to.as_str(), text)
            .map_err(|error| told(name, error))?;
        Ok(Version::of(text))
    }

    fn bin(&self, name: &JobName) -> Result<u64, StoreError> {
        self.0.bin(name.as_str()).map_err(|error| told(name, error))
    }

    fn binned(&self) -> Vec<Binned> {
        let binned = self.0.binned().unwrap_or_default().into_iter();
        let of = |binned: files::Binned| {
            Some(Binned {
                number: binned.number,
                name: JobName::parse(&binned.stem)?,
                when: binned.when,
            })
        };
        binned.filter_map(of).collect()
    }

    fn read_binned(&self, number: u64) -> Result<String, StoreError> {
        self.0.read_binned(number).map_err(of_the_bin)
    }

    fn unbin(&self, number: u64, to: &JobName) -> Result<(), StoreError> {
        self.0.unbin(number, to.as_str()).map_err(|error| told(to, error))
    }

    fn versions(&self, name: &JobName) -> Vec<OldVersion> {
        let kept = self.0.kept(name.as_str()).unwrap_or_default().into_iter();
        let of = |kept: files::KeptVersion| OldVersion {
            kind: match kept.kind {
                Kept::Before => Old::Before,
                Kept::Undone => Old::Undone,
                Kept::Aside => Old::Aside,
            },
            number: kept.number,
            when: kept.when,
        };
        kept.map(of).collect()
    }

    fn read_version(&self, name: &JobName, kind: Old, number: u64) -> Result<String, StoreError> {
        let kind = match kind {
            Old::Before => Kept::Before,
            Old::Undone => Kept::Undone,
            Old::Aside => Kept::Aside,
        };
        let read = self.0.read_kept(name.as_str(), kind, number);
        read.map_err(|error| told(name, error))
    }

    fn read_profiles(&self) -> Result<String, StoreError> {
        self.0.read_common(own_file()).map_err(of_profiles)
    }

    fn save_profiles(&self, from: &Version, text: &str) -> Result<Version, StoreError> {
        let saved = self.0.save_common(own_file(), &still(from), text);
        saved.map_err(of_profiles)?;
        Ok(Version::of(text))
    }

    fn read_beside(&self, name: &JobName) -> String {
        self.0.read_beside(name.as_str())
    }

    fn change_beside(&self, name: &JobName, change: &dyn Fn(&str) -> String) -> Result<(), StoreError> {
        self.0
            .change_beside(name.as_str(), change)
            .map_err(|error| told(name, error))
    }
}

/// Why an entry of the folder is no job, if it looks like one.
fn left_out(entry: &fs::DirEntry) -> Option<LeftOut> {
    let name = entry.file_name();
    let file = name.to_string_lossy().into_owned();
    let looks = !file.starts_with('.') && file.to_lowercase().ends_with(".toml");
    let kind = entry.file_type().ok().filter(|_| looks)?;
    let named = || JobName::parse(name.to_str()?.strip_suffix(".toml")?);
    let why = if kind.is_symlink() {
        WhyNot::Link
    } else if !kind.is_file() {
        WhyNot::NoFile
    } else if named().is_none() {
        WhyNot::Name
    } else {
        return None;
    };
    Some(LeftOut { file, why })
}

/// What tells that a file is still the same: its time, its length and, where the system tells it, which file it is. `None` while it is too young
/// for that.
fn mark(file: &Path) -> Option<String> {
    let about = file.symlink_metadata().ok()?;
    let changed = about.modified().ok()?;
    let age = SystemTime::now().duration_since(changed).ok()?;
    let since = changed.duration_since(SystemTime::UNIX_EPOCH).ok()?;
    #[cfg(unix)]
    let which = {
        use std::os::unix::fs::MetadataExt;
        (about.ino(), about.ctime(), about.ctime_nsec())
    };
    #[cfg(not(unix))]
    let which = ();
    (age > SETTLES).then(|| format!("{} {} {which:?}", since.as_nanos(), about.len()))
}

/// Whether a text is of this version.
fn still(from: &Version) -> impl Fn(&str) -> bool + '_ {
    move |text| Version::of(text) == *from
}

#[cfg(test)]
#[path = "../../pages/src/contract.rs"]
mod contract;

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    #[test]
    fn a_folder_keeps_the_contract() {
        for holds in contract::ALL {
            let folder = tempfile::tempdir().unwrap();
            holds(&Folder::open(folder.path()).unwrap());
        }
    }

    #[test]
    fn old_versions_are_cleared_from_the_disk() {
        let folder = tempfile::tempdir().unwrap();
        let store = Folder::open(folder.path()).unwrap();
        let a = name("a");
        store.create(&a, "0").unwrap();
        for i in 0..KEPT + 5 {
            store
                .save(&a, &Version::of(&i.to_string()), &(i + 1).to_string())
                .unwrap();
        }
        let kept = fs::read_dir(folder.path().join(".bonewright/a")).unwrap();
        assert_eq!(kept.count(), KEPT);
    }

    #[test]
    fn what_looks_like_a_job_and_is_none_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let store = Folder::open(folder.path()).unwrap();
        store.create(&name("a"), "one").unwrap();
        assert_eq!(store.left_out(), []);
        for file in [
            "My guitar 1928.toml",
            "Gitarre für Jörg.toml",
            "UPPER.TOML",
            ".hidden.toml",
            "notes.txt",
        ] {
            fs::write(folder.path().join(file), "").unwrap();
        }
        fs::create_dir(folder.path().join("folder.toml")).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink("a.toml", folder.path().join("link.toml")).unwrap();
        let told: Vec<(String, WhyNot)> = store.left_out().into_iter().map(|l| (l.file, l.why)).collect();
        let expected = [
            ("Gitarre für Jörg.toml", WhyNot::Name),
            ("My guitar 1928.toml", WhyNot::Name),
            ("UPPER.TOML", WhyNot::Name),
            ("folder.toml", WhyNot::NoFile),
            ("link.toml", WhyNot::Link),
        ];
        let there = if cfg!(unix) { &expected[..] } else { &expected[..4] };
        let there: Vec<(String, WhyNot)> = there.iter().map(|(file, why)| ((*file).to_owned(), *why)).collect();
        assert_eq!(told, there);
        assert_eq!(store.names(), [name("a")]);
    }

    #[test]
    fn half_written_files_are_cleared_and_links_are_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let store = Folder::open(folder.path()).unwrap();
        store.create(&name("a"), "one").unwrap();
        store.save(&name("a"), &Version::of("one"), "two").unwrap();
        let half = [
            ".bonewright/a/.unfinished-x",
            ".bonewright/a/.bonewright-abc123",
            ".bonewright-abc123",
        ];
        let half = half.map(|file| folder.path().join(file));
        for file in &half {
            fs::write(file, "half").unwrap();
        }
        // Someone may be writing them still.
        Folder::open(folder.path()).unwrap();
        assert!(half.iter().all(|file| file.exists()));
        for file in &half {
            let then = std::time::SystemTime::now() - std::time::Duration::from_secs(120);
            fs::File::open(file).unwrap().set_modified(then).unwrap();
        }
        let store = Folder::open(folder.path()).unwrap();
        assert!(!half.iter().any(|file| file.exists()));
        #[cfg(unix)]
        {
            let outside = tempfile::NamedTempFile::new().unwrap();
            std::os::unix::fs::symlink(outside.path(), folder.path().join("link.toml")).unwrap();
            assert!(matches!(store.read(&name("link")), Err(StoreError::Missing)));
            assert!(!store.names().contains(&name("link")));
        }
        fs::write(folder.path().join("long.toml"), vec![b' '; MOST_BYTES + 1]).unwrap();
        assert!(matches!(store.read(&name("long")), Err(StoreError::NoJob)));
    }

    /// Two benches on one folder, each with four windows that save as fast as they can: what was acknowledged is there, in the job,
    /// in the versions before it, and beside it.
    #[test]
    fn two_benches_lose_no_acknowledged_edit() {
        const EACH: usize = 125;
        let folder = tempfile::tempdir().unwrap();
        let a = name("a");
        let benches = [(); 2].map(|()| Folder::open(folder.path()).unwrap());
        benches[0].create(&a, "").unwrap();
        std::thread::scope(|scope| {
            for window in 0..8 {
                let (bench, a) = (&benches[window % 2], &a);
                scope.spawn(move || {
                    for edit in 0..EACH {
                        let line = format!("{window}.{edit}\n");
                        loop {
                            let now = bench.read(a).unwrap();
                            match bench.save(a, &Version::of(&now), &(now + &line)) {
                                Ok(_) => break,
                                Err(StoreError::Changed) => {}
                                Err(other) => panic!("{other}"),
                            }
                        }
                        bench.change_beside(a, &|now| format!("{now}{line}")).unwrap();
                    }
                });
            }
        });
        for text in [benches[0].read(&a).unwrap(), benches[1].read_beside(&a)] {
            let mut lines: Vec<&str> = text.lines().collect();
            assert_eq!(lines.len(), 8 * EACH);
            lines.sort_unstable();
            lines.dedup();
            assert_eq!(lines.len(), 8 * EACH);
        }
        // Each version before is one line shorter: none was written over by another of its number.
        let mut now = benches[0].read(&a).unwrap();
        for _ in 0..KEPT {
            benches[1].undo(&a, &Version::of(&now)).unwrap();
            let before = benches[0].read(&a).unwrap();
            assert_eq!(before.lines().count() + 1, now.lines().count());
            now = before;
        }
    }

    /// Bench folders of earlier versions, in `tests/old`: the job, every version kept of it, both ways, and the ticks beside it.
    #[test]
    fn bench_folders_of_every_version_are_opened() {
        let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/old");
        let versions = fs::read_dir(old).unwrap().map(|entry| entry.unwrap().path());
        let mut count = 0;
        for version in versions.filter(|path| path.is_dir()) {
            let folder = tempfile::tempdir().unwrap();
            copy(&version.join("bench"), folder.path());
            let (store, job) = (Folder::open(folder.path()).unwrap(), name("parlour-both"));
            assert_eq!(store.names(), std::slice::from_ref(&job));
            let profiles = job::Profiles::built_in();
            let now = || {
                let text = store.read(&job).unwrap();
                job::read(&text, &profiles).unwrap();
                Version::of(&text)
            };
            let (first, mut redone, mut undone) = (now(), 0, 0);
            while store.redo(&job, &now()).is_ok() {
                redone += 1;
            }
            while store.undo(&job, &now()).is_ok() {
                undone += 1;
            }
            assert!(redone > 0 && undone > redone, "{redone} {undone}");
            for _ in 0..undone - redone {
                store.redo(&job, &now()).unwrap();
            }
            assert_eq!(now(), first);
            let page = |tab: &str, bench: &pages::Bench| {
                let path = format!("/job/parlour-both/{tab}");
                match pages::reply(bench, pages::Method::Get, &path, pages::Fields::default(), false) {
                    pages::Reply::Page(200, page) => page.into_string(),
                    other => panic!("{other:?}"),
                }
            };
            let bench = pages::Bench::new(Box::new(store), profiles, "token".to_owned());
            assert_eq!(page("work", &bench).matches(" checked").count(), 2);
            assert!(page("plan", &bench).contains("Parlour guitar, both parts, surveyed again"));
            count += 1;
        }
        assert!(count > 0);
    }

    fn copy(from: &Path, to: &Path) {
        fs::create_dir_all(to).unwrap();
        for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
            let to = to.join(entry.file_name());
            if entry.file_type().unwrap().is_dir() {
                copy(&entry.path(), &to);
            } else {
                fs::copy(entry.path(), to).unwrap();
            }
        }
    }
}
