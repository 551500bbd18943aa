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

/// Sheets that tell what was read of an instrument or worked out for a saddle, beside those of its plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetSet {
    /// What the file does to every string.
    Filing,
    /// How sure the plan is.
    Tolerance,
    /// What was read.
    Read,
    /// For the owner: whether a saddle is the remedy.
    Owner,
    /// For the owner, after the work.
    HandedBack,
}

impl SheetSet {
    fn word(self) -> &'static str {
        match self {
            Self::Filing => "filing",
            Self::Tolerance => "tolerance",
            Self::Read => "check",
            Self::Owner => "assess",
            Self::HandedBack => "after",
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

    /// The one file of the set that has this name, as [`SheetSet::files`] names it; `None` if there is none. Nothing is drawn to learn that.
    ///
    /// # Errors
    /// Inside, those of `draw` and what a library refuses.
    #[must_use]
    pub fn file(
        self,
        stem: &str,
        name: &str,
        draw: impl FnOnce() -> Result<Vec<Sheet>, DrawingError>,
    ) -> Option<Result<(FileKind, Vec<u8>), DrawingError>> {
        sheet_file(&format!("{stem}-{}", self.word()), name, PICTURE_DPI, draw)
    }
}

/// The one file of sheets that has this name, as [`sheet_files`] names it, a picture with `dpi` dots per inch; `None` if
/// there is none.
pub(crate) fn sheet_file(
    stem: &str,
    name: &str,
    dpi: f64,
    draw: impl FnOnce() -> Result<Vec<Sheet>, DrawingError>,
) -> Option<Result<(FileKind, Vec<u8>), DrawingError>> {
    let named = |kind: &FileKind| name.ends_with(&format!(".{}", kind.ending()));
    let kind = FileKind::ALL.into_iter().filter(|kind| kind.on_sheets()).find(named)?;
    if kind == FileKind::Pdf {
        let whole = name == whole_name(stem, kind.ending());
        return whole.then(|| draw().and_then(|sheets| pdf(&sheets)).map(|content| (kind, content)));
    }
    // The name says which sheet, before any is drawn.
    let number = name.rsplit_once('.')?.0.rsplit_once('-')?.1.parse::<usize>().ok()?;
    if name != sheet_name(stem, number, kind.ending()) {
        return None;
    }
    let content = match draw() {
        Ok(sheets) => picture(sheets.get(number.checked_sub(1)?)?, kind, dpi),
        Err(error) => Err(error),
    };
    Some(content.map(|content| (kind, content)))
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
fn picture(sheet: &Sheet, kind: FileKind, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    match kind {
        FileKind::Png => png(sheet, dpi),
        _ => Ok(sheet.svg().into_bytes()),
    }
}
