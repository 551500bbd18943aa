//! The files of a part.

use crate::names::{part_stem, sheet_name, whole_name};
use crate::sheet_files::{picture, sheet_files};
use crate::{DrawingError, FileKind, NamedFile, PartWork, SheetOptions, pdf};

/// The files of a part of these kinds, `dpi` dots per inch; none of an STL of a nut. `stem` is the name of the job file without folder
/// and ending.
///
/// # Errors
/// As [`PartWork::sheets`] and [`PartWork::dxf`]; a resolution out of range, or what a library refuses.
pub fn part_files(
    part: &PartWork,
    stem: &str,
    options: &SheetOptions,
    kinds: &[FileKind],
    dpi: f64,
) -> Result<Vec<NamedFile>, DrawingError> {
    let stem = part_stem(stem, part.kind());
    let mut files = Vec::new();
    if kinds.iter().any(|kind| kind.on_sheets()) {
        files.extend(sheet_files(&part.sheets(options)?, &stem, kinds, dpi)?);
    }
    for kind in [FileKind::Dxf, FileKind::Stl] {
        if let Some(content) = kinds.contains(&kind).then(|| solid(part, kind)).flatten() {
            files.push((whole_name(&stem, kind.ending()), content?));
        }
    }
    Ok(files)
}

/// The DXF or the STL of a part.
fn solid(part: &PartWork, kind: FileKind) -> Option<Result<Vec<u8>, DrawingError>> {
    match kind {
        FileKind::Dxf => Some(part.dxf().map(String::into_bytes)),
        _ => part.stl(),
    }
}

/// The one file of a part that has this name, as [`part_files`] names it; `None` if there is none.
///
/// # Errors
/// Inside, as [`part_files`].
#[must_use]
pub fn part_file(
    part: &PartWork,
    stem: &str,
    options: &SheetOptions,
    name: &str,
    dpi: f64,
) -> Option<Result<(FileKind, Vec<u8>), DrawingError>> {
    let stem = part_stem(stem, part.kind());
    let kind = FileKind::ALL
        .into_iter()
        .find(|kind| name.ends_with(&format!(".{}", kind.ending())))?;
    let whole = name == whole_name(&stem, kind.ending());
    let content = match kind {
        FileKind::Dxf | FileKind::Stl if whole => solid(part, kind)?,
        FileKind::Pdf if whole => part.sheets(options).and_then(|sheets| pdf(&sheets)),
        FileKind::Svg | FileKind::Png => {
            // The name says which sheet, before any is drawn.
            let number = name.rsplit_once('.')?.0.rsplit_once('-')?.1.parse::<usize>().ok()?;
            if name != sheet_name(&stem, number, kind.ending()) {
                return None;
            }
            match part.sheets(options) {
                Ok(sheets) => picture(sheets.get(number.checked_sub(1)?)?, kind, dpi),
                Err(error) => Err(error),
            }
        }
        _ => return None,
    };
    Some(content.map(|content| (kind, content)))
}
