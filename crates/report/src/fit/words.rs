//! Words of the fit page.

use crate::figures::{degrees, fixed, length, signed};
use saddle::{Doubt, Fit, StringFit, StringWork};
use units::BenchUnit;
use work::{Left, Whole};

/// A lean that differs by less says nothing, radians (0.1 degree): no gauge at the bench shows it.
const LEAN_SHOWN: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// What is left on a string, short enough for a table.
#[must_use]
pub fn left(left: Left, bench: BenchUnit) -> String {
    match left {
        Left::Good => "good".to_owned(),
        Left::Held => "held at the land, leave it".to_owned(),
        Left::Low(by) => format!("low by {} at the saddle, leave it", bench.show(by)),
        Left::File => "file to these figures".to_owned(),
        Left::TooLow(by) => format!("too low by {} at the saddle", bench.show(by)),
        Left::ReadAgain => "reading doubtful".to_owned(),
    }
}

/// Why a reading is doubtful, and what to do.
pub(super) fn doubt(s: &StringFit, bench: BenchUnit) -> Option<String> {
    let StringWork::Doubtful(doubt) = &s.verdict else {
        return None;
    };
    let number = s.number;
    Some(match doubt {
        Doubt::Action { off } => format!(
            "String {number}: the action at 12 was read {} {} than the other strings' seat gives ({}). A saddle has one straight bottom, so one string cannot stand off alone: read the action of string {number} again, at pitch, and see that the string lies on the ridge and in its nut slot.",
            length(bench, off.abs()),
            if *off > 0.0 { "higher" } else { "lower" },
            length(bench, s.action_12),
        ),
        Doubt::Cents(error) => {
            let strings::CalibrationError::Doubtful { read, low, high } = error;
            format!(
                "String {number}: {} cents at fret 12 is more than this string can show where it stands: {} to {} cents. Read it again with a fresh string, tuned open first and pressed lightly; check where the contact is, and that the gauge is the one surveyed.",
                signed(*read, 1),
                signed(*low, 1),
                signed(*high, 1),
            )
        }
        Doubt::OtherFret { fret, read, model } => format!(
            "String {number}: fret {fret} was read {} cents, but with fret 12 as read it should show {}. Read both again; if they stay so, look at the height and the place of fret {fret} and at the nut slot.",
            signed(*read, 1),
            signed(*model, 1),
        ),
    })
}

/// Where the saddle stands.
pub(super) fn seat(fit: &Fit, across: f64, bench: BenchUnit) -> String {
    let at = |mm: f64| {
        if bench.number(mm.abs()) == bench.number(0.0) {
            "just as high as planned".to_owned()
        } else {
            format!(
                "{} {} than planned",
                length(bench, mm.abs()),
                if mm > 0.0 { "higher" } else { "lower" }
            )
        }
    };
    let (bass, treble) = (fit.seat.bass, fit.seat.treble);
    if across == 0.0 {
        return format!("The saddle stands {}.", at(bass));
    }
    let roll = (treble - bass).atan2(across);
    let mut text = format!(
        "Under the bass string the saddle stands {}, under the treble string {}",
        at(bass),
        at(treble)
    );
    text += &if fixed(roll.to_degrees().abs(), 2) == "0.00" {
        "; it is level from end to end.".to_owned()
    } else {
        format!(
            ": a roll of {} degrees, {} end up.",
            fixed(roll.to_degrees().abs(), 2),
            if roll > 0.0 { "treble" } else { "bass" }
        )
    };
    if fit.lean.abs() > LEAN_SHOWN {
        text += &format!(
            " The actions together say that the saddle leans {} more to the {} than was read.",
            degrees(fit.lean.abs()),
            if fit.lean > 0.0 { "front" } else { "back" },
        );
    }
    text
}

/// What to do with the whole saddle.
#[must_use]
pub fn whole(whole: Whole, bench: BenchUnit) -> String {
    match whole {
        Whole::Good => "Nothing: every string is good. File nothing more.".to_owned(),
        Whole::AsNear => "Nothing a file could mend: every string is good, or stands as near as it can. What the plan says about a held string still holds.".to_owned(),
        Whole::File => "File the strings that say so to the figures above, the move first, then the height from the top. String up and measure before the last stroke: what is filed off cannot be put back.".to_owned(),
        Whole::Shim(by) => format!(
            "Too low, and nothing can be put back on the crown. This saddle drops in: lay a shim {} thick under its whole length. All strings come up by that; then lower each by what stands under \"lower, shimmed\".",
            length(bench, by)
        ),
        Whole::NewSaddle(by) => format!(
            "Too low by {} at the saddle, and nothing can be put back: a through saddle cannot be shimmed without standing off its slot's floor. Do not file it further. Make a new saddle to the corrected plan below: it has the seat, the nut and the strings as these readings show them.",
            length(bench, by)
        ),
        Whole::ReadAgain => "File nothing yet. Take the doubtful readings again first, then run this again: a wrong reading would be filed into the saddle for good.".to_owned(),
    }
}

/// The same in short, for a screen that shows the figures beside it.
#[must_use]
pub fn whole_short(whole: Whole, bench: BenchUnit) -> String {
    match whole {
        Whole::Good => "Every string is good. File nothing more.".to_owned(),
        Whole::AsNear => "Every string is good, or stands as near as it can. File nothing more.".to_owned(),
        Whole::File => "File the strings below: the move first, then the height. Measure before the last stroke; what is filed off cannot be put back.".to_owned(),
        Whole::Shim(by) => format!("Too low. This saddle drops in: lay a shim {} thick under its whole length, then string up and read again.", length(bench, by)),
        Whole::NewSaddle(by) => format!("Too low by {} at the saddle, and nothing can be put back. Make a new saddle; the figures behind this hold what these readings taught.", length(bench, by)),
        Whole::ReadAgain => "File nothing yet. Take the doubtful readings again first.".to_owned(),
    }
}
