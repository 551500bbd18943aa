//! Heights of material over a grid, and what motions meet of it.

/// Farthest that a chord lies from its arc, mm.
pub const ARC_CHORD: f64 = 0.000_5;

/// Deepest that a piece may run below the exact sweep where two join almost in line, mm.
pub const JOIN: f64 = 0.000_1;

/// Less than this taken off a cell is rounding, mm.
pub const TOUCH: f64 = 1e-6;

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
    pub(super) fn with(self, other: Self) -> Self {
        Self {
            depth: self.depth.max(other.depth),
            volume: self.volume + other.volume,
            shank: self.shank.max(other.shank),
            collet: self.collet.max(other.collet),
        }
    }
}

/// Cells whose centres lie between two distances from the grid's edge, within `first..end`.
#[inline(always)]
pub(super) fn cells_between(low: f64, high: f64, cell: f64, first: usize, end: usize) -> std::ops::Range<usize> {
    let bound = |cells: f64| {
        // Held within the grid, whose counts are small.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let bounded = cells.clamp(first as f64, end as f64) as usize;
        bounded
    };
    bound((low / cell - 0.5).ceil())..bound((high / cell - 0.5).floor() + 1.0)
}
