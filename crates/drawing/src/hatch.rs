//! Hatching of cut faces after ISO 128-3: narrow parallel lines at 45 degrees.

use crate::canvas::{Canvas, LineKind, Point};

/// Between hatching lines, mm.
const SPACING: f64 = 1.8;

/// Hatches the closed polygon with lines that rise to the right.
pub(crate) fn hatch(canvas: &mut Canvas, polygon: &[Point]) {
    // Lines x + y = c rise to the right on a sheet whose y points down.
    let level = |p: &Point| p[0] + p[1];
    let low = polygon.iter().map(level).fold(f64::INFINITY, f64::min);
    let high = polygon.iter().map(level).fold(f64::NEG_INFINITY, f64::max);
    let mut c = low + 0.5 * SPACING;
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
        c += SPACING;
    }
}
