//! `bonewright filing`: what a stroke of the file will do, before it is made.

use crate::failure::{Failure, unwritten};
use crate::part::{PartArgs, WhichPart, both_documents};
use crate::pictures::{self, PictureArgs};
use crate::plan::Bench;
use crate::source::{self, AnyPlanned, JobArgs, Planned};
use crate::speak;
use clap::Args;
use drawing::{DrawingError, FiledSection, Sheet};
use nut::NutPlan;
use report::{FiledString, Filing, FilingAsk, FilingTerms, Hazards, QUARTER_MM, SIXTY_FOURTH};
use saddle::filing::{Move, Standing, Start};
use units::{BenchUnit, LengthUnit, parse_cents, parse_length};

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
/// As [`source::any_planned`]; [`Failure::Use`] for a length that cannot be read or a string that is not there;
/// [`Failure::Job`] if the crown cannot stand as the job says.
pub fn run(args: &FilingArgs) -> Result<(), Failure> {
    let done = match source::any_planned(&args.job)? {
        AnyPlanned::Saddle(done) => done,
        AnyPlanned::NutAlone(done) => {
            args.part.nut_alone()?;
            let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
            return nut_only(
                args,
                &nut_side(args, &done.job.title, &done.nut, done.hazards(), bench)?,
            );
        }
    };
    let bench = args.bench.map_or(done.job.bench, BenchUnit::from);
    let chosen = args.part.chosen(done.nut.as_ref(), WhichPart::Saddle)?;
    let nut = chosen
        .nut
        .map(|nut| nut_side(args, &done.job.title, nut, done.nut_hazards(), bench))
        .transpose()?;
    if let (Some(text), false) = (&nut, chosen.saddle) {
        return nut_only(args, text);
    }
    let step = asked_move(args, done.job.unit)?;
    let asks = asks(args, &done, step)?;
    let terms = FilingTerms {
        allowed: done.job.tolerance.band.action,
        at_height: args.at_height || done.job.filing.at_height,
        step: step_length(args, done.job.unit, bench)?,
    };
    let filing = report::filing(&done.plan, &asks, terms).map_err(|refusal| {
        speak::error(&format!(
            "error: {}: {}. Look at [filing] in the job.",
            crate::files::shown(&args.job.path),
            refusal.text(bench)
        ));
        Failure::Job
    })?;
    let title = &done.job.title;
    args.pictures
        .write(&args.job.path, "filing", || sheets(&done, &filing, bench))?;
    let text = if args.json {
        report::filing_json(title, &filing).map_err(unwritten)?
    } else {
        report::filing_page(title, &filing, done.plan.blank.kind, done.hazards(), bench)
    };
    let text = match nut {
        None => text,
        Some(nut) if args.json => both_documents(&text, &nut),
        Some(nut) => format!("{text}\n{nut}"),
    };
    speak::result(&text)
}

/// The nut and no saddle.
fn nut_only(args: &FilingArgs, text: &str) -> Result<(), Failure> {
    args.pictures.saddle_only()?;
    speak::result(text)
}

/// What a stroke in a slot of the nut does, as a page or as JSON.
fn nut_side(
    args: &FilingArgs,
    title: &str,
    nut: &NutPlan,
    hazards: Hazards,
    bench: BenchUnit,
) -> Result<String, Failure> {
    if args.json {
        report::nut_filing_json(title, nut, bench).map_err(unwritten)
    } else {
        Ok(report::nut_filing_page(title, nut, hazards, bench))
    }
}

/// Every string's section before and after the stroke.
fn sheets(done: &Planned, filing: &Filing, bench: BenchUnit) -> Result<Vec<Sheet>, DrawingError> {
    let plan = &done.plan;
    let standing = |s: &FiledString| Standing::new(plan, s.plan, s.ask.crown, s.ask.start).ok();
    // Each stands, because its stroke was worked out.
    let standings: Vec<_> = filing.strings.iter().filter_map(|s| Some((s, standing(s)?))).collect();
    let crowns: Vec<String> = standings.iter().map(|(s, _)| s.crown_words(bench)).collect();
    let sections = standings
        .iter()
        .zip(&crowns)
        .map(|((s, standing), crown)| FiledSection {
            string: s.plan,
            standing,
            crown,
            stroke: s.stroke.ok(),
            proud: s
                .proud
                .ok()
                .filter(|_| !filing.terms.at_height)
                .map(|proud| proud.height),
            words: s.verdict_words(bench),
        });
    let sections: Vec<FiledSection> = sections.collect();
    let notes = vec![filing.final_words(plan.blank.kind)];
    drawing::filing_sheets(plan, &sections, &pictures::options(&done.job, bench, notes))
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
        return Ok(if bench == BenchUnit::Millimetre {
            QUARTER_MM
        } else {
            SIXTY_FOURTH
        });
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

/// What is asked of each chosen string.
fn asks(args: &FilingArgs, done: &Planned, step: Option<Move>) -> Result<Vec<FilingAsk>, Failure> {
    let plan = &done.plan;
    if let Some(unknown) = args
        .strings
        .iter()
        .find(|n| plan.strings.iter().all(|s| s.number != **n))
    {
        return Err(Failure::Use(format!(
            "--string: there is no string {unknown}; this instrument has strings 1 to {}.",
            plan.strings.len()
        )));
    }
    let (setup, allowed) = (&done.job.filing, done.job.tolerance.band.action);
    let given = setup
        .crown
        .iter()
        .zip(&setup.back)
        .zip(&setup.action_12)
        .zip(&setup.floor_12);
    let all = plan
        .strings
        .iter()
        .zip(given)
        .map(|(s, (((crown, back), action_12), floor))| FilingAsk {
            number: s.number,
            crown: *crown,
            start: Start {
                action_12: *action_12,
                back: *back,
            },
            floor: floor.unwrap_or(s.action_12 - allowed),
            step,
        });
    Ok(all
        .filter(|ask| args.strings.is_empty() || args.strings.contains(&ask.number))
        .collect())
}
