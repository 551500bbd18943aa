//! A row of figures over the stations, led out so that none touches its neighbour.

use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind, Point};
use std::f64::consts::FRAC_PI_2;

/// Radius of the ring round a string's number, mm.
pub(crate) const RING: f64 = 2.5;
/// Height of the slanted part of the leaders, mm.
const KNEE: f64 = 5.0;
/// Air between neighbouring figures, mm.
const AIR: f64 = 1.4;
/// The word that marks a contact held at the land.
pub(crate) const HELD: &str = "HELD";

/// The figures of one station.
#[derive(Debug, Clone)]
pub(crate) struct Callout {
    /// x of the station, mm.
    pub x: f64,
    /// String number.
    pub number: u32,
    /// Figures, one under the other.
    pub lines: Vec<String>,
    /// Whether the word for a held contact is added.
    pub held: bool,
}

/// Callouts with their places.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    callouts: Vec<Callout>,
    places: Vec<f64>,
    upright: bool,
    lettering: Lettering,
    /// Height of figures and slanted leaders, mm.
    pub height: f64,
}

impl Row {
    /// Places the callouts between `low` and `high` (mm); where they do not fit side by side they are turned upright.
    pub fn new(mut callouts: Vec<Callout>, low: f64, high: f64) -> Self {
        callouts.sort_by(|a, b| a.x.total_cmp(&b.x));
        let widest = |lettering: Lettering| {
            callouts
                .iter()
                .flat_map(|c| c.lines.iter().map(String::as_str).chain(c.held.then_some(HELD)))
                .map(|line| bold(lettering).width(line).max(lettering.width(line)))
                .fold(2.0 * RING, f64::max)
                + AIR
        };
        let lines = callouts.iter().map(|c| c.lines.len()).max().unwrap_or(0);
        let held = callouts.iter().any(|c| c.held);
        let count = f64::from(u32::try_from(callouts.len()).unwrap_or(u32::MAX));
        let lying = Some(Lettering::BODY).filter(|l| widest(*l) * count <= high - low);
        let upright = lines > 0 && lying.is_none();
        let lettering = Lettering::BODY;
        let (pitch, text) = if upright {
            let joined = callouts.iter().map(|c| lettering.width(&joined(c)));
            (2.0 * RING + 0.3, joined.fold(0.0, f64::max))
        } else {
            let rows = f64::from(u32::try_from(lines).unwrap_or(0) + u32::from(held));
            let pitch = if lines > 0 { widest(lettering) } else { 2.0 * RING + 0.3 };
            (pitch, rows * lettering.line())
        };
        let wanted: Vec<f64> = callouts.iter().map(|c| c.x).collect();
        Self {
            places: spread(&wanted, pitch, low + 0.5 * pitch, high - 0.5 * pitch),
            upright,
            lettering,
            height: 2.0 * RING + 1.3 + text + KNEE,
            callouts,
        }
    }

    /// Draws the row from `top` down; each leader goes on to `y_of` its station.
    pub fn draw(&self, canvas: &mut Canvas, top: f64, y_of: impl Fn(&Callout) -> f64) {
        let bottom = top + self.height;
        let (foot, knee) = (bottom - KNEE + 0.5, bottom - 0.5);
        for (callout, place) in self.callouts.iter().zip(&self.places) {
            let text = if self.upright {
                self.turned(canvas, callout, [*place, foot - 0.8])
            } else {
                self.lying(canvas, callout, [*place, top])
            };
            let mut leader = vec![[callout.x, y_of(callout)]];
            if (place - callout.x).abs() > 1e-6 {
                leader.extend([[callout.x, knee], [*place, foot]]);
            }
            leader.push([*place, text + 0.8]);
            canvas.path(leader, LineKind::Narrow);
        }
    }

