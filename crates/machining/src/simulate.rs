//! Removal of material on a grid of heights, motion by motion.
//!
//! Every cell holds the height of the material over its centre. A straight motion lowers a cell to the exact lower envelope
//! of the cutter swept along it (see [`sweep`]), but for at most [`JOIN`] where two balls join almost in line; an arc is taken as chords no farther from it than [`ARC_CHORD`].

mod map;
mod pieces;
mod slices;
mod sweep;
mod wheel;

use rayon::prelude::*;

pub(crate) use map::TOUCH;
pub use map::{ARC_CHORD, Grid, HeightMap, JOIN, Met};

use crate::{Cutter, Motion};
use map::cells_between;
use pieces::{Piece, pieces};
use slices::Slices;
use sweep::{LANES, Patch, Taken};
pub(crate) use wheel::saw;

/// Rows that one task works on. Fixed, so that sums come in the same order on every machine.
const BAND: usize = 16;

/// Lowers `map` by `motions` in order; what each of them met. A motion with a tool that is not among `tools` is left out.
pub fn simulate(map: &mut HeightMap, motions: &[Motion], tools: &[&Cutter]) -> Vec<Met> {
    let grid = map.grid;
    let top = map.heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let pieces = pieces(motions, tools, grid.cell, top);
    let width = grid.count[0];
    if width == 0 || pieces.is_empty() {
        return vec![Met::default(); motions.len()];
    }
    let bands: Vec<Vec<Met>> = map
        .heights
        .par_chunks_mut(BAND * width)
        .enumerate()
        .map(|(band, rows)| {
            let mut met = vec![Met::default(); motions.len()];
            pulp::Arch::new().dispatch(Band {
                grid: &grid,
                first: band * BAND,
                rows,
                pieces: &pieces,
                met: &mut met,
            });
            met
        })
        .collect();
    let mut sum = vec![Met::default(); motions.len()];
    for band in &bands {
        for (total, part) in sum.iter_mut().zip(band) {
            *total = total.with(*part);
        }
    }
    sum
}

/// Some rows of the grid, and all that goes over them.
struct Band<'a> {
    grid: &'a Grid,
    first: usize,
    rows: &'a mut [f64],
    pieces: &'a [Piece],
    met: &'a mut [Met],
}

impl pulp::NullaryFnOnce for Band<'_> {
    type Output = ();

    // Everything under this is inlined, so that it is compiled for the processor's own vectors. Plain arithmetic without
    // reordering gives the same bits on all of them.
    #[inline(always)]
    fn call(self) {
        for piece in self.pieces {
            cut_band(self.grid, self.first, self.rows, piece, &mut self.met[piece.motion]);
        }
    }
}

/// One piece of a motion over the rows of one band, the first of which is row `first` of the grid.
#[inline(always)]
fn cut_band(grid: &Grid, first: usize, rows: &mut [f64], piece: &Piece, met: &mut Met) {
    let (low, high) = piece.y_range();
    let width = grid.count[0];
    let count = rows.len() / width;
    let range = cells_between(low - grid.low[1], high - grid.low[1], grid.cell, first, first + count);
    let mut taken = Taken::default();
    let y_of = |j: usize| grid.low[1] + (j as f64 + 0.5) * grid.cell;
    let cells = |(x0, x1): (f64, f64)| cells_between(x0 - grid.low[0], x1 - grid.low[0], grid.cell, 0, width);
    // A piece along the rows takes much the same cells of each.
    let shared = (!range.is_empty())
        .then(|| piece.x_shared(y_of(range.start), y_of(range.end - 1), LANES as f64 * grid.cell))
        .flatten()
        .map(cells);
    let together = if shared.is_some() { range.len() } else { 1 };
    let mut j = range.start;
    while j < range.end {
        let y = y_of(j);
        let columns = shared.clone().unwrap_or_else(|| columns(grid, piece, y));
        // Cells on either side are lowered no farther than the cutter reaches, so whole vectors may be taken.
        let end = (columns.start + columns.len().next_multiple_of(LANES)).min(width);
        let start = end.saturating_sub((end - columns.start).next_multiple_of(LANES));
        if !columns.is_empty() {
            let patch = Patch {
                cells: &mut rows[(j - first) * width..][..together * width],
                width,
                columns: start..end,
                at: [grid.low[0] + (start as f64 + 0.5) * grid.cell, y],
                cell: grid.cell,
            };
            piece.lower(patch, &mut taken);
        }
        j += together;
    }
    let depth = taken.depth();
    match piece.part {
        pieces::ToolPart::Edges => {
            met.depth = met.depth.max(depth);
            met.volume += taken.sum() * grid.cell * grid.cell;
        }
        pieces::ToolPart::Shank => met.shank = met.shank.max(depth),
        pieces::ToolPart::Collet => met.collet = met.collet.max(depth),
    }
}

/// Cells of the row at `y` that a piece may lower.
#[inline(always)]
fn columns(grid: &Grid, piece: &Piece, y: f64) -> std::ops::Range<usize> {
    piece.x_range(y).map_or(0..0, |(x0, x1)| {
        cells_between(x0 - grid.low[0], x1 - grid.low[0], grid.cell, 0, grid.count[0])
    })
}

/// What motions did to one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Probe {
    /// Height left, mm.
    pub height: f64,
    /// The first motion (from 0) that went below the given height.
    pub first: Option<usize>,
}

/// Lowers single places, each with its height before and the height to watch, exactly as [`simulate`] lowers cells.
pub(crate) fn probe(places: &[([f64; 2], f64, f64)], motions: &[Motion], tools: &[&Cutter], cell: f64) -> Vec<Probe> {
    if places.is_empty() {
        return Vec::new();
    }
    let top = places.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    let pieces = pieces(motions, tools, cell, top);
    let xs = || places.iter().map(|p| p.0[0]);
    let slices = Slices::new(
        &pieces,
        xs().fold(f64::INFINITY, f64::min),
        xs().fold(f64::NEG_INFINITY, f64::max),
    );
    let one = |([x, y], top, below): &([f64; 2], f64, f64)| {
        let mut height = [*top];
        let mut first = None;
        for piece in slices.at(*x) {
            let (low, high) = piece.y_range();
            if *y < low || *y > high {
                continue;
            }
            if piece.x_range(*y).is_some_and(|(low, high)| (low..=high).contains(x)) {
                let patch = Patch {
                    cells: &mut height,
                    width: 1,
                    columns: 0..1,
                    at: [*x, *y],
                    cell,
                };
                piece.lower(patch, &mut Taken::default());
                if height[0] < *below && first.is_none() {
                    first = Some(piece.motion);
                }
            }
        }
        Probe {
            height: height[0],
            first,
        }
    };
    places.par_iter().map(one).collect()
}

/// How many times [`simulate`] looks at a cell for these motions over stock like `map`; for measurements of its speed.
#[must_use]
pub fn cells_visited(map: &HeightMap, motions: &[Motion], tools: &[&Cutter]) -> usize {
    let grid = &map.grid;
    let top = map.heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let rows = |piece: &Piece| -> usize {
        let (low, high) = piece.y_range();
        cells_between(low - grid.low[1], high - grid.low[1], grid.cell, 0, grid.count[1])
            .map(|j| columns(grid, piece, grid.centre(0, j)[1]).len())
            .sum()
    };
    pieces(motions, tools, grid.cell, top).iter().map(rows).sum()
}
