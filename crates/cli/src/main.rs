//! The command `bonewright`: flags and glue, no formulas. One file a command; [`failure`] has the exit codes.

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
mod replay;
mod source;
mod speak;
mod steps;
mod stop;
mod tolerance;
mod tools;

use clap::{Parser, Subcommand};
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

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let done = match arguments.command {
        Command::New(args) => new::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Plan(args) => plan::run(&args),
        Command::Draw(args) => draw::run(&args),
        Command::Cut(args) => cut::run(&args),
        Command::Replay(args) => replay::run(&args),
        Command::Assess(args) => assess::run(&args),
        Command::Ask(args) => ask::run(&args),
        Command::Filing(args) => filing::run(&args),
        Command::Fit(args) => fit::run(&args),
        Command::Tolerance(args) => tolerance::run(&args),
        Command::Measure(args) => measure::run(&args),
        Command::Hear(args) => hear::run(&args),
        Command::Steps(args) => steps::run(&args),
        Command::Profiles(args) => profiles::run(&args),
        Command::Bench(args) => bench::run(&args),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            speak::failure(&failure);
            stop::end_if_told();
            ExitCode::from(failure.code())
        }
    }
}
