//! Partials followed through the stretches of a sound.

use crate::series::{Agreed, Line, Stands, agreed, tried};
use crate::spectrum::{Listener, Peak, Spectrum};
use crate::heard::cents;
use crate::{Sound, Sure};

/// Highest partial that is looked for.
pub(crate) const HIGHEST: u32 = 30;
/// The fit leaves the first partial to the body.
pub(crate) const FROM: u32 = 2;
/// Length of a stretch and of the step to the next, seconds.
const STRETCH: f64 = 0.6;
const STEP: f64 = 0.3;
/// What is left out after the pluck, seconds: the knock on the body.
const KNOCK: f64 = 0.06;
/// Most stretches; later there is little left of the higher partials.
const MOST: usize = 14;
/// A partial stands so many times over the noise about it.
const OVER: f64 = 4.0;
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
/// A partial of this share of the stretches' highest frequency is cut by the recorder's filter.
const TOP: f64 = 0.95;

/// Seconds after the pluck that it takes: two stretches.
pub(crate) const NEEDED: f64 = KNOCK + STRETCH + STEP;

/// One partial in one stretch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    pub(crate) n: u32,
    pub(crate) stretch: usize,
    pub(crate) peak: Peak,
}

impl Seen {
    /// Against a pitch, Hz; `width` is what the window tells apart.
    fn stands(&self, pitch: f64, width: f64) -> Stands {
        let noise = BY_NOISE * width / self.peak.over;
        Stands {
            n: self.n,
            stretch: self.stretch,
            cents: cents(self.peak.frequency, f64::from(self.n) * pitch),
            sure_to: cents(self.peak.frequency + noise, self.peak.frequency),
        }
    }
}

/// The stretches of a sound.
pub(crate) struct Stretches {
    spectra: Vec<Spectrum>,
    begins: f64,
}

impl Stretches {
    /// From the pluck on, seconds.
    pub(crate) fn of(sound: &Sound, begins: f64) -> Self {
        let listener = Listener::new(sound.count(STRETCH), sound.rate());
        let mut spectra = Vec::new();
        let mut from = begins + KNOCK;
        while spectra.len() < MOST && from + STRETCH <= sound.seconds() {
            spectra.push(listener.spectrum(sound.part(from, STRETCH)));
            from += STEP;
        }
        Self { spectra, begins }
    }

    pub(crate) fn count(&self) -> usize {
        self.spectra.len()
    }

    pub(crate) fn first(&self) -> Option<&Spectrum> {
        self.spectra.first()
    }

    pub(crate) fn last(&self) -> Option<&Spectrum> {
        self.spectra.last()
    }

    /// Middle of a stretch, seconds from the pluck.
    #[allow(clippy::cast_precision_loss)] // a few
    pub(crate) fn middle(stretch: usize) -> f64 {
        KNOCK + 0.5 * STRETCH + STEP * stretch as f64
    }

    /// End of the last one, seconds.
    pub(crate) fn ends(&self) -> f64 {
        self.begins + Self::middle(self.count().saturating_sub(1)) + 0.5 * STRETCH
    }

    /// Partials up to one of them in one stretch, each near the place that it should have, `place` in cents over n times the pitch.
    fn partials(&self, stretch: usize, pitch: f64, most: u32, off: f64, place: impl Fn(f64) -> f64, into: &mut Vec<Seen>) {
        let Some(spectrum) = self.spectra.get(stretch) else { return };
        let mut about = Vec::new();
        for n in 1..=most {
            let middle = f64::from(n) * pitch * (place(f64::from(n)) / 1200.0).exp2();
            if middle > TOP * spectrum.top() {
                break;
            }
            let off = if n <= LOWEST { LOW } else { off };
            let within = (middle * ((off / 1200.0).exp2() - 1.0)).max(NEAREST * spectrum.width).min(FARTHEST * pitch);
            let found = spectrum.near(middle, within, &mut about).filter(|peak| peak.over >= OVER);
            into.extend(found.map(|peak| Seen { n, stretch, peak }));
        }
    }

    /// All partials of the series near a pitch, Hz, in all stretches, and what they agree on; cents are over the pitch.
    pub(crate) fn follow(&self, pitch: f64) -> Option<(Vec<Seen>, Agreed)> {
        let width = self.first()?.width;
        let stands = |seen: &[Seen], from: u32| -> Vec<Stands> {
            seen.iter().filter(|seen| seen.n >= from).map(|seen| seen.stands(pitch, width)).collect()
        };
        let mut model: Option<Agreed> = None;
        let mut seen = Vec::new();
        for most in ROUNDS {
            seen.clear();
            let place = |n: f64| model.as_ref().map_or_else(|| Line::USUAL.place(n), |m| m.line.place(n) + m.stretches[0]);
            let off = if model.is_some() { KNOWN } else { UNKNOWN };
            self.partials(0, pitch, most, off, place, &mut seen);
            // The first counts as long as there are few.
            let from = if seen.len() > 6 { FROM } else { 1 };
            let all = stands(&seen, from);
            model = Some(agreed(&all, 1, tried(&all))?);
        }
        let first = model?;
        let mut off = first.stretches[0];
        for stretch in 1..self.count() {
            let before = seen.len();
            self.partials(stretch, pitch, HIGHEST, KNOWN, |n| first.line.place(n) + off, &mut seen);
            // Where it went since the stretch before, for the next.
            let mut moved: Vec<f64> = seen[before..]
                .iter()
                .filter(|seen| seen.n >= FROM)
                .map(|seen| {
                    let n = f64::from(seen.n);
                    cents(seen.peak.frequency, n * pitch) - first.line.place(n)
                })
                .collect();
            if moved.len() < FEWEST_LEFT {
                // What is left of the string is too little to say where it is.
                seen.truncate(before);
                break;
            }
            {
                let middle = moved.len() / 2;
                off = *moved.select_nth_unstable_by(middle, f64::total_cmp).1;
            }
        }
        let last = seen.iter().map(|seen| seen.stretch).max().unwrap_or(0);
        let all = agreed(&stands(&seen, FROM), last + 1, first.line)?;
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
        let width = self.first()?.width;
        let used = seen.iter().filter(|seen| seen.n >= from && stretches.contains(&seen.stretch));
        let stands = used.map(|seen| Stands {
            stretch: seen.stretch - stretches.start,
            ..seen.stands(pitch, width)
        });
        let agreed = agreed(&stands.collect::<Vec<_>>(), stretches.len(), near)?;
        Some(Sure {
            value: agreed.line.b,
            sure_to: agreed.b_sure_to,
        })
    }
}
