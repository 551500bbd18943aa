//! A table as wide as its column; cells that are too wide go on in further lines.

use super::piece::{HEAD, TEXT};
use crate::canvas::{Anchor, Block, Canvas, LineKind};
use crate::text::{broken, clean, wrap};

/// Air right of a column, mm.
const BESIDE: f64 = 3.0;
/// Air over and under a row, mm.
const LEAD: f64 = 0.8;

/// Longest word that is set whole, mm: longer names are parted.
const WORD_MOST: f64 = 42.0;

/// The table with its heading and what is to be known beside it. A cell may hold several lines.
pub(crate) fn table(head: &str, columns: &[impl AsRef<str>], rows: &[Vec<String>], note: &str, width: f64) -> Block {
    let mut canvas = Canvas::default();
    canvas.text([0.0, HEAD.capitals], head, HEAD, Anchor::Start);
    let mut y = HEAD.line() + 0.5;
    let cells = |row: &Vec<String>| row.iter().map(|cell| parted(cell)).collect();
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    let heads: Vec<String> = columns.iter().map(|head| clean(head.as_ref())).collect();
    let widths = widths(&heads, &rows, width);
    let rule = |canvas: &mut Canvas, y: f64, kind: LineKind| {
        canvas.line([0.0, y], [width, y], kind);
    };
    rule(&mut canvas, y, LineKind::Outline);
    for (i, row) in std::iter::once(&heads).chain(&rows).enumerate() {
        y = set(&mut canvas, row, &widths, y + LEAD) + LEAD;
        let last = i == rows.len();
        let kind = if i == 0 || last {
            LineKind::Outline
        } else {
            LineKind::Narrow
        };
        rule(&mut canvas, y, kind);
    }
    y += 2.0 * LEAD;
    for line in wrap(&clean(note), width, TEXT.capitals, TEXT.bold) {
        canvas.text([0.0, y + TEXT.capitals], line, TEXT, Anchor::Start);
        y += TEXT.line();
    }
    Block {
        canvas,
        width,
        height: y,
    }
}

/// A row from `top` down; answers where it ends.
fn set(canvas: &mut Canvas, row: &[String], widths: &[f64], top: f64) -> f64 {
    let mut end = top + TEXT.line();
    let mut x = 0.0;
    for (cell, width) in row.iter().zip(widths) {
        let mut y = top;
        let lines = cell
            .lines()
            .flat_map(|line| wrap(line, width - BESIDE, TEXT.capitals, TEXT.bold));
        for line in lines {
            canvas.text([x, y + TEXT.capitals + 0.4], line, TEXT, Anchor::Start);
            y += TEXT.line();
        }
        end = end.max(y);
        x += width;
    }
    end
}

/// Widths of the columns, mm: as wide as they would be, or what their longest words need and a share of the rest.
fn widths(heads: &[String], rows: &[Vec<String>], room: f64) -> Vec<f64> {
    let cells = |i: usize| rows.iter().filter_map(move |row| row.get(i)).chain(heads.get(i));
    let wide = |cell: &String| cell.lines().map(|line| TEXT.width(line)).fold(0.0, f64::max);
    // A hair more, for sums that are rounded.
    let most = |i: usize| cells(i).map(wide).fold(0.0, f64::max) + BESIDE + 0.01;
    let word = |cell: &String| cell.split([' ', '\n']).map(|word| TEXT.width(word)).fold(0.0, f64::max);
    let least = |i: usize| cells(i).map(word).fold(0.0, f64::max) + BESIDE + 0.01;
    let (wide, narrow): (Vec<f64>, Vec<f64>) = (0..heads.len()).map(|i| (most(i), least(i))).unzip();
    let [all, needed] = [&wide, &narrow].map(|widths| widths.iter().sum::<f64>());
    if all <= room {
        return wide;
    }
    let share = ((room - needed) / (all - needed)).max(0.0);
    wide.iter()
        .zip(narrow)
        .map(|(wide, narrow)| narrow + share * (wide - narrow))
        .collect()
}

/// A cell cleaned line by line, with words that are too long for any column in lines of their own.
fn parted(cell: &str) -> String {
    let line = |line: &str| {
        let words = clean(line);
        let long = words.split(' ').any(|word| TEXT.width(word) > WORD_MOST);
        if long {
            let pieces = words
                .split(' ')
                .flat_map(|word| broken(word, WORD_MOST, TEXT.capitals, TEXT.bold));
            pieces.collect::<Vec<_>>().join("\n")
        } else {
            words
        }
    };
    cell.lines().map(line).collect::<Vec<_>>().join("\n")
}
