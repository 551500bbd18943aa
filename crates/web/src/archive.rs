//! Jobs in one file: the folder of jobs, packed as a ZIP archive, or a single job as it is.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read, Write};

use pages::{Change, JobName, MOST_BYTES, MemoryJobs, OWN_PROFILES, Record, free};
use thiserror::Error;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use crate::clock;

/// Most files that an archive may hold: every job that a shop has with all that is kept of it.
const MOST_FILES: usize = 100_000;
/// Most of all texts together, bytes: a small archive may unpack to any size.
const MOST_ALL: usize = 200_000_000;
/// What an archive begins with, also an empty one (APPNOTE 6.3.9, 4.3.7 and 4.3.16).
const MARKS: [&[u8]; 2] = [b"PK\x03\x04", b"PK\x05\x06"];

/// Why a file is not taken in. Nothing of it is.
#[derive(Debug, Error, PartialEq, Eq)]
pub(crate) enum Refused {
    /// No archive that can be read.
    #[error(
        "This file is broken, or no packed folder: {0}. Nothing was taken in. If it was sent or copied, do that again."
    )]
    Broken(String),
    /// Too much.
    #[error("This file unpacks to more than a folder of jobs. Nothing was taken in.")]
    TooMuch,
    /// No job in it.
    #[error(
        "There is no job in this file. A packed folder of jobs is understood, or a single job (.toml). Nothing was taken in."
    )]
    NoJob,
}

/// Packs files, in their order.
pub(crate) fn pack(files: &[(String, Record)]) -> Result<Vec<u8>, Refused> {
    let broken = |error: &dyn std::fmt::Display| Refused::Broken(error.to_string());
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (path, record) in files {
        writer
            .start_file(path.as_str(), options)
            .map_err(|error| broken(&error))?;
        writer
            .write_all(record.text.as_bytes())
            .map_err(|error| broken(&error))?;
    }
    Ok(writer.finish().map_err(|error| broken(&error))?.into_inner())
}

/// The files of a packed folder, or of a single job of this name.
fn files(bytes: &[u8], name: &str) -> Result<Vec<(String, String)>, Refused> {
    if !MARKS.iter().any(|mark| bytes.starts_with(mark)) {
        let text = std::str::from_utf8(bytes).ok().filter(|text| text.len() <= MOST_BYTES);
        let is_named = name.to_ascii_lowercase().ends_with(".toml");
        let text = text.filter(|text| is_named && !text.trim().is_empty());
        let stem = name.get(..name.len().saturating_sub(".toml".len())).unwrap_or_default();
        return text
            .map(|text| vec![(free(&[], stem).file(), text.to_owned())])
            .ok_or(Refused::NoJob);
    }
    let broken = |error: &dyn std::fmt::Display| Refused::Broken(error.to_string());
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(&error))?;
    if archive.len() > MOST_FILES {
        return Err(Refused::TooMuch);
    }
    let mut found = Vec::new();
    let mut all = 0;
    for at in 0..archive.len() {
        let file = archive.by_index(at).map_err(|error| broken(&error))?;
        if !file.is_file() {
            continue;
        }
        let path = file.name().to_owned();
        let mut text = Vec::new();
        let most = u64::try_from(MOST_BYTES + 1).unwrap_or(u64::MAX);
        file.take(most).read_to_end(&mut text).map_err(|error| broken(&error))?;
        all += text.len();
        if all > MOST_ALL {
            return Err(Refused::TooMuch);
        }
        if let Ok(text) = String::from_utf8(text) {
            found.push((path, text));
        }
    }
    // Packed by hand, the folder itself may stand before every path.
    let tops: BTreeSet<&str> = found
        .iter()
        .filter_map(|(path, _)| Some(path.split_once('/')?.0))
        .collect();
    let top = match tops.into_iter().collect::<Vec<_>>()[..] {
        [one] if one != ".bonewright" && found.iter().all(|(path, _)| path.contains('/')) => format!("{one}/"),
        _ => String::new(),
    };
    let below = found
        .into_iter()
        .map(|(path, text)| (path.strip_prefix(&top).map_or(path.clone(), str::to_owned), text));
    Ok(below.collect())
}

/// What was taken in.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct TakenIn {
    /// Jobs that are new here.
    pub(crate) new: usize,
    /// Jobs that are here already, to the letter.
    pub(crate) same: usize,
    /// Jobs that have another name here, since theirs is another job's.
    pub(crate) renamed: Vec<(JobName, JobName)>,
    /// What became of the shop's own profiles; nothing where there are none in it, or the same are here.
    pub(crate) own: Option<Own>,
}

