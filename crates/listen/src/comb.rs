//! Which series of partials stands among the peaks of a spectrum, roughly.

use crate::spectrum::Peak;
use numerics::math;

/// Partials that count here: higher ones stand so near each other that some series has them all.
const PARTIALS: u32 = 10;
/// B of a string of which nothing is known: the middle of what open steel strings have, and of low ones fretted at 12.
const USUAL: [f64; 2] = [5e-5, 4e-4];
/// How far a partial may stand off its place, cents: the lowest are pulled by the body.
const OFF: (f64, f64) = (30.0, 18.0);
const LOWEST: u32 = 4;
/// Peaks count by how far they stand over this share of the loudest, 45 dB under it.
const QUIETEST: f64 = 5.6e-3;
/// What a partial that is missing takes away, and a peak between partials, of what one of its loudness gives.
const MISSING: f64 = 0.35;
const BETWEEN: f64 = 0.5;
/// And what both of the lowest take away together.
const BARE: f64 = 2.0;
/// Step of the search, cents.
const STEP: f64 = 6.0;

/// A series among peaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Comb {
    /// Hz.
    pub(crate) pitch: f64,
    /// B, one of those that are tried.
    pub(crate) b: f64,
    /// How well it stands out; 0 and less: not at all.
    pub(crate) score: f64,
    /// Sum of the squares of its partials' amplitudes.
    pub(crate) power: f64,
    /// How many of its partials are there.
    pub(crate) partials: usize,
    /// Whether its first is.
    pub(crate) first: bool,
    /// Only every so many partials are there: the string is so many times as high. 1 where that is not so.
    pub(crate) every: u32,
}

/// All but this share of the power is in every second partial, or third and so on, where the string is higher.
const ELSEWHERE: f64 = 0.003;
const HIGHER: std::ops::RangeInclusive<u32> = 2..=4;

/// Peaks, lowest first, and how much each counts.
#[derive(Clone)]
pub(crate) struct Peaks {
    all: Vec<(Peak, f64)>,
    width: f64,
    /// [`OFF`] as factors.
    off: (f64, f64),
}

