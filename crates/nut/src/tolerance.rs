//! How sure the gap at fret 1 is, to first order. Gap and floor hang together in a straight line, so that is exact.

use crate::NutPlan;
use instrument::Uncertainty;
use numerics::math;
use saddle::tolerance::CONFIDENCE;
use serde::Serialize;

/// One string's slot. Standard deviations in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotSpread {
    /// String number.
    #[serde(skip)]
    pub number: u32,
    /// Gap over fret 1 when the slot is cut to the feeler stack and no further.
    pub by_stack: f64,
    /// Gap over fret 1 when the slot is brought down by reading that gap at pitch.
    pub by_reading: f64,
    /// What the floor's error of a slot cut to the stack makes of the action at fret 12.
    pub action_12: f64,
    /// Height to leave proud at the floor, mm, so that a slot cut to the stack does not end too low, at the chosen confidence.
    pub proud: f64,
}

/// How sure each slot is, bass to treble.
///
/// * `action`: standard deviation of the action at fret 12, mm, for each string, as the saddle's tolerance gives it, or
///   [`crate::action_spread`] of a saddle that stays.
/// * `confidence`: within [`CONFIDENCE`]; what lies outside is taken as the nearer end.
///
/// The stack holds the fret's height, read with the feelers of a clearance ([`Uncertainty::clearance`]), and the file stops on it as
/// well as a height is made ([`Uncertainty::made_height`]).
#[must_use]
pub fn tolerance(nut: &NutPlan, uncertainty: &Uncertainty, action: &[f64], confidence: f64) -> Vec<SlotSpread> {
    let quantile = normal_quantile(confidence.clamp(*CONFIDENCE.start(), *CONFIDENCE.end()));
    let floor = math::hypot(uncertainty.clearance.total(), uncertainty.made_height);
    let each = nut.strings.iter().zip(&nut.lines).enumerate();
    each.map(|(i, (s, line))| {
        let [one, .., twelve] = line.string.crowns;
        let (nut_x, saddle_x) = (line.nut.x, line.saddle.x);
        let share = |x: f64| (saddle_x - x) / (saddle_x - nut_x);
        // An error of the action is one of the saddle; at fret 1 it shows by its share from the nut.
        let from_saddle = (one.x - nut_x) / (twelve.x - nut_x) * action.get(i).copied().unwrap_or(0.0);
        let by_stack = math::hypot(share(one.x) * floor, from_saddle);
        SlotSpread {
            number: s.number,
            by_stack,
            by_reading: uncertainty.clearance.total(),
            action_12: share(twelve.x) * floor,
            proud: quantile * by_stack / share(one.x),
        }
    })
    .collect()
}

/// The quantile of the standard normal distribution for `p` from 0.5 up to 1, to 4.5e-4: M. Abramowitz, I. A. Stegun, Handbook of
/// Mathematical Functions (1964), formula 26.2.23.
fn normal_quantile(p: f64) -> f64 {
    let t = (-2.0 * math::ln(1.0 - p)).sqrt();
    let top = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let bottom = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    (t - top / bottom).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of the normal distribution: 50 %, 90 %, 95 %, 97.5 %, 99.9 %.
    #[test]
    fn quantiles_of_the_tables() {
        for (p, z) in [
            (0.5, 0.0),
            (0.9, 1.281_55),
            (0.95, 1.644_85),
            (0.975, 1.959_96),
            (0.999, 3.090_23),
        ] {
            assert!((normal_quantile(p) - z).abs() < 5e-4, "{p}");
        }
    }
}
