//! Hatching of cut faces after ISO 128-3: narrow parallel lines at 45 degrees.

use crate::canvas::{Canvas, LineKind, Point};

/// Between hatching lines, mm.
const SPACING: f64 = 1.8;

/// Between the lines of cross-hatching, mm.
const CROSS_SPACING: f64 = 0.9;

/// Hatches the closed polygon with lines that rise to the right.
pub(crate) fn hatch(canvas: &mut Canvas, polygon: &[Point]) {
    lines(canvas, polygon, 1.0, SPACING);
}

/// Hatches the closed polygon closely both ways, for what is taken away.
pub(crate) fn cross_hatch(canvas: &mut Canvas, polygon: &[Point]) {
    lines(canvas, polygon, 1.0, CROSS_SPACING);
    lines(canvas, polygon, -1.0, CROSS_SPACING);
}

/// Lines `x + way y = c`: on a sheet whose y points down they rise to the right if `way` is 1, and fall if it is -1.
fn lines(canvas: &mut Canvas, polygon: &[Point], way: f64, spacing: f64) {
    let level = |p: &Point| p[0] + way * p[1];
    let low = polygon.iter().map(level).fold(f64::INFINITY, f64::min);
    let high = polygon.iter().map(level).fold(f64::NEG_INFINITY, f64::max);
    let mut c = low + 0.5 * spacing;
    while c < high {
        let mut cuts: Vec<Point> = Vec::new();
        for (i, p) in polygon.iter().enumerate() {
            let q = &polygon[(i + 1) % polygon.len()];
            let (a, b) = (level(p) - c, level(q) - c);
            if (a < 0.0) != (b < 0.0) {
                let t = a / (a - b);
                cuts.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
            }
        }
        cuts.sort_by(|a, b| a[0].total_cmp(&b[0]));
        for pair in cuts.chunks_exact(2) {
            canvas.line(pair[0], pair[1], LineKind::Narrow);
        }
        c += spacing;
    }
}
