//! The fork of an assessment.

use assess::{Assessment, Facts, Finding, Topic, Verdict, assess};
use fixtures::{PARLOUR, exit};
use strings::Criterion;
use work::{Beside, Fork, ForkEnd};

/// An assessment of a sound guitar with every finding in order but these.
fn with(found: &[(Topic, Verdict)]) -> Assessment {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.exit = exit(13.0);
    let plan = saddle::plan(&survey).unwrap();
    let mut all = assess(&survey, &plan, &Facts::default());
    let one = all.findings[0].clone();
    all.findings = found
        .iter()
        .map(|&(topic, verdict)| Finding {
            topic,
            verdict,
            ..one.clone()
        })
        .collect();
    all
}

#[test]
fn what_weighs_most_decides_the_end() {
    use Topic::{BreakAngle, Bridge, Fit, Neck, Saddle, Slot};
    use Verdict::{Act, Sound, Unknown, Watch};
    for (found, end) in [
        (&[][..], ForkEnd::Clear),
        (&[(Saddle, Sound), (BreakAngle, Unknown)], ForkEnd::Clear),
        (&[(BreakAngle, Watch)], ForkEnd::Watch),
        (&[(Bridge, Watch)], ForkEnd::Watch),
        (&[(BreakAngle, Watch), (Fit, Act)], ForkEnd::Once),
        (&[(Fit, Act), (Slot, Watch)], ForkEnd::Once),
        (&[(Fit, Act), (Slot, Act)], ForkEnd::NotInTune),
        (&[(Slot, Act), (Bridge, Act)], ForkEnd::TooTall),
        (&[(Slot, Act), (Bridge, Act), (Neck, Act)], ForkEnd::NeckDue),
    ] {
        let once = if end == ForkEnd::Once { vec![Fit] } else { vec![] };
        let first = vec![];
        assert_eq!(
            Fork::of(&with(found), &[], Beside::Nothing),
            Fork {
                first,
                once,
                end,
                beside: Beside::Nothing
            },
            "{found:?}"
        );
    }
    // Without the depth of the slot only neck and bridge could be told, and they were not.
    let blind = |found| Assessment {
        exposure: None,
        ..with(found)
    };
    assert_eq!(
        Fork::of(&blind(&[(Slot, Act)]), &[], Beside::Nothing).end,
        ForkEnd::NotKnown
    );
    assert_eq!(
        Fork::of(&blind(&[(Neck, Act)]), &[], Beside::Nothing).end,
        ForkEnd::NeckDue
    );
}

#[test]
fn what_comes_first_is_in_the_order_of_the_work() {
    use Topic::{Fit, Humidity, Nut, Relief};
    use Verdict::{Act, Unknown, Watch};
    let first = |found| Fork::of(&with(found), &[], Beside::Nothing).first;
    assert_eq!(
        first(&[(Nut, Act), (Fit, Act), (Humidity, Act), (Relief, Act)]),
        [Humidity, Relief, Nut]
    );
    assert_eq!(first(&[(Nut, Watch), (Humidity, Unknown), (Relief, Act)]), [Relief]);
}
