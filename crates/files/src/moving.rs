//! Changes that move a file together with what is kept beside it: whole, or not at all.
//!
//! What is to be done is written down first, in `FOLDER/.bonewright/_moving`, whole or not at all; then it is done, and the note goes.
//! Who takes the folder's lock and finds a note does what is left of it before anything else: a crash, or a disk that refuses on the
//! way, leaves no half.

use crate::Disk;
use crate::disk::{same_file, standing};
use std::io;
use std::path::{Component, Path, PathBuf};

/// Name of the note; no job's name begins so.
pub(crate) const NOTE: &str = "_moving";
/// First words of a move's line, and of the line after which a new text comes.
const MOVE: &str = "move";
const TEXT: &str = "text";

/// What is to be done, in the order in which it is done. Paths are those within the folder.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Moving {
    /// A file's stem and the text that it gets, before it is moved.
    pub(crate) text: Option<(String, String)>,
    /// From and to.
    pub(crate) moves: Vec<(PathBuf, PathBuf)>,
}

impl Moving {
    /// As it is written down.
    pub(crate) fn note(&self) -> String {
        let mut note = String::new();
        for (from, to) in &self.moves {
            note.push_str(&format!("{MOVE}\t{}\t{}\n", from.display(), to.display()));
        }
        if let Some((stem, text)) = &self.text {
            note.push_str(&format!("{TEXT}\t{stem}\n{text}"));
        }
        note
    }

    /// Reads a note; `None` if it is none of this program's.
    pub(crate) fn read(mut note: &str) -> Option<Self> {
        let mut read = Self::default();
        while !note.is_empty() {
            let (line, rest) = note.split_once('\n')?;
            let mut words = line.split('\t');
            match (words.next()?, words.next(), words.next(), words.next()) {
                (MOVE, Some(from), Some(to), None) => read.moves.push((within(from)?, within(to)?)),
                (TEXT, Some(stem), None, None) => {
                    within(stem)?;
                    read.text = Some((stem.to_owned(), rest.to_owned()));
                    break;
                }
                _ => return None,
            }
            note = rest;
        }
        (!read.moves.is_empty()).then_some(read)
    }
}

/// A path that stays within the folder.
fn within(text: &str) -> Option<PathBuf> {
    let path = PathBuf::from(text);
    let plain = !text.is_empty() && path.components().all(|part| matches!(part, Component::Normal(_)));
    plain.then_some(path)
}

/// Moves what is still to be moved; what stands in the way of it stays, and so does what was to be moved there.
///
/// # Errors
/// The disk.
pub(crate) fn moved(disk: &dyn Disk, folder: &Path, from: &Path, to: &Path) -> io::Result<()> {
    let (from, to) = (folder.join(from), folder.join(to));
    if standing(&from)?.is_none() {
        return Ok(());
    }
    let [a, b] = [&from, &to].map(|path| path.to_string_lossy().to_lowercase());
    if a == b {
        // On some disks both are one name already.
        disk.replace(&from, &to)?;
    } else if standing(&to)?.is_none() {
        disk.place(&from, &to)?;
    } else if same_file(&from, &to)? {
        // It was given its new name, and ended before it lost the old one.
        disk.remove(&from)?;
    }
    for path in [&from, &to] {
        if let Some(folder) = path.parent().filter(|folder| folder.is_dir()) {
            disk.sync_folder(folder)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_is_read_as_it_was_written() {
        let moving = Moving {
            text: Some(("a".into(), "title = \"x\"\nmove\tb\tc\n".into())),
            moves: vec![
                ("a.toml".into(), "b.toml".into()),
                (".bonewright/a".into(), ".bonewright/b".into()),
            ],
        };
        assert_eq!(Moving::read(&moving.note()), Some(moving.clone()));
        let plain = Moving { text: None, ..moving };
        assert_eq!(Moving::read(&plain.note()), Some(plain));
        for bad in [
            "",
            "move\ta\n",
            "move\t../a\tb\n",
            "move\t/a\tb\n",
            "text\ta\nx",
            "nonsense\n",
            "move\ta\tb",
        ] {
            assert_eq!(Moving::read(bad), None, "{bad:?}");
        }
    }
}
