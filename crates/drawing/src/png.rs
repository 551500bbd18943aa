//! A sheet as a PNG picture that knows its scale.

use crate::canvas::{Fill, LineKind, Point, Text};
use crate::ink::{Baseline, Pen, Step, draw};
use crate::set::glyphs;
use crate::text::face;
use crate::{DrawingError, Sheet};
use png::{BitDepth, ColorType, Encoder, PixelDimensions, Unit};
use tiny_skia::{Color, FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform};
use ttf_parser::OutlineBuilder;

/// Least and largest resolution, dots per inch: a thumbnail, and what a desk can hold in memory.
const RESOLUTION: (f64, f64) = (30.0, 1200.0);

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
    let pixels = |mm: f64| (mm / 25.4 * dpi).round() as u32;
    let mut pixmap = Pixmap::new(pixels(sheet.width), pixels(sheet.height))
        .ok_or_else(|| DrawingError::library(&sheet.heading, "PNG", "the picture is too large"))?;
    pixmap.fill(Color::WHITE);
    let scale = (dpi / 25.4) as f32;
    draw(
        sheet,
        &mut Brush {
            pixmap: &mut pixmap,
            to_pixels: Transform::from_scale(scale, scale),
        },
    )?;
    Ok(pixmap)
}

/// Draws into pixels.
struct Brush<'a> {
    pixmap: &'a mut Pixmap,
    /// From mm on the sheet to pixels.
    to_pixels: Transform,
}

fn paint(fill: Fill) -> Option<Paint<'static>> {
    let mut paint = Paint::default();
    paint.set_color(match fill {
        Fill::None => return None,
        Fill::Ink => Color::BLACK,
        Fill::Paper => Color::WHITE,
    });
    Some(paint)
}

#[allow(clippy::cast_possible_truncation)] // the rasteriser draws in f32; a place on paper is some hundred mm
fn single([x, y]: Point) -> (f32, f32) {
    (x as f32, y as f32)
}

fn path(steps: &[Step]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match step {
            Step::Move(p) => {
                let (x, y) = single(*p);
                path.move_to(x, y);
            }
            Step::Line(p) => {
                let (x, y) = single(*p);
                path.line_to(x, y);
            }
            Step::Curve(a, b, to) => {
                let [(x1, y1), (x2, y2), (x, y)] = [*a, *b, *to].map(single);
                path.cubic_to(x1, y1, x2, y2, x, y);
            }
            Step::Close => path.close(),
        }
    }
    path.finish()
}

#[allow(clippy::cast_possible_truncation)] // widths and dashes of tenths of a mm
fn stroke(line: LineKind) -> Stroke {
    Stroke {
        width: line.width() as f32,
        line_join: LineJoin::Round,
        dash: StrokeDash::new(line.dashes().iter().map(|d| *d as f32).collect(), 0.0),
        ..Stroke::default()
    }
}

impl Pen for Brush<'_> {
    fn figure(&mut self, steps: &[Step], fill: Fill, line: Option<LineKind>) {
        let Some(path) = path(steps) else { return };
        if let Some(paint) = paint(fill) {
            self.pixmap
                .fill_path(&path, &paint, FillRule::Winding, self.to_pixels, None);
        }
        if let (Some(line), Some(ink)) = (line, paint(Fill::Ink)) {
            self.pixmap
                .stroke_path(&path, &ink, &stroke(line), self.to_pixels, None);
        }
    }

    #[allow(clippy::cast_possible_truncation)] // as above
    fn text(&mut self, text: &Text, baseline: Baseline) {
        let Some((face, _)) = face(text.lettering.bold) else {
            return;
        };
        let scale = baseline.size / f64::from(face.units_per_em());
        let mut outline = Outline {
            path: PathBuilder::new(),
            at: 0.0,
            scale: scale as f32,
        };
        let mut along = 0.0;
        for glyph in glyphs(&text.content, text.lettering.bold) {
            outline.at = along as f32;
            face.outline_glyph(glyph.id, &mut outline);
            along += (glyph.advance + glyph.kern) * baseline.size;
        }
        let (Some(path), Some(ink)) = (outline.path.finish(), paint(Fill::Ink)) else {
            return;
        };
        let [cos, sin] = baseline.turn.map(|v| v as f32);
        let (x, y) = single(baseline.start);
        let place = Transform::from_row(cos, -sin, sin, cos, x, y);
        self.pixmap
            .fill_path(&path, &ink, FillRule::Winding, self.to_pixels.pre_concat(place), None);
    }
}

/// Gathers the outlines of a text from its start, mm, y downward; a face has them in its own units, y upward.
struct Outline {
    path: PathBuilder,
    /// Start of the glyph along the text, mm.
    at: f32,
    /// mm in a unit of the face.
    scale: f32,
}

impl Outline {
    fn place(&self, x: f32, y: f32) -> (f32, f32) {
        (self.at + x * self.scale, -y * self.scale)
    }
}

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.place(x, y);
        self.path.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.place(x, y);
        self.path.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.place(x1, y1), self.place(x, y));
        self.path.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.place(x1, y1), self.place(x2, y2), self.place(x, y));
        self.path.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.path.close();
    }
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
    let refused = |e: png::EncodingError| DrawingError::library(&sheet.heading, "PNG", e);
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
    let mut writer = encoder.write_header().map_err(refused)?;
    writer.write_image_data(data).map_err(refused)?;
    writer.finish().map_err(refused)?;
    Ok(bytes)
}
