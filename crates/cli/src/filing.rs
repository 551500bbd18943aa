//! `bonewright filing`: what a stroke of the file will do, before it is made.

use crate::failure::{Failure, unwritten};
use crate::part::PartArgs;
use crate::pictures::PictureArgs;
use crate::plan::Bench;
use crate::source::{self, JobArgs};
use crate::speak;
use clap::Args;
use drawing::SheetSet;
use machining::PartKind;
use saddle::filing::Move;
use units::{BenchUnit, LengthUnit, parse_cents, parse_length};
use work::{NutWork, Planned, SaddleWork, usual_step};

/// Longest step of the table, mm: beyond it the second step leaves any saddle.
const LONGEST_STEP: f64 = 5.0;

/// Say what filing will cost, and how proud to leave each string first
///
/// Per string: new contact, drop at the crown, action and cents, and what is left against the target. Without a move each
/// string goes from its present contact, as [filing] in the job gives it, to the planned one. LENGTH as in the job: "1/64 in",
/// "10 thou", "0.3 mm"; a bare number is in the job's unit. JOB may be - for standard input.
#[derive(Args)]
pub struct FilingArgs {
    #[command(flatten)]
    job: JobArgs,
    #[command(flatten)]
    part: PartArgs,
    /// Only this string; may be given several times [default: all]
    #[arg(long = "string", value_name = "N")]
    strings: Vec<u32>,
    /// Move the contact so far toward the nut
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, group = "move")]
    forward: Option<String>,
    /// Move the contact so far away from the nut
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, group = "move")]
    back: Option<String>,
    /// Change fret 12 by so many cents; plus makes it sharper
    #[arg(long, value_name = "C", allow_hyphen_values = true, group = "move")]
    cents: Option<String>,
    /// Step of the table of steps [default: 1/64 in, or 0.25 mm where the bench unit is mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    step: Option<String>,
    /// The saddle is at its height: it can no longer be left proud
    #[arg(long)]
    at_height: bool,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    pictures: PictureArgs,
    /// Unit of the tables, instead of the job's own
    #[arg(long, value_name = "UNIT")]
    bench: Option<Bench>,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Use`] for a length that cannot be read or a string that is not there;
/// [`Failure::Job`] if the crown cannot stand as the job says, or the part is not to be made as it stands.
pub fn run(args: &FilingArgs) -> Result<(), Failure> {
    let planned = source::planned(&args.job)?.planned;
    let bench = args.bench.map_or(planned.job.bench, BenchUnit::from);
    let chosen = args.part.chosen(&planned, &[PartKind::Saddle])?;
    let nut = chosen.nut().map(|nut| nut_text(args, &nut, bench)).transpose()?;
    // What is not to be made is told of too, but is not in order.
    let made = || source::made(source::may_be_made(&args.job.path, chosen.done, &chosen.parts));
    let mut saddles = chosen.saddles();
    if saddles.is_empty() {
        args.pictures.saddle_only()?;
        speak::result(&nut.unwrap_or_default())?;
        return made();
    }
    known_strings(args, chosen.done)?;
    if !args.strings.is_empty() {
        // A saddle that carries none of the strings asked for has nothing to tell.
        let asked = |saddle: &SaddleWork| saddle.plan.strings.iter().any(|s| args.strings.contains(&s.number));
        saddles.retain(asked);
    }
    let unit = planned.job.unit;
    let (step, asked) = (step_length(args, unit, bench)?, asked_move(args, unit)?);
    let mut filed = Vec::new();
    for saddle in &saddles {
        let filing = saddle
            .filing(&args.strings, asked, step, args.at_height)
            .map_err(|refusal| {
                speak::error(&format!(
                    "error: {}: {}. Look at [filing] in the job.",
                    crate::files::shown(&args.job.path),
                    report::filing_refusal(&refusal, bench)
                ));
                Failure::Job
            })?;
        filed.push((saddle, filing));
    }
    args.pictures
        .write(&args.job.path, SheetSet::Filing, &filed, |(saddle, filing)| {
            Ok((saddle.job, drawing::filing_sheets_of(saddle, filing, bench)?))
        })?;
    if args.json {
        let mut texts = Vec::new();
        for (saddle, filing) in &filed {
            let text = report::filing_json(&saddle.job.title, filing, &report::saddle_stop_words(saddle, bench))
                .map_err(unwritten)?;
            texts.push((saddle.job, text));
        }
        speak::result(&report::documents(texts, nut))?;
        return made();
    }
    let pages = filed.iter().map(|(saddle, filing)| {
        let hazards = saddle.hazards();
        let kind = saddle.plan.blank.kind;
        (
            report::filing_page(
                &saddle.job.title,
                filing,
                kind,
                &report::saddle_stop_words(saddle, bench),
                hazards,
                bench,
            ),
            hazards,
        )
    });
    let text = report::pages_of(pages.collect());
    speak::result(&match nut {
        None => text,
        Some(nut) => format!("{text}\n{nut}"),
    })?;
    made()
}

/// What a stroke in a slot of the nut does, as a page or as JSON.
fn nut_text(args: &FilingArgs, nut: &NutWork, bench: BenchUnit) -> Result<String, Failure> {
    let title = &nut.job.title;
    if args.json {
        report::nut_filing_json(title, nut.plan, bench).map_err(unwritten)
    } else {
        Ok(report::nut_filing_page(title, nut.plan, nut.hazards(), bench))
    }
}

/// A length over 0, mm.
fn positive(flag: &str, text: &str, unit: LengthUnit) -> Result<f64, Failure> {
    let mm = parse_length(text, unit).map_err(|error| Failure::Use(format!("{flag}: {error}")))?;
    if mm > 0.0 {
        return Ok(mm);
    }
    let mend = match flag {
        "--forward" => " The other way is --back.",
        "--back" => " The other way is --forward.",
        _ => "",
    };
    Err(Failure::Use(format!("{flag}: \"{text}\" is not over 0.{mend}")))
}

fn asked_move(args: &FilingArgs, unit: LengthUnit) -> Result<Option<Move>, Failure> {
    Ok(if let Some(text) = &args.forward {
        Some(Move::Forward(positive("--forward", text, unit)?))
    } else if let Some(text) = &args.back {
        Some(Move::Forward(-positive("--back", text, unit)?))
    } else if let Some(text) = &args.cents {
        let cents = parse_cents(text).map_err(|error| Failure::Use(format!("--cents: {error}")))?;
        Some(Move::Cents(cents))
    } else {
        None
    })
}

fn step_length(args: &FilingArgs, unit: LengthUnit, bench: BenchUnit) -> Result<f64, Failure> {
    let Some(text) = &args.step else {
        return Ok(usual_step(bench));
    };
    let step = positive("--step", text, unit)?;
    if step > LONGEST_STEP {
        let most = bench.show(LONGEST_STEP);
        return Err(Failure::Use(format!(
            "--step: \"{text}\" is more than {most}, the longest step."
        )));
    }
    Ok(step)
}

/// Refuses a string that the instrument does not have.
fn known_strings(args: &FilingArgs, done: &Planned) -> Result<(), Failure> {
    let known = |n: &u32| done.strings().any(|(number, _)| number == *n);
    match args.strings.iter().find(|n| !known(n)) {
        None => Ok(()),
        Some(unknown) if done.job.name.is_some() => Err(Failure::Use(format!(
            "--string: this saddle carries no string {unknown}."
        ))),
        Some(unknown) => Err(Failure::Use(format!(
            "--string: there is no string {unknown}; this instrument has strings 1 to {}.",
            done.job.instrument.strings.len()
        ))),
    }
}
