//! `bonewright ask`: short questions, for which no job is needed.

use crate::failure::{Failure, unwritten};
use crate::speak;
use clap::{Args, Subcommand};
use work::{ShortTyped, length_with_unit};

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
        #[arg(long, value_name = "N", default_value = "12")]
        fret: String,
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
    joint: Option<String>,
    /// Print JSON for other programs (crates/report/JSON.md describes every key)
    #[arg(long)]
    json: bool,
}

/// # Errors
/// [`Failure::Use`] for a figure that cannot be read or cannot be.
pub fn run(args: &AskArgs) -> Result<(), Failure> {
    let (question, by, fret, taken) = match &args.question {
        Question::Filed { by, taken } => ("filed", by, "", taken),
        Question::Sharp { by, taken } => ("sharp", by, "", taken),
        Question::Action { by, fret, taken } => ("action", by, fret.as_str(), taken),
        Question::Gap { by, taken } => ("gap", by, "", taken),
        Question::Relief { by, taken } => ("relief", by, "", taken),
        Question::Length { length } => {
            let read = length_with_unit(length).map_err(|why| vec![("length", why)]);
            let mm = read.map_err(|unread| Failure::Use(report::short_unread(&unread).join("")))?;
            return speak::result(&report::in_all_units(mm));
        }
    };
    let said = |text: &'_ Option<String>| text.clone().unwrap_or_default();
    let [lean, fall, scale, setback, action, gap, joint] = [
        said(&taken.lean),
        said(&taken.fall),
        said(&taken.scale),
        said(&taken.setback),
        said(&taken.action),
        said(&taken.gap),
        said(&taken.joint),
    ];
    let typed = ShortTyped {
        question,
        by,
        fret,
        lean: &lean,
        fall: &fall,
        scale: &scale,
        setback: &setback,
        action: &action,
        gap: &gap,
        joint: &joint,
    };
    let used = |words: Vec<String>| Failure::Use(words.join("\nerror: "));
    let (ask, bare, bench) = typed.read().map_err(|unread| used(report::short_unread(&unread)))?;
    let short = ask
        .answered(bare)
        .map_err(|refusal| used(report::short_refusal(&refusal, bench)))?;
    if taken.json {
        return speak::result(&report::short_json(&short).map_err(unwritten)?);
    }
    speak::result(&report::short_page(&short, by.trim(), bench))
}
