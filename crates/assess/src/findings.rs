//! The fork: which of relief, nut, saddle, slot, neck and bridge is the remedy, and in which order.

use crate::exposure::depths;
use crate::{
    Accept, Assessment, Bound, Facts, Finding, LEAST_AT_RIDGE, LEAST_CLEARANCE, Path, Quantity, Source, Topic, Touch,
    Undo, Verdict,
};
use saddle::{Hold, Plan, SaddleSurvey};
use strings::Stiffness;

/// Limits of one figure.
#[derive(Default)]
struct Range {
    least: Option<Bound>,
    most: Option<Bound>,
}

fn least(bound: Bound) -> Range {
    Range {
        least: Some(bound),
        most: None,
    }
}

fn most(bound: Bound) -> Range {
    Range {
        least: None,
        most: Some(bound),
    }
}

fn both(least: Bound, most: Bound) -> Range {
    Range {
        least: Some(least),
        most: Some(most),
    }
}

/// A figure judged: outside its range it comes to `outside`, and its remedy is `undo`.
fn judged(topic: Topic, value: f64, quantity: Quantity, range: Range, outside: Verdict, undo: Undo) -> Finding {
    let mut finding = Finding {
        topic,
        verdict: Verdict::Sound,
        strings: Vec::new(),
        value: Some(value),
        quantity,
        least: range.least,
        most: range.most,
        undo: Undo::NothingToDo,
    };
    if finding.is_low() || finding.is_high() || !value.is_finite() {
        finding.verdict = outside;
        // What is only watched asks for no step.
        if outside == Verdict::Act {
            finding.undo = undo;
        }
    }
    finding
}

fn unknown(topic: Topic, quantity: Quantity, range: Range) -> Finding {
    Finding {
        topic,
        verdict: Verdict::Unknown,
        strings: Vec::new(),
        value: None,
        quantity,
        least: range.least,
        most: range.most,
        undo: Undo::NothingToDo,
    }
}

/// The string whose figure lies furthest outside, with every string outside.
fn of_strings(
    figures: impl Iterator<Item = (u32, f64)>,
    worst: impl Fn(f64, f64) -> bool,
    judge: impl Fn(f64) -> Finding,
) -> Option<Finding> {
    let figures: Vec<(u32, f64)> = figures.collect();
    let first = figures.first()?.1;
    let value = figures.iter().fold(first, |a, &(_, b)| if worst(b, a) { b } else { a });
    let mut finding = judge(value);
    if finding.verdict != Verdict::Sound {
        let outside = figures
            .iter()
            .filter(|&&(_, value)| judge(value).verdict != Verdict::Sound);
        finding.strings = outside.map(|&(number, _)| number).collect();
    }
    Some(finding)
}

/// Findings, what to do first first: what is unsafe and not accepted, those that ask for work in the order of [`Topic`], then those to watch, what is not known,
/// and what is in order.
#[must_use]
pub fn findings(survey: &SaddleSurvey, plan: &Plan, facts: &Facts, found: &Assessment) -> Vec<Finding> {
    let mut list = Vec::new();
    list.push(relief(survey, facts));
    list.extend(nut(plan, facts));
    list.extend(saddle(facts, found));
    list.extend(fit(facts, found));
    let neck_due = list.iter().any(|f| f.topic == Topic::Neck && f.verdict == Verdict::Act);
    list.extend(bends(survey, facts, found, neck_due));
    list.extend(slot(plan, facts, found));
    list.extend(bridge(survey, facts, found));
    let cannot_be_undone = list
        .iter()
        .any(|f| f.verdict == Verdict::Act && f.undo == Undo::Irreversible);
    list.extend(humidity(facts, cannot_be_undone));
    // What may split the bridge comes before all.
    let is_unsafe = |f: &Finding| f.verdict == Verdict::Act && matches!(f.topic, Topic::Load | Topic::InSlot);
    // What is not known and decides what comes after it, before that.
    let decides = |f: &Finding| f.topic == Topic::Humidity && f.verdict == Verdict::Unknown;
    list.sort_by_key(|f| (!is_unsafe(f), !decides(f), f.verdict, f.topic));
    list
}

fn relief(survey: &SaddleSurvey, facts: &Facts) -> Finding {
    let limits = &facts.limits;
    let range = both(limits.least_relief, limits.most_relief);
    judged(
        Topic::Relief,
        survey.board.relief(),
        Quantity::Length,
        range,
        Verdict::Act,
        Undo::Reversible,
    )
}

fn humidity(facts: &Facts, cannot_be_undone: bool) -> Option<Finding> {
    let range = || both(facts.limits.least_humidity, facts.limits.most_humidity);
    match facts.humidity {
        Some(share) => Some(judged(
            Topic::Humidity,
            share,
            Quantity::Share,
            range(),
            Verdict::Act,
            Undo::Reversible,
        )),
        None if cannot_be_undone => Some(unknown(Topic::Humidity, Quantity::Share, range())),
        None => None,
    }
}