impl Peaks {
    /// Of a spectrum whose window tells `width` Hz apart.
    pub(crate) fn of(peaks: &[Peak], width: f64) -> Self {
        let loudest = peaks.iter().map(|peak| peak.level).fold(0.0, f64::max);
        let counts = |peak: &Peak| 1.0 - math::ln(peak.level / loudest) / math::ln(QUIETEST);
        let all = peaks.iter().map(|peak| (*peak, counts(peak)));
        Self {
            all: all.filter(|(_, counts)| *counts > 0.0).collect(),
            width,
            off: (math::exp2(OFF.0 / 1200.0), math::exp2(OFF.1 / 1200.0)),
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Where partial n of a series may stand, Hz.
    fn room(&self, pitch: f64, b: f64, n: u32) -> (f64, f64) {
        let place = f64::from(n) * pitch * (1.0 + b * math::powi(f64::from(n), 2)).sqrt();
        let off = if n <= LOWEST { self.off.0 } else { self.off.1 };
        // Of a low partial the window tells less than so many cents.
        let off = off.max(1.0 + self.width / place);
        (place / off, place * off)
    }

    /// The number that a partial of so many times the pitch has, or had.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held to a few
    fn number(times: f64) -> u32 {
        (times + 0.5).clamp(1.0, 1e6) as u32
    }

    /// Partial of a series of this pitch that a peak may be.
    fn partial(&self, pitch: f64, b: f64, frequency: f64) -> Option<u32> {
        let n = Self::number(frequency / pitch);
        let (from, to) = self.room(pitch, b, n);
        (from..=to).contains(&frequency).then_some(n)
    }

    fn comb(&self, pitch: f64, b: f64) -> Comb {
        let mut found = [(0.0, 0.0); PARTIALS as usize];
        let mut between = 0.0;
        let top = pitch * (f64::from(PARTIALS) + 0.5);
        let per_pitch = pitch.recip();
        let mut rooms = [(0.0, 0.0); PARTIALS as usize];
        (1..)
            .zip(&mut rooms)
            .for_each(|(n, room)| *room = self.room(pitch, b, n));
        for (peak, counts) in &self.all {
            if peak.frequency > top {
                break;
            }
            let at = Self::number(peak.frequency * per_pitch) as usize - 1;
            let fits = rooms
                .get(at)
                .is_some_and(|(from, to)| (*from..=*to).contains(&peak.frequency));
            let slot = if fits { found.get_mut(at) } else { None };
            match slot {
                Some(slot) if slot.0 < *counts => *slot = (*counts, math::powi(peak.level, 2)),
                Some(_) => {}
                None => between += counts,
            }
        }
        let has: f64 = found.iter().map(|(counts, _)| counts).sum();
        let lacks: f64 = found
            .iter()
            .map(|(counts, _)| if *counts == 0.0 { MISSING } else { 0.0 })
            .sum();
        // A string without its first and its second is none: two others make such a one together.
        let bare = if found.iter().take(2).all(|(counts, _)| *counts == 0.0) {
            BARE
        } else {
            0.0
        };
        let power_of = |all: &dyn Fn(u32) -> bool| {
            let of = (1..).zip(&found).filter(|(n, _)| all(*n));
            of.map(|(_, (_, power))| power).sum::<f64>()
        };
        let power = power_of(&|_| true);
        let every = HIGHER.rev().find(|m| power_of(&|n| n % m != 0) < ELSEWHERE * power);
        Comb {
            pitch,
            b,
            score: has - lacks - bare - BETWEEN * between,
            power,
            partials: found.iter().filter(|(counts, _)| *counts > 0.0).count(),
            first: found.first().is_some_and(|(counts, _)| *counts > 0.0),
            every: every.unwrap_or(1),
        }
    }

    /// The series that stands out most between two pitches, Hz.
    pub(crate) fn best(&self, from: f64, to: f64) -> Option<Comb> {
        let step = math::exp2(STEP / 1200.0);
        let steps = std::iter::successors(Some(from), |pitch| Some(pitch * step));
        let each = steps
            .take_while(|pitch| *pitch <= to)
            .flat_map(|pitch| USUAL.map(|b| self.comb(pitch, b)));
        let best = each.reduce(|best, next| if next.score > best.score { next } else { best })?;
        // What it stands on is known better than the step of the search.
        let lowest = self.all.iter().filter_map(|(peak, counts)| {
            let n = self
                .partial(best.pitch, best.b, peak.frequency)
                .filter(|n| *n <= PARTIALS)?;
            let place = f64::from(n) * (1.0 + best.b * math::powi(f64::from(n), 2)).sqrt();
            Some((peak.frequency / place, counts * f64::from(n)))
        });
        let (sum, weight) = lowest.fold((0.0, 0.0), |(sum, weight), (pitch, w)| {
            (sum + w * math::ln(pitch), weight + w)
        });
        let pitch = if weight > 0.0 {
            math::exp(sum / weight)
        } else {
            best.pitch
        };
        Some(Comb { pitch, ..best })
    }

    /// Power of all of them.
    pub(crate) fn power(&self) -> f64 {
        self.all.iter().map(|(peak, _)| math::powi(peak.level, 2)).sum()
    }

    /// Power of those that are whole multiples of `of` Hz within `off` Hz each.
    pub(crate) fn multiples(&self, of: f64, off: f64) -> f64 {
        let is = |peak: &Peak| {
            let n = (peak.frequency / of).round();
            n >= 1.0 && (peak.frequency - n * of).abs() <= off
        };
        let those = self.all.iter().map(|(peak, _)| peak).filter(|peak| is(peak));
        those.map(|peak| math::powi(peak.level, 2)).sum()
    }

    /// What is left without a series.
    pub(crate) fn without(&self, comb: &Comb) -> Self {
        let rest = self
            .all
            .iter()
            .filter(|(peak, _)| self.partial(comb.pitch, comb.b, peak.frequency).is_none());
        Self {
            all: rest.copied().collect(),
            width: self.width,
            off: self.off,
        }
    }
}
