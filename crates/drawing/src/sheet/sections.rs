//! The sections on a sheet.

use super::draft::{Area, Draft, GAP};
use crate::DrawingError;
use crate::canvas::{Canvas, Lettering, Point};
use crate::views::{Scene, section};

/// Sections on one line.
pub(super) const SECTIONS_ACROSS: usize = 6;
/// Widest cell of a section, mm.
const WIDEST_CELL: f64 = 75.0;

pub(super) fn cell_width(area: Area, strings: usize) -> f64 {
    let across = u32::try_from(strings.clamp(1, SECTIONS_ACROSS)).unwrap_or(1);
    (area.width / f64::from(across)).min(WIDEST_CELL)
}

pub(super) fn section_head() -> f64 {
    Lettering::BODY_BOLD.line() + Lettering::SMALL.line() + 2.0
}

pub(super) fn section_heading(canvas: &mut Canvas, scene: &Scene, scale: f64, at: Point, width: f64) {
    let (title, small) = section::heading(scene, scale);
    let mut head = Canvas::default();
    crate::views::heading(&mut head, 0.0, &title, &small, width);
    canvas.place(head, at);
}

/// One line of sections, left to right as in the front view.
pub(super) fn sections(
    canvas: &mut Canvas,
    scene: &Scene,
    scale: f64,
    range: std::ops::Range<usize>,
    [left, top]: Point,
    cell: f64,
) {
    let mut chosen: Vec<_> = scene.plan.strings[range].iter().collect();
    if !scene.plan.left_handed {
        chosen.reverse();
    }
    let mut x = left;
    for string in chosen {
        let block = section::section(scene, string, scale, cell);
        canvas.place(block.canvas, [x, top]);
        x += cell;
    }
}

/// Sections on a sheet of their own, in two lines where there are more than six.
pub(super) fn section_sheet(scene: &Scene, area: Area) -> Result<Draft, DrawingError> {
    let strings = scene.plan.strings.len();
    let lines = strings.div_ceil(SECTIONS_ACROSS).max(1);
    let per_line = strings.div_ceil(lines);
    let cell = cell_width(area, per_line);
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(1));
    let top = area.top + section_head();
    let share = (area.height - section_head()) / count(lines);
    let scale = section::fitting_scale(scene, cell, share).ok_or_else(|| DrawingError::TooHigh {
        needed: section_head() + section::cell_height(scene, 1.0) * count(lines),
        room: area.height,
    })?;
    let mut draft = Draft::new("Checks");
    section_heading(&mut draft.canvas, scene, scale, [area.left, area.top], area.width);
    let high = section::cell_height(scene, scale);
    // What is left between lines is left below one line.
    let pitch = if lines == 1 {
        high
    } else {
        high.max(share.min(high + 2.0 * GAP))
    };
    for line in 0..lines {
        // In a right-handed front view the treble comes first, from the end of the list.
        let (from, to) = (line * per_line, ((line + 1) * per_line).min(strings));
        let range = if scene.plan.left_handed {
            from..to
        } else {
            strings - to..strings - from
        };
        let at = [area.left, top + pitch * count(line)];
        sections(&mut draft.canvas, scene, scale, range, at, cell);
    }
    let end = top + pitch * count(lines) + GAP;
    draft.leave([area.left, end], area.width, area.bottom() - end);
    Ok(draft)
}
