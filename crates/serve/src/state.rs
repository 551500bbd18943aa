//! What the server keeps of itself beside the jobs: the token of the pages, and the devices that were let in.
//!
//! `FOLDER/.bonewright/_page.toml`, for its owner's eyes alone (mode 0600), written whole or not at all. It lets a page that was
//! loaded before a restart work after it. That is safe against the pages of other sites: the token is in no address and in no
//! page but ours, which a browser gives no other site to read; a page that stayed open knows it anyway, for as long as it is open;
//! and every post is held against `Origin` and `Sec-Fetch-Site` besides. Each folder has a token of its own, so that a page of one
//! folder changes nothing in another that is served at the same address later.

use std::fs;
use std::io::{self, Write};
use std::path::PathBuf;

use files::HIDDEN;
use serde::{Deserialize, Serialize};
use tempfile::Builder;

/// The file. The name of a job begins with a letter or a digit, so no job has this one beside it.
const FILE: &str = "_page.toml";
/// Beginning of the name of a file that is being written.
const UNFINISHED: &str = "_unfinished-";
/// Longest file that is read, bytes: some hundred devices.
const MOST: u64 = 64 * 1024;

/// A device that gave a key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Device {
    /// What the list calls it by; no secret.
    pub id: String,
    /// What its browser shows with every request.
    pub pass: String,
    /// When it came in, seconds since 1970.
    pub came: u64,
    /// When it was last here, seconds since 1970, to some minutes; 0 where that was not kept.
    #[serde(default)]
    pub seen: u64,
    /// A word from its browser that tells what it is.
    pub what: String,
}

/// What is kept.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kept {
    /// What every post carries.
    pub token: String,
    /// The devices, the first first.
    #[serde(default, rename = "device")]
    pub devices: Vec<Device>,
}

/// Where it is kept.
#[derive(Debug)]
pub struct StateFile {
    folder: PathBuf,
}

impl StateFile {
    /// In the hidden folder beside the jobs of this folder. Neither need be there yet.
    #[must_use]
    pub const fn new(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// What was kept, if it can be read. Nothing is read through a link.
    #[must_use]
    pub fn read(&self) -> Option<Kept> {
        let path = self.folder.join(HIDDEN).join(FILE);
        let about = path.symlink_metadata().ok()?;
        if !about.is_file() || about.len() > MOST {
            return None;
        }
        toml::from_str(&fs::read_to_string(path).ok()?).ok()
    }

    /// Changes what is kept; `change` is given what is there now. Another bench on the same folder waits meanwhile.
    ///
    /// # Errors
    /// The disk; what was kept stands then as it was.
    pub fn change(&self, change: impl FnOnce(Option<Kept>) -> Kept) -> io::Result<()> {
        let _lock = files::lock_folder(&self.folder)?;
        let hidden = self.folder.join(HIDDEN);
        match hidden.symlink_metadata() {
            Ok(about) if about.is_dir() => {}
            Ok(_) => return Err(io::Error::other("its place is no folder")),
            Err(_) => fs::create_dir(&hidden)?,
        }
        // What a crash left. Who writes such a file holds the lock.
        for entry in fs::read_dir(&hidden)?.flatten() {
            if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
                let _ = fs::remove_file(entry.path());
            }
        }
        let text = toml::to_string(&change(self.read())).map_err(io::Error::other)?;
        // Such a file is its owner's alone from the beginning.
        let mut file = Builder::new().prefix(UNFINISHED).tempfile_in(&hidden)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist(hidden.join(FILE)).map_err(|error| error.error)?;
        // The new name itself must reach the disk too.
        #[cfg(unix)]
        fs::File::open(&hidden)?.sync_all()?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_its_owners_alone_and_read_through_no_link() {
        let folder = tempfile::tempdir().unwrap();
        let hidden = folder.path().join(HIDDEN);
        let state = StateFile::new(folder.path().into());
        assert_eq!(state.read(), None);
        let device = Device {
            id: "1".into(),
            pass: "2".into(),
            came: 3,
            seen: 4,
            what: "Four".into(),
        };
        let kept = Kept {
            token: "t".into(),
            devices: vec![device],
        };
        state.change(|_| Kept::default()).unwrap();
        let half = hidden.join(format!("{UNFINISHED}x"));
        fs::write(&half, "half").unwrap();
        let set = |old| {
            assert_eq!(old, Some(Kept::default()));
            kept.clone()
        };
        state.change(set).unwrap();
        assert!(!half.exists());
        assert_eq!(state.read(), Some(kept));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let file = hidden.join(FILE);
            assert_eq!(file.metadata().unwrap().permissions().mode() & 0o777, 0o600);
            let moved = folder.path().join("elsewhere");
            fs::rename(&file, &moved).unwrap();
            std::os::unix::fs::symlink(&moved, &file).unwrap();
            assert_eq!(state.read(), None);
        }
    }
}
