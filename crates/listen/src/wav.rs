//! Recordings in WAV files.

use crate::Sound;
use crate::sound::RATES;
use hound::{SampleFormat, WavReader};
use numerics::math;
use std::io::{BufReader, ErrorKind, Read};
use thiserror::Error;

/// No more of a recording is read than this, seconds: a pluck is over by then.
pub const WAV_SECONDS: f64 = 20.0;
/// Most channels that are read.
const CHANNELS: u16 = 8;

/// Frames, a sample of each channel, that are read at once.
const FRAMES: usize = 8_192;

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
        // What most recorders write, of one width in the file: all at once is ten times as quick.
        (SampleFormat::Float, 32) => whole(reader, step, most, |four| f64::from(f32::from_le_bytes(*four))),
        (SampleFormat::Int, 16) => whole(reader, step, most, |two| f64::from(i16::from_le_bytes(*two)) / 32_768.0),
        (SampleFormat::Int, bits @ (8 | 24 | 32)) => {
            let full = math::exp2(f64::from(bits - 1));
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

/// The first of every `step` samples of `N` bytes, as many as `most`, and whether there are more. What cannot be read ends it.
fn whole<const N: usize>(
    reader: WavReader<BufReader<&mut dyn Read>>,
    step: usize,
    most: usize,
    value: impl Fn(&[u8; N]) -> f64,
) -> (Vec<f64>, bool) {
    let frame = step * N;
    let said = u64::from(reader.len()).saturating_mul(N as u64);
    let mut bytes = reader.into_inner().take(said);
    // Room for what the head says, of which no more than some seconds are read; what does not come is never touched.
    let mut found = Vec::with_capacity(usize::try_from(said / frame as u64).unwrap_or(most).min(most));
    let mut block = vec![0; FRAMES * frame];
    loop {
        let full = filled(&mut bytes, &mut block);
        let (read, room) = (block.get(..full).unwrap_or_default(), most - found.len());
        let frames = read.chunks_exact(frame);
        // Of the last frame the first sample may be there alone.
        let last = frames.remainder().first_chunk();
        let all = full / frame + usize::from(last.is_some());
        let each = frames.map_while(|all| all.first_chunk()).chain(last);
        found.extend(each.take(room).map(&value));
        if all > room || full < block.len() {
            return (found, all > room);
        }
    }
}

/// Reads until a block is full, or nothing more comes; how much of it is.
fn filled(bytes: &mut impl Read, block: &mut [u8]) -> usize {
    let mut full = 0;
    while let Some(rest) = block.get_mut(full..).filter(|rest| !rest.is_empty()) {
        match bytes.read(rest) {
            Ok(0) => break,
            Ok(read) => full += read,
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(_) => break,
        }
    }
    full
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
