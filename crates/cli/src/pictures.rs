//! `--out DIR`: the sheets that a command draws beside its page.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::{source, speak};
use clap::Args;
use drawing::{DrawingError, Sheet, SheetSet};
use job::Job;
use std::path::{Path, PathBuf};

/// Where the sheets go.
#[derive(Args)]
pub struct PictureArgs {
    /// Draw it too, and write the sheets (SVG, PDF and PNG) into this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Replace files of the same name
    #[arg(long)]
    force: bool,
}

impl PictureArgs {
    /// For what is told of a nut alone, which has no sheets.
    ///
    /// # Errors
    /// [`Failure::Use`] if sheets are asked for.
    pub fn saddle_only(&self) -> Result<(), Failure> {
        match self.out {
            None => Ok(()),
            Some(_) => Err(Failure::Use(
                "--out draws the saddle alone. Take --part saddle where one is made, or leave --out out.".to_owned(),
            )),
        }
    }

    /// Draws and writes the sheets of each of these if a folder is given, all of them or none.
    ///
    /// # Errors
    /// [`Failure::Job`] if they cannot be drawn, [`Failure::File`] if they cannot be written.
    pub fn write<'j, T>(
        &self,
        path: &Path,
        set: SheetSet,
        each: &[T],
        draw: impl Fn(&T) -> Result<(&'j Job, Vec<Sheet>), DrawingError>,
    ) -> Result<(), Failure> {
        let Some(folder) = &self.out else { return Ok(()) };
        let drawn = each.iter().map(|one| draw(one).map(|(job, sheets)| (set, job, sheets)));
        let names = write(folder, path, self.force, drawn)?;
        // Standard output may be JSON.
        speak::error(&format!("Written to {}: {}.", folder.display(), names.join(", ")));
        Ok(())
    }
}

/// Draws sets of sheets and writes them into a folder, all or none; their names are the job's with that of the set added.
///
/// # Errors
/// [`Failure::Job`] if they cannot be drawn, [`Failure::File`] if they cannot be written.
pub fn write<'j>(
    folder: &Path,
    path: &Path,
    force: bool,
    drawn: impl Iterator<Item = Result<(SheetSet, &'j Job, Vec<Sheet>), DrawingError>>,
) -> Result<Vec<String>, Failure> {
    let stem = source::stem(path);
    let files = |drawn: Result<(SheetSet, &Job, Vec<Sheet>), DrawingError>| {
        let (set, job, sheets) = drawn?;
        set.files(&sheets, &drawing::job_stem(&stem, job))
    };
    let mut new: Vec<NewFile> = Vec::new();
    for drawn in drawn {
        new.extend(files(drawn).map_err(speak::undrawn)?.into_iter().map(NewFile::from));
    }
    files::write_all(folder, &new, force)?;
    Ok(new.into_iter().map(|file| file.name).collect())
}
