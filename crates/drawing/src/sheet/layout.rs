//! What goes where: blocks into drafts, words into the room left.

use super::draft::{Area, Draft, GAP};
use super::patterns::Patterns;
use super::sections::{SECTIONS_ACROSS, cell_width, section_head, section_heading, section_sheet, sections};
use super::words::{Room, Words};
use crate::DrawingError;
use crate::canvas::Block;
use crate::views::{Scene, section, table::table};

/// Patterns go below the sections only if these keep at least this enlargement.
const LEAST_SCALE: f64 = 4.0;
/// Views, and the table beside them if it fits.
pub(super) fn station_sheets(scene: &Scene, views: Block, area: Area) -> Vec<Draft> {
    let x = area.left + views.width + GAP;
    let room = area.left + area.width - x;
    let table = table(scene.plan, scene.figures, room);
    let mut first = Draft::new("Views and stations");
    let under = area.top + views.height + GAP;
    first.canvas.place(views.canvas, [area.left, area.top]);
    if table.width <= room && table.height <= area.height {
        let below = area.top + table.height + GAP;
        first.canvas.place(table.canvas, [x, area.top]);
        first.leave([x, below], room, area.bottom() - below);
        first.leave([area.left, under], views.width, area.bottom() - under);
        return vec![first];
    }
    first.name = "Views";
    first.leave([x, area.top], room, area.height);
    first.leave([area.left, under], views.width, area.bottom() - under);
    let mut second = Draft::new("Stations");
    let x = area.left + table.width + GAP;
    second.canvas.place(table.canvas, [area.left, area.top]);
    second.leave([x, area.top], area.left + area.width - x, area.height);
    vec![first, second]
}

/// Sections, with the patterns below them if both fit.
pub(super) fn part_sheets(scene: &Scene, area: Area) -> Result<Vec<Draft>, DrawingError> {
    let patterns = Patterns::of(scene);
    patterns.check(area)?;
    let strings = scene.plan.strings.len();
    if strings <= SECTIONS_ACROSS && patterns.two_columns_width() <= area.width {
        let room = area.height - patterns.two_columns_height() - GAP;
        let cell = cell_width(area, strings);
        let scale = section::fitting_scale(scene, cell, room - section_head()).filter(|k| *k >= LEAST_SCALE);
        if let Some(scale) = scale {
            let mut draft = Draft::new("Sections and patterns");
            sections(
                &mut draft.canvas,
                scene,
                scale,
                0..strings,
                [area.left, area.top + section_head()],
                cell,
            );
            section_heading(&mut draft.canvas, scene, scale, [area.left, area.top], area.width);
            let top = area.bottom() - patterns.two_columns_height();
            let under = top + patterns.front.height + GAP;
            draft.leave([area.left, under], patterns.front.width, area.bottom() - under);
            patterns.two_columns(&mut draft.canvas, [area.left, top], area.width);
            return Ok(vec![draft]);
        }
    }
    let mut drafts = vec![section_sheet(scene, area)?];
    drafts.extend(patterns.sheets(area));
    Ok(drafts)
}

/// Sets the words into what room the drafts leave, and adds sheets for the rest.
pub(super) fn set_words(drafts: &mut Vec<Draft>, mut words: Words, area: Area) {
    for draft in drafts.iter_mut() {
        for room in std::mem::take(&mut draft.free) {
            words.head_again();
            words.fill(&mut draft.canvas, room);
        }
    }
    while !words.is_empty() {
        let mut draft = Draft::new("Notes");
        words.head_again();
        let width = 0.5 * (area.width - 2.0 * GAP);
        for left in [area.left, area.left + width + 2.0 * GAP] {
            let room = Room {
                at: [left, area.top],
                width,
                height: area.height,
            };
            words.fill(&mut draft.canvas, room);
        }
        drafts.push(draft);
    }
}
