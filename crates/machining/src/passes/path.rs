//! Toolpaths and the moves that they are of.

use crate::{Cutter, Feeds};

/// One move of the tip, program coordinates, mm and mm/min.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// As fast as the machine can.
    Rapid([f64; 3]),
    /// Straight at a feed.
    Line {
        /// End.
        to: [f64; 3],
        /// Feed.
        feed: f64,
    },
    /// Along a circle in XY at a feed; Z goes evenly from start to end. Never a whole turn: an arc whose ends meet is no move.
    Arc {
        /// End.
        to: [f64; 3],
        /// Centre.
        centre: [f64; 2],
        /// Clockwise as seen from above.
        clockwise: bool,
        /// Feed.
        feed: f64,
    },
}

impl Move {
    /// Where the move ends.
    #[must_use]
    pub fn to(&self) -> [f64; 3] {
        match self {
            Self::Rapid(to) | Self::Line { to, .. } | Self::Arc { to, .. } => *to,
        }
    }
}

/// All that one cutter does, from the safe height to the safe height.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpath {
    /// What it is for, in plain words.
    pub purpose: &'static str,
    /// The cutter.
    pub cutter: Cutter,
    /// Speed and feeds.
    pub feeds: Feeds,
    /// The moves.
    pub moves: Vec<Move>,
}

/// Toolpaths of one setup, and what the operator should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpaths {
    /// In order.
    pub paths: Vec<Toolpath>,
    /// Remarks in plain words.
    pub notes: Vec<String>,
}
