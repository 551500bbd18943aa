//! Rounded ends on edge: round each end with the side of the flat cutter.

use super::{GAP, Way, levels};
use crate::surface::RoundEnd;
use crate::{Setup, Surface};

/// Rounds both ends from their tops as far down as jaws and cutter allow.
pub(super) fn ends(way: &mut Way, surface: &Surface, setup: &Setup, notes: &mut Vec<String>) {
    let mut floor = f64::NEG_INFINITY;
    for end in surface.round_cuts() {
        one(way, surface, setup, end);
        floor = floor.max(end.floor);
    }
    if floor > setup.seat_z() + GAP {
        notes.push(format!(
            "The ends are rounded down to Z {floor:.2} mm, as far as jaws and cutter allow. File the rest to the rounding above it."
        ));
    }
}

fn one(way: &mut Way, surface: &Surface, setup: &Setup, &RoundEnd { centre, far, floor }: &RoundEnd) {
    let cutter = &setup.rougher;
    let half = 0.5 * surface.thickness();
    let middle = -half;
    let margin = if far {
        surface.stock_length() - (centre + half)
    } else {
        centre - half
    };
    // The stock's corner is the furthest from the centre.
    let out = (half + margin.max(0.0)).hypot(half) - half;
    let over = setup.material.step_over * cutter.diameter;
    let near = half + cutter.radius();
    let mut laps = Vec::new();
    let mut left = out - over;
    while left > setup.rough_allowance && laps.len() < 1000 {
        laps.push(near + left);
        left -= over;
    }
    if setup.rough_allowance > 0.0 {
        laps.push(near + setup.rough_allowance);
    }
    laps.push(near);
    let step = setup.material.step_down * cutter.diameter;
    for level in levels(setup.raw_top(), floor, step) {
        for r in &laps {
            // Clockwise round the part climbs: up the near end from back to front, down the far end from front to back.
            let sign = if far { 1.0 } else { -1.0 };
            let start = [centre, middle + sign * (r + GAP), level];
            way.enter(start, level + GAP);
            way.cut([centre, middle + sign * r, level]);
            way.arc(
                [centre, middle - sign * r, level],
                [centre, middle],
                true,
                way.feeds.cut,
            );
            way.cut([centre, middle - sign * (r + GAP), level]);
        }
    }
}
