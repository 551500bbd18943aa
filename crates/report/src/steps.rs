//! The order of the work in words.

use crate::figures::{degrees, length};
use crate::page::{closing, opening};
use crate::wrap::wrapped;
use units::BenchUnit;
use work::{Planned, Stage, Staged, Step, steps};

/// Heading of a stage; with the name of the saddle where there are several.
#[must_use]
pub fn stage_words(staged: &Staged) -> String {
    let words = match staged.stage {
        Stage::BeforeCutting => "Before you cut",
        Stage::MakeSaddle => "Make the saddle",
        Stage::MakeNut => "Make the nut",
        Stage::Together => "Nut and saddle together",
        Stage::AfterStringing => "After stringing up",
        Stage::Finish => "Finish",
    };
    match staged.saddle {
        None => words.to_owned(),
        Some(name) => format!("{words}: {name}"),
    }
}

/// A step in a sentence or two, lengths in `bench`.
#[must_use]
pub fn step_words(step: &Step, bench: BenchUnit) -> String {
    let show = |mm: f64| length(bench, mm);
    match *step {
        Step::ReadAll => "Every reading that needs the strings on is in the survey. Note season and humidity with it.".to_owned(),
        Step::Print => "Print the sheets at 100 % and measure both bars on the paper.".to_owned(),
        Step::AssessFirst => "Something else than a saddle is the remedy, or comes first: the plan says it in its first lines, \"bonewright assess\" says why. Go on only when that is settled.".to_owned(),
        Step::DecideHeld => "Some strings are held at the land. Decide first: the plan gives the ways out.".to_owned(),
        Step::Slacken => "Slack the strings in stages, eyes protected. Take the old saddle out and keep it.".to_owned(),
        Step::ZeroFret([least, most]) => {
            let by = |mm: f64| format!("{} {}", show(mm.abs()), if mm < 0.0 { "down" } else { "up" });
            let by = if (most - least).abs() < 0.0005 { by(least) } else { format!("{} to {}", by(least), by(most)) };
            format!("Bring the zero fret to its height, {by}, by file or by new wire, before the saddle: the plan counts on it. Crown and polish it, string up, and read the gap over fret 1 against the table.")
        }
        Step::CleanSlot => "Clean the slot. Its floor is flat, its walls parallel; nothing rocks.".to_owned(),
        Step::Thickness(mm) => format!("Thickness the blank to {}, turning it often, until it goes to the floor without force and without play.", show(mm)),
        Step::Bottom => "Bottom edge straight and square: every height counts from it.".to_owned(),
        Step::TraceEnds => "Stand it in the slot and trace the bridge on its ends. Leave the ends proud until the height is final.".to_owned(),
        Step::RoundEnds => "Round the ends to the slot's, so that it drops in along its whole length.".to_owned(),
        Step::Pattern => "Glue the pattern on, or scribe each contact's height and distance back.".to_owned(),
        Step::ToLine => "File the top down to the line, but leave it a little proud: it cannot be put back.".to_owned(),
        Step::Crown { front, back, rounding } => format!(
            "Shape the crown: falls {} to the front and {} to the back, ridge rounded to {}.",
            degrees(front),
            degrees(back),
            show(rounding)
        ),
        Step::StringUp => "Dry, without glue: string up to pitch and let it settle. Read it and give the readings to \"Strung up\" or \"bonewright fit\".".to_owned(),
        Step::ReliefFirst => "Relief and frets first: they do not come right at the nut.".to_owned(),
        Step::SaddleProud => "Fit the saddle and leave it proud, as its plan says. It hardly moves the gap at fret 1.".to_owned(),
        Step::CutSlots(proud) => format!("Cut the nut's slots to the stack and {} more, the first string first. Dress the top.", show(proud)),
        Step::SlotsAtPitch => "String up to pitch and read the gap at fret 1. Take the slots down in small strokes; a slot cut too deep is filled or the nut made again.".to_owned(),
        Step::SaddleLast => "Then bring the saddle to its height, and last set the intonation: each thou off the nut has taken half a thou off the action at 12.".to_owned(),
        Step::ReadAction => "Last read the action at 12 against the table. If it is not what is wanted, the saddle cannot stay: measure slot and blank too, and make both.".to_owned(),
        Step::AllGood => "Every string is good, or stands as near as it can. File nothing more.".to_owned(),
        Step::Leave { string, low_12 } => format!("String {string}: leave it, {} under its target at fret 12.", show(low_12)),
        Step::Shim(by) => format!("Too low: lay a shim {} thick under the whole length. String up and read again before you file.", show(by)),
        Step::ShimOrNew(by) => format!(
            "Too low: file no further. While the ends are not blended and it is not glued, lay a shim {} thick under the whole length, string up and read again; else make a new saddle. \"bonewright fit\" says what the shim costs.",
            show(by)
        ),
        Step::NewSaddle => "Too low: file no further, and make a new saddle. A shim would lift this one too far out of its slot.".to_owned(),
        Step::SlotsFirst => "First bring the nut's slots right: they change the action at 12 too. String up and read again before the saddle is filed.".to_owned(),
        Step::ReadAgain => "Take the doubtful readings again before anything is filed.".to_owned(),
        Step::Move { string, back } => {
            let way = if back <= 0.0 { "forward" } else { "back" };
            format!("String {string}: move the ridge {way} by {}.", show(back.abs()))
        }
        Step::Lower { string, all, rest } if all == rest => {
            format!("String {string}: lower the contact by {}, from the top.", show(rest))
        }
        Step::Lower { string, all, rest } => format!(
            "String {string}: then lower the contact by {} more, from the top. With what the move has taken that is {} in all.",
            show(rest),
            show(all)
        ),
        Step::LastStrokes => "String up and read again before the last strokes.".to_owned(),
        Step::Polish => "Round nothing but the ridge; polish along the strings. Notch nothing, or only just.".to_owned(),
        Step::Blend => "Blend the ends to the bridge: cut saddle, never bridge wood.".to_owned(),
        Step::Glue => "Glue last, if it is glued at all: a thin film of a glue that can be undone. After this only the top can be reached.".to_owned(),
        Step::Note => "Read action and cents once more and note them with the job.".to_owned(),
    }
}

/// The work list, at most [`crate::WIDTH`] columns wide.
#[must_use]
pub fn steps_page(done: &Planned, bench: BenchUnit) -> String {
    let mut text = opening(&done.job.title);
    text += &wrapped(
        "In this order nothing undoes what was done before (common practice).",
        "",
        "",
    );
    for staged in steps(done) {
        text += &format!("\n{}\n\n", stage_words(&staged).to_uppercase());
        for (i, (_, step)) in staged.steps.iter().enumerate() {
            text += &wrapped(&step_words(step, bench), &format!("{:>2}. ", i + 1), "    ");
        }
    }
    text + &closing(done.hazards())
}
