//! The list beside the picture, and what its marks mean, set into columns.

use super::mark::{RADIUS, mark};
use crate::canvas::{Anchor, Canvas, Lettering, Point};
use crate::text::{clean, wrap};
use std::collections::VecDeque;
use work::Mark;

const TEXT: Lettering = Lettering::BENCH;
const BOLD: Lettering = Lettering::BENCH_BOLD;
/// Room left of the words for a number or a mark, mm.
const INDENT: f64 = 7.0;
/// Between two entries, mm.
const LEAD: f64 = 0.9;
/// Over the legend, mm.
const APART: f64 = 2.5;

#[derive(Clone)]
enum Sign {
    Number(usize),
    Mark(Mark),
}

#[derive(Clone)]
struct Entry {
    sign: Sign,
    text: String,
    /// The first of its kind stands apart from what is before it.
    first: bool,
}

impl Entry {
    fn lines(&self, width: f64) -> Vec<String> {
        wrap(&self.text, width - INDENT, TEXT.capitals, TEXT.bold)
    }
}

/// Entries still to be set.
#[derive(Clone)]
pub(super) struct List(VecDeque<Entry>);

impl List {
    /// No entry is as high, mm.
    const WHOLE: f64 = 100.0;

    pub fn new(lines: &[String], legend: &[(Mark, String)]) -> Self {
        let rounds = (1..).zip(lines).map(|(number, text)| (Sign::Number(number), text));
        let marks = legend.iter().map(|(mark, text)| (Sign::Mark(*mark), text));
        let count = lines.len();
        let entry = |(i, (sign, text)): (usize, (Sign, &String))| Entry {
            sign,
            text: clean(text),
            first: i == count,
        };
        Self(rounds.chain(marks).enumerate().map(entry).collect())
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Height of all that is left, in one column.
    fn height(&self, width: f64) -> f64 {
        let each = self
            .0
            .iter()
            .map(|entry| entry.lines(width).len() as f64 * TEXT.line() + LEAD);
        each.sum::<f64>() - LEAD
    }

    /// Sets as many entries as two columns of a sheet hold, at `lefts` and `top`, both alike where they hold all of them.
    pub fn fill_two(&mut self, canvas: &mut Canvas, lefts: [f64; 2], top: f64, [width, height]: [f64; 2]) {
        let filled = |from: &Self, canvas: &mut Canvas, height: f64| {
            let mut rest = from.clone();
            for (left, last) in lefts.into_iter().zip([false, true]) {
                rest.fill(canvas, [left, top], [width, height], last);
            }
            rest
        };
        let lines = (1..).map(|lines: i32| f64::from(lines) * TEXT.line());
        let mut heights = lines.take_while(|lower| *lower < height);
        let enough = heights.find(|lower| filled(self, &mut Canvas::default(), *lower).is_empty());
        *self = filled(self, canvas, enough.unwrap_or(height));
    }

    /// Sets as many entries as a column holds; none is parted, and what the marks mean stays together but in the `last` column of a sheet. The
    /// first is set in any case where the column has the height of a sheet, [`List::WHOLE`].
    fn fill(&mut self, canvas: &mut Canvas, at: Point, [width, height]: [f64; 2], last: bool) {
        let mut y = 0.0;
        while let Some(entry) = self.0.front() {
            let lines = entry.lines(width);
            let lead = match (y > 0.0, entry.first) {
                (false, _) => 0.0,
                (true, false) => LEAD,
                (true, true) => APART,
            };
            let tall = lines.len() as f64 * TEXT.line();
            let legend = if entry.first && !last { self.height(width) } else { tall };
            let needed = if legend <= height { legend } else { tall };
            if y + lead + needed > height && !(y == 0.0 && height > Self::WHOLE) {
                return;
            }
            let base = at[1] + y + lead + TEXT.capitals;
            match &entry.sign {
                Sign::Number(number) => {
                    canvas.text([at[0] + INDENT - 2.0, base], number.to_string(), BOLD, Anchor::End);
                }
                Sign::Mark(sample) => {
                    mark(
                        canvas,
                        [at[0] + INDENT - 2.0 - RADIUS, base - 0.5 * TEXT.capitals],
                        sample,
                    );
                }
            }
            for (i, line) in lines.into_iter().enumerate() {
                let at = [at[0] + INDENT, base + i as f64 * TEXT.line()];
                canvas.text(at, line, TEXT, Anchor::Start);
            }
            y += lead + tall;
            self.0.pop_front();
        }
    }
}
