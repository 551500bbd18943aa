//! What is counted over all samples.

use super::ranked::{Ranked, key};
use super::spread::{Figure, Spread};
use super::world::Shown;
use crate::Plan;
use rayon::prelude::*;
use serde::Serialize;
use strings::FRETS;

/// What counts as in tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
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

/// One string over all samples.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringSpread {
    /// String number.
    #[serde(skip)]
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

/// What came of all samples.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// Chance that every string ends in tolerance.
    pub(super) all_within: f64,
    /// Chance that some string ends too low.
    pub(super) any_too_low: f64,
    /// Height to leave proud all along, mm along v.
    pub(super) proud: f64,
    pub(super) strings: Vec<StringSpread>,
}

/// Samples summed up as they come. Each figure is summed up by itself and in their order, so that threads do not matter.
#[derive(Debug)]
pub(super) struct Tally {
    band: Band,
    samples: usize,
    /// Height at each string's contact that a missing action at fret 12 stands for, as a factor.
    worth: Vec<f64>,
    strings: Vec<OneString>,
    together: Together,
}

#[derive(Debug)]
struct OneString {
    number: u32,
    action: Figure,
    cents: Figure,
    within: usize,
    too_low: usize,
}

#[derive(Debug)]
struct Together {
    all_within: usize,
    any_too_low: usize,
    /// What the string that lacks most lacks, mm along v.
    worst: Ranked,
}

impl Band {
    fn holds(&self, off: &Shown) -> bool {
        off.action.abs() <= self.action && off.cents.abs() <= self.cents
    }

    fn is_under(&self, off: &Shown) -> bool {
        off.action < -self.action
    }

    /// Height at the contact that a string lacks, mm along v.
    fn missing(&self, action: f64, worth: f64) -> f64 {
        (-self.action - action) * worth
    }
}

impl Tally {
    /// Of no sample yet. For `margin` see [`Ranked::new`].
    pub(super) fn new(plan: &Plan, band: Band, confidence: f64, margin: f64) -> Self {
        let strings = plan.strings.iter().map(|s| {
            let share = (s.string.crowns[FRETS - 1].x - s.nut.x) / (s.position.x - s.nut.x);
            let worth = 1.0 / (share * (plan.frame.e_v.z - s.line.slope * plan.frame.e_v.x));
            (s.number, worth)
        });
        Self::of(strings, band, confidence, margin)
    }

    /// Of strings by number, each with what a missing action is worth.
    fn of(strings: impl Iterator<Item = (u32, f64)>, band: Band, confidence: f64, margin: f64) -> Self {
        let (worth, strings) = strings
            .map(|(number, worth)| {
                let string = OneString {
                    number,
                    // What is missing falls as the action rises: its high end is the action's low one.
                    action: Figure::new(Some(1.0 - confidence), margin),
                    cents: Figure::new(None, margin),
                    within: 0,
                    too_low: 0,
                };
                (worth, string)
            })
            .unzip();
        Self {
            band,
            samples: 0,
            worth,
            strings,
            together: Together {
                all_within: 0,
                any_too_low: 0,
                worst: Ranked::new(confidence, margin),
            },
        }
    }

    /// Takes up the next samples: every string of a sample, sample after sample; `more` where others follow.
    pub(super) fn take(&mut self, part: &[Shown], more: bool) {
        let Self {
            band,
            worth,
            strings,
            together,
            ..
        } = self;
        let samples = part.chunks(strings.len());
        self.samples += samples.len();
        let apart = || {
            strings
                .par_iter_mut()
                .enumerate()
                .for_each(|(i, s)| s.take(samples.clone().map(|all| all[i]), band, more))
        };
        rayon::join(apart, || together.take(samples.clone(), band, worth, more));
    }

    /// What came of them; `None` where a margin was too little.
    pub(super) fn found(&mut self) -> Option<Found> {
        let (band, samples) = (self.band, self.samples as f64);
        let share = |count: usize| count as f64 / samples;
        let strings = self.strings.iter_mut().zip(&self.worth).map(|(s, worth)| {
            Some(StringSpread {
                number: s.number,
                action: s.action.spread()?,
                cents: s.cents.spread()?,
                within: share(s.within),
                too_low: share(s.too_low),
                proud: band.missing(s.action.also()?, *worth).max(0.0),
            })
        });
        Some(Found {
            strings: strings.collect::<Option<_>>()?,
            all_within: share(self.together.all_within),
            any_too_low: share(self.together.any_too_low),
            proud: self.together.worst.value()?.max(0.0),
        })
    }
}

impl OneString {
    fn take(&mut self, part: impl Iterator<Item = Shown> + Clone, band: &Band, more: bool) {
        self.action
            .take(&part.clone().map(|o| o.action).collect::<Vec<f64>>(), more);
        self.cents
            .take(&part.clone().map(|o| o.cents).collect::<Vec<f64>>(), more);
        self.within += part.clone().filter(|o| band.holds(o)).count();
        self.too_low += part.filter(|o| band.is_under(o)).count();
    }
}

impl Together {
    fn take<'a>(&mut self, part: impl Iterator<Item = &'a [Shown]> + Clone, band: &Band, worth: &[f64], more: bool) {
        self.all_within += part.clone().filter(|all| all.iter().all(|o| band.holds(o))).count();
        self.any_too_low += part.clone().filter(|all| all.iter().any(|o| band.is_under(o))).count();
        let worst = part.map(|all| {
            let missing = all.iter().zip(worth).map(|(o, worth)| band.missing(o.action, *worth));
            key(missing.fold(f64::NEG_INFINITY, f64::max))
        });
        self.worst.take(&mut worst.collect::<Vec<i64>>(), more);
    }
}

