//! What is asked of a disk, so that tests can let it fail at any call.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A disk that may refuse. Each call is one step that a crash can come before or after.
pub trait Disk: Send + Sync + std::fmt::Debug {
    /// Makes a folder that is not there yet.
    ///
    /// # Errors
    /// If it is there, or the disk refuses.
    fn make_folder(&self, path: &Path) -> io::Result<()>;

    /// Writes a file that is not there yet and forces it to the disk.
    ///
    /// # Errors
    /// If it is there, or the disk refuses; then it may be half written.
    fn write_new(&self, path: &Path, content: &[u8]) -> io::Result<()>;

    /// Gives a file the permissions of another.
    ///
    /// # Errors
    /// If either is not there, or the disk refuses.
    fn copy_mode(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Moves a file over whatever file stands there.
    ///
    /// # Errors
    /// If a folder stands there, or the disk refuses; then nothing is moved.
    fn replace(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Moves a file to where nothing stands.
    ///
    /// # Errors
    /// If something stands there, or the disk refuses; then nothing is moved.
    fn place(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Removes a file.
    ///
    /// # Errors
    /// If it is not there, or the disk refuses.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Removes a folder with all that is in it.
    ///
    /// # Errors
    /// If the disk refuses; then part of it may be gone.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;

    /// Forces to the disk which names a folder holds.
    ///
    /// # Errors
    /// If the disk refuses.
    fn sync_folder(&self, path: &Path) -> io::Result<()>;
}

/// The machine's own.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn make_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn write_new(&self, path: &Path, content: &[u8]) -> io::Result<()> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
        file.write_all(content)?;
        file.sync_all()
    }

    fn copy_mode(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::set_permissions(to, from.metadata()?.permissions())
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn place(&self, from: &Path, to: &Path) -> io::Result<()> {
        // A second name is refused where something stands, without a moment between the look and the move.
        if cfg!(unix) {
            match fs::hard_link(from, to) {
                Ok(()) => return fs::remove_file(from),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Err(error),
                // A disk without second names, such as a memory card's.
                Err(_) => {}
            }
        }
        if standing(to)?.is_some() {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir_all(path)
    }

    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        if cfg!(unix) {
            File::open(path)?.sync_all()?;
        }
        Ok(())
    }
}

// What cannot be looked at is never taken for what is not there: files that stand would be lost by it.

/// Names in a folder; none where there is no folder.
///
/// # Errors
/// If it cannot be listed to its end.
pub(crate) fn names_in(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let names = entries.map(|entry| Ok(PathBuf::from(entry?.file_name())));
    let mut names = names.collect::<io::Result<Vec<PathBuf>>>()?;
    names.sort();
    Ok(names)
}

/// What stands under a name, a link itself if it is one; `None` if nothing does.
///
/// # Errors
/// If it cannot be told.
pub(crate) fn standing(path: &Path) -> io::Result<Option<Metadata>> {
    match path.symlink_metadata() {
        Ok(data) => Ok(Some(data)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Whether two names are one file's.
///
/// # Errors
/// If it cannot be told.
pub(crate) fn same_file(a: &Path, b: &Path) -> io::Result<bool> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let id = |path: &Path| Ok::<_, io::Error>(standing(path)?.map(|data| (data.dev(), data.ino())));
        let id_a = id(a)?;
        Ok(id_a.is_some() && id_a == id(b)?)
    }
    #[cfg(not(unix))]
    {
        let _ = (a, b);
        Ok(false)
    }
}
