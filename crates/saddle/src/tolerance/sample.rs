//! Monte Carlo over the readings.

use super::first_order::{FirstOrder, first_order};
use super::sources::{ErrorSource, Uncertainty, sources};
use super::world::{MOST, Shown, World};
use crate::{Plan, SaddleSurvey};
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;
use rayon::prelude::*;
use strings::FRETS;
use thiserror::Error;

/// What counts as in tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Action at fret 12 within this of the target, mm.
    pub action: f64,
    /// Fret 12 within this of the plan, cents.
    pub cents: f64,
}

impl Default for Band {
    /// 0.1 mm and 3 cents. Common practice, no source: half the finest division of a stepped gauge, and what an ear lets pass.
    fn default() -> Self {
        Self {
            action: 0.1,
            cents: 3.0,
        }
    }
}

/// How to sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sampling {
    /// Instruments to try.
    pub samples: usize,
    /// Seed: the same seed gives the same result, on any number of threads.
    pub seed: u64,
    /// Confidence that no string ends too low, for the height to leave proud; between 0 and 1.
    pub confidence: f64,
}

impl Default for Sampling {
    fn default() -> Self {
        Self {
            samples: 20_000,
            seed: 1,
            confidence: 0.95,
        }
    }
}

/// Spread of one figure over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Mean less the planned value.
    pub mean: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// Low end of the middle 95 %, less the planned value.
    pub low: f64,
    /// High end of the middle 95 %, less the planned value.
    pub high: f64,
}

/// One string over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringSpread {
    /// String number.
    pub number: u32,
    /// Action at fret 12, mm.
    pub action: Spread,
    /// Error at fret 12, cents.
    pub cents: Spread,
    /// Chance that it ends in tolerance, 0 to 1.
    pub within: f64,
    /// Chance that its action ends under the band, 0 to 1.
    pub too_low: f64,
    /// Height to leave proud at this contact, mm along v, so that it does not end too low, at the chosen confidence.
    pub proud: f64,
}

/// How sure the plan is.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// Samples that were tried.
    pub samples: usize,
    /// Chance that every string ends in tolerance, 0 to 1.
    pub all_within: f64,
    /// Chance that some string's action ends under the band, 0 to 1.
    pub any_too_low: f64,
    /// Height to leave proud all along, mm along v, so that no string ends too low, at the chosen confidence.
    pub proud: f64,
    /// Strings, bass to treble.
    pub strings: Vec<StringSpread>,
    /// The same to first order, with the readings ranked.
    pub first_order: FirstOrder,
}

/// Why a plan's sureness cannot be told.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ToleranceError {
    /// Fewer than 100 samples say nothing.
    #[error("{0} samples are too few: give 100 or more")]
    TooFew(usize),
    /// Confidence outside 0.5 to 0.9999.
    #[error("a confidence of {0} is not between 0.5 and 0.9999")]
    Confidence(f64),
    /// An uncertainty is negative or not a number, or a band is not positive.
    #[error("an uncertainty is negative, or a band is not a positive number")]
    NotPositive,
    /// Some errors drawn are so large that no instrument is left.
    #[error("the uncertainties are so large that some readings no longer make an instrument")]
    TooLarge,
}

/// Samples in a block: each block has its own stream of random numbers, so that threads do not matter.
const BLOCK: usize = 1024;

