//! Points along a way over the surface, close enough that straight lines between them keep to the exact location.

use super::way::CHORD;

/// Shortest step along, mm: at a kink no chord is ever near enough.
const SHORTEST: f64 = 0.02;
/// Longest step along, mm, over a smooth stretch, and beside a kink: so that no rise between two points is overlooked.
const LONGEST: f64 = 2.0;
const LONGEST_KINKED: f64 = 0.2;

/// Distance of `p` from the line through `a` and `b`.
fn off(a: [f64; 3], b: [f64; 3], p: [f64; 3]) -> f64 {
    let sub = |p: [f64; 3], q: [f64; 3]| [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
    let dot = |p: [f64; 3], q: [f64; 3]| p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
    let (ab, ap) = (sub(b, a), sub(p, a));
    let length2 = dot(ab, ab);
    if length2 == 0.0 {
        return dot(ap, ap).sqrt();
    }
    let t = dot(ab, ap) / length2;
    let away = [ap[0] - t * ab[0], ap[1] - t * ab[1], ap[2] - t * ab[2]];
    dot(away, away).sqrt()
}

/// Points of `place` from parameter `from` to `to` (a length in mm, or near it), both ends included. The error is measured at
/// the quarters of every chord; half of it is kept in
/// reserve for what lies between. `kinked` says whether a kink lies near a stretch, given its lesser and greater end.
pub(super) fn follow(
    from: f64,
    to: f64,
    kinked: impl Fn(f64, f64) -> bool,
    mut place: impl FnMut(f64) -> [f64; 3],
) -> Vec<[f64; 3]> {
    let mut points = vec![place(from)];
    let mut ends = vec![(to, place(to))];
    let mut start = (from, points[0]);
    while let Some(&(t, end)) = ends.last() {
        let long = (t - start.0).abs();
        let at = |share: f64| start.0 + share * (t - start.0);
        let middle = place(at(0.5));
        let split = long > LONGEST
            || long > LONGEST_KINKED && kinked(start.0.min(t), start.0.max(t))
            || long > SHORTEST
                && (off(start.1, end, middle) > 0.5 * CHORD
                    || off(start.1, end, place(at(0.25))) > 0.5 * CHORD
                    || off(start.1, end, place(at(0.75))) > 0.5 * CHORD);
        if split {
            ends.push((at(0.5), middle));
        } else {
            points.push(end);
            start = (t, end);
            ends.pop();
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use numerics::math;

    #[test]
    fn a_circle_within_the_chord() {
        let radius = 5.0;
        let circle = |t: f64| [radius * math::cos(t / radius), radius * math::sin(t / radius), 0.0];
        let points = follow(0.0, 10.0, |_, _| false, circle);
        for pair in points.windows(2) {
            let middle = [0.5 * (pair[0][0] + pair[1][0]), 0.5 * (pair[0][1] + pair[1][1])];
            assert!(radius - math::hypot(middle[0], middle[1]) < CHORD);
        }
        assert!(points.len() < 200, "{}", points.len());
        assert_eq!((points[0], *points.last().unwrap()), (circle(0.0), circle(10.0)));
    }
}
