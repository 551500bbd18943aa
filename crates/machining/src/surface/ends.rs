//! Rounded ends: their walls, and how deep they are cut.

use crate::jaws::OVER_JAW;
use crate::{Holding, Setup};
use numerics::math;

/// Chords of the walls, mm.
const CHORDS: f64 = 0.000_5;
/// Shares of the cutter's width beside a wall between which its cut is looked at over an area; nearer, the wall itself is judged.
const BESIDE: (f64, f64) = (0.1, 0.9);

/// One end, rounded over the whole thickness about a line at X = `centre` in the middle of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RoundEnd {
    pub(crate) centre: f64,
    /// Whether it is the end with the greater X.
    pub(crate) far: bool,
    /// Z down to which it is cut: as far as the jaws and the cutting edges allow.
    pub(crate) floor: f64,
}

impl RoundEnd {
    /// The ends with the lower and the greater X of a blank of `thickness` mm between two X in stock of `length` mm.
    pub(crate) fn both((low, high): (f64, f64), thickness: f64, length: f64, setup: &Setup) -> [Self; 2] {
        let half = 0.5 * thickness;
        let reach = setup.rougher.diameter + half;
        let one = |centre: f64, far: bool| {
            let swept = if far {
                (centre - setup.rougher.radius(), length + reach)
            } else {
                (-reach, centre + setup.rougher.radius())
            };
            Self {
                centre,
                far,
                floor: floor(setup, swept),
            }
        };
        [one(low + half, false), one(high - half, true)]
    }

    /// Distance outside the wall, mm, of a place beyond the centre; `None` before it.
    fn outside(&self, x: f64, y: f64, thickness: f64) -> Option<f64> {
        let beyond = if self.far { x - self.centre } else { self.centre - x };
        let half = 0.5 * thickness;
        (beyond > 0.0).then(|| math::hypot(beyond, y + half) - half)
    }
}

/// Lowest that an end can be cut whose cutter sweeps over a range of X.
fn floor(setup: &Setup, (from, to): (f64, f64)) -> f64 {
    let mut floor = setup.seat_z().max(setup.raw_top() - setup.rougher.cutting_length);
    if let (Holding::Vise { jaw_height, .. }, Some(jaw_x)) = (setup.holding, setup.jaw_x())
        && jaw_x.0 < to
        && jaw_x.1 > from
    {
        floor = floor.max(setup.seat_z() + jaw_height + OVER_JAW);
    }
    floor
}

/// Floor of the cut at a place right beside a wall.
pub(super) fn foot(ends: &[RoundEnd], thickness: f64, x: f64, y: f64) -> Option<f64> {
    let beside = |e: &&RoundEnd| e.outside(x, y, thickness).is_some_and(|off| off > 0.0);
    ends.iter().find(beside).map(|e| e.floor)
}

/// The same over the area that a cutter of `width` mm sweeps beside a wall.
pub(super) fn kerf(ends: &[RoundEnd], thickness: f64, width: f64, x: f64, y: f64) -> Option<f64> {
    let (near, reach) = (BESIDE.0 * width, BESIDE.1 * width);
    let beside = |e: &&RoundEnd| e.outside(x, y, thickness).is_some_and(|off| off > near && off < reach);
    ends.iter().find(beside).map(|e| e.floor)
}

/// The blank from above as a closed line of points, counter-clockwise from the back of the end with the lower X.
pub(super) fn wall([low, high]: &[RoundEnd; 2], thickness: f64) -> Vec<[f64; 2]> {
    let half = 0.5 * thickness;
    let step = 2.0 * math::acos(1.0 - (CHORDS / half).min(1.0));
    // A blank is some millimetres thick, so the count is small.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = (std::f64::consts::PI / step).ceil().clamp(4.0, 1e4) as u32;
    let arc = |end: &RoundEnd, from: f64| {
        let centre = end.centre;
        (0..=count).map(move |k| {
            let (sin, cos) = math::sin_cos(from + std::f64::consts::PI * f64::from(k) / f64::from(count));
            [centre + half * cos, -half + half * sin]
        })
    };
    let quarter = std::f64::consts::FRAC_PI_2;
    arc(high, -quarter).chain(arc(low, quarter)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testbed::on_edge;

    #[test]
    fn a_stadium_seen_from_above() {
        let mut setup = on_edge();
        setup.holding = Holding::Vise {
            jaw_height: 5.0,
            jaw_thickness: 12.0,
            jaw_x: (10.0, 85.0),
        };
        setup.rougher.cutting_length = 20.0;
        let ends = RoundEnd::both((2.0, 72.0), 3.2, 75.0, &setup);
        // The near end hangs out of the jaws; the far one stands over them.
        assert_eq!(ends.map(|e| e.floor), [0.0, 5.0 + OVER_JAW]);
        let line = wall(&ends, 3.2);
        let area: f64 = line
            .iter()
            .zip(line.iter().cycle().skip(1))
            .map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0]))
            .sum();
        let exact = 66.8 * 3.2 + std::f64::consts::PI * 1.6 * 1.6;
        assert!(area > 0.0 && (area - exact).abs() < 0.01, "{area} {exact}");
        assert_eq!(foot(&ends, 3.2, 1.9, -1.6), Some(0.0));
        assert_eq!(foot(&ends, 3.2, 72.1, -1.6), Some(5.0 + OVER_JAW));
        assert_eq!(foot(&ends, 3.2, 2.1, -1.6), None);
        assert_eq!(foot(&ends, 3.2, 40.0, 0.1), None);
        assert_eq!(kerf(&ends, 3.2, 3.0, 1.9, -1.6), None);
        assert_eq!(kerf(&ends, 3.2, 3.0, 1.0, -1.6), Some(0.0));
        // By the edges' length.
        setup.rougher.cutting_length = 8.0;
        assert_eq!(RoundEnd::both((2.0, 72.0), 3.2, 75.0, &setup)[0].floor, 3.0);
    }
}
