//! Partials followed through the stretches of a sound.

use crate::heard::cents;
use crate::narrow::narrowed;
use crate::series::{Agreed, Line, Stands, agreed, median, tried};
use crate::spectrum::{Listener, Peak, Spectrum};
use crate::{Sound, Sure};
use numerics::math;
use std::borrow::Cow;

/// Highest partial that is looked for.
pub(crate) const HIGHEST: u32 = 30;
/// The fit leaves the first partial to the body.
pub(crate) const FROM: u32 = 2;
/// Short stretches, in which high partials are heard before they are gone: length, step to the next, seconds, and how many.
const SHORT: (f64, f64, usize) = (0.25, 0.15, 3);
/// Long ones, from the same start on.
const LONG: (f64, f64, usize) = (0.6, 0.3, 14);
/// What is left out after the pluck, seconds: the knock on the body.
const KNOCK: f64 = 0.06;
/// A partial stands so many times over the noise about it.
const OVER: f64 = 3.8;
/// How far a partial is looked for from its place, cents: low ones, which the body pulls; others as long as B is not known; and once it is,
/// when little more than the partial itself finds room among those of strings that ring along.
const LOW: f64 = 30.0;
const LOWEST: u32 = 4;
const UNKNOWN: f64 = 14.0;
const KNOWN: f64 = 5.0;
/// And never nearer than so many widths of the window, nor farther than this share of the pitch.
const NEAREST: f64 = 1.0;
const FARTHEST: f64 = 0.4;
/// As high as partials are looked for in the first round, and in each further one.
const ROUNDS: [u32; 5] = [8, 12, 17, 23, HIGHEST];
/// What noise leaves of a peak's frequency, in widths of the window, over how far it stands out: of a sine under Hann's window (D. C. Rife
/// and R. R. Boorstyn, IEEE Trans. Inf. Theory 20, 591 (1974), times the window's loss; from memory).
const BY_NOISE: f64 = 0.6;
/// Fewest partials of a stretch by which it is told where the string is.
const FEWEST_LEFT: usize = 5;
/// Fewest stretches in which a partial is seen.
const LASTS: usize = 2;
/// From one partial to the next that is there: a pluck at a fourth or a fifth of the string leaves out one at a time, the body another.
const GAP: u32 = 4;
/// A partial of this share of the stretches' highest frequency is cut by the recorder's filter.
const TOP: f64 = 0.95;

/// Of the sound is kept what lies up to the highest partial of a string so much sharper than it should be, as a factor: another string's
/// bound, and half of that again for stiffness; and up to this, Hz, in which other strings are looked for.
const SHARPER: f64 = 1.31;
const OTHERS: f64 = 3_000.0;

/// Highest frequency by which it is told which strings ring, Hz.
pub(crate) fn told_below(expected: f64) -> f64 {
    (11.0 * expected).max(OTHERS)
}

/// Seconds after the pluck that it takes: two stretches.
pub(crate) const NEEDED: f64 = KNOCK + LONG.0 + LONG.1;

/// One partial in one stretch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    pub(crate) n: u32,
    pub(crate) stretch: usize,
    pub(crate) peak: Peak,
    /// Hz that the stretch's window tells apart.
    width: f64,
}

impl Seen {
    /// Against a pitch, Hz.
    fn stands(&self, pitch: f64) -> Stands {
        let noise = BY_NOISE * self.width / self.peak.over;
        Stands {
            n: self.n,
            stretch: self.stretch,
            cents: cents(self.peak.frequency, f64::from(self.n) * pitch),
            sure_to: cents(self.peak.frequency + noise, self.peak.frequency),
        }
    }
}

/// Without what is seen once, and without what is seen beyond a gap in the series: a noise, or a partial of a string that rings along.
fn lasting(mut seen: Vec<Seen>) -> Vec<Seen> {
    let times = |n: u32| seen.iter().filter(|seen| seen.n == n).count();
    let lasts: Vec<u32> = (1..=HIGHEST).filter(|n| times(*n) >= LASTS).collect();
    let mut highest = 0;
    for n in &lasts {
        if n - highest > GAP {
            break;
        }
        highest = *n;
    }
    seen.retain(|seen| seen.n <= highest && lasts.contains(&seen.n));
    seen
}

/// Partials up to one of them in the spectrum of one stretch, each near the place that it should have, `place` in cents over n times the
/// pitch.
fn partials(
    (spectrum, stretch): (&Spectrum, usize),
    pitch: f64,
    most: u32,
    off: f64,
    place: impl Fn(f64) -> f64,
    into: &mut Vec<Seen>,
) {
    let mut about = Vec::new();
    for n in 1..=most {
        let middle = f64::from(n) * pitch * math::exp2(place(f64::from(n)) / 1200.0);
        if middle > TOP * spectrum.top() {
            break;
        }
        let off = if n <= LOWEST { LOW } else { off };
        let within = (middle * (math::exp2(off / 1200.0) - 1.0))
            .max(NEAREST * spectrum.width)
            .min(FARTHEST * pitch);
        let found = spectrum
            .near(middle, within, &mut about)
            .filter(|peak| peak.over >= OVER);
        into.extend(found.map(|peak| Seen {
            n,
            stretch,
            peak,
            width: spectrum.width,
        }));
    }
}

/// The stretches of a sound.
pub(crate) struct Stretches<'a> {
    samples: Cow<'a, [f64]>,
    /// Samples a second.
    rate: f64,
    /// Highest frequency that they hold, Hz.
    top: f64,
    listener: Listener,
    /// The spectrum of the first.
    first: Spectrum,
    /// Start and middle of each, seconds from the first's start and from the pluck: the long ones first.
    each: Vec<(f64, f64)>,
    /// How many are long.
    long: usize,
    begins: f64,
}

