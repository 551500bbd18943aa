//! The sheets of a setup: how it is held, the order of work, what is set and touched off, its programs, and what is checked.

use super::part::{check, finished, kind};
use super::setup::{CutSetup, cut_setup};
use super::setup_views::views;
use crate::DrawingError;
use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::cautions;
use crate::columns::{HEAD, Page, Piece, TEXT, set, table};
use crate::sheet::draft::{Area, Draft, fits};
use crate::sheet::words::CUTTING_STEPS;
use crate::sheet::{Sheet, SheetOptions};
use crate::text::{clean, wrap};
use machining::Part;
use report::SettingTable;
use work::Made;

/// Room for the names of facts, mm.
const NAMES: f64 = 25.0;
/// Between facts, mm.
const BETWEEN: f64 = 0.8;

/// The setup sheets of a part: one or more for each setup `made` of it, with the words that follow. `stem` goes before the names of
/// programs.
///
/// # Errors
/// Places that are not numbers, too little room on the paper, or a font that cannot be read.
pub fn cut_sheets(part: Part, made: &[&Made], stem: &str, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    check(part, options)?;
    let area = Area::of(options.paper);
    let page = Page {
        left: area.left,
        top: area.top,
        first_top: area.top,
        width: area.width,
        bottom: area.bottom(),
        goes_on: false,
    };
    let mut drafts = Vec::new();
    for made in made {
        let setup = cut_setup(part, made, stem, options.bench);
        let pieces = pieces(&setup, options, page.column_width(), area);
        for block in pieces.iter().filter_map(Piece::fixed) {
            fits(block, area, kind(part))?;
        }
        drafts.extend(set(&pieces, &page, None).into_iter().map(|canvas| Draft {
            canvas,
            ..Draft::new(setup.name)
        }));
    }
    finished(part, options, drafts)
}

/// What stands on the sheets of a setup, in the order of the work.
fn pieces(setup: &CutSetup, options: &SheetOptions, across: f64, area: Area) -> Vec<Piece> {
    let steps = CUTTING_STEPS.map(str::to_owned);
    let notes: Vec<String> = setup.remarks.iter().chain(&options.notes).cloned().collect();
    let warned: Vec<String> = cautions::of_sheets(options.hazards)
        .into_iter()
        .map(str::to_owned)
        .collect();
    let of = |of: &SettingTable| Piece::Fixed(table(of.head, &of.columns, &of.rows, &of.note, across));
    let programs = table(
        "Programs, in this order",
        &["program", "tool and work", "spindle, feed", "in the cut, else"],
        &setup.programs,
        "Each was simulated from its own text and found in order; its head has the same mark. AIR-CUT FIRST: run it above the stock, a hand on the stop.",
        across,
    );
    vec![
        Piece::Fixed(views(setup, across, area.height)),
        Piece::words("Order of work", &steps),
        Piece::Fixed(facts("Set up", &setup.to_set, across)),
        of(&setup.touch),
        Piece::Fixed(programs),
        of(&setup.check),
        Piece::words("Notes", &notes),
        Piece::Fixed(facts("Good to know", &setup.to_know, across)),
        Piece::words("Cautions", &warned),
    ]
}

/// Names with what is said of each.
fn facts(head: &str, facts: &[[String; 2]], width: f64) -> Block {
    let mut canvas = Canvas::default();
    canvas.text([0.0, HEAD.capitals], head, HEAD, Anchor::Start);
    let mut y = HEAD.line() + BETWEEN;
    let bold = Lettering { bold: true, ..TEXT };
    for [name, value] in facts {
        canvas.text([0.0, y + TEXT.capitals], clean(name), bold, Anchor::Start);
        for line in wrap(&clean(value), width - NAMES, TEXT.capitals, TEXT.bold) {
            canvas.text([NAMES, y + TEXT.capitals], line, TEXT, Anchor::Start);
            y += TEXT.line();
        }
        y += BETWEEN;
    }
    Block {
        canvas,
        width,
        height: y,
    }
}
