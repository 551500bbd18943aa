//! Text files of one folder with the versions before them, changed by one at a time and only if they still stand as they were read.
//!
//! `FOLDER/.bonewright/STEM/` holds what came before of `FOLDER/STEM.toml` (`old-000001.toml` and on), what was undone
//! (`undone-...`), what was undone and then not done again (`aside-...`), and `beside.toml`. What is binned lies in
//! `FOLDER/.bonewright/_bin/NUMBER/`, the file with all that is kept of it. What belongs to all of them is a file in `FOLDER/.bonewright/`.

use crate::disk::{names_in, same_file, standing};
use crate::lock::{FolderLock, LockError, lock_folder};
use crate::moving::{Moving, NOTE, moved};
use crate::one::{is_old, is_unfinished, write_file};
use crate::set::recover_locked;
use crate::{Disk, Replace};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::SystemTime;
use thiserror::Error;

/// Folder for what is kept beside the files.
pub const HIDDEN: &str = ".bonewright";
/// Beginning of names of unfinished files in version 0.1.0 and before.
const UNFINISHED_ONCE: &str = ".unfinished-";
/// What else is kept beside a file.
const BESIDE: &str = "beside.toml";
/// Ending of the files.
const ENDING: &str = ".toml";
/// Folder for what is binned, among what is kept beside the files; no file's stem begins so.
const BIN: &str = "_bin";
/// What was kept of a file, in the bin.
const BINNED_BESIDE: &str = "kept";

/// What a version that is kept is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// What came before.
    Before,
    /// What was undone, and can be done again.
    Undone,
    /// What was undone before something else was saved.
    Aside,
}

impl Kept {
    /// Beginning of the names of its files.
    const fn prefix(self) -> &'static str {
        match self {
            Self::Before => "old-",
            Self::Undone => "undone-",
            Self::Aside => "aside-",
        }
    }
}

/// A version that is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptVersion {
    /// What it is.
    pub kind: Kept,
    /// Its number among those of its kind; a later one has a higher number.
    pub number: u64,
    /// When it was put away: when the one that took its place was saved, or when it was undone.
    pub when: Option<SystemTime>,
}

/// A file in the bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Binned {
    /// What the bin calls it by.
    pub number: u64,
    /// Its stem when it was binned.
    pub stem: String,
    /// When that was.
    pub when: Option<SystemTime>,
}

