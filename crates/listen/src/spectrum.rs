//! The spectrum of a stretch of sound, and the peaks in it.

use numerics::math;
use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};
use std::f64::consts::TAU;
use std::sync::Arc;

/// Zeros behind the samples: the transform is at least this many times as long, so that a parabola through three places is the peak.
const PADDED: f64 = 2.25;

/// The transform of stretches of one length.
pub(crate) struct Listener {
    transform: Arc<dyn RealToComplex<f64>>,
    /// Hann's window; a sine of amplitude 1 has height 1 behind it.
    window: Vec<f64>,
    rate: f64,
    /// Highest frequency that the samples still hold as it was, Hz.
    top: f64,
    input: Vec<f64>,
    output: Vec<Complex<f64>>,
    scratch: Vec<Complex<f64>>,
}

/// The shortest quick transform of at least so many places.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of samples
fn quick(least: f64) -> usize {
    let sizes = [16usize, 18, 20, 24].map(|first| {
        let mut size = first;
        while (size as f64) < least {
            size *= 2;
        }
        size
    });
    sizes.into_iter().min().unwrap_or(16)
}

impl Listener {
    /// For stretches of `long` samples at `rate` a second, which hold what lies up to `top` Hz.
    #[allow(clippy::cast_precision_loss)] // a count of samples
    pub(crate) fn new(long: usize, rate: f64, top: f64) -> Self {
        let long = long.max(16);
        let transform = RealFftPlanner::new().plan_fft_forward(quick(PADDED * long as f64));
        // Hann's window: its sides fall fast, so that a loud partial does not hide a quiet one. It sums up to half of its length.
        let height = 2.0 / long as f64;
        let window = (0..long).map(|i| height * (1.0 - math::cos(TAU * (i as f64 + 0.5) / long as f64)));
        Self {
            window: window.collect(),
            rate,
            top,
            input: transform.make_input_vec(),
            output: transform.make_output_vec(),
            scratch: transform.make_scratch_vec(),
            transform,
        }
    }

    /// The spectrum of a stretch of so many samples, into one that was; one that is shorter counts as silent behind its end.
    #[allow(clippy::cast_precision_loss)] // a count of samples
    pub(crate) fn spectrum(&mut self, stretch: &[f64], into: &mut Spectrum) {
        // The transform leaves anything in what it was given.
        self.input.fill(0.0);
        for ((into, sample), weight) in self.input.iter_mut().zip(stretch).zip(&self.window) {
            *into = sample * weight;
        }
        into.step = self.rate / self.transform.len() as f64;
        into.width = self.rate / self.window.len() as f64;
        into.power.clear();
        // Its only errors are lengths that do not match, and all are its own.
        let done = self
            .transform
            .process_with_scratch(&mut self.input, &mut self.output, &mut self.scratch);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a place in the list
        let last = (self.top / into.step) as usize;
        if done.is_ok() {
            into.power
                .extend(self.output.iter().take(last + 1).map(|bin| bin.norm_sqr()));
        }
    }
}

/// Power at steps of frequency.
#[derive(Default)]
pub(crate) struct Spectrum {
    power: Vec<f64>,
    /// Hz from one place to the next.
    step: f64,
    /// Hz that the window tells apart by itself: one over its length.
    pub(crate) width: f64,
}

/// A peak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Peak {
    /// Hz.
    pub(crate) frequency: f64,
    /// Amplitude; a sine of full scale has 1.
    pub(crate) level: f64,
    /// Amplitude over that of the noise about it.
    pub(crate) over: f64,
}

/// Places to each side by which the noise about a peak is told, in widths of the window: outside the peak's own foot.
const ABOUT: (f64, f64) = (4.0, 14.0);
/// Hann's window leaves beside a loud peak small ones, 31 dB under it at 2.5 widths and less by the third power; twice that is its foot.
const FOOT: f64 = 0.056;
const FOOT_FROM: f64 = 2.5;
const FOOT_ENDS: f64 = 30.0;
/// Power of noise has this median over its mean: ln 2.
const MEDIAN: f64 = std::f64::consts::LN_2;

