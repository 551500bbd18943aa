//! Prints what is known of a job's instrument by all that was read of it, as JSON: `cargo run -p bonewright-benches --bin known -- JOB`.
//!
//! `figures`: names of the figures of the state, those of tools with the tool's name; `off`: how far each is off where the survey has it;
//! `covariance`: row by row; `rows`: readings and what is known beforehand, each with its visit, value, own uncertainty and what is left of it;
//! `squares`: the sum of squares.

#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::process::ExitCode;

use job::{Profiles, read};
use known::Figure;
use work::planned;

fn main() -> ExitCode {
    let file = std::env::args().nth(1).unwrap_or_default();
    let text = match std::fs::read_to_string(&file) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{file}: {error}");
            return ExitCode::FAILURE;
        }
    };
    let job = match read(&text, &Profiles::built_in()) {
        Ok(found) => found.job,
        Err(problems) => {
            problems.iter().for_each(|problem| eprintln!("{file}: {problem}"));
            return ExitCode::FAILURE;
        }
    };
    let done = planned(job);
    let Some(evidence) = &done.evidence else {
        eprintln!("{file}: {:?}", done.refusals);
        return ExitCode::FAILURE;
    };
    let (known, estimate) = (&evidence.known, &evidence.known.estimate);
    let named = |figure: &Figure| match figure {
        Figure::Tool(at, of) => format!("Tool({}, {of:?})", known.tools.get(*at).map_or("", String::as_str)),
        figure => format!("{figure:?}"),
    };
    let figures: Vec<String> = known.figures.iter().map(named).collect();
    let off: Vec<f64> = estimate.state.iter().copied().collect();
    let covariance: Vec<Vec<f64>> = estimate
        .covariance
        .row_iter()
        .map(|row| row.iter().copied().collect())
        .collect();
    let rows = known.rows.iter().enumerate().map(|(i, row)| {
        let (value, sure_to, left) = (row.value, row.sure_to, estimate.residual(i));
        format!(r#"["{:?}",{},{value:?},{sure_to:?},{left:?}]"#, row.what, row.visit)
    });
    let rows: Vec<String> = rows.collect();
    println!(
        r#"{{"figures":{figures:?},"off":{off:?},"covariance":{covariance:?},"rows":[{}],"squares":{:?}}}"#,
        rows.join(","),
        estimate.squares()
    );
    ExitCode::SUCCESS
}