/// Why a file was not read or changed.
#[derive(Debug, Error)]
pub enum VersionError {
    /// There is none of this name.
    #[error("there is no such file")]
    Missing,
    /// There is one already.
    #[error("there is such a file already")]
    Exists,
    /// It is no longer as it was read.
    #[error("it was changed meanwhile by another program or in another window; nothing was written")]
    Changed,
    /// No version to go back to.
    #[error("there is nothing to go back to")]
    Nothing,
    /// Too long, or no UTF-8.
    #[error("it is no plain text, or too long")]
    NoText,
    /// Another process held the folder, or it cannot be locked.
    #[error(transparent)]
    Lock(#[from] LockError),
    /// The disk refused. The file is as it was, or changed whole.
    #[error(transparent)]
    Disk(#[from] io::Error),
}

/// The files of one folder.
#[derive(Debug)]
pub struct Versions {
    folder: PathBuf,
    disk: Box<dyn Disk>,
    /// Longest text, bytes.
    most_bytes: usize,
    /// Old versions kept of each.
    kept: usize,
}

/// Asks of a present text whether it is the one to be changed.
pub type Still<'a> = &'a dyn Fn(&str) -> bool;

impl Versions {
    /// The files of `folder`, none longer than `most_bytes`, with the last `kept` versions of each.
    #[must_use]
    pub fn new(folder: PathBuf, disk: Box<dyn Disk>, most_bytes: usize, kept: usize) -> Self {
        Self {
            folder,
            disk,
            most_bytes,
            kept,
        }
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Puts right what runs that were ended left half done in the folder and beside its files.
    ///
    /// # Errors
    /// If the folder cannot be locked, or the disk refuses.
    pub fn tidy(&self) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        Ok(self.tidy_locked()?)
    }

    fn tidy_locked(&self) -> io::Result<()> {
        recover_locked(&*self.disk, &self.folder)?;
        let hidden = self.folder.join(HIDDEN);
        if !is_folder(&hidden)? {
            return Ok(());
        }
        for stem in names_in(&hidden)? {
            let beside = hidden.join(&stem);
            if is_unfinished(&stem.to_string_lossy(), &beside) {
                self.disk.remove(&beside)?;
            }
            if !is_folder(&beside).unwrap_or(false) {
                continue;
            }
            for name in names_in(&beside)? {
                let (path, text) = (beside.join(&name), name.to_string_lossy());
                if is_unfinished(&text, &path) || text.starts_with(UNFINISHED_ONCE) && is_old(&path) {
                    self.disk.remove(&path)?;
                }
            }
        }
        Ok(())
    }

    /// The text of a file; none is read through a link.
    ///
    /// # Errors
    /// [`VersionError::Missing`], [`VersionError::NoText`], or the disk.
    pub fn read(&self, stem: &str) -> Result<String, VersionError> {
        self.text(&self.path(stem))
    }

    /// Begins a file. Names that differ in capitals alone are the same.
    ///
    /// # Errors
    /// [`VersionError::Exists`], [`VersionError::NoText`], or the disk.
    pub fn create(&self, stem: &str, text: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let file = format!("{stem}{ENDING}");
        let same = |name: &PathBuf| name.to_string_lossy().eq_ignore_ascii_case(&file);
        if names_in(&self.folder)?.iter().any(same) {
            return Err(VersionError::Exists);
        }
        self.fits(text)?;
        Ok(write_file(&*self.disk, &self.path(stem), text.as_bytes(), Replace::No)?)
    }

    /// Replaces a file that still stands as it was read, and keeps what it was.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn save(&self, stem: &str, still: Still<'_>, text: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let old = self.unchanged(stem, still)?;
        if old == text {
            return Ok(());
        }
        self.fits(text)?;
        self.replace(stem, &old, text)
    }

    fn replace(&self, stem: &str, old: &str, text: &str) -> Result<(), VersionError> {
        self.keep(stem, "old-", old)?;
        self.write(&self.path(stem), text)?;
        // The change stands. What cannot be cleared away now, the next one clears away.
        for (_, undone) in self.numbered(stem, Kept::Undone.prefix()).unwrap_or_default() {
            let _ = self.put_aside(stem, &undone);
        }
        for kind in [Kept::Before, Kept::Aside] {
            let all = self.numbered(stem, kind.prefix()).unwrap_or_default();
            for (_, path) in all.iter().take(all.len().saturating_sub(self.kept)) {
                let _ = self.disk.remove(path);
            }
        }
        Ok(())
    }

    /// What was undone cannot be done again, and is kept all the same.
    fn put_aside(&self, stem: &str, undone: &Path) -> Result<(), VersionError> {
        let prefix = Kept::Aside.prefix();
        let last = self.numbered(stem, prefix)?.pop();
        let next = last.map_or(1, |(number, _)| number.saturating_add(1));
        let aside = self.numbered_path(&self.beside(stem)?, prefix, next);
        Ok(self.disk.place(undone, &aside)?)
    }

    /// Goes back to the version before.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn undo(&self, stem: &str, still: Still<'_>) -> Result<(), VersionError> {
        self.step(stem, still, "old-", "undone-")
    }

