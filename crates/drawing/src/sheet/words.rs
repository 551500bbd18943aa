//! Cautions, order of work and notes: parts under a head, of passages that are never cut.

use crate::canvas::{Anchor, Canvas, Lettering, Point};
use crate::cautions;
use crate::text::{clean, extent, wrap};
use std::ops::Range;
use work::Hazards;

/// How to use the setup sheet of a machine.
pub(crate) const CUTTING_STEPS: [&str; 7] = [
    "1. Measure the stock. If it is not as written here, mend the job file and cut anew from it.",
    "2. Hold it as drawn. Check that it stands on the parallel, or lies on the table, without a gap.",
    "3. Put in the tool, as long as written. Touch off X, Y and Z as the table says, in its order.",
    "4. Air-cut first: raise Z nought by more than the stock is high, run all of it, touching nothing off, a hand on the stop. Set Z back.",
    "5. Extract the dust at the tool, then cut. Stay by the machine.",
    "6. No tool takes its Z from what was cut. No program runs whose head has another mark.",
    "7. Measure the part, as the table of checks says, before you let it go.",
];

/// Room for words, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Room {
    pub at: Point,
    pub width: f64,
    pub height: f64,
}

const HEAD: Lettering = Lettering::BODY_BOLD;
const TEXT: Lettering = Lettering::SMALL;
/// From baseline to baseline, mm: a little less than beside figures, for words in columns.
const LINE: f64 = 1.6 * TEXT.capitals;
/// Least air between the ink of two lines, mm.
const AIR: f64 = 0.35;
/// Air above a heading, mm.
pub(crate) const HEAD_LEAD: f64 = 3.0;
/// Air above a passage, mm.
const LEAD: f64 = 1.1;
/// Air above a point of a passage, mm.
const POINT_LEAD: f64 = 0.4;
/// Air behind a number, mm.
const BEHIND_NUMBER: f64 = 1.2;

/// Paragraphs that are never parted: a sentence or more, or what is said of choices with the choices under it.
#[derive(Debug, Clone, PartialEq)]
struct Passage(Vec<String>);

impl Passage {
    /// Each line of `text` is a paragraph; empty where nothing is said.
    fn of(text: &str) -> Self {
        Self(text.lines().map(clean).filter(|line| !line.is_empty()).collect())
    }

    /// Sets it, or measures it where there is no canvas; answers its height.
    fn set(&self, mut canvas: Option<&mut Canvas>, [x, y]: Point, width: f64) -> f64 {
        let mut height = 0.0;
        for (i, paragraph) in self.0.iter().enumerate() {
            height += if i == 0 { 0.0 } else { POINT_LEAD };
            let (number, text) = numbered(paragraph);
            let indent = if number.is_empty() {
                0.0
            } else {
                TEXT.width(number) + BEHIND_NUMBER
            };
            let lines = wrap(text, width - indent, TEXT.capitals, TEXT.bold);
            let pitch = pitch(text);
            if let Some(canvas) = canvas.as_deref_mut() {
                let base = y + height + TEXT.capitals;
                if !number.is_empty() {
                    canvas.text([x, base], number, TEXT, Anchor::Start);
                }
                for (line, at) in lines.iter().zip(lines_down(base, pitch)) {
                    canvas.text([x + indent, at], line.clone(), TEXT, Anchor::Start);
                }
            }
            height += lines.len() as f64 * pitch;
        }
        height
    }
}

/// From line to line of a paragraph, mm: more where a sign of it is taller than letters are.
fn pitch(text: &str) -> f64 {
    let ink = extent(text, TEXT.capitals, TEXT.bold);
    LINE.max(ink.high - ink.low + AIR)
}

fn lines_down(base: f64, pitch: f64) -> impl Iterator<Item = f64> {
    (0..).map(move |i: i32| base + f64::from(i) * pitch)
}

/// The number that a point begins with, `3.`, and what follows; no number of another paragraph.
fn numbered(paragraph: &str) -> (&str, &str) {
    match paragraph.split_once(". ") {
        Some((number, text))
            if !number.is_empty() && number.len() <= 2 && number.bytes().all(|b| b.is_ascii_digit()) =>
        {
            (&paragraph[..=number.len()], text)
        }
        _ => ("", paragraph),
    }
}