#[cfg(test)]
mod tests {
    use super::super::ranked::MARGIN;
    use super::*;
    use numerics::math;
    use rand_distr::{Distribution, StandardNormal};
    use rand_xoshiro::Xoshiro256PlusPlus;
    use rand_xoshiro::rand_core::SeedableRng;

    const CONFIDENCE: f64 = 0.95;
    const WORTH: [f64; 2] = [2.1, 1.9];
    /// Samples that come at once.
    const PART: usize = 65_536;

    fn band() -> Band {
        Band {
            action: 0.1,
            cents: 3.0,
        }
    }

    /// Samples of two strings that err together in part.
    fn drawn(count: usize) -> impl Iterator<Item = [Shown; 2]> {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(5);
        (0..count).map(move |_| {
            let mut z = || -> f64 { StandardNormal.sample(&mut random) };
            let both = z();
            [0.06, 0.08].map(|sigma| Shown {
                action: sigma * (0.3 * both + z()) + 1e-3,
                cents: 2.0 * math::exp(z()) - 1.0,
            })
        })
    }

    fn streamed(samples: &[Shown], part: usize, margin: f64) -> Option<Found> {
        let mut tally = Tally::of([2, 1].into_iter().zip(WORTH), band(), CONFIDENCE, margin);
        let parts = samples.chunks(2 * part);
        let count = parts.len();
        parts.enumerate().for_each(|(i, part)| tally.take(part, i + 1 < count));
        tally.found()
    }

    /// By keeping all and sorting it.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of values
    fn quantile(values: impl Iterator<Item = f64>, share: f64) -> f64 {
        let mut all: Vec<f64> = values.collect();
        all.sort_unstable_by(f64::total_cmp);
        all[(share * all.len() as f64).ceil() as usize - 1]
    }

    /// Mean and deviation of the whole at once.
    fn moments(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
        let count = values.clone().count() as f64;
        let mean = values.clone().sum::<f64>() / count;
        let squares = values.map(|v| math::powi(v - mean, 2)).sum::<f64>();
        (mean, (squares / (count - 1.0)).sqrt())
    }

    /// Taken up part by part, 300,000 samples give what they give when all are kept: counts and quantiles to the bit, moments to 1e-12.
    #[test]
    fn part_by_part_is_as_all_at_once() {
        let samples: Vec<Shown> = drawn(300_000).flatten().collect();
        let found = streamed(&samples, PART, MARGIN).unwrap();
        let pairs = || samples.chunks(2);
        let share = |test: &dyn Fn(&[Shown]) -> bool| pairs().filter(|s| test(s)).count() as f64 / 300_000.0;
        let (holds, low) = (
            |o: &Shown| o.action.abs() <= 0.1 && o.cents.abs() <= 3.0,
            |o: &Shown| o.action < -0.1,
        );
        for (i, s) in found.strings.iter().enumerate() {
            let action = || pairs().map(|p| p[i].action);
            let cents = || pairs().map(|p| p[i].cents);
            let is_as = |spread: &Spread, (mean, deviation): (f64, f64), low: f64, high: f64| {
                assert_eq!((spread.low, spread.high), (low, high));
                assert!((spread.mean / mean - 1.0).abs() < 1e-12, "{} {mean}", spread.mean);
                assert!(
                    (spread.deviation / deviation - 1.0).abs() < 1e-12,
                    "{}",
                    spread.deviation
                );
            };
            is_as(
                &s.action,
                moments(action()),
                quantile(action(), 0.025),
                quantile(action(), 0.975),
            );
            is_as(
                &s.cents,
                moments(cents()),
                quantile(cents(), 0.025),
                quantile(cents(), 0.975),
            );
            assert_eq!(s.within, share(&|p| holds(&p[i])));
            assert_eq!(s.too_low, share(&|p| low(&p[i])));
            let lowest = quantile(action(), 1.0 - CONFIDENCE);
            assert_eq!(s.proud, (-0.1 - lowest) * WORTH[i]);
        }
        assert_eq!(found.all_within, share(&|p| p.iter().all(holds)));
        assert_eq!(found.any_too_low, share(&|p| p.iter().any(low)));
        let worst = pairs().map(|p| ((-0.1 - p[0].action) * WORTH[0]).max((-0.1 - p[1].action) * WORTH[1]));
        assert_eq!(found.proud, quantile(worst, CONFIDENCE));
        // A margin too little is found out, and a wider one makes no other figures.
        assert_eq!(streamed(&samples, PART, 0.0), None);
        assert_eq!(streamed(&samples, PART, 4.0 * MARGIN), Some(found));
    }

    /// Of three million samples few thousands are kept.
    #[test]
    fn what_is_kept_stays_small() {
        let mut tally = Tally::of([2, 1].into_iter().zip(WORTH), band(), CONFIDENCE, MARGIN);
        let mut samples = drawn(3_000_000).peekable();
        let mut most = 0;
        while samples.peek().is_some() {
            tally.take(&samples.by_ref().take(PART).flatten().collect::<Vec<Shown>>(), true);
            let figures = tally
                .strings
                .iter_mut()
                .flat_map(|s| s.action.ranked().chain(s.cents.ranked()));
            most = figures
                .map(|ranked| ranked.kept())
                .chain([tally.together.worst.kept()])
                .max()
                .unwrap()
                .max(most);
        }
        // Twice the margin of the widest, a share of 0.05, with room to grow.
        assert!(most < 12_000, "{most}");
        assert!(tally.found().is_some());
    }
}
