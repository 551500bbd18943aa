//! Sheets as one PDF, a page each, with real text.

use crate::svg::{Reader, write};
use crate::text::{BOLD, REGULAR};
use crate::{DrawingError, Sheet};
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use usvg::{Options, Tree};

/// PDF points in a millimetre: 72 to the inch (ISO 32000-1, 8.3.2.3).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// A sheet read by the SVG library with the carried font, and no other.
pub(crate) fn tree(sheet: &Sheet) -> Result<Tree, DrawingError> {
    if !crate::text::fonts_readable() {
        return Err(DrawingError::Font);
    }
    let mut options = Options::default();
    let fonts = options.fontdb_mut();
    fonts.load_font_data(REGULAR.to_vec());
    fonts.load_font_data(BOLD.to_vec());
    if fonts.len() < 2 {
        return Err(DrawingError::Font);
    }
    let family = fonts
        .faces()
        .next()
        .and_then(|face| face.families.first().map(|f| f.0.clone()));
    fonts.set_sans_serif_family(family.ok_or(DrawingError::Font)?);
    Tree::from_str(&write(sheet, Reader::Inside), &options).map_err(|e| library(sheet, "a picture", e))
}

pub(crate) fn library(sheet: &Sheet, into: &'static str, reason: impl std::fmt::Display) -> DrawingError {
    DrawingError::Library {
        sheet: sheet.heading.clone(),
        into,
        reason: reason.to_string(),
    }
}

/// The sheets as one PDF file: a page each, exactly as large as the paper. The same sheets give the same bytes.
///
/// # Errors
/// No sheets, a font that cannot be read, or a refusal of the PDF library.
#[allow(clippy::cast_possible_truncation)] // PDF numbers are f32; a page is some hundred points
pub fn pdf(sheets: &[Sheet]) -> Result<Vec<u8>, DrawingError> {
    let first = sheets.first().ok_or(DrawingError::NoSheets)?;
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(first.title.clone())
            .creator(crate::PROGRAM.to_owned()),
    );
    for sheet in sheets {
        let (width, height) = (
            (sheet.width * POINTS_PER_MM) as f32,
            (sheet.height * POINTS_PER_MM) as f32,
        );
        let refused = || library(sheet, "PDF", "the size of the page was refused");
        let settings = PageSettings::from_wh(width, height).ok_or_else(refused)?;
        let size = Size::from_wh(width, height).ok_or_else(refused)?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface
            .draw_svg(&tree(sheet)?, size, SvgSettings::default())
            .ok_or_else(|| library(sheet, "PDF", "the drawing was refused"))?;
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|e| library(first, "PDF", format!("{e:?}")))
}