/// Stretch stiffness E A / T under which strings count as nylon or gut, no unit: nylon has about 50, steel 100 and more.
const SOFT: f64 = 80.0;

/// Whether the treble-most string, which is plain, is of nylon or gut.
fn is_nylon(plan: &Plan) -> bool {
    let Some(s) = plan.strings.last() else { return false };
    let kappa = match s.string.model.stiffness {
        Stiffness::Elastic { axial, .. } => axial / s.tension,
        Stiffness::Measured { kappa, .. } => kappa,
    };
    kappa < SOFT
}

fn nut(plan: &Plan, facts: &Facts) -> Option<Finding> {
    let limits = &facts.limits;
    let most = if is_nylon(plan) && limits.most_first_fret.source != Source::Job {
        limits.most_first_fret_nylon
    } else {
        limits.most_first_fret
    };
    let outside = |gap: f64| (limits.least_first_fret.value - gap).max(gap - most.value);
    let judge = |gap: f64| {
        let low = gap < limits.least_first_fret.value;
        let undo = if low { Undo::Reversible } else { Undo::Irreversible };
        let range = both(limits.least_first_fret, most);
        let topic = if plan.zero_fret { Topic::ZeroFret } else { Topic::Nut };
        judged(topic, gap, Quantity::Length, range, Verdict::Act, undo)
    };
    of_strings(
        plan.strings.iter().map(|s| (s.number, s.action_1)),
        |a, b| outside(a) > outside(b),
        judge,
    )
}

/// Exposure, told three times: as the saddle's own, as the neck's if it is too low, as the bridge's if it is too high.
fn saddle(facts: &Facts, found: &Assessment) -> Vec<Finding> {
    let limits = &facts.limits;
    let tall = limits.too_tall();
    let Some(exposure) = &found.exposure else {
        let range = both(limits.least_exposure, limits.most_exposure);
        return vec![unknown(Topic::Saddle, Quantity::Length, range)];
    };
    let own = |s: &crate::StringExposure| (s.number, s.exposure);
    let lowest = of_strings(
        exposure.strings.iter().map(own),
        |a, b| a < b,
        |e| {
            let range = least(limits.least_exposure);
            judged(
                Topic::Neck,
                e,
                Quantity::Length,
                range,
                Verdict::Act,
                Undo::Irreversible,
            )
        },
    );
    let far = exposure.mean > tall.value;
    let mean = judged(
        Topic::Bridge,
        exposure.mean,
        Quantity::Length,
        most(limits.most_exposure),
        if far { Verdict::Act } else { Verdict::Watch },
        if far { Undo::Irreversible } else { Undo::Reversible },
    );
    let neck_due = lowest.as_ref().is_some_and(|f| f.verdict == Verdict::Act);
    let mut list = Vec::new();
    if !neck_due && mean.verdict != Verdict::Act {
        // A saddle is a part: the old one is kept and can be put back.
        let saddle = judged(
            Topic::Saddle,
            exposure.mean,
            Quantity::Length,
            // A tall one is in order up to where it is no remedy; that it is tall is told beside it.
            both(
                limits.least_exposure,
                if mean.verdict == Verdict::Watch {
                    tall
                } else {
                    limits.most_exposure
                },
            ),
            Verdict::Sound,
            Undo::Reversible,
        );
        list.push(Finding {
            undo: Undo::Reversible,
            ..saddle
        });
    }
    list.extend(lowest);
    list.extend((mean.verdict != Verdict::Sound).then_some(mean));
    let in_slot = of_strings(
        exposure.strings.iter().map(|s| (s.number, s.in_slot)),
        |a, b| a < b,
        |share| {
            let lowest = limits.unsafe_in_slot();
            let is_unsafe = share < lowest.value && !facts.accept.contains(&Accept::InSlot);
            let (bound, outside) = if is_unsafe {
                (lowest, Verdict::Act)
            } else {
                (limits.least_in_slot, Verdict::Watch)
            };
            judged(
                Topic::InSlot,
                share,
                Quantity::Share,
                least(bound),
                outside,
                Undo::Irreversible,
            )
        },
    );
    list.extend(in_slot);
    list
}

fn fit(facts: &Facts, found: &Assessment) -> Option<Finding> {
    let clearance = found.clearance.as_ref()?;
    // The limit below is shown only to a blank that breaks it.
    let range = if clearance.clearance < LEAST_CLEARANCE.value {
        least(LEAST_CLEARANCE)
    } else {
        most(facts.limits.most_clearance)
    };
    Some(judged(
        Topic::Fit,
        clearance.clearance,
        Quantity::Length,
        range,
        Verdict::Act,
        Undo::Reversible,
    ))
}

/// A string lower than this over the slot's back edge counts as touching, mm.
const TOUCHES: f64 = 0.0;

