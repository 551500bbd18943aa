//! The command `bonewright`: flags and glue, no formulas. One file a command; `failure` has the exit codes. The program itself
//! ([`run`]) is three lines; packages make their man pages and completions from [`command`].

#![allow(rustdoc::broken_intra_doc_links)] // help texts name tables of the job file, such as [cut]

mod ask;
mod assess;
mod bench;
mod check;
mod cut;
mod draw;
mod failure;
mod files;
mod filing;
mod fit;
mod hear;
mod measure;
mod new;
mod part;
mod pictures;
mod plan;
mod profiles;
mod progress;
mod replay;
mod source;
mod speak;
mod steps;
mod stop;
mod tolerance;
mod tools;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use std::process::ExitCode;

/// Plan and draw a replacement saddle, and the nut, from one survey of the instrument.
#[derive(Parser)]
#[command(name = "bonewright", version, max_term_width = 80, after_help = failure::EXIT_CODES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    New(new::NewArgs),
    Check(check::Check),
    Plan(plan::PlanJob),
    Draw(draw::Draw),
    Cut(cut::CutArgs),
    Replay(replay::ReplayArgs),
    Assess(assess::AssessArgs),
    Ask(ask::AskArgs),
    Filing(filing::FilingArgs),
    Fit(fit::FitArgs),
    Tolerance(tolerance::ToleranceArgs),
    Measure(measure::MeasureArgs),
    Hear(hear::HearArgs),
    Steps(steps::StepsArgs),
    Profiles(profiles::ListProfiles),
    Bench(bench::BenchPage),
}

/// The command with all its flags and help, not run. `build` is what `--version` tells beside the version.
#[must_use]
pub fn command(build: &'static str) -> clap::Command {
    Arguments::command().long_version(build)
}

/// Runs the command by the process's own arguments. `build` is the version, and in further lines what it was built from and how.
#[must_use]
pub fn run(build: &'static str) -> ExitCode {
    let mut command = command(build);
    let read = Arguments::from_arg_matches(&command.get_matches_mut());
    let arguments = read.unwrap_or_else(|error| error.format(&mut command).exit());
    match arguments.command.run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            speak::failure(&failure);
            stop::end_if_told();
            ExitCode::from(failure.code())
        }
    }
}

impl Command {
    fn run(self) -> Result<(), failure::Failure> {
        match self {
            Self::New(args) => new::run(&args),
            Self::Check(args) => check::run(&args),
            Self::Plan(args) => plan::run(&args),
            Self::Draw(args) => draw::run(&args),
            Self::Cut(args) => cut::run(&args),
            Self::Replay(args) => replay::run(&args),
            Self::Assess(args) => assess::run(&args),
            Self::Ask(args) => ask::run(&args),
            Self::Filing(args) => filing::run(&args),
            Self::Fit(args) => fit::run(&args),
            Self::Tolerance(args) => tolerance::run(&args),
            Self::Measure(args) => measure::run(&args),
            Self::Hear(args) => hear::run(&args),
            Self::Steps(args) => steps::run(&args),
            Self::Profiles(args) => profiles::run(&args),
            Self::Bench(args) => bench::run(&args),
        }
    }
}
