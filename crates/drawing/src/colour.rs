//! A sheet with coloured maps on it, as a PNG picture.

use crate::canvas::Point;
use crate::png::{encode, raster};
use crate::{DrawingError, Sheet};
use png::ColorType;

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
#[allow(clippy::cast_possible_truncation)] // a share of 255
pub fn colour_png(sheet: &Sheet, maps: &[Raster], dpi: f64) -> Result<Vec<u8>, DrawingError> {
    let pixmap = raster(sheet, dpi, RESOLUTION)?;
    let width = pixmap.width();
    let mut bytes = Vec::with_capacity(3 * pixmap.pixels().len());
    for (number, pixel) in (0u32..).zip(pixmap.pixels()) {
        let place = [number % width, number / width].map(|k| (f64::from(k) + 0.5) * 25.4 / dpi);
        // The sheet is black on white: its grey darkens the colour under it.
        let grey = u16::from(pixel.red());
        let under = maps.iter().find_map(|map| map.at(place)).unwrap_or([255; 3]);
        bytes.extend(under.map(|c| (u16::from(c) * grey / 255) as u8));
    }
    encode(sheet, &pixmap, dpi, ColorType::Rgb, &bytes)
}
