//! A sheet before it is numbered, and the room it has.

use super::frame::{MARGIN, PAD, STRIP};
use super::words::Room;
use crate::DrawingError;
use crate::canvas::{Block, Canvas, Point, Shape};
use crate::paper;
use job::Paper;
use machining::PartKind;

/// Between blocks, mm.
pub(super) const GAP: f64 = 5.0;
/// Side of the squares by which the room that is used is counted, mm.
const SQUARE: f64 = 10.0;

/// A sheet before it is numbered.
#[derive(Clone, Default)]
pub(super) struct Draft {
    pub name: &'static str,
    pub canvas: Canvas,
    /// Rooms left for words.
    pub free: Vec<Room>,
}

impl Draft {
    /// Least room worth filling with words, mm.
    pub const LEAST_ROOM: (f64, f64) = (60.0, 14.0);

    pub fn new(name: &'static str) -> Self {
        Self {
            name,
            ..Self::default()
        }
    }

    /// Share of the squares of an area where something is drawn.
    #[allow(clippy::cast_possible_truncation)] // counts of squares on a paper
    pub fn used(&self, area: Area) -> f64 {
        let count = |side: f64| (side / SQUARE).floor().max(1.0);
        let [across, down] = [count(area.width), count(area.height)];
        let mut squares = vec![false; (across * down) as usize];
        let mut touch = |points: &[Point]| {
            let reach = |axis: usize, from: f64, count: f64| {
                let places = points
                    .iter()
                    .map(|p| ((p[axis] - from) / SQUARE).floor().clamp(0.0, count - 1.0));
                let ends = places.fold([count, 0.0], |[low, high], v| [v.min(low), v.max(high)]);
                ends[0] as usize..=ends[1] as usize
            };
            for y in reach(1, area.top, down) {
                for x in reach(0, area.left, across) {
                    squares[y * across as usize + x] = true;
                }
            }
        };
        for item in &self.canvas.items {
            match &item.shape {
                Shape::Path {
                    points, closed: false, ..
                } => points.windows(2).for_each(&mut touch),
                Shape::Path { points, .. } => touch(points),
                Shape::Circle { centre, .. } => touch(&[*centre]),
                Shape::Text(text) => touch(&text.corners()),
            }
        }
        squares.iter().filter(|used| **used).count() as f64 / squares.len() as f64
    }

    pub fn leave(&mut self, [left, top]: Point, width: f64, height: f64) {
        if width >= Self::LEAST_ROOM.0 && height >= Self::LEAST_ROOM.1 {
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

    /// Without its leftmost `used` mm.
    pub fn beside(self, used: f64) -> Self {
        Self {
            left: self.left + used,
            width: self.width - used,
            ..self
        }
    }

    /// Without its uppermost `used` mm.
    pub fn below(self, used: f64) -> Self {
        Self {
            top: self.top + used,
            height: self.height - used,
            ..self
        }
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
    if block.width > area.width || block.height > area.height {
        return Err(too_large(block, area, part));
    }
    Ok(())
}

/// Why a block has no room.
pub(super) fn too_large(block: &Block, area: Area, part: PartKind) -> DrawingError {
    if block.width > area.width {
        DrawingError::TooLong {
            part,
            needed: block.width,
            room: area.width,
        }
    } else {
        DrawingError::TooHigh {
            needed: block.height,
            room: area.height,
        }
    }
}
