//! The state that agrees best with all readings.

use crate::solve::Solver;
use crate::weighed::Weighed;
use crate::{Estimate, Model, Reading};
use nalgebra::DVector;
use numerics::math;
use thiserror::Error;

/// Why readings cannot be adjusted. Numbers count from nought.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum AdjustError {
    /// The state to start from has another count of figures than the model.
    #[error("the search starts from {given} figures, but the model has {wanted}")]
    Start {
        /// Figures given.
        given: usize,
        /// Figures of the model.
        wanted: usize,
    },
    /// An uncertainty that is nought, negative or no number.
    #[error("reading {0} is sure to nothing that can be weighed")]
    Uncertainty(usize),
    /// A value, or what is expected in its place, is no number, or too large to be weighed.
    #[error("reading {0} is no number that can be weighed, or is expected to be none")]
    NotFinite(usize),
    /// No reading tells these figures of the state apart.
    #[error("figures {0:?} of the state are not determined")]
    Undetermined(Vec<usize>),
    /// No best state was found; the reading that is furthest off where the search ended.
    #[error("the readings do not settle on a state; reading {0} is furthest off")]
    NotSettled(usize),
}

/// A step shorter than this, in standard deviations of the state, ends the search.
const SETTLED: f64 = 1e-9;
/// So is one shorter than this many times what rounding leaves of the readings.
const NOISE: f64 = 4.0;
/// A search that can go no lower, or whose steps grow hardly shorter, has settled if its step is shorter than this, in standard deviations: what
/// is left is rounding inside the model.
const ROUNDED: f64 = 1e-5;
/// Steps that are still this share of the one before grow hardly shorter: some rest at one length, less by a hair each time.
const HARDLY_SHORTER: f64 = 0.99;
/// Of a sum of squares, by the summing itself.
const ROUNDING: f64 = 1e-14;
/// Most steps; it needs three to six.
const ROUNDS: usize = 200;
/// A search that in so many steps ...
const PATIENCE: usize = 40;
/// ... lowers the sum of squares by less than this share of it, ...
const WORTH_IT: f64 = 0.001;
/// ... and its steps to no less than this share of theirs, will not settle.
const SHORTER: f64 = 0.5;
/// Most times that a step which does not help is halved.
const HALVINGS: usize = 40;

/// A step that leads this much too far or too short, by the parabola through what it came to, is put right.
const WELL_LONG: std::ops::RangeInclusive<f64> = 0.75..=1.33;
/// So much shorter or longer at most.
const PUT_RIGHT: (f64, f64) = (0.1, 4.0);

/// The state at which the sum of squares of all readings' residuals, each over its uncertainty, is least: Gauss-Newton from `start`,
/// a step that does not help being halved, and one whose sum of squares came out otherwise than promised put right by a parabola: where
/// readings bend and do not fit, Gauss-Newton alone goes to and fro.
///
/// # Errors
/// [`AdjustError`].
pub fn adjust(model: &dyn Model, readings: &[Reading], start: &[f64]) -> Result<Estimate, AdjustError> {
    let wanted = asked(model, readings, start)?;
    let mut state = DVector::from_column_slice(start);
    let room = || Weighed::room(readings.len(), wanted);
    let (mut weighed, mut then) = (room(), room());
    weighed.put(model, readings, &state).map_err(AdjustError::NotFinite)?;
    let mut last = f64::INFINITY;
    let mut stage = (f64::INFINITY, f64::INFINITY);
    // What of a step was right at last; it is told from sums of squares only while they differ by more than rounding.
    let mut right = 1.0;
    for round in 0..ROUNDS {
        let solver = Solver::new(&weighed.slopes).map_err(AdjustError::Undetermined)?;
        let (step, size) = solver.step(&weighed);
        let noise = NOISE * weighed.rounding(readings);
        let settled = size < SETTLED.max(noise) || (size < ROUNDED && size >= last * HARDLY_SHORTER);
        if settled {
            return Ok(Estimate::new(state, solver.covariance(), weighed, readings));
        }
        if round % PATIENCE == 0 {
            let (squares, steps) = stage;
            stage = (weighed.squares(), size);
            if stage.0 > squares * (1.0 - WORTH_IT) && size > steps * SHORTER {
                break;
            }
        }
        last = size;
        let before = weighed.squares();
        // Squares that differ by less differ by rounding alone.
        let most = before * (1.0 + ROUNDING) + noise * before.sqrt();
        let mut try_share = |share: f64| {
            then.put(model, readings, &(&state + share * &step)).ok()?;
            Some(then.squares()).filter(|squares| *squares <= most)
        };
        let first: f64 = if size < ROUNDED { right } else { 1.0 };
        let shorter = (0..HALVINGS).find_map(|halved| {
            let share = first * math::powi(0.5f64, i32::try_from(halved).unwrap_or(i32::MAX));
            try_share(share).map(|squares| (share, squares))
        });
        let Some((mut share, squares)) = shorter else {
            if size < ROUNDED {
                return Ok(Estimate::new(state, solver.covariance(), weighed, readings));
            }
            break;
        };
        if size >= ROUNDED {
            let promised = size * size;
            // Of the parabola before - 2 promised share + curve share^2.
            let curve = (squares - before + 2.0 * promised * share) / (share * share);
            let best = promised / curve;
            if curve > 0.0 && !WELL_LONG.contains(&(best / share)) {
                let best = best.clamp(PUT_RIGHT.0, PUT_RIGHT.1);
                if try_share(best).is_some_and(|there| there < squares) {
                    share = best;
                } else {
                    try_share(share);
                }
            }
            right = share.min(1.0);
        }
        state += share * &step;
        std::mem::swap(&mut weighed, &mut then);
    }
    Err(AdjustError::NotSettled(weighed.furthest()))
}

/// The same as if every reading went on from `at` as it goes there: what a slip does to an adjustment is told without what it bends.
///
/// # Errors
/// [`AdjustError`], but never [`AdjustError::NotSettled`].
pub fn straight(model: &dyn Model, readings: &[Reading], at: &[f64]) -> Result<Estimate, AdjustError> {
    let wanted = asked(model, readings, at)?;
    let mut state = DVector::from_column_slice(at);
    let mut weighed = Weighed::room(readings.len(), wanted);
    weighed.put(model, readings, &state).map_err(AdjustError::NotFinite)?;
    let solver = Solver::new(&weighed.slopes).map_err(AdjustError::Undetermined)?;
    let (step, _) = solver.step(&weighed);
    weighed.residuals -= weighed.slopes.tr_mul(&step);
    state += step;
    Ok(Estimate::new(state, solver.covariance(), weighed, readings))
}

/// Count of figures of a model that can be asked.
fn asked(model: &dyn Model, readings: &[Reading], start: &[f64]) -> Result<usize, AdjustError> {
    let (given, wanted) = (start.len(), model.states());
    if given != wanted {
        return Err(AdjustError::Start { given, wanted });
    }
    let weighable = |reading: &Reading| reading.sure_to.is_finite() && reading.sure_to > 0.0;
    match readings.iter().position(|reading| !weighable(reading)) {
        Some(i) => Err(AdjustError::Uncertainty(i)),
        None => Ok(wanted),
    }
}
