//! What if: the target action or the exposure as a range, and where each remedy starts and ends.

use crate::Facts;
use crate::exposure::mean;
use crate::neck::{angle_for, mean_exposure, pivot};
use numerics::math;
use saddle::{Plan, SaddleSurvey};
use serde::Serialize;

/// Ranges of action and of exposure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhatIf {
    /// The target action of every string raised or lowered alike, in order; the saddle alone brings it.
    pub actions: Vec<ActionSample>,
    /// Change of action under which the exposure is too low for the saddle alone, mm; `None` if that lies outside the range.
    pub saddle_from: Option<f64>,
    /// Change of action over which the exposure is too high, mm; `None` if that lies outside the range.
    pub saddle_to: Option<f64>,
    /// Change of action under which even a bridge planed to the least thickness leaves too little exposure, mm; `None` if the
    /// bridge's thickness is not known or that lies outside the range.
    pub planed_from: Option<f64>,
    /// The exposure as a range at the target action: the neck's angle brings it.
    pub exposures: Vec<ExposureSample>,
}

/// What brings a target action.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Remedy {
    /// The exposure is too low: the neck is set, and a saddle made after it.
    Neck,
    /// A saddle alone.
    Saddle,
    /// The exposure is too high: a taller bridge, or the neck comes forward.
    Bridge,
}

/// The exposure that goes with an action.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ActionSample {
    /// Change of the target action, mm.
    pub change: f64,
    /// Mean action at fret 12 of the outer strings, mm.
    pub action: f64,
    /// Mean exposure, mm.
    pub mean: f64,
    /// Least exposure of any string, mm.
    pub least: f64,
    /// What brings it.
    pub remedy: Remedy,
}

/// The neck set that goes with an exposure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ExposureSample {
    /// Mean exposure, mm.
    pub exposure: f64,
    /// Change of the neck's angle, radians, back positive.
    pub angle: f64,
    /// Wood off the heel at its lowest point, mm, if its height is known.
    pub heel: Option<f64>,
}

/// Largest change of action that is tried, mm, each way.
const REACH: f64 = 1.2;
/// Samples each way.
const STEPS: i32 = 12;
/// No target goes under this action, mm.
const LEAST_ACTION: f64 = 0.3;
/// Samples of the exposure between its limits, ends included.
const EXPOSURES: u32 = 5;

/// Ranges of action and exposure. `None` if the depth of the slot is not known.
#[must_use]
pub fn what_if(survey: &SaddleSurvey, plan: &Plan, facts: &Facts) -> Option<WhatIf> {
    mean_exposure(plan)?;
    let samples = (-STEPS..=STEPS).map(|i| REACH * f64::from(i) / f64::from(STEPS));
    let actions: Vec<ActionSample> = samples
        .filter_map(|change| action_sample(survey, facts, change))
        .collect();
    let limits = &facts.limits;
    let (least, most) = (limits.least_exposure.value, limits.most_exposure.value);
    let lowest = |s: &ActionSample| s.least;
    let planed = facts
        .bridge_thickness
        .map(|[bass, treble]| bass.min(treble) - limits.least_bridge.value)
        .filter(|spare| *spare > 0.0);
    let pivot = pivot(survey, facts);
    let exposures = (0..EXPOSURES).filter_map(|i| {
        let exposure = least + (most - least) * f64::from(i) / f64::from(EXPOSURES - 1);
        let angle = angle_for(survey, plan, pivot, exposure)?;
        Some(ExposureSample {
            exposure,
            angle,
            heel: facts.heel_height.map(|height| height * math::tan(angle)),
        })
    });
    Some(WhatIf {
        saddle_from: crossing(&actions, lowest, least),
        saddle_to: crossing(&actions, |s| s.mean, limits.too_tall().value),
        planed_from: planed.and_then(|spare| crossing(&actions, lowest, least - spare)),
        exposures: exposures.collect(),
        actions,
    })
}

fn action_sample(survey: &SaddleSurvey, facts: &Facts, change: f64) -> Option<ActionSample> {
    let mut other = survey.clone();
    for string in &mut other.strings {
        // All actions change alike with the saddle, so a wish at another fret goes with what it makes of fret 12.
        string.target_action = string.action_12(&survey.board) + change;
        string.action_at = None;
        if string.target_action < LEAST_ACTION {
            return None;
        }
    }
    let plan = saddle::plan(&other).ok()?;
    let known: Vec<f64> = plan.strings.iter().filter_map(|s| s.exposure).collect();
    let outer = [plan.strings.first()?.action_12, plan.strings.last()?.action_12];
    let (average, least) = (mean_exposure(&plan)?, known.into_iter().reduce(f64::min)?);
    Some(ActionSample {
        change,
        action: mean(outer.into_iter()),
        mean: average,
        least,
        remedy: if least < facts.limits.least_exposure.value {
            Remedy::Neck
        } else if average > facts.limits.too_tall().value {
            Remedy::Bridge
        } else {
            Remedy::Saddle
        },
    })
}

/// Change of action at which `value` reaches `level`, by the straight line between samples.
fn crossing(samples: &[ActionSample], value: impl Fn(&ActionSample) -> f64, level: f64) -> Option<f64> {
    samples.windows(2).find_map(|pair| {
        let [a, b] = pair else { return None };
        let (from, to) = (value(a), value(b));
        (from < level && level <= to).then(|| a.change + (b.change - a.change) * (level - from) / (to - from))
    })
}
