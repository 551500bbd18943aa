//! Remarks by the limits of the job.

use assess::{Bound, Facts, Limits, Source};
use fixtures::{Guitar, PARLOUR, exit};
use saddle::{Bearing, Plan, SaddleSurvey, plan};
use strings::Criterion;
use work::{Remark, Severity};

fn parlour() -> (SaddleSurvey, Plan) {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.exit = exit(13.0);
    let plan = plan(&survey).unwrap();
    (survey, plan)
}

/// The remark that `pick` finds, with `set` on the default limits.
fn remarked<T>(set: impl FnOnce(&mut Limits), pick: impl Fn(&Remark) -> Option<T>) -> Option<T> {
    let (survey, plan) = parlour();
    let mut facts = Facts::default();
    set(&mut facts.limits);
    Remark::of(&plan, &survey, &facts).iter().find_map(pick)
}

fn all(plan: &Plan) -> Vec<u32> {
    plan.strings.iter().map(|s| s.number).collect()
}

#[test]
fn by_the_defaults_a_sound_guitar_has_little_to_remark() {
    let (survey, plan) = parlour();
    let remarks = Remark::of(&plan, &survey, &Facts::default());
    let falls = [6f64, 15.0].map(|fall| Some(fall.to_radians()));
    assert_eq!(remarks, [Remark::Held, Remark::FallsChosen(falls)]);
    // And by limits that say the same, but are a job's.
    let mut facts = Facts::default();
    let own = &mut facts.limits;
    for bound in [
        &mut own.least_exposure,
        &mut own.most_exposure,
        &mut own.least_in_slot,
        &mut own.least_first_fret,
        &mut own.least_break_angle,
    ] {
        *bound = bound.value.into();
    }
    assert_eq!(Remark::of(&plan, &survey, &facts), remarks);
}

#[test]
fn the_least_break_angle_is_the_job_s() {
    let (_, plan) = parlour();
    let angles: Vec<f64> = plan
        .strings
        .iter()
        .map(|s| match s.termination.bearing {
            Bearing::Bears { break_angle } => break_angle,
            other => panic!("{other:?}"),
        })
        .collect();
    let least = angles.iter().copied().fold(f64::INFINITY, f64::min);
    let most = angles.iter().copied().fold(0.0, f64::max);
    let low = |limit: f64| {
        let pick = |r: &Remark| match r {
            Remark::BreakLow { strings, limit } => Some((strings.clone(), *limit)),
            _ => None,
        };
        remarked(|l| l.least_break_angle = limit.into(), pick)
    };
    let each = plan.strings.iter().zip(&angles).map(|(s, angle)| (s.number, *angle));
    assert_eq!(
        low(most + 1e-9),
        Some((each.clone().collect(), Bound::from(most + 1e-9)))
    );
    assert_eq!(low(least), None);
    // Between: only those under it.
    let between = 0.5 * (least + most);
    let under: Vec<(u32, f64)> = each.filter(|(_, angle)| *angle < between).collect();
    assert!(!under.is_empty() && under.len() < angles.len());
    assert_eq!(low(between).unwrap().0, under);
}

#[test]
fn the_least_share_in_the_slot_is_the_job_s() {
    let (_, plan) = parlour();
    let little = |limit: f64| {
        let pick = |r: &Remark| match r {
            Remark::LittleInSlot { strings, limit, .. } => Some((strings.clone(), limit.source)),
            _ => None,
        };
        remarked(|l| l.least_in_slot = limit.into(), pick)
    };
    assert_eq!(little(0.99), Some((all(&plan), Source::Job)));
    assert_eq!(little(0.01), None);
}

#[test]
fn the_least_gap_over_fret_1_is_the_job_s() {
    let (_, plan) = parlour();
    let gaps = || plan.strings.iter().map(|s| s.action_1);
    let (least, most) = (gaps().fold(f64::INFINITY, f64::min), gaps().fold(0.0, f64::max));
    let low = |limit: f64| {
        let pick = |r: &Remark| match r {
            Remark::FirstFretLow { strings, least, limit } => Some((strings.clone(), *least, *limit)),
            _ => None,
        };
        remarked(|l| l.least_first_fret = limit.into(), pick)
    };
    assert_eq!(low(most + 0.01), Some((all(&plan), least, Bound::from(most + 0.01))));
    assert_eq!(low(least), None);
}

