//! Rounded ends on edge: round each end with the side of the flat cutter.

use super::way::{GAP, Way, levels};
use crate::surface::RoundEnd;
use crate::{Setup, Surface};
use numerics::math;

/// Rounds both ends down from what stands there (`tops`, near end first), as far as jaws and cutter allow.
pub(super) fn ends(way: &mut Way, surface: &Surface, setup: &Setup, tops: [f64; 2], notes: &mut Vec<String>) {
    let mut floor = f64::NEG_INFINITY;
    for end in surface.round_cuts() {
        let top = tops[usize::from(end.far)].min(setup.raw_top());
        one(way, surface, setup, end, top);
        floor = floor.max(end.floor);
    }
    if floor > setup.seat_z() + GAP {
        notes.push(format!(
            "The ends are rounded down to Z {floor:.2} mm, as far as jaws and cutter allow. File the rest to the rounding above it."
        ));
    }
}

/// Laps go to and fro about the end, each level outside in, and the last one climbs beside the wall. The tool stays down: abreast of
/// the centre it stands beside the faces of the stock, in the air, and there it goes inward, outward and down at the feed.
fn one(way: &mut Way, surface: &Surface, setup: &Setup, &RoundEnd { centre, far, floor }: &RoundEnd, top: f64) {
    let cutter = &setup.rougher;
    let half = 0.5 * surface.thickness();
    let margin = if far {
        surface.stock_length() - (centre + half)
    } else {
        centre - half
    };
    // The stock's corner is the furthest from the centre.
    let out = math::hypot(half + margin.max(0.0), half) - half;
    let laps = laps(out, setup).map(|left| half + cutter.radius() + left);
    // Clockwise round the part climbs: up the near end from back to front, down the far end from front to back.
    let climbs_from = if far { 1.0 } else { -1.0 };
    let beside = |side: f64, off: f64, z: f64| [centre, side * off - half, z];
    let step = setup.material.step_down * cutter.diameter;
    for (i, level) in levels(top, floor, step).into_iter().enumerate() {
        // An even number of laps that ends climbing begins where it ends.
        let mut side = -climbs_from;
        let apart = laps.clone().next().unwrap_or_default() + GAP;
        let start = beside(side, apart, level);
        match way.at() {
            Some(at) if i > 0 => {
                way.cut(beside(side, apart, at[2]));
                way.cut(start);
            }
            _ => way.enter(start, level + GAP),
        }
        for off in laps.clone() {
            way.cut(beside(side, off, level));
            side = -side;
            let clockwise = side != climbs_from;
            way.arc(beside(side, off, level), [centre, -half], clockwise, way.feeds.cut);
        }
    }
}

/// What each lap leaves on the wall, outside in, mm: an even number of laps, the last one leaves nothing.
fn laps(out: f64, setup: &Setup) -> impl Iterator<Item = f64> + Clone + use<> {
    let allowance = setup.rough_allowance.min(out);
    let over = setup.material.step_over * setup.rougher.diameter;
    // Stock beyond an end is some millimetres, so the count is small.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let needed = ((out - allowance) / over).ceil().clamp(1.0, 1e3) as u32;
    let roughing = needed | 1;
    let step = (out - allowance) / f64::from(roughing);
    (1..=roughing)
        .rev()
        .map(move |left| allowance + step * f64::from(left - 1))
        .chain(std::iter::once(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testbed::on_edge;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn laps_come_inward_by_no_more_than_a_step_over(out in 0.01..8.0f64, allowance in 0.0..0.5f64, over in 0.05..0.9f64) {
            let mut setup = on_edge();
            setup.rough_allowance = allowance;
            setup.material.step_over = over;
            let laps: Vec<f64> = laps(out, &setup).collect();
            let widest = over * setup.rougher.diameter + 1e-9;
            prop_assert_eq!(laps.len() % 2, 0);
            prop_assert_eq!(laps[laps.len() - 1], 0.0);
            prop_assert!(out - laps[0] <= widest);
            prop_assert!(laps[laps.len() - 2] <= allowance + 1e-9);
            for pair in laps.windows(2) {
                prop_assert!(pair[0] >= pair[1] && pair[0] - pair[1] <= widest.max(allowance), "{:?}", laps);
            }
        }
    }
}
