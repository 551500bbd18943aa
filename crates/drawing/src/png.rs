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
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by RESOLUTION and the paper
pub fn png(sheet: &Sheet, dpi: f64) -> Result<Vec<u8>, DrawingError> {
    let (low, high) = RESOLUTION;
    if !(low..=high).contains(&dpi) {
        return Err(DrawingError::Resolution { dpi, low, high });
    }
    let tree = tree(sheet)?;
    let pixels = |mm: f64| (mm / 25.4 * dpi).round() as u32;
    let (width, height) = (pixels(sheet.width), pixels(sheet.height));
    let refused = |e: &dyn std::fmt::Display| library(sheet, "PNG", e);
    let mut pixmap = Pixmap::new(width, height).ok_or_else(|| refused(&"the picture is too large"))?;
    let scale = (dpi / CSS_DPI) as f32;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    // The sheet is black on opaque white, so one channel is the grey.
    let grey: Vec<u8> = pixmap.pixels().iter().map(|p| p.red()).collect();
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Eight);
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(|e| refused(&e))?;
    writer.write_image_data(&grey).map_err(|e| refused(&e))?;
    writer.finish().map_err(|e| refused(&e))?;
    Ok(bytes)
}
