//! Prints what a program does, one JSON object a line: `cargo run -p bonewright-benches --bin replay -- FILE [TOOL]`.
//!
//! Every motion has kind (rapid, line, arc), from, to, feed (mm/min), spindle (rev/min), tool, line; an arc also plane,
//! centre, clockwise, turn (radians).

#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::process::ExitCode;

use machining::{MotionKind, Plane, read, replay};

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let file = args.next().unwrap_or_default();
    let loaded = args.next().and_then(|t| t.parse().ok()).unwrap_or(1);
    let text = match std::fs::read_to_string(&file) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{file}: {error}");
            return ExitCode::FAILURE;
        }
    };
    let lines = match read(&text) {
        Ok(lines) => lines,
        Err(errors) => {
            errors.iter().for_each(|e| eprintln!("{file}: {e}"));
            return ExitCode::FAILURE;
        }
    };
    let done = match replay(&lines, loaded) {
        Ok(done) => done,
        Err(error) => {
            eprintln!("{file}: {error}");
            return ExitCode::FAILURE;
        }
    };
    for m in &done.motions {
        let kind = match m.kind {
            MotionKind::Rapid => r#""kind":"rapid""#.to_owned(),
            MotionKind::Line => r#""kind":"line""#.to_owned(),
            MotionKind::Arc {
                plane,
                centre,
                clockwise,
                turn,
            } => {
                let plane = match plane {
                    Plane::Xy => "XY",
                    Plane::Zx => "XZ",
                    Plane::Yz => "YZ",
                };
                format!(r#""kind":"arc","plane":"{plane}","centre":{centre:?},"clockwise":{clockwise},"turn":{turn:?}"#)
            }
        };
        println!(
            r#"{{{kind},"from":{:?},"to":{:?},"feed":{:?},"spindle":{:?},"tool":{},"line":{}}}"#,
            m.from, m.to, m.feed, m.spindle, m.tool, m.line
        );
    }
    ExitCode::SUCCESS
}
