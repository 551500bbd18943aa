//! The files of a part.

use crate::names::{part_stem, whole_name};
use crate::sheet_files::{sheet_file, sheet_files};
use crate::{DrawingError, FileKind, NamedFile, PartWork, SheetOptions};

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
    let solid = [FileKind::Dxf, FileKind::Stl].into_iter().find_map(|kind| {
        let named = name == whole_name(&stem, kind.ending());
        Some((kind, named.then(|| solid(part, kind)).flatten()?))
    });
    match solid {
        Some((kind, content)) => Some(content.map(|content| (kind, content))),
        None => sheet_file(&stem, name, dpi, || part.sheets(options)),
    }
}
