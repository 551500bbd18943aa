//! A sheet before it is numbered, and the room it has.

use super::frame::{MARGIN, PAD, STRIP};
use super::words::Room;
use crate::DrawingError;
use crate::canvas::{Block, Canvas, Point};
use crate::paper;
use job::Paper;
use machining::PartKind;

/// Between blocks, mm.
pub(super) const GAP: f64 = 5.0;

/// Least room worth filling with words, mm.
const LEAST_ROOM: (f64, f64) = (60.0, 14.0);

/// A sheet before it is numbered.
#[derive(Default)]
pub(super) struct Draft {
    pub name: &'static str,
    pub canvas: Canvas,
    /// Rooms left for words.
    pub free: Vec<Room>,
}

impl Draft {
    pub fn new(name: &'static str) -> Self {
        Self {
            name,
            ..Self::default()
        }
    }

    pub fn leave(&mut self, [left, top]: Point, width: f64, height: f64) {
        if width >= LEAST_ROOM.0 && height >= LEAST_ROOM.1 {
            self.free.push(Room {
                at: [left, top],
                width,
                height,
            });
        }
    }
}

/// The part of the sheet inside the border and above the strip, mm.
#[derive(Clone, Copy)]
pub(super) struct Area {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

impl Area {
    pub fn bottom(self) -> f64 {
        self.top + self.height
    }

    pub fn of(paper: Paper) -> Self {
        let (width, height) = paper::size(paper);
        Self {
            left: MARGIN + PAD,
            top: MARGIN + PAD,
            width: width - 2.0 * (MARGIN + PAD),
            height: height - 2.0 * MARGIN - STRIP - 2.0 * PAD,
        }
    }
}

/// Refuses a block of a part's sheet that the paper cannot hold.
pub(super) fn fits(block: &Block, area: Area, part: PartKind) -> Result<(), DrawingError> {
    if block.width > area.width {
        return Err(DrawingError::TooLong {
            part,
            needed: block.width,
            room: area.width,
        });
    }
    if block.height > area.height {
        return Err(DrawingError::TooHigh {
            needed: block.height,
            room: area.height,
        });
    }
    Ok(())
}
