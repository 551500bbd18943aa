//! The order of the work in words.

use crate::figures::{degrees, length};
use units::BenchUnit;
use work::{NutWork, SaddleWork, Stage, Staged, Step, saddle_steps};

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
        Step::PlanAgain => "Settle what stands in the way of the part, put it into the survey and plan again. Cut nothing until then: the order of the work follows from a plan that can be made.".to_owned(),
        Step::DecideHeld => "Some strings are held at the land. Decide first: the plan gives the ways out.".to_owned(),
        Step::Slacken { old_glued: false } => "Slack the strings in stages, eyes protected. Take the old saddle out and keep it.".to_owned(),
        Step::Slacken { old_glued: true } => "Slack the strings in stages, eyes protected, and take them off. The old saddle is glued: on a valuable or historic instrument leave it to a qualified repairer.".to_owned(),
        Step::FreeCold => "Cold first: padded pliers, straight up, from one end to the other along the slot. Stop as soon as the bridge's wood moves with it.".to_owned(),
        Step::FreeWarm => "Then heat or steam, for a glue that gives way to it: a hot iron on a wet pad of paper on the saddle alone, the bridge and the top shielded. Heat and steam loosen other joints and blush the finish: little at a time, eyes and hands protected.".to_owned(),
        Step::FreeByKerf => "Only if it still holds: nip the top off, guard the bridge, saw a kerf down the middle of the saddle to its full depth and collapse the halves inward; soak the glue off. Never lever outward: the front wall cracks. Dust of bone, ivory and rosewood harms lungs: extract it and wear a mask for fine dust. Ivory and rosewood may be protected by law: keep the pieces.".to_owned(),
        Step::ZeroFret([least, most]) => {
            let by = |mm: f64| format!("{} {}", show(mm.abs()), if mm < 0.0 { "down" } else { "up" });
            let by = if (most - least).abs() < 0.0005 { by(least) } else { format!("{} to {}", by(least), by(most)) };
            format!("Bring the zero fret to its height, {by}, by file or by new wire, before the saddle: the plan counts on it. Crown and polish it, string up, and read the gap over fret 1 against the table.")
        }
        Step::CleanSlot => "Clean the slot. Its floor is flat, its walls parallel; nothing rocks.".to_owned(),
        Step::TrueFloor => "True the floor only where the blank rocks on it or light shows, flat and square to the walls, and take as little as can be: the wood under it carries the bridge. Then read its depth again, put it into the survey and plan again: every height counts from the floor.".to_owned(),
        Step::Thickness(mm) => format!("Thickness the blank to {}, turning it often, until it goes to the floor without force and without play.", show(mm)),
        Step::Bottom => "Bottom edge straight and square: every height counts from it.".to_owned(),
        Step::DryFit => "Fit it dry before you shape it: it stands in the slot by itself, flat on the floor without rocking, its sides square to the bottom, and no light shows between it and the walls or the floor.".to_owned(),
        Step::TraceEnds { proud, drawn } => format!(
            "Stand it in the slot and trace the bridge on its ends{}. Leave the ends {} outside the line until the height is final.",
            if drawn { ", and hold the line against the templates" } else { "" },
            show(proud)
        ),
        Step::RoundEnds { radius } => format!("Round the ends to the slot's, to a radius of {}, so that it drops in along its whole length.", show(radius)),
        Step::FromTop { proud } => format!(
            "From here on height comes off the top. {} off the bottom would take the ends down by as much: left {} proud, they end under the bridge once more than that is off; once they are blended, with the first stroke.",
            bottom_stroke(bench),
            show(proud)
        ),
        Step::Pattern => "Glue the pattern on, or scribe each contact's height and distance back.".to_owned(),
        Step::ToLine => "File the top down to the line, but leave it a little proud: it cannot be put back.".to_owned(),
        Step::Crown { front, back, rounding } => format!(
            "Shape the crown: falls {} to the front and {} to the back, ridge rounded to {}.",
            degrees(front),
            degrees(back),
            show(rounding)
        ),
        Step::StringUp { glued: true } => "Proud and dry, without glue: string up to pitch and let it settle. Read action and cents of every string and give the readings to \"Strung up\" or \"bonewright fit\". Take it out, take off what they say, string up and read again, until nothing more comes off.".to_owned(),
        Step::StringUp { glued: false } => "Dry, without glue: string up to pitch and let it settle. Read it and give the readings to \"Strung up\" or \"bonewright fit\".".to_owned(),
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
        Step::Blend { drawn } => format!(
            "Only now, when the readings say that nothing more comes off: blend the ends to the bridge{}. Cut saddle, never bridge wood, and nothing off the bottom any more.",
            if drawn { ", to the templates" } else { "" }
        ),
        Step::Glue { line: [least, most], action_12: [low, high] } => format!(
            "Glue last, and only when action and cents of every string were read dry and are good: a thin film of a glue that can be undone, no squeeze-out on the finish. The line of glue raises the saddle by about {} to {}, and the action at fret 12 by half of it, {} to {} (common practice, no source). After this only the top can be reached.",
            show(least), show(most), show(low), show(high)
        ),
        Step::ReadGlued { action_12 } => format!(
            "When the glue has set, string up, read action and cents once more and hold them against the dry figures. The action may have come up by {}, and the cents hardly: if more, the saddle does not sit down on its floor, and only the top can mend it. Note both with the job.",
            show(action_12)
        ),
        Step::Note => "Read action and cents once more and note them with the job.".to_owned(),
    }
}

/// One stroke's worth off the bottom, as the bench counts it, at the beginning of a sentence.
fn bottom_stroke(bench: BenchUnit) -> &'static str {
    if bench.is_metric() { "Each 0.1 mm" } else { "Each thou" }
}

/// The order of the work on a saddle as a sheet has it, numbered: the bars first, then the steps from the blank to the end; none of these
/// where the saddle is not to be made as it stands.
#[must_use]
pub fn sheet_steps(saddle: &SaddleWork, bench: BenchUnit) -> Vec<String> {
    on_sheet(&saddle_steps(saddle), bench)
}

/// What comes before the work on a nut that is not to be made as it stands, as a sheet has it; nothing where it may be made, as the sheets of
/// a nut have their own order of work.
#[must_use]
pub fn nut_sheet_steps(nut: &NutWork, bench: BenchUnit) -> Vec<String> {
    if nut.stops() {
        on_sheet(&[Step::PlanAgain], bench)
    } else {
        Vec::new()
    }
}

fn on_sheet(steps: &[Step], bench: BenchUnit) -> Vec<String> {
    let bars = "Measure both bars. If one is wrong, do not use this sheet.".to_owned();
    let steps = steps.iter().map(|step| step_words(step, bench));
    let all = std::iter::once(bars).chain(steps).enumerate();
    all.map(|(i, words)| format!("{}. {words}", i + 1)).collect()
}
