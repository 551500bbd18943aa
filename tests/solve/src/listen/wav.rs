//! WAV files: all forms that are read, and no bytes that harm.

use fixtures::Chance;
use hound::{SampleFormat, WavSpec, WavWriter};
use listen::{WAV_SECONDS, recording};
use std::io::Cursor;
use std::time::{Duration, Instant};

fn written(bits: u16, format: SampleFormat, channels: u16, samples: &[f64]) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let spec = WavSpec {
        channels,
        sample_rate: 44_100,
        bits_per_sample: bits,
        sample_format: format,
    };
    let mut writer = WavWriter::new(&mut bytes, spec).unwrap();
    for sample in samples {
        for channel in 0..channels {
            // Other channels hold something else.
            let sample = if channel == 0 { *sample } else { 0.1 };
            match format {
                SampleFormat::Float => writer.write_sample(sample as f32).unwrap(),
                SampleFormat::Int => writer
                    .write_sample((sample * f64::from(bits - 1).exp2()).round() as i32)
                    .unwrap(),
            }
        }
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

fn sine() -> Vec<f64> {
    (0..5_000).map(|i| 0.8 * (0.05 * f64::from(i)).sin()).collect()
}

#[test]
fn every_form_is_read() {
    let forms = [
        (8, SampleFormat::Int),
        (16, SampleFormat::Int),
        (24, SampleFormat::Int),
        (32, SampleFormat::Int),
        (32, SampleFormat::Float),
    ];
    for (bits, format) in forms {
        for channels in [1, 2, 6] {
            let read = recording(&mut &written(bits, format, channels, &sine())[..]).unwrap();
            assert_eq!((read.rate, read.channels, read.cut), (44_100.0, channels, false));
            assert_eq!(read.samples.len(), sine().len());
            let step = f64::from(bits - 1).exp2().recip().max(6e-8);
            for (read, wrote) in read.samples.iter().zip(sine()) {
                assert!((read - wrote).abs() <= step, "{bits} bits: {read} {wrote}");
            }
        }
    }
}

#[test]
fn a_long_one_is_read_so_far() {
    let long = vec![0.25; 44_100 * 25];
    let read = recording(&mut &written(16, SampleFormat::Int, 1, &long)[..]).unwrap();
    assert_eq!(read.samples.len(), (WAV_SECONDS * 44_100.0) as usize);
    assert!(read.cut);
}

/// Spoilt in every way that comes to mind: bytes changed, cut off, put in, heads that promise what is not there.
fn mutated(chance: &mut Chance, sound: &[u8]) -> Vec<u8> {
    let mut bytes = sound.to_vec();
    for _ in 0..=chance.one_of(6) {
        // The head is hit most: there is little to break in samples.
        let reach = if chance.is(0.8) { 60 } else { bytes.len() };
        let at = chance.one_of(reach.min(bytes.len()).max(1));
        match chance.one_of(6) {
            0 => bytes.truncate(at),
            1 => bytes.insert(at, chance.one_of(256) as u8),
            2 if at + 4 <= bytes.len() => {
                bytes[at..at + 4].copy_from_slice(&[0xff, 0xff, 0xff, [0x7f, 0xff][chance.one_of(2)]])
            }
            3 if at + 4 <= bytes.len() => bytes[at..at + 4].copy_from_slice(&[0; 4]),
            4 if at < bytes.len() => drop(bytes.drain(at..(at + 1 + chance.one_of(8)).min(bytes.len()))),
            _ if at < bytes.len() => bytes[at] = chance.one_of(256) as u8,
            _ => {}
        }
    }
    bytes
}

/// How many; the outside checks ask for 10,000.
fn many() -> u32 {
    std::env::var("BONEWRIGHT_SPOILT")
        .ok()
        .and_then(|many| many.parse().ok())
        .unwrap_or(1_000)
}

#[test]
fn spoilt_files_do_no_harm() {
    let forms = [
        (16, SampleFormat::Int, 1),
        (24, SampleFormat::Int, 2),
        (32, SampleFormat::Float, 1),
        (8, SampleFormat::Int, 1),
    ];
    let sounds: Vec<Vec<u8>> = forms
        .map(|(bits, format, channels)| written(bits, format, channels, &sine()))
        .into();
    let chance = &mut Chance::new(22);
    let (mut read, mut slowest) = (0, Duration::ZERO);
    for _ in 0..many() {
        let which = chance.one_of(sounds.len());
        let bytes = mutated(chance, &sounds[which]);
        let start = Instant::now();
        if let Ok(found) = recording(&mut &bytes[..]) {
            read += 1;
            // No more than the bytes that are there can hold.
            assert!(found.samples.len() <= bytes.len());
            if let Ok(sound) = found.sound() {
                let _ = listen::listened(&sound, 110.0);
            }
        }
        slowest = slowest.max(start.elapsed());
    }
    println!("{read} of {} were read; the slowest took {slowest:?}", many());
    assert!(slowest < Duration::from_secs(1), "{slowest:?}");
    // Enough are whole to be listened to.
    assert!(read > many() / 20, "{read}");
}
