//! A sheet with coloured maps on it, as a PNG picture.

use crate::canvas::Point;
use crate::pdf::{library, tree};
use crate::{DrawingError, Sheet};
use png::{BitDepth, ColorType, Encoder, PixelDimensions, Unit};
use resvg::tiny_skia::{Pixmap, Transform};

/// usvg's user units in an inch (CSS).
const CSS_DPI: f64 = 96.0;
/// Least and largest resolution, dots per inch.
const RESOLUTION: (f64, f64) = (30.0, 600.0);

/// Cells of colour that lie on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Raster {
    /// Top left corner on the sheet, mm.
    pub at: Point,
    /// Width on the sheet, mm.
    pub width: f64,
    /// Height on the sheet, mm.
    pub height: f64,
    /// Cells across and up.
    pub count: [usize; 2],
    /// Red, green and blue of each cell; rows from the bottom of the sheet upward.
    pub colours: Vec<[u8; 3]>,
}

impl Raster {
    /// Colour at a place of the sheet, mm; `None` beside it.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss
    )] // bounded by the counts
    fn at(&self, [x, y]: Point) -> Option<[u8; 3]> {
        let share = [
            (x - self.at[0]) / self.width,
            (self.at[1] + self.height - y) / self.height,
        ];
        if !share.iter().all(|s| (0.0..1.0).contains(s)) {
            return None;
        }
        let [i, j] = [0, 1].map(|k| (share[k] * self.count[k] as f64) as usize);
        self.colours.get(j * self.count[0] + i).copied()
    }
}

/// The sheet as a PNG in colour, `dpi` dots per inch, with the maps under its lines.
///
/// # Errors
/// A resolution outside 30 to 600, a font that cannot be read, or a refusal of a library.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by RESOLUTION and the paper
pub fn colour_png(sheet: &Sheet, maps: &[Raster], dpi: f64) -> Result<Vec<u8>, DrawingError> {
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
    let mut bytes = Vec::with_capacity(3 * pixmap.pixels().len());
    for (number, pixel) in (0u32..).zip(pixmap.pixels()) {
        let place = [number % width, number / width].map(|k| (f64::from(k) + 0.5) * 25.4 / dpi);
        // The sheet is black on white: its grey darkens the colour under it.
        let grey = u16::from(pixel.red());
        let under = maps.iter().find_map(|map| map.at(place)).unwrap_or([255; 3]);
        bytes.extend(under.map(|c| (u16::from(c) * grey / 255) as u8));
    }
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, width, height);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(|e| refused(&e))?;
    writer.write_image_data(&bytes).map_err(|e| refused(&e))?;
    writer.finish().map_err(|e| refused(&e))?;
    Ok(out)
}
