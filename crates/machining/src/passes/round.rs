//! Rounded ends on edge: round each end with the side of the flat cutter.

use super::{GAP, OVER_JAW, Way, levels};
use crate::{Holding, Setup, Surface};

/// Rounds both ends from their tops as far down as jaws and cutter allow.
pub(super) fn ends(way: &mut Way, surface: &Surface, setup: &Setup, notes: &mut Vec<String>) {
    let (low, high) = surface.ends_x();
    let half = 0.5 * surface.thickness();
    let floors = [(low + half, false), (high - half, true)].map(|(centre, far)| one(way, surface, setup, centre, far));
    let floor = floors[0].max(floors[1]);
    if floor > setup.seat_z() + GAP {
        notes.push(format!(
            "The ends are rounded down to Z {floor:.2} mm, as far as jaws and cutter allow. File the rest to the rounding above it."
        ));
    }
}

/// Lowest that the end about `centre` can be cut.
pub(super) fn floor(setup: &Setup, from: f64, to: f64) -> f64 {
    let mut floor = setup.seat_z().max(setup.raw_top() - setup.rougher.cutting_length);
    if let Holding::Vise { jaw_height, jaw_x, .. } = setup.holding
        && jaw_x.0 < to
        && jaw_x.1 > from
    {
        floor = floor.max(setup.seat_z() + jaw_height + OVER_JAW);
    }
    floor
}

/// X range that the cutter sweeps round an end.
pub(super) fn swept(surface: &Surface, setup: &Setup, centre: f64, far: bool) -> (f64, f64) {
    let reach = setup.rougher.diameter + 0.5 * surface.thickness();
    if far {
        (centre - setup.rougher.radius(), surface.stock_length() + reach)
    } else {
        (-reach, centre + setup.rougher.radius())
    }
}

fn one(way: &mut Way, surface: &Surface, setup: &Setup, centre: f64, far: bool) -> f64 {
    let cutter = &setup.rougher;
    let half = 0.5 * surface.thickness();
    let middle = -half;
    let (from, to) = swept(surface, setup, centre, far);
    let floor = floor(setup, from, to);
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
    floor
}
