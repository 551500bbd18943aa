//! Removal of material on a grid of heights, motion by motion.
//!
//! Every cell holds the height of the material over its centre. A straight motion lowers a cell to the exact lower envelope
//! of the cutter swept along it (see [`sweep`]), but for at most [`JOIN`] where two balls join almost in line; an arc is taken as chords no farther from it than [`ARC_CHORD`].

mod pieces;
mod sweep;
mod wheel;

use rayon::prelude::*;

use crate::{Cutter, Motion};
use pieces::{Piece, pieces};
use sweep::{LANES, Patch, Taken};
pub(crate) use wheel::saw;

/// Farthest that a chord lies from its arc, mm.
pub const ARC_CHORD: f64 = 0.000_5;
/// Deepest that a piece may run below the exact sweep where two join almost in line, mm.
pub const JOIN: f64 = 0.000_1;
/// Less than this taken off a cell is rounding, mm.
pub const TOUCH: f64 = 1e-6;
/// Rows that one task works on. Fixed, so that sums come in the same order on every machine.
const BAND: usize = 16;

/// Cells of a rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Least x and y of the rectangle, mm.
    pub low: [f64; 2],
    /// Side of a cell, mm.
    pub cell: f64,
    /// Cells along x and y.
    pub count: [usize; 2],
}

impl Grid {
    /// The grid that covers a rectangle (least x, least y, greatest x, greatest y) with whole cells of at most `cell` mm.
    /// The first and last cells may reach past it by less than a cell.
    #[must_use]
    pub fn cover(plan: [f64; 4], cell: f64) -> Self {
        // Blanks are some hundred millimetres long, so the counts fit easily; a faulty size gives an empty grid.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = [0, 1].map(|axis| ((plan[axis + 2] - plan[axis]) / cell - 1e-9).ceil().clamp(0.0, 1e5) as usize);
        let low = [0, 1].map(|axis| {
            let spare = count[axis] as f64 * cell - (plan[axis + 2] - plan[axis]);
            plan[axis] - 0.5 * spare
        });
        Self { low, cell, count }
    }

    /// Centre of a cell, mm.
    #[must_use]
    pub fn centre(&self, i: usize, j: usize) -> [f64; 2] {
        [
            self.low[0] + (i as f64 + 0.5) * self.cell,
            self.low[1] + (j as f64 + 0.5) * self.cell,
        ]
    }
}

/// Height of material over a grid, mm; rows along x, the first at least y.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightMap {
    /// Its cells.
    pub grid: Grid,
    /// A height for each cell.
    pub heights: Vec<f64>,
}

impl HeightMap {
    /// A block of stock with its top at `top`.
    #[must_use]
    pub fn block(grid: Grid, top: f64) -> Self {
        Self {
            grid,
            heights: vec![top; grid.count[0] * grid.count[1]],
        }
    }

    /// Height over a cell, mm.
    #[must_use]
    pub fn at(&self, i: usize, j: usize) -> f64 {
        self.heights[j * self.grid.count[0] + i]
    }
}

impl HeightMap {
    /// Height over the cell that holds a place; `None` outside the map.
    #[must_use]
    pub fn near(&self, x: f64, y: f64) -> Option<f64> {
        let cell = |at: f64, axis: usize| {
            let k = ((at - self.grid.low[axis]) / self.grid.cell).floor();
            // Within the grid, whose counts are small.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let index = (k >= 0.0 && k < self.grid.count[axis] as f64).then_some(k as usize);
            index
        };
        Some(self.at(cell(x, 0)?, cell(y, 1)?))
    }
}

/// What a motion met.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Met {
    /// Most that it lowered any cell, mm.
    pub depth: f64,
    /// Material taken, mm3.
    pub volume: f64,
    /// How far material stood above the end of the cutting edges, against the shank, mm; 0 for none.
    pub shank: f64,
    /// The same for the collet, mm.
    pub collet: f64,
}

impl Met {
    /// Both together.
    fn with(self, other: Self) -> Self {
        Self {
            depth: self.depth.max(other.depth),
            volume: self.volume + other.volume,
            shank: self.shank.max(other.shank),
            collet: self.collet.max(other.collet),
        }
    }
}

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
        pieces::Part::Edges => {
            met.depth = met.depth.max(depth);
            met.volume += taken.sum() * grid.cell * grid.cell;
        }
        pieces::Part::Shank => met.shank = met.shank.max(depth),
        pieces::Part::Collet => met.collet = met.collet.max(depth),
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
    let top = places.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    let pieces = pieces(motions, tools, cell, top);
    let one = |([x, y], top, below): &([f64; 2], f64, f64)| {
        let mut height = [*top];
        let mut first = None;
        for piece in pieces.iter().filter(|p| p.part == pieces::Part::Edges) {
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

/// Cells whose centres lie between two distances from the grid's edge, within `first..end`.
#[inline(always)]
fn cells_between(low: f64, high: f64, cell: f64, first: usize, end: usize) -> std::ops::Range<usize> {
    let bound = |cells: f64| {
        // Held within the grid, whose counts are small.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let bounded = cells.clamp(first as f64, end as f64) as usize;
        bounded
    };
    bound((low / cell - 0.5).ceil())..bound((high / cell - 0.5).floor() + 1.0)
}
