//! Notes on the blank, its crown, and how it stands in the bridge.

use super::note::{Note, NoteTopic};
use crate::figures::{degrees, length, sentence, strings};
use saddle::{Plan, SaddleSurvey};
use units::BenchUnit;

/// Least material above the crown for a clean cut, mm. Common practice, no source.
const CLEAN_UP: f64 = 0.3;
/// Least average exposure, mm: a magazine column on bridge height, 2013.
const LEAST_EXPOSURE: f64 = 0.8;
/// Most average exposure, mm: the same column.
const MOST_EXPOSURE: f64 = 4.8;
/// Average exposure below which a saddle is called low, mm. Common practice, no source.
const LOW_EXPOSURE: f64 = 1.6;
/// Largest share of a saddle's height that stands out of its slot, no unit. Common practice, no source.
const MOST_OUTSIDE: f64 = 0.5;
/// Places between the outer strings where the crown's height is looked at.
const PLACES: u32 = 200;

/// Highest point of the crown between the outer strings, mm up from the bottom edge.
fn top(plan: &Plan) -> Option<f64> {
    let (first, last) = (plan.strings.first()?.contact.u, plan.strings.last()?.contact.u);
    (0..=PLACES)
        .map(|i| {
            plan.crown
                .silhouette(first + (last - first) * f64::from(i) / f64::from(PLACES))
        })
        .reduce(f64::max)
}

pub(super) fn blank_height(plan: &Plan, bench: BenchUnit) -> Option<Note> {
    let (top, height) = (top(plan)?, plan.blank.height);
    let text = if top > height {
        format!(
            "The blank is too low: the crown stands {} high, the blank {}. Take a blank at least {} high.",
            length(bench, top),
            length(bench, height),
            length(bench, top + CLEAN_UP),
        )
    } else if height - top < CLEAN_UP {
        format!(
            "The blank stands only {} above the crown. Common practice leaves at least {} to clean up.",
            length(bench, height - top),
            length(bench, CLEAN_UP),
        )
    } else {
        return None;
    };
    Some(Note::new(NoteTopic::BlankHeight, text))
}

pub(super) fn exposure(plan: &Plan, bench: BenchUnit) -> Vec<Note> {
    let note = |text| Note::new(NoteTopic::Exposure, text);
    let known: Option<Vec<f64>> = plan.strings.iter().map(|s| s.exposure).collect();
    let Some(known) = known else {
        let text = "The exposure is not known: it needs the depth of the slot at both ends.";
        return vec![note(text.to_owned())];
    };
    let sunk: Vec<u32> = plan
        .strings
        .iter()
        .filter(|s| s.exposure.is_some_and(|e| e <= 0.0))
        .map(|s| s.number)
        .collect();
    if !sunk.is_empty() {
        return vec![note(format!(
            "The contact of {} lies at or below the bridge top. No saddle can carry it there: look at the neck's angle, the bridge and the readings.",
            strings(&sunk)
        ))];
    }
    let count = u32::try_from(known.len()).unwrap_or(u32::MAX);
    let average = known.iter().sum::<f64>() / f64::from(count);
    let limit = |mm| length(bench, mm);
    let shown = limit(average);
    let text = if average < LEAST_EXPOSURE {
        format!(
            "Low saddle: the average exposure is {shown}, less than the {} of a published magazine column (2013). The strings may seat weakly.",
            limit(LEAST_EXPOSURE)
        )
    } else if average > MOST_EXPOSURE {
        format!(
            "High saddle: the average exposure is {shown}, more than the {} of a published magazine column (2013). It loads the front wall of the slot.",
            limit(MOST_EXPOSURE)
        )
    } else if average < LOW_EXPOSURE {
        format!(
            "Rather low saddle: the average exposure is {shown}. Common practice wants at least {}.",
            limit(LOW_EXPOSURE)
        )
    } else {
        return Vec::new();
    };
    vec![note(text)]
}

pub(super) fn slot_depth(plan: &Plan) -> Option<Note> {
    let outside: Vec<u32> = plan
        .strings
        .iter()
        .filter(|s| s.exposure.is_some_and(|e| e > MOST_OUTSIDE * s.contact.v))
        .map(|s| s.number)
        .collect();
    if outside.is_empty() {
        return None;
    }
    let text = format!(
        "Less than half of the saddle's height stands in the slot under {}. Common practice wants at least half, or the saddle tips forward.",
        strings(&outside)
    );
    Some(Note::new(NoteTopic::SlotDepth, text))
}

pub(super) fn falls(plan: &Plan, survey: &SaddleSurvey) -> Option<Note> {
    let mut chosen = Vec::new();
    if survey.crown.front_fall.is_none() {
        chosen.push(format!("a front fall of {}", degrees(plan.crown.front_fall)));
    }
    if survey.crown.back_fall.is_none() {
        chosen.push(format!("a back fall of {}", degrees(plan.crown.back_fall)));
    }
    if chosen.is_empty() {
        return None;
    }
    let text = format!(
        "{}: enough for every string to end on the ridge, with some to spare.",
        sentence(&format!("the plan chose {}", chosen.join(" and ")))
    );
    Some(Note::new(NoteTopic::Crown, text))
}
