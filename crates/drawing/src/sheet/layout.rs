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

/// Sets parts of words into what room `draft` leaves, each whole in one place; what finds none goes to sheets of its own. Parts that
/// weigh more are kept whole first.
pub(super) fn set_parts(mut draft: Draft, parts: &[(Words, u32)], area: Area) -> Vec<Draft> {
    let rooms = std::mem::take(&mut draft.free);
    let choice = best_places(&rooms, parts);
    let mut loose = Words::default();
    for (part, _) in parts.iter().zip(&choice).filter(|(_, place)| **place == rooms.len()) {
        loose.append(&part.0);
    }
    for (room, mut words) in together(&rooms, parts, &choice) {
        words.fill(&mut draft.canvas, room);
    }
    let mut drafts = vec![draft];
    set_words(&mut drafts, loose, area);
    drafts
}

/// For each part the number of its room, or the count of the rooms where it cannot be kept whole.
fn best_places(rooms: &[Room], parts: &[(Words, u32)]) -> Vec<usize> {
    let mut best = (u32::MAX, vec![rooms.len(); parts.len()]);
    let mut choice = vec![0; parts.len()];
    loop {
        let split = parts.iter().zip(&choice).filter(|(_, place)| **place == rooms.len());
        let cost = split.map(|(part, _)| part.1).sum();
        if cost < best.0 && together(rooms, parts, &choice).all(|(room, words)| words.height(room.width) <= room.height)
        {
            best = (cost, choice.clone());
        }
        // The next number in a system whose digits are the places.
        let Some(digit) = choice.iter().rposition(|place| *place < rooms.len()) else {
            return best.1;
        };
        choice[digit] += 1;
        choice[digit + 1..].fill(0);
    }
}

/// Each room with the words that `choice` puts there.
fn together(rooms: &[Room], parts: &[(Words, u32)], choice: &[usize]) -> impl Iterator<Item = (Room, Words)> {
    rooms.iter().enumerate().map(move |(i, room)| {
        let mut words = Words::default();
        for (part, _) in parts.iter().zip(choice).filter(|(_, place)| **place == i) {
            words.append(&part.0);
        }
        (*room, words)
    })
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::canvas::Shape;
    use crate::sheet::words::{CUTTING_STEPS, HEAD_LEAD};
    use job::Paper;
    use work::Hazards;

    fn heads(draft: &Draft) -> Vec<String> {
        let items = draft.canvas.items.iter();
        let texts = items.filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        });
        let bold = texts.filter(|text| text.lettering.bold);
        bold.map(|text| text.content.clone()).collect()
    }

    #[test]
    fn parts_stay_whole_where_they_can() {
        let area = Area::of(Paper::A4);
        let parts = Words::setup(Hazards::default(), &CUTTING_STEPS, &["A note.".to_owned()]);
        let [notes, order, cautions] = [0, 1, 2].map(|i| parts[i].0.height(110.0));
        let set = |rooms: &[f64]| {
            let mut draft = Draft::new("setup");
            for (left, height) in [0.0, 120.0].into_iter().zip(rooms) {
                draft.leave([left, 0.0], 110.0, *height);
            }
            set_parts(draft, &parts, area).iter().map(heads).collect::<Vec<_>>()
        };
        let all = vec![vec!["Notes", "Cautions", "Order of work"]];
        assert_eq!(set(&[notes + cautions + HEAD_LEAD + 0.1, order + 0.1]), all);
        // Notes and cautions have no room together; they are not split.
        let two = set(&[order + 0.1, notes + cautions]);
        assert_eq!(two, [vec!["Order of work", "Notes"], vec!["Cautions"]]);
        // No room at all.
        assert_eq!(set(&[]), vec![vec![], vec!["Notes", "Order of work", "Cautions"]]);
    }
}
