//! What is set into columns: headed paragraphs, and blocks such as tables and pictures.

use crate::canvas::{Anchor, Block, Canvas, Lettering};
use crate::text::{clean, wrap};
use std::collections::VecDeque;

/// Lettering of the paragraphs: large enough for one who does not read drawings.
pub(crate) const TEXT: Lettering = Lettering::BENCH;
/// Lettering of headings.
pub(crate) const HEAD: Lettering = Lettering::BODY_BOLD;
/// Between a heading and what stands under it, and between paragraphs, mm.
const AIR: f64 = 1.3;

/// A piece.
pub(crate) enum Piece {
    /// Paragraphs under a heading, whole in one column if a column holds them.
    Words(Words),
    /// What stays in its order.
    Fixed(Block),
    /// What may stand after words that follow it.
    Floating(Block),
}

impl Piece {
    /// The block of what stays in its order, if it is one.
    pub fn fixed(&self) -> Option<&Block> {
        match self {
            Self::Fixed(block) => Some(block),
            Self::Words(_) | Self::Floating(_) => None,
        }
    }

    pub fn words(head: &str, paragraphs: &[String]) -> Self {
        Self::Words(Words {
            head: head.to_owned(),
            paragraphs: paragraphs.iter().map(|text| clean(text)).collect(),
        })
    }
}

/// Paragraphs under a heading.
#[derive(Clone)]
pub(crate) struct Words {
    head: String,
    paragraphs: VecDeque<String>,
}

impl Words {
    pub fn is_empty(&self) -> bool {
        self.paragraphs.is_empty()
    }

    /// All of it in a column this wide.
    pub fn block(&self, width: f64) -> Block {
        self.clone().up_to(width, f64::INFINITY)
    }

    /// Sets the paragraphs that this room holds whole, one at least, and keeps the rest; `None` where it holds none of them or all.
    pub fn whole_ones(&mut self, width: f64, height: f64) -> Option<Block> {
        let least = Self {
            head: self.head.clone(),
            paragraphs: self.paragraphs.iter().take(1).cloned().collect(),
        };
        if self.paragraphs.len() < 2 || least.block(width).height > height {
            return None;
        }
        let block = self.up_to(width, height);
        self.head += ", continued";
        Some(block)
    }

    /// Sets what this room holds, and keeps the rest: whole paragraphs, and lines of one that no column holds if it is the first.
    pub fn up_to(&mut self, width: f64, height: f64) -> Block {
        let mut canvas = Canvas::default();
        let mut y = 0.0;
        for line in wrap(&self.head, width, HEAD.capitals, HEAD.bold) {
            canvas.text([0.0, y + HEAD.capitals], line, HEAD, Anchor::Start);
            y += HEAD.line();
        }
        let mut is_first = true;
        while let Some(paragraph) = self.paragraphs.pop_front() {
            let lines = wrap(&paragraph, width, TEXT.capitals, TEXT.bold);
            let lead = if is_first { 0.3 } else { AIR };
            let room = height - y - lead;
            let mut set = lines.len();
            if counted(set) * TEXT.line() > room {
                set = if is_first { fitting(&lines, room) } else { 0 };
                let rest = lines.get(set..).unwrap_or_default().join(" ");
                self.paragraphs.push_front(rest);
                if set == 0 {
                    break;
                }
            }
            y += lead;
            for line in lines.into_iter().take(set) {
                canvas.text([0.0, y + TEXT.capitals], line, TEXT, Anchor::Start);
                y += TEXT.line();
            }
            is_first = false;
            if y + AIR + TEXT.line() > height {
                break;
            }
        }
        Block {
            canvas,
            width,
            height: y,
        }
    }
}

fn counted(lines: usize) -> f64 {
    f64::from(u32::try_from(lines).unwrap_or(u32::MAX))
}

/// How many lines a room of this height holds; one at least, so that setting comes to an end.
fn fitting(lines: &[String], room: f64) -> usize {
    let held = (1..=lines.len()).take_while(|count| counted(*count) * TEXT.line() <= room);
    held.last().unwrap_or(1)
}
