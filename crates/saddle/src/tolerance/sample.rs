//! Monte Carlo over the readings.

use super::first_order::{FirstOrder, first_order};
use super::ranked::MARGIN;
use super::tally::{Band, StringSpread, Tally};
use super::world::{Errors, Making, Missed, Shown, World};
use crate::{Plan, SaddleSurvey};
use known::{Evidence, MOST};
use nalgebra::DMatrix;
use numerics::Normal;
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;
use std::ops::RangeInclusive;
use thiserror::Error;

/// Least number of samples: fewer say nothing.
pub const LEAST_SAMPLES: usize = 100;
/// Most samples, chosen by this program: they take up to a minute, and the figures stand to a thousandth of a deviation.
pub const MOST_SAMPLES: usize = 10_000_000;
/// Confidence that may be asked for.
pub const CONFIDENCE: RangeInclusive<f64> = 0.5..=0.9999;

/// How to sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sampling {
    /// Instruments to try, [`LEAST_SAMPLES`] to [`MOST_SAMPLES`].
    pub samples: usize,
    /// Seed: the same seed gives the same result, on any number of threads.
    pub seed: u64,
    /// Confidence that no string ends too low, for the height to leave proud; within [`CONFIDENCE`].
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
    /// Fewer than [`LEAST_SAMPLES`].
    #[error("{0} samples are too few: give {LEAST_SAMPLES} or more")]
    TooFew(usize),
    /// More than [`MOST_SAMPLES`].
    #[error("{0} samples are too many: give {MOST_SAMPLES} or fewer")]
    TooMany(usize),
    /// Confidence outside [`CONFIDENCE`].
    #[error("a confidence of {0} is not between {least} and {most}", least = CONFIDENCE.start(), most = CONFIDENCE.end())]
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
/// Blocks that are sampled side by side, then summed up and forgotten: 6 MB for six strings.
const BLOCKS: usize = 64;

/// Spread of action and pitch over many instruments that may stand behind the readings. Needs some 20 MB, however many they are.
///
/// `progress` is told the number of samples of each finished block, from any thread.
///
/// # Errors
/// [`ToleranceError`].
pub fn tolerance(
    evidence: &Evidence,
    survey: &SaddleSurvey,
    plan: &Plan,
    band: Band,
    sampling: Sampling,
    progress: &(dyn Fn(usize) + Sync),
) -> Result<Tolerance, ToleranceError> {
    match sampling.samples {
        few @ ..LEAST_SAMPLES => return Err(ToleranceError::TooFew(few)),
        LEAST_SAMPLES..=MOST_SAMPLES => {}
        many => return Err(ToleranceError::TooMany(many)),
    }
    if !CONFIDENCE.contains(&sampling.confidence) {
        return Err(ToleranceError::Confidence(sampling.confidence));
    }
    let world = World::of(evidence, survey, plan).ok_or(ToleranceError::TooLarge)?;
    let making = world.making(&evidence.unsure);
    can_be_told(band, &making)?;
    let first_order = first_order(evidence, survey, plan, (band.action, band.cents)).ok_or(ToleranceError::TooLarge)?;
    let samples = Samples::of(world, evidence, making, plan.strings.len(), sampling).ok_or(ToleranceError::TooLarge)?;
    let mut progress = progress;
    let mut margin = MARGIN;
    loop {
        let mut tally = Tally::new(plan, band, sampling.confidence, margin);
        samples
            .each(progress, |part, more| tally.take(part, more))
            .ok_or(ToleranceError::TooLarge)?;
        if let Some(found) = tally.found() {
            return Ok(Tolerance {
                samples: sampling.samples,
                all_within: found.all_within,
                any_too_low: found.any_too_low,
                proud: found.proud,
                strings: found.strings,
                first_order,
            });
        }
        // The same samples again; a margin as wide as all of them ends this.
        margin *= 4.0;
        progress = &|_| {};
    }
}

/// Whether band and making are such that a chance can be told.
///
/// # Errors
/// [`ToleranceError::NotPositive`].
pub(super) fn can_be_told(band: Band, making: &[(Making, f64)]) -> Result<(), ToleranceError> {
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let usable = positive(band.action) && positive(band.cents) && making.iter().all(|(_, sigma)| positive(*sigma));
    if usable {
        Ok(())
    } else {
        Err(ToleranceError::NotPositive)
    }
}

/// Samples that can be drawn again, the same each time.
struct Samples<'a> {
    world: World<'a>,
    planned: [Shown; MOST],
    /// The likeliest state.
    state: Vec<f64>,
    /// Factor of its covariance, of the figures that are felt.
    factor: Factor,
    making: Vec<(Making, f64)>,
    normal: Normal,
    seed: u64,
    count: usize,
    strings: usize,
}

