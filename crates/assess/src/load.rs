//! What the strings do to saddle and bridge: force, tipping moment, pressure on the front wall.
//!
//! A string that bends over a crown pulls with its tension T on the speaking side and with `T exp(-mu beta)` to
//! `T exp(mu beta)` behind it (capstan equation; beta: whole bend, mu: friction). Friction: T. Groves and J. A. Kemp,
//! "Applicability of the capstan equation to guitar strings", Archives of Acoustics (2019): below 0.26 for wound and below
//! 0.17 for plain strings, steel on a metal saddle; other strings and saddles are taken by the same figures.

use crate::exposure::{mean, mouth_heights};
use crate::{Facts, Path, Wood};
use instrument::{BlankPoint, Frame, Vec3};
use numerics::math;
use saddle::{Plan, SaddleSurvey, StringPlan, Wishes};
use serde::Serialize;

/// Most friction of a wound string over a saddle, no unit (Groves and Kemp, 2019).
pub(crate) const WOUND_FRICTION: f64 = 0.26;
/// Most friction of a plain string over a saddle, no unit (Groves and Kemp, 2019).
pub(crate) const PLAIN_FRICTION: f64 = 0.17;

/// Force in the blank's frame, N: b back, u toward the treble, v up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Thrust {
    /// Back positive; a push on the front wall is negative.
    pub b: f64,
    /// Toward the treble positive.
    pub u: f64,
    /// Up positive; a push on the slot floor is negative.
    pub v: f64,
}

impl From<BlankPoint> for Thrust {
    fn from(p: BlankPoint) -> Self {
        Self { b: p.b, u: p.u, v: p.v }
    }
}

/// Which way friction acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Friction {
    /// None: the same tension on both sides.
    None,
    /// Tuned up to pitch: the string was drawn forward over the crown, so less tension lies behind it.
    TunedUp,
    /// Let down to pitch: the string ran back over the crown, so more tension lies behind it.
    TunedDown,
}

/// One string's load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringLoad {
    /// String number.
    pub number: u32,
    /// Tension of the speaking length, N.
    pub tension: f64,
    /// Most friction taken, no unit.
    pub friction: f64,
    /// Force on the saddle without friction.
    pub none: Thrust,
    /// With that friction, tuned up.
    pub tuned_up: Thrust,
    /// With that friction, let down.
    pub tuned_down: Thrust,
}

/// Pressure on the slot's front wall, linear from mouth to floor. Negative pressure means that the back wall carries there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wall {
    /// Push square to the wall, forward positive, N.
    pub force: f64,
    /// Height of that push above the mouth, mm.
    pub lever: f64,
    /// Length of wall that carries it, mm.
    pub length: f64,
    /// Depth of wall that carries it, mm.
    pub depth: f64,
    /// Pressure at the mouth, MPa.
    pub mouth: f64,
    /// Pressure at the floor, MPa.
    pub floor: f64,
}

/// The linear pressure that balances a push `force` (N) whose line runs `lever` mm above the mouth, on a wall `length` by
/// `depth` mm. Derived: `l d (p_m + p_f)/2 = F` and, about the mouth, `l d^2 (p_m + 2 p_f)/6 = -F e` give
/// `p_m = F/(l d) (4 + 6 e/d)`, `p_f = -F/(l d) (2 + 6 e/d)`. The floor's reaction is taken straight below the push, which
/// errs on the safe side.
#[must_use]
pub fn wall(force: f64, lever: f64, length: f64, depth: f64) -> Wall {
    let even = force / (length * depth);
    let ratio = lever / depth;
    Wall {
        force,
        lever,
        length,
        depth,
        mouth: even * (4.0 + 6.0 * ratio),
        floor: -even * (2.0 + 6.0 * ratio),
    }
}

/// All strings together in one state of friction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FrictionState {
    /// Which way friction acts.
    pub friction: Friction,
    /// Sum of the forces.
    pub sum: Thrust,
    /// Tipping moment about the mouth of the slot, N mm, top forward positive.
    pub moment: f64,
    /// Pressure on the front wall.
    pub wall: Wall,
    /// What the mouth's pressure would be if the same strings bore on an upright saddle, MPa.
    pub upright_mouth: f64,
    /// The push square to the wall then, N.
    pub upright_force: f64,
}

/// Load on saddle and bridge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Load {
    /// Bass to treble.
    pub strings: Vec<StringLoad>,
    /// Sum of the tensions, N.
    pub tension: f64,
    /// Name of the tuning or set that these tensions are of, where one that shares the contacts pulls more than the main one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tuning: Option<String>,
    /// Without friction, tuned up, let down.
    pub states: [FrictionState; 3],
    /// Wood of the bridge, if named.
    pub wood: Option<Wood>,
    /// Largest pressure at the mouth as a share of that wood's compression across the grain.
    pub share: Option<f64>,
}

impl Load {
    /// The state that presses hardest on the front wall.
    #[must_use]
    pub fn worst(&self) -> &FrictionState {
        let [none, up, down] = &self.states;
        [up, down]
            .into_iter()
            .fold(none, |a, b| if b.wall.mouth > a.wall.mouth { b } else { a })
    }
}

