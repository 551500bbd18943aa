//! Closed lines of straight pieces and arcs.

use numerics::math;

/// A straight piece, or an arc whose bulge is the tangent of a quarter of its turn, positive counter-clockwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Segment {
    pub(crate) from: [f64; 2],
    pub(crate) to: [f64; 2],
    pub(crate) bulge: f64,
}

/// Arcs flatter than this are straight: over 100 mm they stray by less than 0.000 05 mm.
const FLAT: f64 = 1e-6;

impl Segment {
    /// The arc through three places.
    pub(crate) fn through(a: [f64; 2], m: [f64; 2], z: [f64; 2]) -> Self {
        let (p, q) = ([m[0] - a[0], m[1] - a[1]], [z[0] - m[0], z[1] - m[1]]);
        // By the inscribed angle the turn is twice the angle between the chords.
        let half = math::atan2(p[0] * q[1] - p[1] * q[0], p[0] * q[0] + p[1] * q[1]);
        Self {
            from: a,
            to: z,
            bulge: math::tan(0.5 * half),
        }
    }

    pub(crate) fn straight(&self) -> bool {
        self.bulge.abs() < FLAT
    }

    fn chord(&self) -> f64 {
        math::hypot(self.to[0] - self.from[0], self.to[1] - self.from[1])
    }

    /// Turned angle, radians, positive counter-clockwise.
    fn turn(&self) -> f64 {
        4.0 * math::atan(self.bulge)
    }

    fn radius(&self) -> f64 {
        0.5 * self.chord() / math::sin(0.5 * self.turn()).abs()
    }

    pub(crate) fn length(&self) -> f64 {
        if self.straight() {
            self.chord()
        } else {
            self.radius() * self.turn().abs()
        }
    }

    pub(crate) fn centre(&self) -> [f64; 2] {
        let (dx, dy) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
        let side = (1.0 - self.bulge * self.bulge) / (4.0 * self.bulge);
        [
            0.5 * (self.from[0] + self.to[0]) - dy * side,
            0.5 * (self.from[1] + self.to[1]) + dx * side,
        ]
    }

    /// Place at `share` of the length.
    pub(crate) fn at(&self, share: f64) -> [f64; 2] {
        if self.straight() {
            return [0, 1].map(|i| self.from[i] + share * (self.to[i] - self.from[i]));
        }
        let c = self.centre();
        let (sin, cos) = math::sin_cos(share * self.turn());
        let (x, y) = (self.from[0] - c[0], self.from[1] - c[1]);
        [c[0] + x * cos - y * sin, c[1] + x * sin + y * cos]
    }

    /// The piece between two shares of the length.
    fn part(&self, a: f64, z: f64) -> Self {
        let end = |share: f64| {
            if share <= 0.0 {
                self.from
            } else if share >= 1.0 {
                self.to
            } else {
                self.at(share)
            }
        };
        Self {
            from: end(a),
            to: end(z),
            bulge: if self.straight() {
                0.0
            } else {
                math::tan(0.25 * (z - a) * self.turn())
            },
        }
    }

    /// Distance of `p` from the whole circle or line that the piece lies on.
    pub(crate) fn distance(&self, p: [f64; 2]) -> f64 {
        if self.straight() {
            let (dx, dy) = (self.to[0] - self.from[0], self.to[1] - self.from[1]);
            return ((p[0] - self.from[0]) * dy - (p[1] - self.from[1]) * dx).abs() / self.chord();
        }
        let c = self.centre();
        (math::hypot(p[0] - c[0], p[1] - c[1]) - self.radius()).abs()
    }

    /// Chords no further than `within` from the piece: their ends.
    pub(crate) fn chords(&self, within: f64) -> Vec<[f64; 2]> {
        if self.straight() {
            return vec![self.to];
        }
        // Sagitta r (1 - cos(step/2)).
        let step = 2.0 * math::acos(1.0 - (within / self.radius()).min(1.0));
        let mut count = 1u32;
        while self.turn().abs() / f64::from(count) > step && count < 100_000 {
            count += 1;
        }
        (1..=count)
            .map(|i| {
                if i == count {
                    self.to
                } else {
                    self.at(f64::from(i) / f64::from(count))
                }
            })
            .collect()
    }
}

/// A line, closed or open.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    segments: Vec<Segment>,
}

impl Curve {
    pub(crate) fn closed(segments: Vec<Segment>) -> Self {
        Self { segments }
    }

    pub(crate) fn open(segments: Vec<Segment>) -> Self {
        Self { segments }
    }

    pub(crate) fn segments(&self) -> &[Segment] {
        &self.segments
    }

    pub(crate) fn start(&self) -> [f64; 2] {
        self.segments.first().map_or([0.0; 2], |s| s.from)
    }

    pub(crate) fn end(&self) -> [f64; 2] {
        self.segments.last().map_or([0.0; 2], |s| s.to)
    }

    pub(crate) fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// Pieces between two lengths from the start, `from < to <= length`.
    pub(crate) fn between(&self, from: f64, to: f64) -> Vec<Segment> {
        let mut out = Vec::new();
        let mut before = 0.0;
        for segment in &self.segments {
            let long = segment.length();
            let (a, z) = ((from - before).max(0.0) / long, ((to - before) / long).min(1.0));
            if z - a > 1e-9 {
                out.push(segment.part(a, z));
            }
            before += long;
        }
        out
    }

    /// Corners of chords no further than `within` from the line, the first not repeated.
    pub(crate) fn points(&self, within: f64) -> Vec<[f64; 2]> {
        let mut points: Vec<_> = self.segments.iter().flat_map(|s| s.chords(within)).collect();
        points.rotate_right(1);
        points
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_circle() {
        let h = std::f64::consts::FRAC_1_SQRT_2;
        let arc = Segment::through([1.0, 0.0], [h, h], [0.0, 1.0]);
        assert!((arc.bulge - math::tan(std::f64::consts::PI / 8.0)).abs() < 1e-12);
        assert!(arc.centre().iter().all(|c| c.abs() < 1e-12));
        assert!((arc.length() - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
        let half = arc.part(0.5, 1.0);
        assert!((half.from[0] - h).abs() < 1e-12 && half.centre()[0].abs() < 1e-12);
        assert!(
            arc.chords(0.001)
                .iter()
                .all(|p| (math::hypot(p[0], p[1]) - 1.0).abs() < 1e-12)
        );
        let back = Segment::through([0.0, 1.0], [h, h], [1.0, 0.0]);
        assert!(back.bulge < 0.0 && (back.distance([0.5, 0.0]) - 0.5).abs() < 1e-12);
    }
}
