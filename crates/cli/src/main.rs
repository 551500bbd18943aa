//! The program `bonewright`. What it does is in the library beside it; `build.rs` tells from what it is built, and how.

use std::process::ExitCode;

const BUILD: &str = concat!(
    env!("CARGO_PKG_VERSION"),
    "\ncommit: ",
    env!("BONEWRIGHT_FROM"),
    "\nbuild: ",
    env!("BONEWRIGHT_BUILD"),
);

fn main() -> ExitCode {
    bonewright_cli::run(BUILD)
}