/// A job's least exposure counts alone: under the published least the default is remarked by that, the job's by its own.
#[test]
fn the_limits_of_exposure_are_the_job_s() {
    let (_, plan) = parlour();
    let mean = plan.strings.iter().map(|s| s.exposure.unwrap()).sum::<f64>() / plan.strings.len() as f64;
    let told = |set: fn(&mut Limits, f64), limit: f64| {
        let pick = |r: &Remark| match r {
            Remark::ExposureLow { limit, .. } => Some(("low", *limit)),
            Remark::ExposureHigh { limit, .. } => Some(("high", *limit)),
            _ => None,
        };
        remarked(|l| set(l, limit), pick)
    };
    let least: fn(&mut Limits, f64) = |l, limit| l.least_exposure = limit.into();
    let most: fn(&mut Limits, f64) = |l, limit| l.most_exposure = limit.into();
    assert_eq!(told(least, mean + 0.1), Some(("low", Bound::from(mean + 0.1))));
    assert_eq!(told(least, mean - 0.1), None);
    assert_eq!(told(most, mean - 0.1), Some(("high", Bound::from(mean - 0.1))));
    assert_eq!(told(most, mean + 0.1), None);
    // Two strings over a bridge top that lies so high that both strings have little over it, and neither is sunk.
    let two = Guitar { strings: 2, ..PARLOUR };
    let mut survey = two.survey(Criterion::Octave);
    let high = saddle::plan(&survey).unwrap();
    if let instrument::SlotSurvey::Straightedge(ends) = &mut survey.slot {
        for (end, s) in ends.iter_mut().zip(&high.strings) {
            end.bridge_top += s.exposure.unwrap() - 0.5;
        }
    }
    let sunk = saddle::plan(&survey).unwrap();
    let limit = |facts: &Facts| {
        Remark::of(&sunk, &survey, facts).iter().find_map(|r| match r {
            Remark::ExposureLow { limit, .. } => Some(*limit),
            _ => None,
        })
    };
    assert_eq!(limit(&Facts::default()), Some(assess::LOWEST_EXPOSURE));
    let own = |mm: f64| Facts {
        limits: Limits {
            least_exposure: mm.into(),
            ..Limits::default()
        },
        ..Facts::default()
    };
    assert_eq!((limit(&own(1.2)), limit(&own(0.2))), (Some(1.2.into()), None));
}

#[test]
fn what_stops_the_work_is_told_from_what_is_good_to_know() {
    let far = |far: Vec<u32>| Remark::Calibrated {
        strings: vec![(2, 1.1)],
        far,
    };
    assert_eq!(far(vec![]).severity(), Severity::Tell);
    assert_eq!(far(vec![2]).severity(), Severity::Mind);
    assert_eq!(Remark::OnFirstFret(vec![1]).severity(), Severity::Stop);
}

/// From the job's text to the remarks of its plan.
#[test]
fn what_a_job_writes_under_assess_reaches_its_plan() {
    let text = include_str!("../../../../examples/parlour-both.toml");
    let profiles = job::Profiles::built_in();
    let remarks = |own: &str| {
        let job = job::read(&format!("{text}\n[assess]\n{own}\n"), &profiles).unwrap().job;
        let done = work::planned(job);
        done.saddle().unwrap().remarks()
    };
    let usual = remarks("");
    for (own, bound) in [
        ("least_break_angle = \"44 deg\"", 44f64.to_radians()),
        ("least_in_slot = 0.98", 0.98),
        ("least_first_fret = \"0.6 mm\"", 0.6),
        ("least_exposure = \"4.7 mm\"", 4.7),
        ("most_exposure = \"1.7 mm\"", 1.7),
    ] {
        let found = remarks(own);
        let new = |r: &&Remark| !usual.contains(r) && !matches!(r, Remark::NotYet(_));
        let new: Vec<&Remark> = found.iter().filter(new).collect();
        let limit = match new[..] {
            [Remark::BreakLow { limit, .. }]
            | [Remark::LittleInSlot { limit, .. }]
            | [Remark::FirstFretLow { limit, .. }]
            | [Remark::ExposureLow { limit, .. } | Remark::ExposureHigh { limit, .. }] => limit,
            _ => panic!("{own}: {new:?}"),
        };
        assert_eq!(limit.source, Source::Job, "{own}");
        assert!((limit.value - bound).abs() < 1e-9, "{own}: {limit:?}");
    }
}