/// A factor L of a covariance C, L L' = C: lower triangular.
struct Factor {
    /// Columns one after the other, each from the diagonal down as far as it is not nought: most figures go with few others.
    columns: Vec<f64>,
    /// How long each of them is.
    lengths: Vec<usize>,
}

fn factor(covariance: &DMatrix<f64>) -> Option<Factor> {
    let n = covariance.nrows();
    // Figures come in millimetres, radians and logarithms; some are as good as exact.
    let deviation: Vec<f64> = (0..n).map(|i| covariance[(i, i)].sqrt()).collect();
    let scaled = |i: usize, j: usize| covariance[(i, j)] / (deviation[i] * deviation[j]);
    // What rounding takes from one that goes with the others altogether.
    let rounding = |i: usize, j: usize| if i == j { ROUNDING } else { 0.0 };
    let unit = DMatrix::from_fn(n, n, |i, j| scaled(i, j) + rounding(i, j));
    let lower = unit.cholesky()?.unpack();
    let mut found = Factor {
        columns: Vec::new(),
        lengths: Vec::with_capacity(n),
    };
    for (j, column) in lower.column_iter().enumerate() {
        let end = column.iter().rposition(|l| *l != 0.0).map_or(j, |last| last + 1);
        found.columns.extend((j..end).map(|i| column[i] * deviation[i]));
        found.lengths.push(end - j);
    }
    Some(found)
}

/// Added to each figure's variance, as a share of itself, so that one which is known with the others keeps a place of its own.
const ROUNDING: f64 = 1e-12;

impl<'a> Samples<'a> {
    fn of(
        world: World<'a>,
        evidence: &Evidence,
        making: Vec<(Making, f64)>,
        strings: usize,
        sampling: Sampling,
    ) -> Option<Self> {
        let estimate = &evidence.known.estimate;
        let felt = &world.felt;
        let covariance = DMatrix::from_fn(felt.len(), felt.len(), |i, j| estimate.covariance[(felt[i], felt[j])]);
        let state: Vec<f64> = estimate.state.iter().copied().collect();
        let made = Missed::default();
        Some(Self {
            planned: world.shown(&Errors {
                state: &state,
                made: &made,
            })?,
            factor: factor(&covariance)?,
            world,
            state,
            making,
            normal: Normal::default(),
            seed: sampling.seed,
            count: sampling.samples,
            strings,
        })
    }

    /// Draws them all and hands them over part by part, in order: what every string of a sample shows less what was planned, sample
    /// after sample, and whether more follow. `None` where a sample makes no instrument.
    fn each(&self, progress: &(dyn Fn(usize) + Sync), mut take: impl FnMut(&[Shown], bool)) -> Option<()> {
        let n = self.strings;
        let mut room = vec![Shown::default(); n * self.count.min(BLOCKS * BLOCK)];
        for first in (0..self.count.div_ceil(BLOCK)).step_by(BLOCKS) {
            let part = &mut room[..n * (self.count - first * BLOCK).min(BLOCKS * BLOCK)];
            part.par_chunks_mut(n * BLOCK)
                .enumerate()
                .try_for_each(|(block, chunk)| {
                    self.fill(first + block, chunk)?;
                    progress(chunk.len() / n);
                    Some(())
                })?;
            take(part, (first + BLOCKS) * BLOCK < self.count);
        }
        Some(())
    }

    /// Fills `chunk` with the samples of one block.
    fn fill(&self, block: usize, chunk: &mut [Shown]) -> Option<()> {
        // Streams of one seed are told apart by an odd multiple of the block, spread by the generator's own seeding.
        let apart = (block as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let mut random = Xoshiro256PlusPlus::seed_from_u64(self.seed ^ apart);
        let felt = &self.world.felt;
        let (mut state, mut off) = (self.state.clone(), vec![0.0; felt.len()]);
        for sample in chunk.chunks_mut(self.strings) {
            off.fill(0.0);
            let mut columns = self.factor.columns.as_slice();
            // By columns, where every sum goes on by itself, which several at a time can do.
            for (j, length) in self.factor.lengths.iter().enumerate() {
                let (column, rest) = columns.split_at(*length);
                let z = self.normal.draw(|| random.next_u64());
                off[j..].iter_mut().zip(column).for_each(|(off, l)| *off += l * z);
                columns = rest;
            }
            for (&at, off) in felt.iter().zip(&off) {
                state[at] = self.state[at] + off;
            }
            let mut made = Missed::default();
            for (making, sigma) in &self.making {
                let z = self.normal.draw(|| random.next_u64());
                made.add(*making, z * sigma);
            }
            let shown = self.world.shown(&Errors {
                state: &state,
                made: &made,
            })?;
            for ((place, shown), planned) in sample.iter_mut().zip(&shown).zip(&self.planned) {
                *place = Shown {
                    action: shown.action - planned.action,
                    cents: shown.cents - planned.cents,
                };
            }
        }
        Some(())
    }
}
