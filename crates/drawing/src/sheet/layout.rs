//! What goes where: blocks into drafts.

use super::draft::{Area, Draft, GAP, too_large};
use super::patterns::Patterns;
use super::sections::{SECTIONS_ACROSS, cell_width, section_head, section_heading, section_sheet, sections};
use crate::DrawingError;
use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::text::wrap;
use crate::views::{Scene, section, views};
use machining::PartKind;

/// Sections go below the patterns only if they keep at least this enlargement.
const LEAST_SCALE: f64 = 3.0;
/// What is said first, to be read from where the work lies; and the same where it takes more lines than [`MOST_LINES`].
const HEADLINE: [Lettering; 2] = [Lettering::HEADLINE, Lettering::BODY_BOLD];
/// Most lines of the larger one.
const MOST_LINES: usize = 2;

/// What is said first, across the sheet; answers what is left of the area.
pub(super) fn headline(canvas: &mut Canvas, words: &str, area: Area) -> Area {
    if words.is_empty() {
        return area;
    }
    let [large, small] =
        HEADLINE.map(|lettering| (lettering, wrap(words, area.width, lettering.capitals, lettering.bold)));
    let (lettering, lines) = if large.1.len() <= MOST_LINES { large } else { small };
    let mut y = area.top;
    for line in lines {
        canvas.text([area.left, y + lettering.capitals], line, lettering, Anchor::Start);
        y += lettering.line();
    }
    area.below(y - area.top + 0.5 * GAP)
}

/// What to make: what is said first and the views, with a room beside them.
pub(super) fn first_sheet(scene: &Scene, said: &str, area: Area) -> Result<Draft, DrawingError> {
    let placed = beside_views(said, area, |room| views(scene, room));
    placed.map_err(|views| too_large(&views, area, PartKind::Saddle))
}

/// What is said first across the sheet and the views below it, or where they are too high so, the words beside them; the views are given
/// back where the area does not hold them at all. `views` draws them for a height.
pub(super) fn beside_views(said: &str, area: Area, views: impl Fn(f64) -> Block) -> Result<Draft, Block> {
    let mut draft = Draft::new("What to make");
    let mut below = headline(&mut draft.canvas, said, area);
    let mut block = views(below.height);
    let mut beside = below.beside(block.width + GAP);
    if block.height > below.height {
        block = views(area.height);
        (draft.canvas, below) = (Canvas::default(), area);
        beside = area.beside(block.width + GAP);
        if beside.width >= Draft::LEAST_ROOM.0 {
            beside = headline(&mut draft.canvas, said, beside);
        }
    }
    if block.width > below.width || block.height > below.height {
        return Err(block);
    }
    let under = below.below(block.height + GAP);
    draft.leave([beside.left, beside.top], beside.width, beside.height);
    draft.leave([under.left, under.top], block.width, under.height);
    draft.canvas.place(block.canvas, [below.left, below.top]);
    Ok(draft)
}

/// The rooms that hold a block: number of the sheet, and of its room.
pub(super) fn places(drafts: &[Draft], block: &Block) -> Vec<[usize; 2]> {
    let all = drafts.iter().enumerate();
    let rooms = all.flat_map(|(i, draft)| draft.free.iter().enumerate().map(move |(k, room)| ([i, k], room)));
    let holding = rooms.filter(|(_, room)| room.width >= block.width && room.height >= block.height);
    holding.map(|(place, _)| place).collect()
}

/// The drafts with the block in one of their [`places`].
pub(super) fn put(drafts: &[Draft], [i, k]: [usize; 2], block: &Block) -> Vec<Draft> {
    let mut drafts = drafts.to_vec();
    let draft = &mut drafts[i];
    let room = draft.free.remove(k);
    let ([x, y], beside) = (room.at, room.at[0] + block.width + 2.0 * GAP);
    let under = y + block.height + GAP;
    draft.leave([beside, y], x + room.width - beside, room.height);
    // What is beside it is left once.
    let is_left = x + room.width - beside >= Draft::LEAST_ROOM.0;
    draft.leave(
        [x, under],
        if is_left { block.width } else { room.width },
        y + room.height - under,
    );
    draft.canvas.place(block.canvas.clone(), room.at);
    drafts
}

/// The drafts with the block on a sheet of its own.
pub(super) fn put_alone(drafts: &[Draft], block: &Block, area: Area) -> Vec<Draft> {
    let mut drafts = drafts.to_vec();
    let mut draft = Draft::new("Figures");
    draft.leave([area.left, area.top], area.width, area.height);
    drafts.push(draft);
    put(&drafts, [drafts.len() - 1, 0], block)
}

/// Patterns, with the sections below them if both fit.
pub(super) fn joint_sheet(scene: &Scene, area: Area) -> Result<Option<Draft>, DrawingError> {
    let patterns = Patterns::of(scene);
    patterns.check(area)?;
    let strings = scene.plan.strings.len();
    if strings > SECTIONS_ACROSS || patterns.two_columns_width() > area.width {
        return Ok(None);
    }
    let below = area.below(patterns.two_columns_height() + GAP);
    let cell = cell_width(area, strings);
    let scale = section::fitting_scale(scene, cell, below.height - section_head()).filter(|k| *k >= LEAST_SCALE);
    let Some(scale) = scale else {
        return Ok(None);
    };
    let mut draft = Draft::new("Patterns and checks");
    patterns.two_columns(&mut draft, area);
    section_heading(&mut draft.canvas, scene, scale, [below.left, below.top], below.width);
    sections(
        &mut draft.canvas,
        scene,
        scale,
        0..strings,
        [below.left, below.top + section_head()],
        cell,
    );
    let end = below.top + section_head() + section::cell_height(scene, scale) + GAP;
    draft.leave([area.left, end], area.width, area.bottom() - end);
    Ok(Some(draft))
}

/// Patterns, and the sections on a sheet behind them.
pub(super) fn parted_sheets(scene: &Scene, area: Area) -> Result<Vec<Draft>, DrawingError> {
    let patterns = Patterns::of(scene);
    patterns.check(area)?;
    let mut drafts = patterns.sheets(area);
    drafts.push(section_sheet(scene, area)?);
    Ok(drafts)
}
