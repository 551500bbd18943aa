//! Notes on where the taut string ends and how it bends over the saddle.

use super::note::{Note, NoteTopic};
use crate::figures::{fixed, length, list, sentence, strings};
use saddle::{Bearing, Plan};
use units::BenchUnit;

/// Least break angle, radians (12 degrees). Common practice, no source; no measured minimum is known.
const LEAST_BREAK_ANGLE: f64 = 12.0 * std::f64::consts::PI / 180.0;
/// A string that ends further than this from its planned contact is told of, mm.
const OFF_PLAN: f64 = 0.001;

pub(super) fn ends(plan: &Plan, bench: BenchUnit) -> Vec<Note> {
    let mut notes = Vec::new();
    let lifted: Vec<u32> = plan
        .strings
        .iter()
        .filter(|s| s.termination.bearing == Bearing::Lifted)
        .map(|s| s.number)
        .collect();
    if !lifted.is_empty() {
        let one = lifted.len() == 1;
        notes.push(Note::new(
            NoteTopic::StringEnd,
            format!(
                "{} {} not press on the saddle: {} straight from the nut to where the bridge holds {}. Ramp the holes, or look at the bridge readings again.",
                sentence(&strings(&lifted)),
                if one { "does" } else { "do" },
                if one { "it runs" } else { "they run" },
                if one { "it" } else { "them" },
            ),
        ));
    }
    let off: Vec<String> = plan
        .strings
        .iter()
        .filter(|s| s.termination.from_planned > OFF_PLAN)
        .map(|s| format!("string {} {}", s.number, length(bench, s.termination.from_planned)))
        .collect();
    if !off.is_empty() {
        notes.push(Note::new(
            NoteTopic::StringEnd,
            format!(
                "Pulled taut over the crown, these end away from their planned contacts: {}. Give the crown more fall or a smaller rounding.",
                list(&off)
            ),
        ));
    }
    notes
}

pub(super) fn break_angles(plan: &Plan) -> Option<Note> {
    let unknown = |s: &saddle::StringPlan| s.termination.bearing == Bearing::ExitUnknown;
    if plan.strings.iter().all(unknown) {
        let text = "The break angles are not known: they need the [bridge] readings and the depth of the slot.";
        return Some(Note::new(NoteTopic::BreakAngle, text.to_owned()));
    }
    let low: Vec<String> = plan
        .strings
        .iter()
        .filter_map(|s| match s.termination.bearing {
            Bearing::Bears { break_angle } if break_angle < LEAST_BREAK_ANGLE => {
                Some(format!("string {} {}", s.number, fixed(break_angle.to_degrees(), 1)))
            }
            _ => None,
        })
        .collect();
    if low.is_empty() {
        return None;
    }
    let text = format!(
        "Small break angle, in degrees: {}. Common practice wants at least 12 degrees; less may leave the strings loose on the saddle.",
        list(&low)
    );
    Some(Note::new(NoteTopic::BreakAngle, text))
}