impl Spectrum {
    /// Highest frequency, Hz.
    #[allow(clippy::cast_precision_loss)] // a count
    pub(crate) fn top(&self) -> f64 {
        self.power.len().saturating_sub(1) as f64 * self.step
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held within the table
    fn place(&self, frequency: f64) -> usize {
        ((frequency / self.step).round().max(0.0) as usize).min(self.power.len().saturating_sub(1))
    }

    fn at(&self, place: usize) -> f64 {
        self.power.get(place).copied().unwrap_or(0.0)
    }

    /// Root of the noise's mean power about a frequency, as an amplitude.
    fn noise(&self, frequency: f64, about: &mut Vec<f64>) -> f64 {
        about.clear();
        let (near, far) = (ABOUT.0 * self.width, ABOUT.1 * self.width);
        for side in [-1.0, 1.0] {
            let (a, b) = (self.place(frequency + side * near), self.place(frequency + side * far));
            let places = a.min(b)..=a.max(b);
            about.extend(self.power.get(places).unwrap_or_default());
        }
        let middle = about.len() / 2;
        if about.is_empty() {
            return 0.0;
        }
        let (_, median, _) = about.select_nth_unstable_by(middle, f64::total_cmp);
        (*median / MEDIAN).sqrt()
    }

    /// The peak whose highest place is this one, by a parabola through the logarithms of three.
    #[allow(clippy::cast_precision_loss)] // a count
    fn peak(&self, place: usize, noise: f64) -> Peak {
        let [before, here, after] = [place.wrapping_sub(1), place, place + 1].map(|p| math::ln(self.at(p).max(1e-300)));
        let bend = before - 2.0 * here + after;
        let off = if bend < 0.0 { 0.5 * (before - after) / bend } else { 0.0 };
        let level = math::exp(0.5 * (here - 0.25 * (before - after) * off));
        Peak {
            frequency: (place as f64 + off) * self.step,
            level,
            over: level / noise.max(1e-12),
        }
    }

    fn is_peak(&self, place: usize) -> bool {
        place > 0 && self.at(place) > self.at(place - 1) && self.at(place) >= self.at(place + 1)
    }

    /// The highest peak within so many Hz of a frequency.
    pub(crate) fn near(&self, frequency: f64, within: f64, about: &mut Vec<f64>) -> Option<Peak> {
        let places = self.place(frequency - within)..=self.place(frequency + within);
        let found = places.filter(|place| self.is_peak(*place));
        let place = found.max_by(|a, b| self.at(*a).total_cmp(&self.at(*b)))?;
        Some(self.peak(place, self.noise(frequency, about)))
    }

    /// Every peak between two frequencies that stands so many times over the noise about it, lowest first.
    pub(crate) fn peaks(&self, from: f64, to: f64, over: f64) -> Vec<Peak> {
        let mut about = Vec::new();
        let mut found = Vec::new();
        let mut floor = (f64::NEG_INFINITY, 0.0);
        for place in self.place(from).max(1)..=self.place(to) {
            if !self.is_peak(place) {
                continue;
            }
            let frequency = self.peak(place, 1.0).frequency;
            // Noise changes slowly; it is not told anew for each.
            if frequency > floor.0 + 2.0 * self.width {
                floor = (frequency, self.noise(frequency, &mut about));
            }
            let peak = self.peak(place, floor.1);
            if peak.over >= over {
                found.push(peak);
            }
        }
        let foot = |peak: &Peak, of: &Peak| {
            let apart = (peak.frequency - of.frequency).abs() / self.width;
            (0.0..FOOT_ENDS).contains(&apart)
                && peak.level < of.level * FOOT * math::powi(FOOT_FROM / apart.max(FOOT_FROM), 3)
        };
        let stands = |(i, peak): (usize, &Peak)| {
            let near = found.iter().skip(i.saturating_sub(40)).take(80);
            let hidden = near.into_iter().any(|of| foot(peak, of));
            (!hidden).then_some(*peak)
        };
        found.iter().enumerate().filter_map(stands).collect()
    }
}