    /// Takes an undo back.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn redo(&self, stem: &str, still: Still<'_>) -> Result<(), VersionError> {
        self.step(stem, still, "undone-", "old-")
    }

    /// Whether there is something to undo, and something to do again.
    #[must_use]
    pub fn steps(&self, stem: &str) -> (bool, bool) {
        let any = |prefix| self.numbered(stem, prefix).is_ok_and(|found| !found.is_empty());
        (any("old-"), any("undone-"))
    }

    /// Whether versions of this file are kept already; not where the way to them is a link.
    fn is_kept(&self, stem: &str) -> Result<bool, VersionError> {
        let hidden = self.folder.join(HIDDEN);
        for folder in [&hidden, &hidden.join(stem)] {
            if !standing(folder)?.is_some_and(|data| data.is_dir()) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What is kept beside a file; empty if there is nothing, or nothing readable.
    #[must_use]
    pub fn read_beside(&self, stem: &str) -> String {
        self.beside_text(stem).unwrap_or_default()
    }

    /// What is kept beside a file; empty if there is nothing.
    fn beside_text(&self, stem: &str) -> Result<String, VersionError> {
        match self.text(&self.beside(stem)?.join(BESIDE)) {
            // No text is nothing that was kept here.
            Err(VersionError::Missing | VersionError::NoText) => Ok(String::new()),
            read => read,
        }
    }

    /// Changes what is kept beside a file; `change` is given what is there now.
    ///
    /// # Errors
    /// The lock, or the disk.
    pub fn change_beside(&self, stem: &str, change: &dyn Fn(&str) -> String) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let old = self.beside_text(stem)?;
        let new = change(&old);
        if old == new {
            return Ok(());
        }
        self.write(&self.made_beside(stem)?.join(BESIDE), &new)
    }

    /// The text of a file that belongs to all of them, in the folder of what is kept beside them; empty if there is none.
    ///
    /// # Errors
    /// [`VersionError::NoText`], or the disk.
    pub fn read_common(&self, file: &str) -> Result<String, VersionError> {
        let hidden = self.folder.join(HIDDEN);
        // Not where the way to it is a link.
        if !is_folder(&hidden)? {
            return Ok(String::new());
        }
        let path = hidden.join(file);
        match standing(&path)? {
            Some(data) if !data.is_file() => Err(VersionError::NoText),
            None => Ok(String::new()),
            Some(_) => self.text(&path),
        }
    }

    /// Replaces such a file that still stands as it was read; `still` is asked of nothing where there is none.
    ///
    /// # Errors
    /// [`VersionError::Changed`], [`VersionError::NoText`], the lock, or the disk.
    pub fn save_common(&self, file: &str, still: Still<'_>, text: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        if !still(&self.read_common(file)?) {
            return Err(VersionError::Changed);
        }
        self.fits(text)?;
        let hidden = self.folder.join(HIDDEN);
        if !is_folder(&hidden)? {
            self.disk.make_folder(&hidden)?;
        }
        self.write(&hidden.join(file), text)
    }

    /// The folder's lock; what another left half moved is moved first.
    fn lock(&self) -> Result<FolderLock, VersionError> {
        let lock = lock_folder(&self.folder)?;
        self.settle_locked()?;
        Ok(lock)
    }

    /// Moves what was left half moved, if something was.
    ///
    /// # Errors
    /// The lock, or the disk.
    pub fn settle(&self) -> Result<(), VersionError> {
        if standing(&self.folder.join(HIDDEN).join(NOTE))?.is_some() {
            self.lock()?;
        }
        Ok(())
    }

    fn settle_locked(&self) -> Result<(), VersionError> {
        let hidden = self.folder.join(HIDDEN);
        let note = hidden.join(NOTE);
        let is_there =
            standing(&hidden)?.is_some_and(|data| data.is_dir()) && standing(&note)?.is_some_and(|data| data.is_file());
        if !is_there {
            return Ok(());
        }
        let read = fs::read(&note)?;
        if let Some(moving) = str::from_utf8(&read).ok().and_then(Moving::read) {
            self.carry_out(&moving)?;
        }
        Ok(self.disk.remove(&note)?)
    }

    /// Does what is left to do of a move.
    fn carry_out(&self, moving: &Moving) -> Result<(), VersionError> {
        let is_moved = match moving.moves.first() {
            // What stands there under the old name now is another's.
            Some((from, to)) => {
                standing(&self.folder.join(to))?.is_some()
                    && !same_file(&self.folder.join(from), &self.folder.join(to))?
            }
            None => true,
        };
        if let Some((stem, text)) = moving.text.as_ref().filter(|_| !is_moved) {
            match self.read(stem) {
                Ok(now) if now != *text => self.replace(stem, &now, text)?,
                // It is done, or has its new name already.
                Ok(_) | Err(VersionError::Missing) => {}
                Err(error) => return Err(error),
            }
        }
        for (from, to) in &moving.moves {
            moved(&*self.disk, &self.folder, from, to)?;
        }
        Ok(())
    }

    /// Writes down what is to be done, and does it.
    fn move_all(&self, moving: &Moving) -> Result<(), VersionError> {
        let hidden = self.folder.join(HIDDEN);
        if !is_folder(&hidden)? {
            self.disk.make_folder(&hidden)?;
        }
        let note = hidden.join(NOTE);
        if let Err(error) = write_file(&*self.disk, &note, moving.note().as_bytes(), Replace::No) {
            // It may be there all the same; then nothing of it is to be done.
            let _ = self.disk.remove(&note);
            return Err(error.into());
        }
        self.settle_locked()
    }

    /// Whether a name is another's than `stem`'s, or something is kept under it.
    fn is_taken(&self, name: &str, stem: &str) -> Result<bool, VersionError> {
        let file = format!("{name}{ENDING}");
        let own = format!("{stem}{ENDING}");
        let is = |wanted: &str, own: &str, there: &PathBuf| {
            let there = there.to_string_lossy();
            there.eq_ignore_ascii_case(wanted) && there != own
        };
        Ok(names_in(&self.folder)?.iter().any(|there| is(&file, &own, there))
            || is_folder(&self.folder.join(HIDDEN))?
                && names_in(&self.folder.join(HIDDEN))?
                    .iter()
                    .any(|there| is(name, stem, there)))
    }

    /// Gives a file that still stands as it was read another name and another text, both or neither; what is kept of it goes along. Names
    /// that differ in capitals alone are the same, but a file's own name may get others.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn rename(&self, stem: &str, still: Still<'_>, to: &str, text: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let old = self.unchanged(stem, still)?;
        self.fits(text)?;
        if to == stem {
            return if old == text {
                Ok(())
            } else {
                self.replace(stem, &old, text)
            };
        }
        if self.is_taken(to, stem)? {
            return Err(VersionError::Exists);
        }
        let hidden = Path::new(HIDDEN);
        self.move_all(&Moving {
            text: (old != text).then(|| (stem.to_owned(), text.to_owned())),
            moves: vec![
                (format!("{stem}{ENDING}").into(), format!("{to}{ENDING}").into()),
                (hidden.join(stem), hidden.join(to)),
            ],
        })
    }

    /// Puts a file with all that is kept of it into the bin: the number that it has there.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn bin(&self, stem: &str) -> Result<u64, VersionError> {
        let _lock = self.lock()?;
        if !standing(&self.path(stem))?.is_some_and(|data| data.is_file()) {
            return Err(VersionError::Missing);
        }
        self.beside(stem)?;
        let bin = self.folder.join(HIDDEN).join(BIN);
        for folder in [&self.folder.join(HIDDEN), &bin] {
            if !is_folder(folder)? {
                self.disk.make_folder(folder)?;
            }
        }
        let last = names_in(&bin)?
            .iter()
            .filter_map(|name| name.to_str()?.parse().ok())
            .max();
        let number: u64 = last.map_or(1, |last: u64| last.saturating_add(1));
        self.disk.make_folder(&bin.join(format!("{number:06}")))?;
        let there = binned_at(number);
        self.move_all(&Moving {
            text: None,
            moves: vec![
                (format!("{stem}{ENDING}").into(), there.join(format!("{stem}{ENDING}"))),
                (Path::new(HIDDEN).join(stem), there.join(BINNED_BESIDE)),
            ],
        })?;
        Ok(number)
    }

    /// What is in the bin, the last first.
    ///
    /// # Errors
    /// The disk.
    pub fn binned(&self) -> Result<Vec<Binned>, VersionError> {
        let hidden = self.folder.join(HIDDEN);
        let bin = hidden.join(BIN);
        if !is_folder(&hidden)? || !is_folder(&bin)? {
            return Ok(Vec::new());
        }
        let mut found = Vec::new();
        for name in names_in(&bin)? {
            let Some(number) = name.to_str().and_then(|name| name.parse().ok()) else {
                continue;
            };
            if let Some(stem) = self.binned_stem(number)? {
                let when = standing(&bin.join(&name))?.and_then(|data| data.modified().ok());
                found.push(Binned { number, stem, when });
            }
        }
        found.sort_by_key(|binned| std::cmp::Reverse(binned.number));
        Ok(found)
    }

    /// The stem of the file that has a number in the bin.
    fn binned_stem(&self, number: u64) -> Result<Option<String>, VersionError> {
        let there = self.folder.join(binned_at(number));
        if !is_folder(&there)? {
            return Ok(None);
        }
        let stem = |name: &PathBuf| name.to_str()?.strip_suffix(ENDING).map(str::to_owned);
        Ok(names_in(&there)?.iter().find_map(stem))
    }

    /// The text of a file in the bin.
    ///
    /// # Errors
    /// [`VersionError::Missing`], [`VersionError::NoText`], or the disk.
    pub fn read_binned(&self, number: u64) -> Result<String, VersionError> {
        let stem = self.binned_stem(number)?.ok_or(VersionError::Missing)?;
        self.text(&self.folder.join(binned_at(number)).join(format!("{stem}{ENDING}")))
    }

    /// Takes a file with all that was kept of it out of the bin, under a name that is free.
    ///
    /// # Errors
    /// [`VersionError`].
    pub fn unbin(&self, number: u64, to: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let stem = self.binned_stem(number)?.ok_or(VersionError::Missing)?;
        if self.is_taken(to, "")? {
            return Err(VersionError::Exists);
        }
        let there = binned_at(number);
        self.move_all(&Moving {
            text: None,
            moves: vec![
                (there.join(format!("{stem}{ENDING}")), format!("{to}{ENDING}").into()),
                (there.join(BINNED_BESIDE), Path::new(HIDDEN).join(to)),
            ],
        })?;
        let there = self.folder.join(there);
        if names_in(&there).is_ok_and(|names| names.is_empty()) {
            let _ = self.disk.remove_folder(&there); // an empty one is no file's
        }
        Ok(())
    }

    /// The versions that are kept of a file: of each kind the last first.
    ///
    /// # Errors
    /// The disk.
    pub fn kept(&self, stem: &str) -> Result<Vec<KeptVersion>, VersionError> {
        let mut kept = Vec::new();
        for kind in [Kept::Undone, Kept::Before, Kept::Aside] {
            for (number, path) in self.numbered(stem, kind.prefix())?.into_iter().rev() {
                let when = standing(&path)?.and_then(|data| data.modified().ok());
                kept.push(KeptVersion { kind, number, when });
            }
        }
        Ok(kept)
    }

    /// The text of a version that is kept.
    ///
    /// # Errors
    /// [`VersionError::Missing`], [`VersionError::NoText`], or the disk.
    pub fn read_kept(&self, stem: &str, kind: Kept, number: u64) -> Result<String, VersionError> {
        self.text(&self.numbered_path(&self.beside(stem)?, kind.prefix(), number))
    }

    fn numbered_path(&self, beside: &Path, prefix: &str, number: u64) -> PathBuf {
        beside.join(format!("{prefix}{number:06}{ENDING}"))
    }

    fn path(&self, stem: &str) -> PathBuf {
        self.folder.join(format!("{stem}{ENDING}"))
    }

    fn fits(&self, text: &str) -> Result<(), VersionError> {
        if text.len() > self.most_bytes {
            return Err(VersionError::NoText);
        }
        Ok(())
    }

    fn unchanged(&self, stem: &str, still: Still<'_>) -> Result<String, VersionError> {
        let now = self.read(stem)?;
        if still(&now) {
            Ok(now)
        } else {
            Err(VersionError::Changed)
        }
    }

    fn step(&self, stem: &str, still: Still<'_>, take: &str, keep: &str) -> Result<(), VersionError> {
        let _lock = self.lock()?;
        let now = self.unchanged(stem, still)?;
        // A crash between keeping and replacing leaves a copy of the present text: pass over it.
        for (_, path) in self.numbered(stem, take)?.into_iter().rev() {
            let text = self.text(&path)?;
            if text != now {
                self.keep(stem, keep, &now)?;
                self.write(&self.path(stem), &text)?;
                let _ = self.disk.remove(&path); // else it is passed over
                return Ok(());
            }
            self.disk.remove(&path)?;
        }
        Err(VersionError::Nothing)
    }

    /// Folder of what is kept beside a file, there or not; a link is refused, for it may lead anywhere.
    fn beside(&self, stem: &str) -> Result<PathBuf, VersionError> {
        let hidden = self.folder.join(HIDDEN);
        let beside = hidden.join(stem);
        is_folder(&hidden)?;
        is_folder(&beside)?;
        Ok(beside)
    }

    fn made_beside(&self, stem: &str) -> Result<PathBuf, VersionError> {
        let beside = self.beside(stem)?;
        for path in [&self.folder.join(HIDDEN), &beside] {
            if !is_folder(path)? {
                self.disk.make_folder(path)?;
            }
        }
        Ok(beside)
    }

    /// Numbered files of a kind, oldest first.
    pub(crate) fn numbered(&self, stem: &str, prefix: &str) -> Result<Vec<(u64, PathBuf)>, VersionError> {
        let beside = self.beside(stem)?;
        let number = |name: &PathBuf| -> Option<u64> {
            let inner = name.to_str()?.strip_prefix(prefix)?.strip_suffix(ENDING)?;
            inner.parse().ok()
        };
        let names = names_in(&beside)?.into_iter();
        let mut found: Vec<(u64, PathBuf)> = names
            .filter_map(|name| Some((number(&name)?, beside.join(name))))
            .collect();
        found.sort();
        Ok(found)
    }

    fn keep(&self, stem: &str, prefix: &str, text: &str) -> Result<(), VersionError> {
        let beside = self.made_beside(stem)?;
        let last = self.numbered(stem, prefix)?.pop();
        // Left by one that was ended between keeping and replacing.
        if last
            .as_ref()
            .is_some_and(|(_, path)| self.text(path).is_ok_and(|last| last == text))
        {
            return Ok(());
        }
        let next = last.map_or(1, |(number, _)| number.saturating_add(1));
        let path = self.numbered_path(&beside, prefix, next);
        Ok(write_file(&*self.disk, &path, text.as_bytes(), Replace::No)?)
    }

    fn write(&self, path: &Path, text: &str) -> Result<(), VersionError> {
        Ok(write_file(&*self.disk, path, text.as_bytes(), Replace::Yes)?)
    }

    /// A plain file of reasonable length.
    fn text(&self, path: &Path) -> Result<String, VersionError> {
        match path.symlink_metadata() {
            Ok(about) if about.is_file() => {}
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error.into()),
            _ => return Err(VersionError::Missing),
        }
        let most = u64::try_from(self.most_bytes).unwrap_or(u64::MAX);
        let mut bytes = Vec::new();
        File::open(path)?.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
        if bytes.len() > self.most_bytes {
            return Err(VersionError::NoText);
        }
        String::from_utf8(bytes).map_err(|_| VersionError::NoText)
    }
}

