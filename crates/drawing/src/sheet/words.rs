//! Cautions and notes, set into whatever room the drawing leaves.

use crate::canvas::{Anchor, Canvas, Lettering, Point};
use crate::cautions;
use crate::text::{clean, wrap};
use std::collections::VecDeque;
use work::Hazards;

/// How to use the sheets of a saddle.
pub(crate) const SADDLE_STEPS: [&str; 6] = [
    "1. Measure both bars. If one is wrong, do not use this sheet.",
    "2. Bring the blank to its thickness, with a straight bottom edge square to the faces.",
    "3. Glue on the front pattern, bottom edge to bottom edge. Check which end is TREBLE and which is BASS.",
    "4. Saw and file the top square to the faces, down to the line. Check the height up with a caliper.",
    "5. Glue the strip on the top. Mark the ridge, then file the falls on both sides up to it. Check how far back with a caliper.",
    "6. Round the ridge as the title block says. Leave a little to file and check every string at pitch.",
];

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

/// A paragraph or a heading.
#[derive(Debug, Clone)]
struct Paragraph {
    text: String,
    head: bool,
    /// Whether its beginning stands elsewhere.
    goes_on: bool,
}

impl Paragraph {
    fn lettering(&self) -> Lettering {
        if self.head {
            Lettering::BODY_BOLD
        } else {
            Lettering::SMALL
        }
    }

    /// Air above, mm.
    fn lead(&self) -> f64 {
        match (self.head, self.goes_on) {
            (true, _) => HEAD_LEAD,
            (false, false) => 0.9,
            (false, true) => 0.0,
        }
    }
}

/// Air above a heading, mm.
pub(crate) const HEAD_LEAD: f64 = 3.0;

/// Room for words, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Room {
    pub at: Point,
    pub width: f64,
    pub height: f64,
}

/// Paragraphs still to be set.
#[derive(Debug, Clone, Default)]
pub(crate) struct Words(VecDeque<Paragraph>);

impl Words {
    /// Cautions, order of work if it has steps, then `notes`.
    pub fn new(hazards: Hazards, steps: &[impl AsRef<str>], notes: &[String]) -> Self {
        let mut words = Self(VecDeque::new());
        words.add("Cautions", &cautions::of_sheets(hazards));
        if !steps.is_empty() {
            words.add("Order of work", steps);
        }
        let notes: Vec<String> = notes.iter().map(|n| clean(n)).filter(|n| !n.is_empty()).collect();
        if !notes.is_empty() {
            words.add("Notes", &notes);
        }
        words
    }

    /// `notes` first, as what the sheet says in short, then the cautions.
    pub fn after(hazards: Hazards, notes: &[String]) -> Self {
        let mut words = Self(VecDeque::new());
        let notes: Vec<String> = notes.iter().map(|n| clean(n)).filter(|n| !n.is_empty()).collect();
        words.add("In short", &notes);
        words.add("Cautions", &cautions::of_sheets(hazards));
        words
    }

    fn add<S: AsRef<str>>(&mut self, head: &str, paragraphs: &[S]) {
        let one = |text: &str, head| Paragraph {
            text: text.to_owned(),
            head,
            goes_on: false,
        };
        self.0.push_back(one(head, true));
        self.0.extend(paragraphs.iter().map(|p| one(p.as_ref(), false)));
    }

    /// Puts a heading over words that go on in another place.
    pub fn head_again(&mut self) {
        if self.0.front().is_some_and(|p| !p.head) {
            self.0.push_front(Paragraph {
                text: "Continued".to_owned(),
                head: true,
                goes_on: false,
            });
        }
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Sets what `room` holds and says how much of its height that takes; the rest stays.
    pub fn fill(&mut self, canvas: &mut Canvas, room: Room) -> f64 {
        let mut y = 0.0;
        while let Some(paragraph) = self.0.pop_front() {
            let lettering = paragraph.lettering();
            let lines = wrap(&paragraph.text, room.width, lettering.capitals, lettering.bold);
            // Nothing stands above the first.
            let start = if y == 0.0 { 0.0 } else { y + paragraph.lead() };
            let need_below = if paragraph.head {
                Lettering::SMALL.line() + 1.0
            } else {
                0.0
            };
            let mut line_top = start;
            let mut set = 0;
            for line in &lines {
                if line_top + lettering.line() + need_below > room.height {
                    break;
                }
                let at = [room.at[0], room.at[1] + line_top + lettering.capitals];
                canvas.text(at, line.clone(), lettering, Anchor::Start);
                line_top += lettering.line();
                set += 1;
            }
            if set < lines.len() {
                let rest = Paragraph {
                    text: lines[set..].join(" "),
                    goes_on: set > 0 || paragraph.goes_on,
                    ..paragraph
                };
                self.0.push_front(rest);
                return line_top;
            }
            y = line_top;
        }
        y
    }
}
