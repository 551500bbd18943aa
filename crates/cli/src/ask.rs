//! `bonewright ask`: short questions, for which no job is needed.

use crate::failure::{Failure, unwritten};
use crate::speak;
use clap::{Args, Subcommand};
use saddle::Bare;
use units::{BenchUnit, LengthUnit, parse_angle, parse_cents, parse_length};
use work::{ShortAsk, USUAL};

/// Answer a short question, without a job
///
/// Two to four values, one line of answer, the reason under it. Lengths with their unit, as you write them: "1/32 in", "10 thou",
/// "0.3 mm"; answers come in the same. What is not said is taken as usual, and told.
#[derive(Args)]
pub struct AskArgs {
    #[command(subcommand)]
    question: Question,
}

#[derive(Subcommand)]
enum Question {
    /// A contact is filed so far toward the nut (away from it: negative): what does the string lose?
    Filed {
        /// How far, as "1/32 in"
        #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
        by: String,
        #[command(flatten)]
        taken: Taken,
    },
    /// Fret 12 is sharp by so many cents (flat: negative): where does the contact belong?
    Sharp {
        /// Cents
        #[arg(value_name = "C", allow_hyphen_values = true)]
        by: String,
        #[command(flatten)]
        taken: Taken,
    },
    /// The action is to come down by so much (up: negative): how much off the saddle?
    Action {
        /// How much
        #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
        by: String,
        /// Over which fret
        #[arg(long, value_name = "N", default_value_t = 12)]
        fret: u32,
        #[command(flatten)]
        taken: Taken,
    },
    /// The gap over fret 1 is too high by so much (too low: negative): how much off the slot's floor?
    Gap {
        /// How much
        #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
        by: String,
        #[command(flatten)]
        taken: Taken,
    },
    /// The relief becomes so much more (less: negative): what does the action do?
    Relief {
        /// How much, at mid-span between fret 1 and the joint
        #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
        by: String,
        #[command(flatten)]
        taken: Taken,
    },
    /// A length in all other units, with the nearest 64th and what it leaves
    Length {
        /// The length
        #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
        length: String,
    },
}

/// What is known of the string; the rest is taken as usual.
#[derive(Args)]
struct Taken {
    /// Lean of the saddle, top toward the nut: "9 deg", "0.5 mm over 3.2 mm" [default: 0]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    lean: Option<String>,
    /// Fall of the crown toward the nut, where it is filed [default: a flat top]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    fall: Option<String>,
    /// Scale length [default: 25.4 in]
    #[arg(long, value_name = "LENGTH")]
    scale: Option<String>,
    /// Contact on the saddle beyond the scale's end [default: 0]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    setback: Option<String>,
    /// Action at fret 12 [default: 6/64 in]
    #[arg(long, value_name = "LENGTH")]
    action: Option<String>,
    /// Gap over fret 1 [default: 20 thou]
    #[arg(long, value_name = "LENGTH")]
    gap: Option<String>,
    /// Fret at the body joint [default: 14]
    #[arg(long, value_name = "N")]
    joint: Option<u32>,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
}

/// # Errors
/// [`Failure::Use`] for a figure that cannot be read or cannot be.
pub fn run(args: &AskArgs) -> Result<(), Failure> {
    match &args.question {
        Question::Filed { by, taken } => {
            let forward = length("LENGTH", by)?;
            answer(ShortAsk::Filed { forward }, by, taken)
        }
        Question::Sharp { by, taken } => {
            let cents = parse_cents(by).map_err(|error| Failure::Use(format!("C: {error}")))?;
            answer(ShortAsk::Sharp { cents }, by, taken)
        }
        Question::Action { by, fret, taken } => {
            let down = length("LENGTH", by)?;
            answer(ShortAsk::Action { down, fret: *fret }, by, taken)
        }
        Question::Gap { by, taken } => {
            let high = length("LENGTH", by)?;
            answer(ShortAsk::Gap { high }, by, taken)
        }
        Question::Relief { by, taken } => {
            let more = length("LENGTH", by)?;
            answer(ShortAsk::Relief { more }, by, taken)
        }
        Question::Length { length: text } => speak::result(&report::in_all_units(length("LENGTH", text)?)),
    }
}

fn answer(ask: ShortAsk, typed: &str, taken: &Taken) -> Result<(), Failure> {
    let bench = bench_of(typed, taken);
    let short = ask
        .answered(bare(taken)?)
        .map_err(|refusal| Failure::Use(report::short_refusal(&refusal, bench).join("\nerror: ")))?;
    if taken.json {
        return speak::result(&report::short_json(&short).map_err(unwritten)?);
    }
    speak::result(&report::short_page(&short, typed.trim(), bench))
}

/// A length that says its unit, mm.
fn length(name: &str, text: &str) -> Result<f64, Failure> {
    if !text.contains(|c: char| c.is_alphabetic() || c == '"' || c == '″') {
        return Err(Failure::Use(format!(
            "{name}: read `{text}`: say the unit too, as \"{text} mm\", \"{text} in\" or \"{text} thou\""
        )));
    }
    parse_length(text, LengthUnit::Millimetre).map_err(|error| Failure::Use(format!("{name}: {error}")))
}

fn bare(taken: &Taken) -> Result<Bare, Failure> {
    let long =
        |name: &str, given: &Option<String>, usual: f64| given.as_ref().map_or(Ok(usual), |text| length(name, text));
    let angle = |name: &str, given: &Option<String>| {
        given.as_ref().map_or(Ok(0.0), |text| {
            parse_angle(text, LengthUnit::Millimetre).map_err(|error| Failure::Use(format!("{name}: {error}")))
        })
    };
    Ok(Bare {
        scale: long("--scale", &taken.scale, USUAL.scale)?,
        setback: long("--setback", &taken.setback, USUAL.setback)?,
        lean: angle("--lean", &taken.lean)?,
        fall: angle("--fall", &taken.fall)?,
        action_12: long("--action", &taken.action, USUAL.action_12)?,
        gap_1: long("--gap", &taken.gap, USUAL.gap_1)?,
        joint_fret: taken.joint.unwrap_or(USUAL.joint_fret),
    })
}

/// The units of the answer: those of the question, or of the first length that is said with it.
fn bench_of(typed: &str, taken: &Taken) -> BenchUnit {
    let said = [
        Some(typed),
        taken.scale.as_deref(),
        taken.action.as_deref(),
        taken.gap.as_deref(),
    ];
    let with_unit =
        |text: &&str| text.contains("in") || text.contains('m') || text.contains("th") || text.contains('"');
    match said.into_iter().flatten().find(with_unit) {
        Some(text) if text.contains("mm") || text.contains("cm") => BenchUnit::METRIC,
        _ => BenchUnit::IMPERIAL,
    }
}