    /// Ring, figures and word from `top` down; answers the lowest baseline.
    fn lying(&self, canvas: &mut Canvas, callout: &Callout, [x, top]: Point) -> f64 {
        ring(canvas, [x, top + RING], callout.number);
        let words = callout.held.then_some((HELD, bold(self.lettering)));
        let figures = callout.lines.iter().map(|l| (l.as_str(), self.lettering));
        let mut y = top + 2.0 * RING;
        for (i, (line, lettering)) in figures.chain(words).enumerate() {
            y += if i == 0 {
                self.lettering.capitals + 1.2
            } else {
                self.lettering.line()
            };
            canvas.text([x, y], line, lettering, Anchor::Middle);
        }
        // Brackets reach below the baseline.
        if callout.lines.is_empty() { y - 0.8 } else { y + 0.3 }
    }

    /// Figures and word on end from `foot` up, the ring on top; answers the lower end.
    fn turned(&self, canvas: &mut Canvas, callout: &Callout, [x, foot]: Point) -> f64 {
        let text = joined(callout);
        let at = [x + 0.5 * self.lettering.capitals, foot];
        canvas.turned(at, &text, self.lettering, Anchor::Start, FRAC_PI_2);
        ring(
            canvas,
            [x, foot - self.lettering.width(&text) - 0.5 - RING],
            callout.number,
        );
        foot
    }
}

fn bold(lettering: Lettering) -> Lettering {
    Lettering {
        bold: true,
        ..lettering
    }
}

fn joined(callout: &Callout) -> String {
    let mut text = callout.lines.join(" ");
    if callout.held {
        text = format!("{text} {HELD}");
    }
    text
}

/// A string's number in a ring.
pub(crate) fn ring(canvas: &mut Canvas, centre: Point, number: u32) {
    canvas.circle(centre, RING, Some(LineKind::Narrow), Fill::None);
    let lettering = Lettering::SMALL_BOLD;
    let at = [centre[0], centre[1] + 0.5 * lettering.capitals];
    canvas.text(at, number.to_string(), lettering, Anchor::Middle);
}

/// Places at least `pitch` apart, as near to `wanted` (ascending) as can be and inside `low` to `high` if there is room.
///
/// Neighbours that would touch are pooled and set evenly about the mean of what they want (pool-adjacent-violators).
pub(crate) fn spread(wanted: &[f64], pitch: f64, low: f64, high: f64) -> Vec<f64> {
    // (sum of wanted less its steps, members)
    let mut pools: Vec<(f64, usize)> = Vec::new();
    let step = |i: usize| pitch * f64::from(u32::try_from(i).unwrap_or(u32::MAX));
    let mean = |pool: &(f64, usize)| pool.0 / f64::from(u32::try_from(pool.1).unwrap_or(u32::MAX));
    let last = step(wanted.len().saturating_sub(1));
    for (i, w) in wanted.iter().enumerate() {
        pools.push((w - step(i), 1));
        while let [.., a, b] = pools[..] {
            if mean(&a) <= mean(&b) {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push((a.0 + b.0, a.1 + b.1));
        }
    }
    let bases = pools.iter().flat_map(|pool| std::iter::repeat_n(mean(pool), pool.1));
    bases
        .enumerate()
        .map(|(i, base)| base.min(high - last).max(low) + step(i))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn spread_keeps_order_distance_and_bounds(gaps in proptest::collection::vec(0.0..12.0f64, 1..12), start in -5.0..40.0f64) {
            let wanted: Vec<f64> = gaps.iter().scan(start, |x, g| { *x += g; Some(*x) }).collect();
            let places = spread(&wanted, 5.0, 0.0, 200.0);
            prop_assert!(places.windows(2).all(|w| w[1] - w[0] > 5.0 - 1e-9));
            prop_assert!(places.iter().all(|p| (-1e-9..200.0 + 1e-9).contains(p)));
        }

        #[test]
        fn places_with_room_stay(gaps in proptest::collection::vec(5.0..12.0f64, 1..12)) {
            let wanted: Vec<f64> = gaps.iter().scan(10.0, |x, g| { *x += g; Some(*x) }).collect();
            let places = spread(&wanted, 5.0, 0.0, 200.0);
            for (p, w) in places.iter().zip(&wanted) { prop_assert!((p - w).abs() < 1e-9); }
        }
    }
}
