//! Sheets for filing: every string's section before and after the stroke.

use super::bound::{check_options, finished, title_of};
use super::draft::{Area, Draft, GAP};
use super::setting::fewest;
use super::words::Words;
use super::{Sheet, SheetOptions};
use crate::DrawingError;
use crate::canvas::Canvas;
use crate::figures::Figures;
use crate::views::filed::{Cells, Filed, FiledSection, cell, cells, heading, least};
use machining::PartKind;
use saddle::Plan;

/// Most sections on a sheet.
const ON_A_SHEET: usize = 6;
/// Most on a line.
const ON_A_LINE: usize = 3;
/// Room below the sections that the words may have, mm.
const FOR_WORDS: f64 = 34.0;
/// Most room for a line of sections, mm.
const TALLEST: f64 = 75.0;

/// Widest cell, mm.
const WIDEST: f64 = 130.0;

/// Sheets that show each string's section before and after a stroke of the file, six to a sheet.
///
/// `strings` run from bass to treble, as in the plan; any of them may be left out.
///
/// # Errors
/// No strings, a blank too thick for the paper, places that are not numbers, or a font that cannot be read.
pub fn filing_sheets(
    plan: &Plan,
    strings: &[FiledSection],
    options: &SheetOptions,
) -> Result<Vec<Sheet>, DrawingError> {
    check_options(plan, options)?;
    let figures = Figures::new(options.bench);
    let mut filed: Vec<Filed> = strings.iter().map(|s| Filed::new(plan, s, figures)).collect();
    if filed.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    if !filed.iter().all(Filed::is_finite) {
        return Err(DrawingError::NotFinite {
            sheet: title_of(options),
        });
    }
    if !plan.left_handed {
        // From left to right as in the front view.
        filed.reverse();
    }
    let area = Area::of(options.paper);
    // A line to a sheet where that needs no more sheets than two lines with a sheet of words behind them.
    let mut ways = vec![drafts(plan, &filed, area, ON_A_LINE)?];
    ways.extend(drafts(plan, &filed, area, ON_A_SHEET));
    let order = (1..).zip(report::FILING_ORDER);
    let order: Vec<String> = order.map(|(number, step)| format!("{number}. {step}")).collect();
    let order = if options.steps.is_empty() {
        &order
    } else {
        &options.steps
    };
    let words = Words::of(options.hazards, order, &options.notes);
    finished(plan, options, "see its heading", fewest(ways, &words, area))
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// At most `most` sections to a sheet.
fn drafts(plan: &Plan, filed: &[Filed], area: Area, most: usize) -> Result<Vec<Draft>, DrawingError> {
    let sheets = filed.len().div_ceil(most);
    let chunks = filed.chunks(filed.len().div_ceil(sheets));
    chunks.map(|chosen| draft(plan, chosen, area)).collect()
}

fn draft(plan: &Plan, filed: &[Filed], area: Area) -> Result<Draft, DrawingError> {
    let across = filed.len().div_ceil(filed.len().div_ceil(ON_A_LINE));
    let lines = count(filed.len().div_ceil(across));
    let width = (area.width / count(across)).min(WIDEST);
    let head = |scale: f64| {
        let (title, small) = heading(plan, scale);
        let mut canvas = Canvas::default();
        let height = crate::views::heading(&mut canvas, 0.0, &title, &small, area.width);
        (canvas, height + 2.0)
    };
    let room = area.height - head(10.0).1;
    let fit = |room: f64| cells(filed, width, (room / lines - GAP).min(TALLEST));
    // Words may go to a sheet of their own rather than squeeze the sections out.
    let cells: Cells = fit(room - FOR_WORDS).or_else(|| fit(room)).ok_or_else(|| {
        let (needed_width, needed) = least(filed);
        if needed_width > width {
            DrawingError::TooLong {
                part: PartKind::Saddle,
                needed: needed_width * count(across),
                room: area.width,
            }
        } else {
            DrawingError::TooHigh {
                needed: (needed + GAP) * lines,
                room,
            }
        }
    })?;
    let mut draft = Draft::new("Filing");
    let (canvas, height) = head(cells.scale);
    draft.canvas.place(canvas, [area.left, area.top]);
    let mut y = area.top + height;
    for line in filed.chunks(across) {
        for (i, one) in line.iter().enumerate() {
            draft.canvas.place(cell(one, cells), [area.left + count(i) * width, y]);
        }
        y += cells.height + GAP;
    }
    draft.leave([area.left, y], area.width, area.bottom() - y);
    Ok(draft)
}
