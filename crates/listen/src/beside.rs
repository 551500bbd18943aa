//! Another string whose partials stand beside those of the string: an octave over it, or two, or an octave and a fifth.

use crate::heard::cents;
use crate::series::Agreed;
use crate::spectrum::Spectrum;
use crate::track::{HIGHEST, Seen};
use numerics::math;

/// The other string is so many times as high, and rings beside every so many partials.
const TIMES: std::ops::RangeInclusive<u32> = 2..=4;
/// Its partials stand so far beside the string's own, cents: farther than what a partial that glides or swings leaves, and no farther than
/// another tuning and another core put them.
const FROM: f64 = 6.0;
const TO: f64 = 60.0;
/// And so many widths of the window, which else shows one peak.
const WIDTHS: f64 = 2.5;
/// They are as loud as this share of the string's own thereabouts: 15 dB under them.
const AS_LOUD: f64 = 0.18;
/// So many of them lie in one series, to so many cents; and so much larger a share of those that could be seen than of the partials between
/// them, beside which a string that rings along may have left some.
const LEAST: usize = 3;
const PASSES: f64 = 4.0;
const MORE: f64 = 0.3;
/// And together they have so much of the power of the string: 24 dB under it, for its low partials hide the other's loudest. Strings that ring
/// along, 30 dB under it and less, do not.
const POWER: f64 = 0.004;
/// The lowest partial beside which one is looked for.
const FIRST: u32 = 2;
/// Peaks stand so many times over the noise.
const OVER: f64 = 6.0;

/// Pitch of another string, Hz, that rings beside every second, third or fourth partial; `pitch` is what the series is told over.
pub(crate) fn beside(first: &Spectrum, seen: &[Seen], all: &Agreed, pitch: f64) -> Option<f64> {
    let at_first = all.stretches.first().copied().unwrap_or(0.0);
    let place = |n: u32| f64::from(n) * pitch * math::exp2((all.line.place(f64::from(n)) + at_first) / 1200.0);
    let own: Vec<(u32, f64)> = seen
        .iter()
        .filter(|seen| seen.stretch == 0)
        .map(|seen| (seen.n, seen.peak.level))
        .collect();
    let highest = own.iter().map(|(n, _)| *n).max()?;
    let peaks = first.peaks(0.5 * pitch, place(highest) + 0.5 * pitch, OVER);
    // Loudness thereabouts: of the partials next to one, since its own may be hidden by the other's, or be the other's.
    let loud = |n: u32| {
        let near = own.iter().filter(|(m, _)| m.abs_diff(n) <= 2 && *m != n);
        near.map(|(_, level)| *level).fold(0.0, f64::max)
    };
    // What stands beside each partial, cents, and how loud; none where the window does not tell them apart.
    let others = |n: u32| {
        let place = place(n);
        let from = FROM.max(cents(place + WIDTHS * first.width, place));
        let quiet = AS_LOUD * loud(n);
        let peaks = peaks.iter().filter(|peak| peak.level > quiet);
        let beside = peaks.map(|peak| (cents(peak.frequency, place), peak.level));
        let beside: Vec<(f64, f64)> = beside.filter(|(off, _)| (from..TO).contains(&off.abs())).collect();
        (from < 0.5 * TO).then_some((n, beside))
    };
    let others: Neighbours = (FIRST..=highest.min(HIGHEST)).filter_map(others).collect();
    let power: f64 = own.iter().map(|(_, level)| math::powi(*level, 2)).sum();
    let each = TIMES.map(|times| {
        let (at, between): (Neighbours, Neighbours) = others.iter().cloned().partition(|(n, _)| n % times == 0);
        let found = agree(&at);
        let more = share(found.count, at.len()) - share(agree(&between).count, between.len());
        let is = found.count >= LEAST && more >= MORE && found.power > POWER * power;
        is.then(|| {
            (
                more,
                f64::from(times) * pitch * math::exp2((at_first + found.lowest) / 1200.0),
            )
        })
    });
    // Every fourth is every second too: the one that tells itself apart most.
    let best = each.flatten().max_by(|a, b| a.0.total_cmp(&b.0));
    best.map(|(_, found)| found)
}

/// Partials with what stands beside each: cents off it, and its amplitude.
type Neighbours = Vec<(u32, Vec<(f64, f64)>)>;

/// Peaks that lie in one series.
#[derive(Default)]
struct OneSeries {
    /// Beside how many partials.
    count: usize,
    /// Sum of the squares of their amplitudes.
    power: f64,
    /// How far it is off at the lowest, cents.
    lowest: f64,
}

/// The series that most of the peaks beside partials lie in: as a string of another pitch and B it goes off by `a + c n^2`.
fn agree(of: &Neighbours) -> OneSeries {
    let points: Vec<(f64, f64)> = of
        .iter()
        .flat_map(|(n, beside)| beside.iter().map(|(off, _)| (math::powi(f64::from(*n), 2), *off)))
        .collect();
    let mut best = OneSeries::default();
    for (i, (n, one)) in points.iter().enumerate() {
        for (m, other) in points.iter().skip(i + 1).filter(|(m, _)| m > n) {
            let bend = (other - one) / (m - n);
            let at = |square: f64| one + bend * (square - n);
            let fits = |(n, beside): &(u32, Vec<(f64, f64)>)| {
                let at = at(math::powi(f64::from(*n), 2));
                let fits = beside.iter().find(|(off, _)| (off - at).abs() < PASSES)?;
                Some(fits.1)
            };
            let levels = of.iter().filter_map(fits);
            let (count, power) = levels.fold((0, 0.0), |(count, power), level| (count + 1, power + level * level));
            if (count, power) > (best.count, best.power) {
                best = OneSeries {
                    count,
                    power,
                    lowest: at(0.0),
                };
            }
        }
    }
    best
}

#[allow(clippy::cast_precision_loss)] // a few
fn share(of: usize, all: usize) -> f64 {
    of as f64 / (all as f64).max(1.0)
}
