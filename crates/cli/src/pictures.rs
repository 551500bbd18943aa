//! `--out DIR`: the sheets that a command draws beside its page.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::{source, speak};
use clap::Args;
use drawing::{DrawingError, Sheet, SheetSet};
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

    /// Draws and writes the sheets if a folder is given.
    ///
    /// # Errors
    /// [`Failure::Job`] if they cannot be drawn, [`Failure::File`] if they cannot be written.
    pub fn write(
        &self,
        path: &Path,
        set: SheetSet,
        draw: impl FnOnce() -> Result<Vec<Sheet>, DrawingError>,
    ) -> Result<(), Failure> {
        let Some(folder) = &self.out else { return Ok(()) };
        let names = write(folder, path, set, self.force, draw)?;
        // Standard output may be JSON.
        speak::error(&format!("Written to {}: {}.", folder.display(), names.join(", ")));
        Ok(())
    }
}

/// Draws sheets and writes them into a folder; their names are the job's with that of the set added.
///
/// # Errors
/// [`Failure::Job`] if they cannot be drawn, [`Failure::File`] if they cannot be written.
pub fn write(
    folder: &Path,
    job: &Path,
    set: SheetSet,
    force: bool,
    draw: impl FnOnce() -> Result<Vec<Sheet>, DrawingError>,
) -> Result<Vec<String>, Failure> {
    let drawn = draw().and_then(|sheets| set.files(&sheets, &source::stem(job)));
    let new: Vec<NewFile> = drawn.map_err(speak::undrawn)?.into_iter().map(NewFile::from).collect();
    files::write_all(folder, &new, force)?;
    Ok(new.into_iter().map(|file| file.name).collect())
}
