//! Hearing a string: 5 s at 48 kHz, samples to pitch and stiffness, of a low and a high string, and reading such a file.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, criterion_group, criterion_main};
use fixtures::{OPEN_STRINGS, plucked, wav};
use listen::{Sound, listened, recording};

const RATE: f64 = 48_000.0;

fn benches(c: &mut Criterion) {
    let mut group = c.benchmark_group("listen");
    for which in [0, 5] {
        let string = OPEN_STRINGS[which];
        let samples = plucked(which, RATE, 1).samples;
        let Ok(sound) = Sound::of(&samples, RATE) else { return };
        group.bench_function(string.note, |b| b.iter(|| listened(&sound, string.frequency)));
    }
    let file = wav(&plucked(0, RATE, 1).samples, RATE);
    group.bench_function("read a file", |b| b.iter(|| recording(&mut &file[..])));
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