/// What became of the shop's own profiles of a packed folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Own {
    /// There were none here, and they are now.
    TakenIn,
    /// There are others here, which stay.
    Left,
}

impl TakenIn {
    /// In words.
    pub(crate) fn words(&self) -> String {
        let jobs = |n: usize| {
            if n == 1 {
                "1 job".to_owned()
            } else {
                format!("{n} jobs")
            }
        };
        let mut words = format!("{} taken in.", jobs(self.new));
        if self.same > 0 {
            words.push_str(&format!(" {} here already.", jobs(self.same)));
        }
        for (from, to) in &self.renamed {
            words.push_str(&format!(" {from} is another job here, so this one is {to}."));
        }
        match self.own {
            Some(Own::TakenIn) => words.push_str(" What your shop has of its own was taken in too."),
            Some(Own::Left) => words.push_str(
                " Your shop has things of its own here, which stay: what this file has of that kind was not taken in. A job that names \
                 such a thing says so.",
            ),
            None => {}
        }
        words
    }
}

/// Takes in a packed folder or a single job. No job that is here is changed: one that differs comes in under another name, with all
/// that is kept of it. The shop's own profiles come in where there are none. What is in the bin of a packed folder stays there.
pub(crate) fn unpack(jobs: &MemoryJobs, bytes: &[u8], name: &str) -> Result<(TakenIn, Vec<Change>), Refused> {
    use pages::Jobs;
    let files = files(bytes, name)?;
    let now = clock::now();
    let kept_of = |path: &str| -> Option<(String, String)> {
        let (stem, file) = path.strip_prefix(".bonewright/")?.split_once('/')?;
        Some((stem.to_owned(), file.to_owned()))
    };
    let mut kept: BTreeMap<String, Vec<(String, &String)>> = BTreeMap::new();
    for (path, text) in &files {
        if let Some((stem, file)) = kept_of(path) {
            kept.entry(stem).or_default().push((file, text));
        }
    }
    let mut taken = jobs.names();
    let mut told = TakenIn::default();
    let mut changes = Vec::new();
    let record = |text: &String| {
        Some(Record {
            text: text.clone(),
            when: now,
        })
    };
    for (path, text) in &files {
        let Some(own) = path
            .strip_suffix(".toml")
            .and_then(JobName::parse)
            .filter(|_| text.len() <= MOST_BYTES)
        else {
            continue;
        };
        if jobs.read(&own).is_ok_and(|held| held == *text) {
            told.same += 1;
            continue;
        }
        let to = free(&taken, own.as_str());
        changes.push((to.file(), record(text)));
        for (file, text) in kept.get(own.as_str()).into_iter().flatten() {
            changes.push((format!(".bonewright/{to}/{file}"), record(text)));
        }
        taken.push(to.clone());
        told.new += 1;
        if to != own {
            told.renamed.push((own, to));
        }
    }
    let own = files
        .iter()
        .find(|(path, text)| path == OWN_PROFILES && text.len() <= MOST_BYTES);
    if let Some((path, text)) = own.filter(|(_, text)| !text.trim().is_empty()) {
        match jobs.read_profiles() {
            Ok(held) if held == *text => {}
            Ok(held) if held.trim().is_empty() => {
                changes.push((path.clone(), record(text)));
                told.own = Some(Own::TakenIn);
            }
            _ => told.own = Some(Own::Left),
        }
    }
    if told.new + told.same == 0 && told.own != Some(Own::TakenIn) {
        return Err(Refused::NoJob);
    }
    Ok((told, changes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use pages::{Jobs, Version};

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    fn packed(jobs: &MemoryJobs) -> Vec<u8> {
        pack(&jobs.files(None)).unwrap()
    }

    fn take(jobs: &MemoryJobs, bytes: &[u8], file: &str) -> Result<TakenIn, Refused> {
        let (told, changes) = unpack(jobs, bytes, file)?;
        jobs.write(changes);
        Ok(told)
    }

    #[test]
    fn a_packed_folder_comes_in_whole_and_changes_no_job_that_is_there() {
        let here = MemoryJobs::default();
        let [a, b] = ["a", "b"].map(name);
        here.create(&a, "one").unwrap();
        here.save(&a, &Version::of("one"), "two").unwrap();
        here.change_beside(&a, &|_| "ticks".to_owned()).unwrap();
        here.create(&b, "of b").unwrap();
        let bytes = packed(&here);
        let there = MemoryJobs::default();
        there.create(&a, "another").unwrap();
        there.create(&b, "of b").unwrap();
        let told = take(&there, &bytes, "jobs.zip").unwrap();
        assert_eq!((told.new, told.same, told.renamed.len()), (1, 1, 1));
        let (_, to) = &told.renamed[0];
        assert_eq!(there.read(&a).unwrap(), "another");
        assert_eq!(
            (there.read(to).unwrap().as_str(), there.read_beside(to).as_str()),
            ("two", "ticks")
        );
        there.undo(to, &Version::of("two")).unwrap();
        assert_eq!(there.read(to).unwrap(), "one");
        assert!(
            there.changes().iter().any(|(path, _)| *path == to.file()),
            "it is to be written down"
        );
        // Again: it is still another job's name, and all else is here.
        let empty = MemoryJobs::default();
        assert_eq!(take(&empty, &bytes, "x").unwrap().new, 2);
        assert_eq!(
            take(&empty, &bytes, "x").unwrap(),
            TakenIn {
                same: 2,
                ..TakenIn::default()
            }
        );
        assert_eq!(empty.versions(&a).len(), 1);
    }

    #[test]
    fn the_shop_s_own_come_in_where_there_are_none() {
        let none = Version::of("");
        let here = MemoryJobs::default();
        here.create(&name("a"), "one").unwrap();
        here.save_profiles(&none, "# mine").unwrap();
        let bytes = packed(&here);
        let there = MemoryJobs::default();
        assert_eq!(take(&there, &bytes, "x.zip").unwrap().own, Some(Own::TakenIn));
        assert_eq!(there.read_profiles().unwrap(), "# mine");
        assert_eq!(take(&there, &bytes, "x.zip").unwrap().own, None);
        let other = MemoryJobs::default();
        other.save_profiles(&none, "# other").unwrap();
        let told = take(&other, &bytes, "x.zip").unwrap();
        assert!(
            told.own == Some(Own::Left) && told.words().contains("which stay"),
            "{told:?}"
        );
        assert_eq!(other.read_profiles().unwrap(), "# other");
    }

    #[test]
    fn one_job_alone_and_a_folder_packed_by_hand() {
        let jobs = MemoryJobs::default();
        let told = take(&jobs, b"title = \"x\"\n", "M\u{fc}ller's old one.TOML").unwrap();
        assert_eq!(told.new, 1);
        assert_eq!(jobs.names()[0].as_str(), "mueller-s-old-one");
        let record = |text: &str| Record {
            text: text.to_owned(),
            when: clock::now(),
        };
        let bytes = pack(&[
            ("shop/p.toml".to_owned(), record("p")),
            ("shop/.bonewright/p/old-000001.toml".to_owned(), record("o")),
        ])
        .unwrap();
        take(&jobs, &bytes, "shop.zip").unwrap();
        assert_eq!(
            (jobs.read(&name("p")).unwrap().as_str(), jobs.versions(&name("p")).len()),
            ("p", 1)
        );
    }

    #[test]
    fn what_is_broken_or_holds_no_job_changes_nothing() {
        let here = MemoryJobs::default();
        here.create(&name("a"), "one").unwrap();
        let whole = packed(&here);
        let jobs = MemoryJobs::default();
        for cut in 0..whole.len() {
            assert!(take(&jobs, &whole[..cut], "x.zip").is_err(), "{cut}");
        }
        let other = pack(&[(
            "notes.txt".to_owned(),
            Record {
                text: "x".to_owned(),
                when: clock::now(),
            },
        )])
        .unwrap();
        for (bytes, file) in [
            (&other[..], "o.zip"),
            (b"", "a.toml"),
            (b"text", "a.txt"),
            (b"\xff\xfe", "a.toml"),
        ] {
            assert_eq!(take(&jobs, bytes, file), Err(Refused::NoJob), "{file}");
        }
        // A byte turned over is found by the archive's own sum, or is of a name or a date.
        let mut turned = whole;
        let at = turned.windows(3).position(|three| three == b"one").unwrap_or(40);
        turned[at] ^= 1;
        assert!(take(&jobs, &turned, "x.zip").is_err());
        assert!(jobs.names().is_empty());
        assert!(matches!(
            take(&jobs, b"PK\x03\x04 and no more", "x"),
            Err(Refused::Broken(_))
        ));
    }

    #[test]
    fn what_was_taken_in_in_words() {
        let told = TakenIn {
            new: 1,
            same: 2,
            renamed: vec![(name("a"), name("a-2"))],
            own: None,
        };
        assert_eq!(
            told.words(),
            "1 job taken in. 2 jobs here already. a is another job here, so this one is a-2."
        );
    }
}
