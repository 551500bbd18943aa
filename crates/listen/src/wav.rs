//! Recordings in WAV files.

use crate::Sound;
use crate::sound::RATES;
use hound::{SampleFormat, WavReader};
use std::io::{BufReader, Read};
use thiserror::Error;

/// No more of a recording is read than this, seconds: a pluck is over by then.
pub const WAV_SECONDS: f64 = 20.0;
/// Most channels that are read.
const CHANNELS: u16 = 8;

/// Why a recording cannot be read.
#[derive(Debug, Error)]
pub enum Unread {
    /// It is no WAV file, or a spoilt one: why, in the reader's words.
    #[error("{0}")]
    Spoilt(String),
    /// Its samples are of a kind that is not read.
    #[error("samples of {bits} bits")]
    Samples {
        /// Bits of a sample.
        bits: u16,
    },
    /// So many samples a second are not read.
    #[error("{0} samples a second")]
    Rate(u32),
    /// It has so many channels, or none.
    #[error("{0} channels")]
    Channels(u16),
}

/// A recording: its first channel, at most [`WAV_SECONDS`] of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Samples of the first channel, full scale at -1 and 1.
    pub samples: Vec<f64>,
    /// Samples a second.
    pub rate: f64,
    /// Channels of the file; the first is read: several microphones hear a string at different times, so that their sum is no string.
    pub channels: u16,
    /// The file goes on beyond what was read.
    pub cut: bool,
}

impl Recording {
    /// As it is listened to.
    ///
    /// # Errors
    /// [`crate::Unheard`] for a sample that is no number.
    pub fn sound(&self) -> Result<Sound<'_>, crate::Unheard> {
        Sound::of(&self.samples, self.rate)
    }
}

/// Reads a recording: whole numbers of 8, 16, 24 or 32 bits, or floating point of 32. A file that ends before its head says is read as far
/// as it goes.
///
/// # Errors
/// [`Unread`].
pub fn recording(bytes: &mut dyn Read) -> Result<Recording, Unread> {
    // Of one kind of reader: what is generic would be compiled where it is called, which is not optimised.
    let mut reader = WavReader::new(BufReader::new(bytes)).map_err(|error| Unread::Spoilt(error.to_string()))?;
    let spec = reader.spec();
    if !(1..=CHANNELS).contains(&spec.channels) {
        return Err(Unread::Channels(spec.channels));
    }
    let rate = f64::from(spec.sample_rate);
    if !(RATES.0..=RATES.1).contains(&rate) {
        return Err(Unread::Rate(spec.sample_rate));
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // some millions
    let most = (WAV_SECONDS * rate) as usize;
    let step = usize::from(spec.channels);
    let (samples, cut) = match (spec.sample_format, spec.bits_per_sample) {
        (SampleFormat::Float, 32) => first(reader.samples::<f32>().map(|s| s.map(f64::from)), step, most),
        (SampleFormat::Int, bits @ (8 | 16 | 24 | 32)) => {
            let full = f64::from(bits - 1).exp2();
            first(
                reader.samples::<i32>().map(|s| s.map(|s| f64::from(s) / full)),
                step,
                most,
            )
        }
        (_, bits) => return Err(Unread::Samples { bits }),
    };
    Ok(Recording {
        samples,
        rate,
        channels: spec.channels,
        cut,
    })
}

/// Every `step`th sample, as many as `most`, and whether there are more. What cannot be read ends it.
fn first(samples: impl Iterator<Item = hound::Result<f64>>, step: usize, most: usize) -> (Vec<f64>, bool) {
    let mut found = Vec::new();
    let mut channel = 0;
    for sample in samples.map_while(Result::ok) {
        if channel == 0 {
            if found.len() == most {
                return (found, true);
            }
            found.push(sample);
        }
        channel = (channel + 1) % step;
    }
    (found, false)
}
