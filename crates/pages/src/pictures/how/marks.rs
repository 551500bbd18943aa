//! What several of these drawings share.

use crate::pictures::pen::Pen;

/// What a drawing shows, and the drawing.
pub(super) type Drawing = (&'static str, fn(&mut Pen));

pub(super) fn drop(pen: &mut Pen, x: f64, from: f64, to: f64) {
    pen.line("thin", [x, from], [x, to]);
}

pub(super) fn blank(pen: &mut Pen) {
    pen.raw_path("part", "M34 86v-42h150v42zM34 44l14 -12h150l-14 12M198 32v42l-14 12");
    pen.measure([34.0, 98.0], [184.0, 98.0]);
    pen.measure([24.0, 44.0], [24.0, 86.0]);
    pen.measure([190.0, 46.0], [204.0, 34.0]);
}