/// Writes a text file that a command made: a new one, or in place of `was`, if that still stands. Where versions of the file are
/// kept, the old one is kept too. What an earlier run left half done in the folder is put right first.
///
/// # Errors
/// [`VersionError::Exists`] if it should be new, [`VersionError::Changed`] if it is no longer `was`, the lock, or the disk.
pub fn change_file(disk: Box<dyn Disk>, path: &Path, was: Option<&[u8]>, text: &str) -> Result<(), VersionError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let versions = Versions::new(folder.to_owned(), disk, usize::MAX, usize::MAX);
    let _lock = versions.lock()?;
    // What cannot be cleared away does not stand in the way of one file.
    let _ = versions.tidy_locked();
    let Some(was) = was else {
        let written = write_file(&*versions.disk, path, text.as_bytes(), Replace::No);
        return written.map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => VersionError::Exists,
            _ => error.into(),
        });
    };
    match fs::read(path) {
        Ok(now) if now == was => {}
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error.into()),
        _ => return Err(VersionError::Changed),
    }
    let stem = path.file_name().and_then(|name| name.to_str()?.strip_suffix(ENDING));
    match (stem, str::from_utf8(was)) {
        (Some(stem), Ok(was)) if versions.is_kept(stem)? => versions.replace(stem, was, text),
        _ => versions.write(path, text),
    }
}

/// Where the bin has what has this number, within the folder.
fn binned_at(number: u64) -> PathBuf {
    Path::new(HIDDEN).join(BIN).join(format!("{number:06}"))
}

/// Whether a folder is there.
///
/// # Errors
/// If something else is there: a link, which may lead out, or a file.
pub(crate) fn is_folder(path: &Path) -> io::Result<bool> {
    match fs::symlink_metadata(path) {
        Ok(data) if data.is_dir() => Ok(true),
        Ok(_) => Err(io::Error::other(format!(
            "{} is no folder but a link or a file, and links are not followed there; move it away",
            path.display()
        ))),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}
