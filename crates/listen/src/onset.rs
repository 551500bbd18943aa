//! How loud a sound is from moment to moment, where it begins, and whether it rings on.

use crate::lanes::{ends, product};
use crate::{Sound, Unheard};

/// Length of a moment, seconds: two periods of a low string and more.
const MOMENT: f64 = 0.025;
/// Below this amplitude, root of the mean square of the loudest moment, nothing is heard: 60 dB under full scale.
const SILENT: f64 = 1e-3;
/// A pluck reaches this share of the loudest moment, 12 dB under it.
const REACHES: f64 = 0.25;
/// And is so many times as loud as what was before it, 6 dB, over as many moments as its rise may take.
const RISES: f64 = 2.0;
const RISE: usize = 4;
/// A knock has fallen to this share, 20 dB, so many seconds after it.
const KNOCK: (f64, f64) = (0.1, 0.15);
/// Tops within this share of the highest are at one height, so many samples of each.
const FLAT: (f64, usize) = (2e-5, 3);
/// As many flat tops are no chance: the tops of a string that was not cut off fall from one to the next.
const TOPS: usize = 6;

/// How loud it is from moment to moment.
pub(crate) struct Loudness {
    /// Root of the mean square of each moment.
    each: Vec<f64>,
}

impl Loudness {
    pub(crate) fn of(sound: &Sound) -> Self {
        let long = sound.count(MOMENT).max(1);
        let each = sound.samples().chunks(long).map(root_mean_square);
        Self { each: each.collect() }
    }

    fn at(&self, moment: usize) -> f64 {
        self.each.get(moment).copied().unwrap_or(0.0)
    }

    fn most(&self) -> f64 {
        self.each.iter().copied().fold(0.0, f64::max)
    }

    /// When it begins, seconds: the first rise that comes near to the loudest moment, or the start of what was always there.
    ///
    /// # Errors
    /// [`Unheard::Silence`].
    #[allow(clippy::cast_precision_loss)] // a count
    pub(crate) fn begins(&self) -> Result<f64, Unheard> {
        let most = self.most();
        if most < SILENT {
            return Err(Unheard::Silence);
        }
        let rises = |moment: &usize| {
            let here = self.at(*moment);
            here >= REACHES * most && *moment > 0 && here > RISES * self.at(moment.saturating_sub(RISE))
        };
        let first = (0..self.each.len()).find(rises).unwrap_or(0);
        // Where it rises through several moments, the last of the rise.
        let top = (first..first + RISE).fold(
            first,
            |top, moment| if self.at(moment) > self.at(top) { moment } else { top },
        );
        Ok(top as f64 * MOMENT)
    }

    /// Whether what begins at a time, seconds, is gone at once.
    pub(crate) fn is_knock(&self, begins: f64) -> bool {
        let moment = |seconds: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a place in the list
            let at = (seconds / MOMENT).round() as usize;
            at
        };
        let top = moment(begins);
        let loud = self.at(top).max(self.at(top + 1));
        let after = top + moment(KNOCK.1)..top + moment(2.0 * KNOCK.1);
        after.map(|at| self.at(at)).fold(0.0, f64::max) < KNOCK.0 * loud
    }

    /// How much louder it ends than it began, as a factor, from a time on, seconds.
    pub(crate) fn change(&self, from: f64) -> f64 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a place in the list
        let first = (from / MOMENT).round() as usize;
        let rest = self.each.get(first..).unwrap_or_default();
        let part = (rest.len() / 5).max(1);
        let power = |of: &[f64]| root_mean_square(of);
        let ends = power(
            rest.get(rest.len().saturating_sub(part + 1)..rest.len().saturating_sub(1))
                .unwrap_or_default(),
        );
        ends / power(rest.get(..part).unwrap_or_default()).max(1e-12)
    }
}

#[allow(clippy::cast_precision_loss)] // a count
fn root_mean_square(of: &[f64]) -> f64 {
    (product(of, of) / of.len().max(1) as f64).sqrt()
}

/// Samples that are looked at together: most parts hold no top.
const PART: usize = 64;

/// Tops that are cut off.
pub(crate) fn cut_tops(samples: &[f64]) -> Option<usize> {
    let parts: Vec<(f64, f64)> = samples.chunks(PART).map(ends).collect();
    let (low, high) = parts.iter().fold((0.0f64, 0.0f64), |(low, high), part| {
        (low.min(part.0), high.max(part.1))
    });
    let side = |sign: f64, most: f64| {
        let level = most * (1.0 - FLAT.0);
        let (mut tops, mut run) = (0, 0);
        for (part, (low, high)) in samples.chunks(PART).zip(&parts) {
            if (sign * low).max(sign * high) < level {
                run = 0;
                continue;
            }
            for sample in part {
                run = if sign * sample >= level { run + 1 } else { 0 };
                tops += usize::from(run == FLAT.1);
            }
        }
        if most > 0.0 { tops } else { 0 }
    };
    let tops = side(1.0, high) + side(-1.0, -low);
    (tops >= TOPS).then_some(tops)
}