impl<'a> Stretches<'a> {
    /// From the pluck on, seconds, of a string whose pitch should be about `expected` Hz.
    #[allow(clippy::cast_precision_loss)] // a few
    pub(crate) fn of(sound: &Sound<'a>, begins: f64, expected: f64) -> Self {
        let keeps = told_below(expected).max(f64::from(HIGHEST) * SHARPER * expected) / TOP;
        let from = begins + KNOCK;
        let rings = sound.part(from, sound.seconds());
        let (samples, rate, top) = match narrowed(rings, sound.rate(), keeps) {
            Some((samples, rate)) => (Cow::Owned(samples), rate, keeps),
            None => (Cow::Borrowed(rings), sound.rate(), 0.5 * sound.rate()),
        };
        let cut = |(length, step, most): (f64, f64, usize)| {
            let starts = (0..most).map(move |i| step * i as f64);
            let whole = starts.take_while(move |start| from + start + length <= sound.seconds());
            whole.map(move |start| (start, KNOCK + start + 0.5 * length))
        };
        let mut each: Vec<(f64, f64)> = cut(LONG).collect();
        let long = each.len();
        each.extend(cut(SHORT));
        let all = Sound::within(&samples, rate);
        let mut listener = Listener::new(all.count(LONG.0), rate, top);
        let mut first = Spectrum::default();
        listener.spectrum(all.part(0.0, LONG.0), &mut first);
        Self {
            samples,
            rate,
            top,
            listener,
            first,
            each,
            long,
            begins,
        }
    }

    /// The first of the long ones.
    pub(crate) fn first(&self) -> &Spectrum {
        &self.first
    }

    /// Middle of a stretch, seconds from the pluck.
    pub(crate) fn middle(&self, stretch: usize) -> f64 {
        self.each.get(stretch).map_or(0.0, |(_, middle)| *middle)
    }

    /// How many are long.
    pub(crate) fn long(&self) -> usize {
        self.long
    }

    /// End of the long ones up to one of them, seconds.
    pub(crate) fn ends(&self, last: usize) -> f64 {
        self.begins + self.middle(last) + 0.5 * LONG.0
    }

    /// All partials of the series near a pitch, Hz, and a B, in all stretches, and what they agree on; cents are over the pitch.
    pub(crate) fn follow(&mut self, pitch: f64, b: f64) -> Option<(Vec<Seen>, Agreed)> {
        let stands = |seen: &[Seen], from: u32| -> Vec<Stands> {
            seen.iter()
                .filter(|seen| seen.n >= from)
                .map(|seen| seen.stands(pitch))
                .collect()
        };
        let mut model: Option<Agreed> = None;
        let mut seen = Vec::new();
        for most in ROUNDS {
            seen.clear();
            let place = |n: f64| {
                model
                    .as_ref()
                    .map_or_else(|| Line::of(b).place(n), |m| m.line.place(n) + m.stretches[0])
            };
            let off = if model.is_some() { KNOWN } else { UNKNOWN };
            partials((&self.first, 0), pitch, most, off, place, &mut seen);
            // The first counts as long as there are few.
            let from = if seen.len() > 6 { FROM } else { 1 };
            let all = stands(&seen, from);
            model = Some(agreed(&all, 1, tried(&all, b))?);
        }
        let first = model?;
        let all = Sound::within(&self.samples, self.rate);
        let mut spectrum = Spectrum::default();
        let mut here = Vec::new();
        for (stretches, long) in [(1..self.long, LONG.0), (self.long..self.each.len(), SHORT.0)] {
            if long < LONG.0 {
                self.listener = Listener::new(all.count(long), self.rate, self.top);
            }
            let mut off = first.stretches[0];
            for stretch in stretches {
                let start = self.each.get(stretch).map_or(0.0, |(start, _)| *start);
                self.listener.spectrum(all.part(start, long), &mut spectrum);
                here.clear();
                let place = |n| first.line.place(n) + off;
                partials((&spectrum, stretch), pitch, HIGHEST, KNOWN, place, &mut here);
                // Where it went since the stretch before, for the next.
                let used = here.iter().filter(|seen| seen.n >= FROM);
                let moved = used.map(|seen| seen.stands(pitch).cents - first.line.place(f64::from(seen.n)));
                let moved: Vec<f64> = moved.collect();
                if moved.len() < FEWEST_LEFT {
                    // What is left of the string is too little to say where it is.
                    break;
                }
                off = median(moved);
                seen.extend_from_slice(&here);
            }
        }
        let seen = lasting(seen);
        let all = agreed(&stands(&seen, FROM), self.each.len(), first.line)?;
        Some((seen, all))
    }

    /// B by some of the stretches and partials alone, near a series.
    pub(crate) fn inharmonicity_of(
        &self,
        seen: &[Seen],
        pitch: f64,
        stretches: std::ops::Range<usize>,
        from: u32,
        near: Line,
    ) -> Option<Sure> {
        let used = seen
            .iter()
            .filter(|seen| seen.n >= from && stretches.contains(&seen.stretch));
        let stands: Vec<Stands> = used.map(|seen| seen.stands(pitch)).collect();
        let agreed = agreed(&stands, self.each.len(), near)?;
        Some(Sure {
            value: agreed.line.b,
            sure_to: agreed.b_sure_to,
        })
    }
}
