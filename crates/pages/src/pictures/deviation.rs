//! What a program leaves, against the part wanted, seen from above.

use machining::{CutTolerance, Deviation};

use super::pen::Pen;

/// Width and greatest height of the map, user units, and room for the words below it.
const WIDE: f64 = 360.0;
const TALL: f64 = 120.0;
const WORDS: f64 = 44.0;
/// Most cells along and across; finer ones are taken together, the worst of them shown.
const ALONG: usize = 120;
const ACROSS: usize = 24;

/// The picture. Within the limits it is shaded; beyond them a cell is dark and crossed.
#[must_use]
pub fn deviation(left: &Deviation, limits: &CutTolerance) -> String {
    let [columns, rows] = left.grid.count;
    let (wide, tall) = (columns.div_ceil(ALONG).max(1), rows.div_ceil(ACROSS).max(1));
    let (across, along) = (rows.div_ceil(tall).max(1), columns.div_ceil(wide).max(1));
    let cell = WIDE / steps(along);
    let height = (TALL / steps(across)).min(cell * 2.0);
    let map = height * steps(across);
    let mut pen = Pen::new(
        "left-map",
        WIDE,
        map + WORDS,
        "How far what is left is from the part wanted",
    );
    for j in 0..across {
        let y = map - height * (steps(j) + 1.0);
        let cells = (0..along).map(|i| {
            let worst = worst(left, (i * wide, j * tall), (wide, tall), [columns, rows]);
            worst.map(|worst| class(worst, limits))
        });
        let cells: Vec<Option<&str>> = cells.collect();
        // Neighbours that are alike are one: a page of thousands of cells is slow.
        let mut i = 0;
        for alike in cells.chunk_by(|one, next| one == next) {
            let at = [cell * steps(i), y];
            i += alike.len();
            if let Some(class) = alike[0] {
                pen.rect(class, at, cell * steps(alike.len()) + 0.2, height + 0.2);
            }
        }
        for (i, _) in cells
            .iter()
            .enumerate()
            .filter(|(_, class)| matches!(class, Some("deep-over" | "high-over")))
        {
            let at = [cell * steps(i), y];
            pen.line("cross", at, [at[0] + cell, at[1] + height]);
            pen.line("cross", [at[0] + cell, at[1]], [at[0], at[1] + height]);
        }
    }
    let words = [
        ("deep", 2.0, "too deep, allowed"),
        ("even", 118.0, "even"),
        ("high", 176.0, "left over, allowed"),
        ("high-over", 300.0, "beyond"),
    ];
    for (class, x, text) in words {
        pen.rect(class, [x, map + 10.0], 12.0, 12.0);
        if class == "high-over" {
            pen.line("cross", [x, map + 10.0], [x + 12.0, map + 22.0]);
            pen.line("cross", [x + 12.0, map + 10.0], [x, map + 22.0]);
        }
        pen.text("t small", [x, map + 36.0], text);
    }
    pen.done()
}

/// A small count as a number to measure with.
fn steps(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

/// The value furthest from nought in a block of cells; `None` where there is no part.
fn worst(
    left: &Deviation,
    (x, y): (usize, usize),
    (wide, tall): (usize, usize),
    [columns, rows]: [usize; 2],
) -> Option<f64> {
    let block = (y..(y + tall).min(rows))
        .flat_map(|row| (x..(x + wide).min(columns)).map(move |column| row * columns + column));
    let values = block
        .filter_map(|at| left.values.get(at).copied())
        .filter(|value| value.is_finite());
    values.max_by(|a, b| a.abs().total_cmp(&b.abs()))
}

fn class(value: f64, limits: &CutTolerance) -> &'static str {
    let limit = if value < 0.0 { limits.gouge } else { limits.excess };
    match (value < 0.0, value.abs() > limit, value.abs() > 0.25 * limit) {
        (true, true, _) => "deep-over",
        (false, true, _) => "high-over",
        (true, _, true) => "deep",
        (false, _, true) => "high",
        _ => "even",
    }
}
