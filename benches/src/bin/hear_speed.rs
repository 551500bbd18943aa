//! Prints how long it takes to hear a string, milliseconds, the best and the middle of many in one warm process:
//! `cargo run --release -p bonewright-benches --bin hear_speed -- FILE.wav HZ`. Samples stand in memory, as they do on the other side.

#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::process::ExitCode;
use std::time::Instant;

const RUNS: usize = 201;

fn main() -> ExitCode {
    match timed() {
        Ok([best, middle]) => {
            println!(r#"{{"best":{best},"middle":{middle}}}"#);
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn timed() -> Result<[f64; 2], String> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("FILE.wav HZ")?;
    let expected = arguments.next().and_then(|hz| hz.parse().ok()).ok_or("FILE.wav HZ")?;
    let mut file = std::fs::File::open(&path).map_err(|error| format!("{path}: {error}"))?;
    let read = listen::recording(&mut file).map_err(|error| format!("{path}: {error}"))?;
    let mut times = Vec::with_capacity(RUNS);
    for _ in 0..RUNS {
        let start = Instant::now();
        let heard = read.sound().and_then(|sound| listen::listened(&sound, expected));
        times.push(1e3 * start.elapsed().as_secs_f64());
        heard.map_err(|why| format!("{path}: {why}"))?;
    }
    times.sort_by(f64::total_cmp);
    Ok([times[0], times[RUNS / 2]])
}