fn bends(survey: &SaddleSurvey, facts: &Facts, found: &Assessment, neck_due: bool) -> Vec<Finding> {
    let limits = &facts.limits;
    let range = || both(limits.least_break_angle, limits.most_break_angle);
    let Some(paths) = &found.paths else {
        return vec![unknown(Topic::BreakAngle, Quantity::Angle, range())];
    };
    let outside = |a: f64| (limits.least_break_angle.value - a).max(a - limits.most_break_angle.value);
    let judge = |angle: f64| {
        // A saddle with little exposure bends its strings little: the neck mends both.
        let outside = if angle < limits.least_break_angle.value && !neck_due {
            Verdict::Act
        } else {
            Verdict::Watch
        };
        judged(
            Topic::BreakAngle,
            angle,
            Quantity::Angle,
            range(),
            outside,
            Undo::Irreversible,
        )
    };
    let mut list: Vec<Finding> = of_strings(
        paths.iter().map(|p| (p.number, p.total)),
        |a, b| outside(a) > outside(b),
        judge,
    )
    .into_iter()
    .collect();
    list.extend(back_fall(survey, paths));
    list
}

/// A string that lies on the back fall is bent over the blank's back edge too. That matters where little is left for the ridge, and
/// where the job gave the fall; a fall that the plan chose is no fault of its own.
fn back_fall(survey: &SaddleSurvey, paths: &[Path]) -> Option<Finding> {
    let given = survey.crown.back_fall.is_some();
    let lies = |p: &&Path| given && p.at_back_edge > 0.0;
    let touches = |p: &Path| p.touch == Touch::SlotEdge && p.over_slot_edge.is_some_and(|over| over < TOUCHES);
    let range = || least(LEAST_AT_RIDGE);
    let judge = |angle: f64| {
        judged(
            Topic::BackFall,
            angle,
            Quantity::Angle,
            range(),
            Verdict::Watch,
            Undo::NothingToDo,
        )
    };
    let mut finding = of_strings(
        paths.iter().filter(lies).map(|p| (p.number, p.at_ridge)),
        |a, b| a < b,
        judge,
    )
    .or_else(|| {
        let least = paths.iter().map(|p| p.at_ridge).reduce(f64::min)?;
        let range = Range::default();
        Some(judged(
            Topic::BackFall,
            least,
            Quantity::Angle,
            range,
            Verdict::Watch,
            Undo::NothingToDo,
        ))
    })?;
    let edge: Vec<u32> = paths.iter().filter(|p| touches(p)).map(|p| p.number).collect();
    if !edge.is_empty() {
        finding.verdict = Verdict::Watch;
        finding.strings.extend(edge);
        finding.strings.dedup();
    }
    Some(finding)
}

fn slot(plan: &Plan, facts: &Facts, found: &Assessment) -> Option<Finding> {
    let slot = found.slot.as_ref()?;
    let held = |number: u32| plan.strings.iter().any(|s| s.number == number && s.hold != Hold::Free);
    let most = most(facts.limits.most_cents);
    let mut finding = judged(
        Topic::Slot,
        slot.worst_now,
        Quantity::Cents,
        most,
        Verdict::Act,
        Undo::Irreversible,
    );
    finding.strings = slot.strings.iter().map(|s| s.number).filter(|n| held(*n)).collect();
    Some(finding)
}

fn bridge(survey: &SaddleSurvey, facts: &Facts, found: &Assessment) -> Vec<Finding> {
    let limits = &facts.limits;
    let pair = |topic, values: Option<[f64; 2]>, bound| match values {
        Some([bass, treble]) => judged(
            topic,
            bass.min(treble),
            Quantity::Length,
            least(bound),
            Verdict::Watch,
            Undo::Irreversible,
        ),
        None => unknown(topic, Quantity::Length, least(bound)),
    };
    let mut list = Vec::new();
    let depths = depths(survey);
    let under = found.exposure.as_ref().and_then(|e| e.wood_under);
    list.extend(depths.map(|_| pair(Topic::WoodUnder, under, limits.least_wood_under)));
    list.push(pair(Topic::FrontWall, facts.front_wall, limits.least_front_wall));
    let places = found.slot.as_ref().and_then(|s| s.places);
    if let Some([bass, treble]) = places
        && let (Some(bass), Some(treble)) = (bass.to_hole, treble.to_hole)
    {
        list.push(pair(Topic::ToHoles, Some([bass, treble]), limits.least_to_holes));
    }
    match found.load.as_ref().map(|load| load.share) {
        Some(Some(share)) => {
            let highest = limits.unsafe_pressure();
            let is_unsafe = share > highest.value && !facts.accept.contains(&Accept::FrontWall);
            let (bound, outside) = if is_unsafe {
                (highest, Verdict::Act)
            } else {
                (limits.most_pressure, Verdict::Watch)
            };
            list.push(judged(
                Topic::Load,
                share,
                Quantity::Share,
                most(bound),
                outside,
                Undo::Irreversible,
            ));
        }
        Some(None) => list.push(unknown(Topic::Load, Quantity::Share, most(limits.most_pressure))),
        None => {}
    }
    list
}