/// Passages under one head.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Passages {
    head: &'static str,
    passages: Vec<Passage>,
    /// Whether its passages are kept in one place: a list.
    pub whole: bool,
    /// How much it matters that it stands early.
    pub early: f64,
}

impl Passages {
    fn new(head: &'static str, texts: &[impl AsRef<str>], whole: bool, early: f64) -> Self {
        let passages = texts.iter().map(|text| Passage::of(text.as_ref()));
        Self {
            head,
            passages: passages.filter(|passage| !passage.0.is_empty()).collect(),
            whole,
            early,
        }
    }

    /// How many passages it has.
    pub fn count(&self) -> usize {
        self.passages.len()
    }

    /// Height of each passage with the air above it, in a column of `width` mm.
    pub fn heights(&self, width: f64) -> Vec<f64> {
        let passages = self.passages.iter();
        passages
            .map(|passage| LEAD + passage.set(None, [0.0; 2], width))
            .collect()
    }

    /// Height of the head.
    pub fn head_height() -> f64 {
        HEAD.line()
    }

    /// Height of all of it in a column of `width` mm.
    #[cfg(test)]
    pub fn height(&self, width: f64) -> f64 {
        Self::head_height() + self.heights(width).iter().sum::<f64>()
    }

    /// Sets a run of its passages under its head; `which` is the number of the run, and of how many.
    pub fn set(&self, canvas: &mut Canvas, run: Range<usize>, which: [usize; 2], [x, y]: Point, width: f64) {
        let [number, of] = which;
        let head = match of {
            1 => self.head.to_owned(),
            _ => format!("{}, part {number} of {of}", self.head),
        };
        canvas.text([x, y + HEAD.capitals], head, HEAD, Anchor::Start);
        let mut down = y + Self::head_height();
        for passage in &self.passages[run] {
            down += LEAD;
            down += passage.set(Some(canvas), [x, down], width);
        }
    }

    /// What no column of `width` by `height` mm can hold is parted: a passage first into its paragraphs, and a paragraph into pieces
    /// between its words.
    #[allow(clippy::cast_possible_truncation)] // a count of lines on a paper
    pub fn broken_for(&self, width: f64, height: f64) -> Self {
        let room = height - Self::head_height();
        let fits = |passage: &Passage| LEAD + passage.set(None, [0.0; 2], width) <= room;
        let most = |paragraph: &str| ((room - LEAD) / pitch(paragraph)).floor().max(1.0);
        let mut passages = Vec::new();
        for passage in &self.passages {
            if fits(passage) {
                passages.push(passage.clone());
                continue;
            }
            for paragraph in &passage.0 {
                let alone = Passage(vec![paragraph.clone()]);
                if fits(&alone) {
                    passages.push(alone);
                    continue;
                }
                let lines = wrap(paragraph, width, TEXT.capitals, TEXT.bold);
                let pieces = lines.chunks((most(paragraph) as usize).max(1));
                passages.extend(pieces.map(|lines| Passage(vec![lines.join(" ")])));
            }
        }
        let whole = self.whole && self.heights(width).iter().sum::<f64>() <= room;
        Self {
            passages,
            whole,
            ..self.clone()
        }
    }
}

/// What words stand on sheets.
pub(crate) struct Words;

impl Words {
    /// `notes`, order of work if it has steps, then cautions.
    pub fn of(hazards: Hazards, steps: &[impl AsRef<str>], notes: &[String]) -> Vec<Passages> {
        let mut parts = vec![
            Passages::new("Notes", notes, false, 4.0),
            Passages::new("Order of work", steps, true, 2.0),
            Passages::new("Cautions", &cautions::of_sheets(hazards), true, 1.0),
        ];
        parts.retain(|part| part.count() > 0);
        parts
    }

    /// `notes` first, as what the sheet says in short, then the cautions.
    pub fn after(hazards: Hazards, notes: &[String]) -> Vec<Passages> {
        let mut parts = vec![
            Passages::new("In short", notes, false, 4.0),
            Passages::new("Cautions", &cautions::of_sheets(hazards), true, 1.0),
        ];
        parts.retain(|part| part.count() > 0);
        parts
    }
}
