//! The sheet of a setup: how it is held and what is set, its programs, and the words that follow.

use super::part::{check, finished, kind};
use super::setup::{CutSetup, cut_setup};
use super::setup_views::{VIEWS, views};
use crate::DrawingError;
use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::sheet::draft::{Area, Draft, GAP, fits};
use crate::sheet::layout::set_parts;
use crate::sheet::words::{CUTTING_STEPS, HEAD_LEAD, Words};
use crate::sheet::{Sheet, SheetOptions};
use crate::text::{broken, clean, wrap};
use crate::views::table::{Column, filled};
use machining::{Part, PartKind};
use work::Made;

/// Of these views' heights the first is taken with which the fewest sheets are needed.
const SHRUNK: [f64; 5] = [1.0, 0.9, 0.8, 0.7, 0.6];
/// Views are not shrunk below this scale: names and axes would lie on lines.
const SCALE_LEAST: f64 = 0.7;
/// Widest that a program's name is written on one line, mm.
const NAME_MOST: f64 = 60.0;

/// The setup sheets of a part: one or more for each setup `made` of it, with the words that follow. `stem` goes before the names of
/// programs.
///
/// # Errors
/// Places that are not numbers, too little room on the paper, or a font that cannot be read.
pub fn cut_sheets(part: Part, made: &[&Made], stem: &str, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    check(part, options)?;
    let area = Area::of(options.paper);
    let mut drafts = Vec::new();
    for made in made {
        let setup = cut_setup(part, made, stem);
        let notes: Vec<String> = setup.remarks.iter().chain(&options.notes).cloned().collect();
        let parts = Words::setup(options.hazards, &CUTTING_STEPS, &notes);
        let mut best: Option<Vec<Draft>> = None;
        let mut refused = None;
        for share in SHRUNK {
            let (draft, scale) = match setup_draft(&setup, area, share, kind(part)) {
                Ok(found) => found,
                Err(error) => {
                    refused = Some(error);
                    continue;
                }
            };
            let sheets = set_parts(draft, &parts, area);
            if best
                .as_ref()
                .is_none_or(|b| scale >= SCALE_LEAST && sheets.len() < b.len())
            {
                best = Some(sheets);
            }
        }
        match (best, refused) {
            (Some(best), _) => drafts.extend(best),
            (None, Some(error)) => return Err(error),
            (None, None) => {}
        }
    }
    finished(part, options, drafts)
}

/// The sheet without its words, and the scale of its views.
fn setup_draft(setup: &CutSetup, area: Area, share: f64, part: PartKind) -> Result<(Draft, f64), DrawingError> {
    let mut draft = Draft::new(setup.name);
    let (mut top, scale) = views(&mut draft.canvas, setup, area, share);
    let views = VIEWS * area.width;
    let beside = area.left + views + GAP;
    let width = area.width - views - GAP;
    let facts = facts(setup, width);
    fits(&facts, area, part)?;
    let under = area.top + facts.height + HEAD_LEAD;
    draft.canvas.place(facts.canvas, [beside, area.top]);
    let table = programs(setup, views);
    let room = area.bottom() - top - table.height;
    if room < 0.0 {
        return Err(DrawingError::TooHigh {
            needed: area.height - room,
            room: area.height,
        });
    }
    // A table wider than the views stands below what is to be set, too.
    let wide = table.width > views;
    if wide {
        fits(&table, area, part)?;
        top = top.max(under);
    }
    draft.canvas.place(table.canvas, [area.left, top]);
    if !wide {
        draft.leave([beside, under], width, area.bottom() - under);
    }
    top += table.height + GAP;
    draft.leave([area.left, top], views, area.bottom() - top);
    if wide {
        draft.leave([beside, top], width, area.bottom() - top);
    }
    Ok((draft, scale))
}

fn programs(setup: &CutSetup, room: f64) -> Block {
    let heads: [&[&str]; 6] = [
        &["program"],
        &["tool"],
        &["work"],
        &["spindle", "and feed"],
        &["cutting"],
        &["in the air", "and waiting"],
    ];
    let columns: Vec<Column> = heads
        .iter()
        .enumerate()
        .map(|(i, head)| {
            let cells = setup
                .programs
                .iter()
                .map(|row| match i {
                    0 => row[0]
                        .lines()
                        .flat_map(|line| broken(&clean(line), NAME_MOST, Lettering::SMALL.capitals, false))
                        .collect(),
                    _ => row[i].lines().map(clean).collect(),
                })
                .collect();
            Column::of(head, cells)
        })
        .collect();
    filled(
        "Programs, in this order",
        &columns,
        setup.programs.len(),
        room,
        "Each program was simulated from its own text and found in order; its head has the same mark. AIR-CUT FIRST: run it above the stock, a hand on the stop.",
    )
}

fn facts(setup: &CutSetup, width: f64) -> Block {
    let mut canvas = Canvas::default();
    let lettering = Lettering::SMALL;
    canvas.text(
        [0.0, Lettering::BODY_BOLD.capitals],
        "Set up",
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    let column = 21.0;
    let mut y = Lettering::BODY_BOLD.line() + 1.5;
    for [name, value] in &setup.facts {
        canvas.text([0.0, y + 2.0], clean(name), Lettering::SMALL_BOLD, Anchor::Start);
        for line in wrap(&clean(value), width - column, lettering.capitals, false) {
            canvas.text([column, y + 2.0], line, lettering, Anchor::Start);
            y += lettering.line();
        }
        y += 0.5;
    }
    Block {
        canvas,
        width,
        height: y,
    }
}