/// Spread of action and pitch over many instruments that may stand behind the readings.
///
/// `progress` is told the number of samples of each finished block, from any thread.
///
/// # Errors
/// [`ToleranceError`].
pub fn tolerance(
    survey: &SaddleSurvey,
    plan: &Plan,
    uncertainty: &Uncertainty,
    band: Band,
    sampling: Sampling,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Tolerance, ToleranceError> {
    if sampling.samples < 100 {
        return Err(ToleranceError::TooFew(sampling.samples));
    }
    if !(0.5..=0.9999).contains(&sampling.confidence) {
        return Err(ToleranceError::Confidence(sampling.confidence));
    }
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let all = sources(survey, plan, uncertainty);
    let usable = positive(band.action) && positive(band.cents) && all.iter().all(|s| positive(s.sigma));
    if !usable {
        return Err(ToleranceError::NotPositive);
    }
    let world = World::as_read(survey, plan).ok_or(ToleranceError::TooLarge)?;
    let planned = world.shown().ok_or(ToleranceError::TooLarge)?;
    let n = plan.strings.len();
    let first_order =
        first_order(survey, plan, uncertainty, (band.action, band.cents)).ok_or(ToleranceError::TooLarge)?;
    let mut off = vec![Shown::default(); n * sampling.samples];
    off.par_chunks_mut(n * BLOCK)
        .enumerate()
        .try_for_each(|(block, chunk)| {
            fill(&world, &planned, &all, stream(sampling.seed, block), n, chunk)?;
            progress(chunk.len() / n);
            Some(())
        })
        .ok_or(ToleranceError::TooLarge)?;
    Ok(summary(plan, band, sampling, &off, first_order))
}

/// Random numbers of one block.
fn stream(seed: u64, block: usize) -> Xoshiro256PlusPlus {
    // Streams of one seed are told apart by an odd multiple of the block, spread by the generator's own seeding.
    Xoshiro256PlusPlus::seed_from_u64(seed ^ (block as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15))
}

/// Fills `chunk` with samples of `n` strings each: what the string shows less what was planned.
fn fill(
    world: &World,
    planned: &[Shown; MOST],
    sources: &[ErrorSource],
    mut random: Xoshiro256PlusPlus,
    n: usize,
    chunk: &mut [Shown],
) -> Option<()> {
    let as_read = world;
    let mut world = *world;
    for sample in chunk.chunks_mut(n) {
        world.reset(as_read);
        for source in sources {
            let z: f64 = StandardNormal.sample(&mut random);
            world.shift(source, z * source.sigma);
        }
        let shown = world.shown()?;
        for ((place, shown), planned) in sample.iter_mut().zip(&shown).zip(planned) {
            *place = Shown {
                action: shown.action - planned.action,
                cents: shown.cents - planned.cents,
            };
        }
    }
    Some(())
}

fn summary(plan: &Plan, band: Band, sampling: Sampling, off: &[Shown], first_order: FirstOrder) -> Tolerance {
    let n = plan.strings.len();
    let count = sampling.samples as f64;
    // Height at the contact that a missing action at fret 12 stands for.
    let worth: Vec<f64> = plan
        .strings
        .iter()
        .map(|s| {
            let share = (s.string.crowns[FRETS - 1].x - s.nut.x) / (s.position.x - s.nut.x);
            1.0 / (share * (plan.frame.e_v.z - s.line.slope * plan.frame.e_v.x))
        })
        .collect();
    let within = |o: &Shown| o.action.abs() <= band.action && o.cents.abs() <= band.cents;
    let low = |o: &Shown| o.action < -band.action;
    let samples = || off.chunks(n);
    let share = |test: &dyn Fn(&[Shown]) -> bool| samples().filter(|s| test(s)).count() as f64 / count;
    let missing = |action: f64, worth: f64| (-band.action - action) * worth;
    // Each string is summed up by itself and in order, so that threads do not matter.
    let strings = plan.strings.par_iter().enumerate().map(|(i, s)| {
        let one = || samples().map(move |sample| sample[i]);
        let mut action: Vec<f64> = one().map(|o| o.action).collect();
        let mut cents: Vec<f64> = one().map(|o| o.cents).collect();
        StringSpread {
            number: s.number,
            action: spread(&mut action),
            cents: spread(&mut cents),
            within: share(&|sample| within(&sample[i])),
            too_low: share(&|sample| low(&sample[i])),
            // What is missing falls as the action rises: its high end is the action's low one.
            proud: missing(quantile(&mut action, 1.0 - sampling.confidence), worth[i]).max(0.0),
        }
    });
    let mut worst: Vec<f64> = samples()
        .map(|s| {
            s.iter()
                .zip(&worth)
                .map(|(o, w)| missing(o.action, *w))
                .fold(f64::NEG_INFINITY, f64::max)
        })
        .collect();
    Tolerance {
        samples: sampling.samples,
        all_within: share(&|sample| sample.iter().all(within)),
        any_too_low: share(&|sample| sample.iter().any(low)),
        proud: quantile(&mut worst, sampling.confidence).max(0.0),
        strings: strings.collect(),
        first_order,
    }
}

fn spread(values: &mut [f64]) -> Spread {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0);
    Spread {
        mean,
        deviation: variance.sqrt(),
        low: quantile(values, 0.025),
        high: quantile(values, 0.975),
    }
}

/// Value that a share `q` of the values does not exceed, by nearest rank. Puts the values in another order.
fn quantile(values: &mut [f64], q: f64) -> f64 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of values, from 0 to their number
    let rank = (q * values.len() as f64).ceil() as usize;
    let rank = rank.clamp(1, values.len()) - 1;
    *values.select_nth_unstable_by(rank, f64::total_cmp).1
}
