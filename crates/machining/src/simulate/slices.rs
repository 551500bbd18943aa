//! Pieces by the slice of x that they reach into, for questions about single places.

use super::pieces::{Piece, ToolPart};

/// Least width of a slice, mm, and the most slices.
const WIDTH: f64 = 0.5;
const MOST: usize = 1000;
/// A piece reaches this much farther for the rounding of its own range, mm.
const ROUNDING: f64 = 1e-6;

/// The pieces of the edges in each slice, in order.
pub(super) struct Slices<'a> {
    low: f64,
    width: f64,
    slices: Vec<Vec<&'a Piece>>,
}

impl<'a> Slices<'a> {
    /// Of what may lower places from `low` to `high` in x, mm.
    pub fn new(pieces: &'a [Piece], low: f64, high: f64) -> Self {
        let width = WIDTH.max((high - low) / MOST as f64);
        let mut slices = Self {
            low,
            width,
            slices: Vec::new(),
        };
        slices.slices = vec![Vec::new(); slices.index(high) + 1];
        for piece in pieces.iter().filter(|p| p.part == ToolPart::Edges) {
            let (from, to) = piece.x_reach();
            if to + ROUNDING >= low && from - ROUNDING <= high {
                let range = slices.index(from - ROUNDING)..=slices.index((to + ROUNDING).min(high));
                slices.slices[range].iter_mut().for_each(|slice| slice.push(piece));
            }
        }
        slices
    }

    /// Those that may lower a place at `x`.
    pub fn at(&self, x: f64) -> &[&'a Piece] {
        self.slices.get(self.index(x)).map_or(&[], Vec::as_slice)
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to MOST
    fn index(&self, x: f64) -> usize {
        ((x - self.low) / self.width).clamp(0.0, MOST as f64) as usize
    }
}

#[cfg(test)]
mod tests {
    use super::super::pieces::pieces;
    use super::*;
    use crate::testbed::cutter;
    use crate::{CutterShape, Motion, MotionKind};
    use proptest::prelude::*;

    proptest! {
        /// A slice holds, in order, every piece that may lower a place in it.
        #[test]
        fn nothing_is_left_out(
            ways in prop::collection::vec((-3.0..12.0f64, -3.0..3.0f64, 0.0..3.0f64, 0u32..3), 2..30),
            places in prop::collection::vec((0.0..9.0f64, -2.0..2.0f64), 1..20),
        ) {
            let mut at = [0.0, 0.0, 1.0];
            let motions: Vec<Motion> = ways.iter().map(|&(x, y, z, kind)| {
                // Aslant, along an axis, or straight down.
                let to = match kind { 0 => [x, y, z], 1 => [x, at[1], z], _ => [at[0], at[1], z] };
                let motion = Motion { from: at, to, kind: MotionKind::Line, feed: 100.0, spindle: 1e4, tool: 1, line: 1 };
                at = to;
                motion
            }).collect();
            let tool = cutter(1, CutterShape::Ball, 1.5);
            let pieces = pieces(&motions, &[&tool], 0.1, 4.0);
            let slices = Slices::new(&pieces, 0.0, 9.0);
            for (x, y) in places {
                let may = |p: &&Piece| {
                    p.part == ToolPart::Edges && p.x_range(y).is_some_and(|(low, high)| low <= x && x <= high)
                };
                let wanted: Vec<*const Piece> = pieces.iter().filter(may).map(|p| p as *const Piece).collect();
                let held: Vec<*const Piece> =
                    slices.at(x).iter().copied().filter(|p| may(p)).map(|p| p as *const Piece).collect();
                prop_assert_eq!(wanted, held, "at {}, {}", x, y);
            }
        }
    }
}