/// Pull of a string's two sides on the saddle, fret frame, N.
fn pull(s: &StringPlan, tension: f64, leaves: f64, behind: f64) -> Vec3 {
    let forward = Vec3::new(-1.0, -s.run.slope, -s.line.slope).normalize() * tension;
    let plan_view = Vec3::new(1.0, s.run.slope, 0.0).normalize();
    let (sin, cos) = math::sin_cos(leaves);
    forward + (plan_view * cos - Vec3::z() * sin) * behind
}

/// Tensions of the strings, N, in the tuning that pulls most, and its name unless it is the main one.
fn tightest(survey: &SaddleSurvey, plan: &Plan) -> (Option<String>, Vec<f64>) {
    let main = (None, plan.strings.iter().map(|s| s.tension).collect());
    let Some(others) = Wishes::of(survey, survey, plan) else {
        return main;
    };
    others.tightest().map_or(main, |tuning| {
        (tuning.name.clone(), tuning.strings.iter().map(|s| s.tension).collect())
    })
}

/// Load by the paths behind the saddle, by the tuning that pulls most. `None` if the depth of the slot is not known or nothing is in it.
#[must_use]
pub fn load(survey: &SaddleSurvey, plan: &Plan, paths: &[Path], facts: &Facts) -> Option<Load> {
    let mouth = mouth_heights(plan)?;
    let depth = mean(mouth.iter().copied());
    let length = survey
        .slot_length
        .map_or(plan.blank.length, |slot| slot.min(plan.blank.length));
    if depth.is_nan() || depth <= 0.0 || length <= 0.0 {
        return None;
    }
    let upright = Frame::leaning(plan.frame.origin, plan.frame.e_u, 0.0)?;
    let (tuning, tensions) = tightest(survey, plan);
    let tension = |i: usize| tensions.get(i).copied().unwrap_or(0.0);
    let friction = |i: usize| match facts.wound.get(i).copied().flatten() {
        Some(false) => PLAIN_FRICTION,
        Some(true) | None => WOUND_FRICTION,
    };
    let behind = |i: usize, state: Friction| {
        let turn = friction(i) * paths.get(i).map_or(0.0, |p| p.total.max(0.0));
        tension(i)
            * match state {
                Friction::None => 1.0,
                Friction::TunedUp => math::exp(-turn),
                Friction::TunedDown => math::exp(turn),
            }
    };
    let force = |frame: &Frame, i: usize, s: &StringPlan, state: Friction| -> Thrust {
        let leaves = paths.get(i).map_or(0.0, |p| p.leaves);
        frame
            .direction_to_blank(pull(s, tension(i), leaves, behind(i, state)))
            .into()
    };
    let all = |frame: &Frame, state: Friction| -> Vec<Thrust> {
        let each = plan.strings.iter().enumerate();
        each.map(|(i, s)| force(frame, i, s, state)).collect()
    };
    let balance = |forces: &[Thrust]| {
        let push = -forces.iter().map(|f| f.b).sum::<f64>();
        let moment: f64 = forces
            .iter()
            .zip(&plan.strings)
            .zip(&mouth)
            .map(|((f, s), mouth)| -f.b * (s.contact.v - mouth))
            .sum();
        let lever = if push == 0.0 { 0.0 } else { moment / push };
        (moment, wall(push, lever, length, depth))
    };
    let state = |friction: Friction| {
        let forces = all(&plan.frame, friction);
        let (moment, carried) = balance(&forces);
        let (_, straight) = balance(&all(&upright, friction));
        FrictionState {
            friction,
            sum: Thrust {
                b: forces.iter().map(|f| f.b).sum(),
                u: forces.iter().map(|f| f.u).sum(),
                v: forces.iter().map(|f| f.v).sum(),
            },
            moment,
            wall: carried,
            upright_mouth: straight.mouth,
            upright_force: straight.force,
        }
    };
    let strings = plan.strings.iter().enumerate().map(|(i, s)| StringLoad {
        number: s.number,
        tension: tension(i),
        friction: friction(i),
        none: force(&plan.frame, i, s, Friction::None),
        tuned_up: force(&plan.frame, i, s, Friction::TunedUp),
        tuned_down: force(&plan.frame, i, s, Friction::TunedDown),
    });
    let mut load = Load {
        strings: strings.collect(),
        tension: tensions.iter().sum(),
        tuning,
        states: [Friction::None, Friction::TunedUp, Friction::TunedDown].map(state),
        wood: facts.wood,
        share: None,
    };
    load.share = facts.wood.map(|wood| load.worst().wall.mouth / wood.compression);
    Some(load)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The pressure, summed numerically strip by strip, gives back push and moment.
        #[test]
        fn pressure_integrates_to_force_and_moment(
            force in 1.0..400.0f64, lever in 0.5..12.0f64, length in 30.0..100.0f64, depth in 2.0..9.0f64,
        ) {
            let w = wall(force, lever, length, depth);
            // Gauss points: exact for what is at most cubic in depth.
            let points = [(0.5 - 0.5 / 3f64.sqrt(), 0.5), (0.5 + 0.5 / 3f64.sqrt(), 0.5)];
            let (mut sum, mut moment) = (0.0, 0.0);
            for (at, weight) in points {
                let pressure = w.mouth + (w.floor - w.mouth) * at;
                sum += pressure * weight * depth * length;
                moment += pressure * weight * depth * length * at * depth;
            }
            prop_assert!((sum - force).abs() < 1e-9 * force);
            prop_assert!((moment + force * lever).abs() < 1e-9 * force * lever.max(1.0));
        }
    }
}
