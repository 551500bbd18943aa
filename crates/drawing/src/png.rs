//! A sheet as a PNG picture that knows its scale.

use crate::pdf::{library, tree};
use crate::{DrawingError, Sheet};
use png::{BitDepth, ColorType, Encoder, PixelDimensions, Unit};
use resvg::tiny_skia::{Pixmap, Transform};

/// Least and largest resolution, dots per inch: a thumbnail, and what a desk can hold in memory.
const RESOLUTION: (f64, f64) = (30.0, 1200.0);
/// usvg's user units in an inch (CSS).
const CSS_DPI: f64 = 96.0;

/// The sheet as a grey PNG of `dpi` dots per inch, which the file states (pHYs) so that it prints at true scale.
///
/// # Errors
/// A resolution outside 30 to 1200, a font that cannot be read, or a refusal of a library.
pub fn png(sheet: &Sheet, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    let pixmap = raster(sheet, dpi, RESOLUTION)?;
    // The sheet is black on opaque white, so one channel is the grey.
    let grey: Vec<u8> = pixmap.pixels().iter().map(|p| p.red()).collect();
    encode(sheet, &pixmap, dpi, ColorType::Grayscale, &grey)
}

/// The sheet in pixels, black on white, `dpi` dots per inch within the range given.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by the range and the paper
pub(crate) fn raster(sheet: &Sheet, dpi: f64, (low, high): (f64, f64)) -> Result<Pixmap, DrawingError> {
    if !(low..=high).contains(&dpi) {
        return Err(DrawingError::Resolution { dpi, low, high });
    }
    let tree = tree(sheet)?;
    let pixels = |mm: f64| (mm / 25.4 * dpi).round() as u32;
    let mut pixmap = Pixmap::new(pixels(sheet.width), pixels(sheet.height))
        .ok_or_else(|| library(sheet, "PNG", "the picture is too large"))?;
    let scale = (dpi / CSS_DPI) as f32;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    Ok(pixmap)
}

/// A PNG of `data`, as wide and high as `pixmap`, that states its scale (pHYs).
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a resolution that `raster` has allowed
pub(crate) fn encode(
    sheet: &Sheet,
    pixmap: &Pixmap,
    dpi: f64,
    colour: ColorType,
    data: &[u8],
) -> Result<Vec<u8>, DrawingError> {
    let refused = |e: &dyn std::fmt::Display| library(sheet, "PNG", e);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixmap.width(), pixmap.height());
    encoder.set_color(colour);
    encoder.set_depth(BitDepth::Eight);
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(|e| refused(&e))?;
    writer.write_image_data(data).map_err(|e| refused(&e))?;
    writer.finish().map_err(|e| refused(&e))?;
    Ok(bytes)
}
