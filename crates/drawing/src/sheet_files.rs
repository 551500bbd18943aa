//! Sheets as files.

use crate::names::{sheet_name, whole_name};
use crate::{DrawingError, Sheet, pdf, png};

/// Dots per inch of a picture, unless another resolution is asked for.
pub const PICTURE_DPI: f64 = 150.0;

/// A kind of file that is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// All sheets in one file, for printing.
    Pdf,
    /// The sheets, one file each.
    Svg,
    /// Pictures of the sheets.
    Png,
    /// Outline, ridge and stations on layers, mm.
    Dxf,
    /// The finished part as a solid, mm.
    Stl,
}

impl FileKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Pdf, Self::Svg, Self::Png, Self::Dxf, Self::Stl];

    /// How its names end, without the dot.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
            Self::Png => "png",
            Self::Dxf => "dxf",
            Self::Stl => "stl",
        }
    }

    /// Whether it is made of sheets.
    #[must_use]
    pub fn on_sheets(self) -> bool {
        matches!(self, Self::Pdf | Self::Svg | Self::Png)
    }
}

/// Name and content of a file.
pub type NamedFile = (String, Vec<u8>);

/// Sheets that tell what was worked out for a saddle, beside those of its plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetSet {
    /// What the file does to every string.
    Filing,
    /// How sure the plan is.
    Tolerance,
    /// For the owner: whether a saddle is the remedy.
    Owner,
}

impl SheetSet {
    fn word(self) -> &'static str {
        match self {
            Self::Filing => "filing",
            Self::Tolerance => "tolerance",
            Self::Owner => "assess",
        }
    }

    /// One PDF for printing, and an SVG and a PNG of every sheet. `stem` is the name of the job file without folder and ending.
    ///
    /// # Errors
    /// No sheets, or what a library refuses.
    pub fn files(self, sheets: &[Sheet], stem: &str) -> Result<Vec<NamedFile>, DrawingError> {
        let stem = format!("{stem}-{}", self.word());
        sheet_files(
            sheets,
            &stem,
            &[FileKind::Pdf, FileKind::Svg, FileKind::Png],
            PICTURE_DPI,
        )
    }
}

/// Sheets as those of these kinds of file that hold sheets: first the PDF, then every SVG, then every PNG, `dpi` dots per inch. All
/// names begin with `stem`.
pub(crate) fn sheet_files(
    sheets: &[Sheet],
    stem: &str,
    kinds: &[FileKind],
    dpi: f64,
) -> Result<Vec<NamedFile>, DrawingError> {
    let mut files = Vec::new();
    if kinds.contains(&FileKind::Pdf) {
        files.push((whole_name(stem, FileKind::Pdf.ending()), pdf(sheets)?));
    }
    for kind in [FileKind::Svg, FileKind::Png] {
        if !kinds.contains(&kind) {
            continue;
        }
        for (number, sheet) in (1..).zip(sheets) {
            files.push((sheet_name(stem, number, kind.ending()), picture(sheet, kind, dpi)?));
        }
    }
    Ok(files)
}

/// One sheet as an SVG, or as a PNG.
pub(crate) fn picture(sheet: &Sheet, kind: FileKind, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    match kind {
        FileKind::Png => png(sheet, dpi),
        _ => Ok(sheet.svg().into_bytes()),
    }
}
