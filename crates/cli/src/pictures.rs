//! `--out DIR`: the sheets that a command draws beside its page.

use crate::failure::Failure;
use crate::files::{self, NewFile};
use crate::speak;
use clap::Args;
use drawing::{DrawingError, Sheet, SheetOptions};
use job::Job;
use std::path::{Path, PathBuf};
use units::BenchUnit;

/// Dots per inch of the pictures.
const DPI: f64 = 150.0;

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

    /// Draws and writes the sheets if a folder is given. Their names are the job's with `kind` added.
    ///
    /// # Errors
    /// [`Failure::Job`] if they cannot be drawn, [`Failure::File`] if they cannot be written.
    pub fn write(
        &self,
        path: &Path,
        kind: &str,
        draw: impl FnOnce() -> Result<Vec<Sheet>, DrawingError>,
    ) -> Result<(), Failure> {
        let Some(folder) = &self.out else { return Ok(()) };
        let new = draw()
            .and_then(|sheets| named(&format!("{}-{kind}", stem(path)), &sheets))
            .map_err(|why| {
                speak::error(&format!("error: {why}. Nothing was written."));
                Failure::Job
            })?;
        files::write_all(folder, &new, self.force)?;
        let names: Vec<&str> = new.iter().map(|file| file.name.as_str()).collect();
        // Standard output may be JSON.
        speak::error(&format!("Written to {}: {}.", folder.display(), names.join(", ")));
        Ok(())
    }
}

/// The job's own paper and title.
pub fn options(job: &Job, bench: BenchUnit, notes: Vec<String>) -> SheetOptions {
    SheetOptions {
        paper: match job.paper {
            job::Paper::A4 => drawing::Paper::A4,
            job::Paper::Letter => drawing::Paper::Letter,
        },
        bench,
        title: job.title.clone(),
        notes,
    }
}

/// Name of the job file without folder and ending.
fn stem(path: &Path) -> String {
    let stem = path.file_stem().filter(|_| !files::is_stdin(path));
    stem.map_or_else(|| "saddle".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// One PDF for printing, and an SVG and a PNG of every sheet, numbered from 1.
fn named(stem: &str, sheets: &[Sheet]) -> Result<Vec<NewFile>, DrawingError> {
    let mut new = vec![NewFile {
        name: format!("{stem}.pdf"),
        content: drawing::pdf(sheets)?,
    }];
    for (i, sheet) in sheets.iter().enumerate() {
        let name = |ending: &str| format!("{stem}-{}.{ending}", i + 1);
        new.push(NewFile {
            name: name("svg"),
            content: sheet.svg().into_bytes(),
        });
        new.push(NewFile {
            name: name("png"),
            content: drawing::png(sheet, DPI)?,
        });
    }
    Ok(new)
}
