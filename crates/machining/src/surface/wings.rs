//! The height of the bridge's wings, which the ends of a through saddle blend into.

use super::error::SurfaceError;

/// Contours from both ends: the top is not higher.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wings {
    bass: Vec<(f64, f64)>,
    treble: Vec<(f64, f64)>,
    ends: (f64, f64),
}

fn usable(points: &[(f64, f64)]) -> bool {
    points.iter().all(|(x, v)| x.is_finite() && v.is_finite() && *v > 0.0)
        && points.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 >= w[0].1)
}

/// Height at `x` inward from the end; no cap beyond the last point.
fn height(points: &[(f64, f64)], x: f64) -> f64 {
    let i = points.partition_point(|p| p.0 <= x);
    match (i.checked_sub(1).and_then(|j| points.get(j)), points.get(i)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0),
        (None, Some(first)) => first.1,
        _ => f64::INFINITY,
    }
}

impl Wings {
    pub(crate) fn new(bass: &[(f64, f64)], treble: &[(f64, f64)], ends: (f64, f64)) -> Result<Self, SurfaceError> {
        for (points, end) in [(bass, "bass"), (treble, "treble")] {
            if !usable(points) {
                return Err(SurfaceError::Wing { end });
            }
        }
        Ok(Self {
            bass: bass.to_vec(),
            treble: treble.to_vec(),
            ends,
        })
    }

    /// Height that the top does not exceed at `u`.
    pub(crate) fn cap(&self, u: f64) -> f64 {
        height(&self.bass, u - self.ends.0).min(height(&self.treble, self.ends.1 - u))
    }

    pub(crate) fn kinks(&self) -> impl Iterator<Item = f64> + '_ {
        let bass = self.bass.iter().map(|p| self.ends.0 + p.0);
        bass.chain(self.treble.iter().map(|p| self.ends.1 - p.0))
    }

    /// u between which the wings have no part.
    pub(crate) fn between(&self) -> (f64, f64) {
        (
            self.bass.last().map_or(f64::NEG_INFINITY, |p| self.ends.0 + p.0),
            self.treble.last().map_or(f64::INFINITY, |p| self.ends.1 - p.0),
        )
    }

    /// Last point of each contour as (u, v).
    pub(crate) fn tops(&self) -> Vec<(&'static str, (f64, f64))> {
        let bass = self.bass.last().map(|p| ("bass", (self.ends.0 + p.0, p.1)));
        let treble = self.treble.last().map(|p| ("treble", (self.ends.1 - p.0, p.1)));
        bass.into_iter().chain(treble).collect()
    }

    /// Largest angle by which a contour turns upward at one of its points, radians.
    pub(crate) fn inner_corner(&self) -> f64 {
        let turns = |points: &[(f64, f64)]| {
            let slope = |w: &[(f64, f64)]| (w[1].1 - w[0].1).atan2(w[1].0 - w[0].0);
            let turns = points.windows(3).map(|w| slope(&w[1..]) - slope(&w[..2]));
            turns.fold(0.0, f64::max)
        };
        turns(&self.bass).max(turns(&self.treble))
    }
}
