//! Marks and headings that views share.

use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, Point};
use saddle::{Hold, StringPlan};

/// Radius of the mark on a contact, mm.
const DOT: f64 = 0.45;

/// Half the side of the square round a held contact, mm.
const SQUARE: f64 = 1.0;

/// The mark on a contact: a dot, or an empty ring in a square if it is held.
pub(crate) fn contact(canvas: &mut Canvas, at: Point, string: &StringPlan, id: Option<String>) {
    let held = string.hold != Hold::Free;
    if held {
        let corner = [at[0] - SQUARE, at[1] - SQUARE];
        canvas.rectangle(corner, 2.0 * SQUARE, 2.0 * SQUARE, LineKind::Narrow);
    }
    let (line, fill) = if held {
        (Some(LineKind::Narrow), Fill::Paper)
    } else {
        (None, Fill::Ink)
    };
    let mark = canvas.circle(at, DOT, line, fill);
    mark.data("string", string.number.to_string());
    mark.data("held", if held { "yes" } else { "no" });
    if let Some(id) = id {
        mark.id(id);
    }
}

/// How far a held contact is from where it is wanted, mm across the blank, positive back.
pub(crate) fn short(string: &StringPlan) -> f64 {
    string.wanted.b - string.contact.b
}

/// A view's heading with a paragraph in small letters below; answers the height used.
pub(crate) fn heading(canvas: &mut Canvas, top: f64, title: &str, small: &str, width: f64) -> f64 {
    let (bold, plain) = (Lettering::BODY_BOLD, Lettering::SMALL);
    canvas.text([0.0, top + bold.capitals], title, bold, Anchor::Start);
    let mut height = bold.line();
    for line in crate::text::wrap(small, width, plain.capitals, plain.bold) {
        canvas.text([0.0, top + height + plain.capitals - 0.4], line, plain, Anchor::Start);
        height += plain.line();
    }
    height
}
