//! The files of cutting: programs, setup sheets, and pictures of what is left.

use crate::names::{left_name, part_stem, program_name};
use crate::sheet_files::sheet_files;
use crate::{
    DrawingError, FileKind, NamedFile, PICTURE_DPI, PartWork, SheetOptions, colour_png, cut_sheets, outcome_sheet,
};
use work::{Made, Planned};

/// The programs that were made of a job's parts, then part by part its setup sheets and a picture of what each setup leaves. `stem` is
/// the name of the job file without folder and ending.
///
/// # Errors
/// As [`cut_sheets`], or what a library refuses.
pub fn cut_files(done: &Planned, made: &[&Made], stem: &str) -> Result<Vec<NamedFile>, DrawingError> {
    let programs = made.iter().flat_map(|made| &made.prepared.programs);
    let mut files: Vec<NamedFile> = programs
        .map(|program| (program_name(stem, program), program.text.clone().into_bytes()))
        .collect();
    for setups in made.chunk_by(|a, b| a.setup.part == b.setup.part) {
        let Some(part) = setups.first().and_then(|first| PartWork::of(done, first.setup.part)) else {
            continue;
        };
        let options = SheetOptions::of(&done.job, part.hazards(), Vec::new());
        let name = part_stem(stem, part.kind());
        let sheets = cut_sheets(part.plan(), setups, stem, &options)?;
        files.extend(sheet_files(
            &sheets,
            &format!("{name}-setup"),
            &[FileKind::Pdf, FileKind::Svg],
            PICTURE_DPI,
        )?);
        for made in setups {
            if let Some(drawn) = outcome_sheet(part.plan(), made, &options) {
                let (sheet, maps) = drawn?;
                files.push((
                    left_name(&name, made.setup.kind),
                    colour_png(&sheet, &maps, PICTURE_DPI)?,
                ));
            }
        }
    }
    Ok(files)
}
