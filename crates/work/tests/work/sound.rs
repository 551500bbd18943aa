//! Over random surveys: what may be made is possible, and what is sound is left alone.

use assess::{Facts, Remedy, Topic, Verdict};
use fixtures::guitars;
use instrument::StringRun;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use std::collections::BTreeMap;
use strings::Criterion;
use work::{Beside, Fork, ForkEnd, Remark};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// What nothing stops has its contacts in the blank and over the bridge, and no string on a fret.
    #[test]
    fn what_may_be_made_is_possible(guitar in guitars(), low in 7.0..14.0f64, under in 0.0..6.0f64) {
        let mut survey = guitar.survey(Criterion::Octave);
        survey.blank.height = low;
        survey.under = under;
        let Ok(plan) = saddle::plan(&survey) else { return Ok(()) };
        let stops = Remark::of(&plan, &survey, &Facts::default()).iter().any(Remark::stops);
        let (first, last) = plan.ends;
        let board = &survey.board;
        let possible = plan.strings.iter().all(|s| {
            let on_frets = (1..=board.joint_fret()).any(|fret| {
                let crown = board.crown_under(fret, &s.run);
                s.line.z(board.fret_x(fret, &StringRun::CENTRE)) <= crown
            });
            let in_blank = s.contact.v > 0.0
                && s.contact.v <= plan.blank.height
                && (0.0..=plan.blank.thickness).contains(&s.contact.b)
                && (first..=last).contains(&s.contact.u);
            let in_slot = s.exposure.is_none_or(|e| e > 0.0 && e < s.contact.v);
            in_blank && in_slot && !on_frets
        });
        prop_assert!(stops || possible, "{plan:?}");
    }
}

/// A survey like the sound example, each reading somewhere in the range that the trade calls good.
fn sound() -> impl Strategy<Value = String> {
    let text = include_str!("../../../../examples/sound.toml");
    (
        (0.08..0.33f64, 250.0..500.0f64, 0.3..0.6f64, 0.22..0.35f64),
        (2.3..2.7f64, 1.7..2.1f64, -0.1..0.6f64, 5.2..6.0f64),
        (-1.0..4.0f64, 41.0..54.0f64, 12.0..14.5f64, 4.74..4.82f64),
    )
        .prop_map(
            move |(
                (relief, radius, bass_gap, treble_gap),
                (bass, treble, top, depth),
                (lean, humid, behind, thick),
            )| {
                [
                    ("relief = 0.2", format!("relief = {relief:.3}")),
                    ("board_radius = 406", format!("board_radius = {radius:.1}")),
                    (
                        "bass = 0.5, treble = 0.35",
                        format!("bass = {bass_gap:.3}, treble = {treble_gap:.3}"),
                    ),
                    (
                        "bass = 2.4, treble = 1.8",
                        format!("bass = {bass:.3}, treble = {treble:.3}"),
                    ),
                    (
                        "bass = 0.3, treble = 0.3",
                        format!("bass = {top:.3}, treble = {top:.3}"),
                    ),
                    (
                        "bass = 5.5, treble = 5.5",
                        format!("bass = {depth:.3}, treble = {depth:.3}"),
                    ),
                    ("lean = \"0 deg\"", format!("lean = \"{lean:.2} deg\"")),
                    ("humidity = 47", format!("humidity = {humid:.1}")),
                    (
                        "bass = 13.5, treble = 15",
                        format!("bass = {behind:.2}, treble = {:.2}", behind + 1.0),
                    ),
                    ("thickness = 4.8", format!("thickness = {thick:.3}")),
                ]
                .iter()
                .fold(text.to_owned(), |text, (old, new)| {
                    assert!(text.contains(old), "{old}");
                    text.replacen(old, new, 1)
                })
            },
        )
}

/// What is called in order lies within the limit that stands beside it, and the table of other actions says of the wanted one what the
/// fork says.
#[test]
fn findings_fork_and_table_agree() {
    let mut runner = TestRunner::deterministic();
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for _ in 0..600 {
        let guitar = guitars().new_tree(&mut runner).unwrap().current();
        let survey = guitar.survey(Criterion::Octave);
        let Ok(plan) = saddle::plan(&survey) else { continue };
        let found = assess::assess(&survey, &plan, &Facts::default());
        for f in found.findings.iter().filter(|f| f.verdict == Verdict::Sound) {
            assert!(!f.is_low() && !f.is_high(), "{f:?}");
        }
        let Some(what_if) = &found.what_if else { continue };
        let Some(as_wanted) = what_if.actions.iter().find(|s| s.change.abs() < 1e-9) else {
            continue;
        };
        let end = Fork::of(&found, &[], Beside::Nothing).end;
        let (name, agrees) = match as_wanted.remedy {
            Remedy::Neck => ("neck", end == ForkEnd::NeckDue),
            Remedy::Bridge => ("bridge", end == ForkEnd::TooTall),
            Remedy::Saddle => ("saddle", !matches!(end, ForkEnd::NeckDue | ForkEnd::TooTall)),
        };
        assert!(agrees, "{as_wanted:?} {end:?}");
        *seen.entry(name).or_default() += 1;
        let tall = found
            .findings
            .iter()
            .any(|f| f.topic == Topic::Bridge && f.verdict == Verdict::Watch);
        *seen.entry("tall").or_default() += usize::from(tall);
    }
    assert!(
        ["neck", "bridge", "saddle", "tall"]
            .iter()
            .all(|name| seen.get(name).is_some_and(|n| *n > 3)),
        "{seen:?}"
    );
}

/// A finding that stands on nearly every job is a fault.
#[test]
fn sound_surveys_are_left_alone() {
    const COUNT: usize = 300;
    let mut runner = TestRunner::deterministic();
    let (mut open, mut noes): (BTreeMap<Topic, usize>, usize) = (BTreeMap::new(), 0);
    let profiles = job::Profiles::built_in();
    for _ in 0..COUNT {
        let text = sound().new_tree(&mut runner).unwrap().current();
        let done = work::planned(job::read(&text, &profiles).unwrap().job);
        let saddle = done.saddle().unwrap();
        let found = saddle.assess();
        assert!(saddle.stops().is_empty(), "{:?}\n{text}", saddle.stops());
        for finding in found.findings.iter().filter(|f| f.verdict != Verdict::Sound) {
            *open.entry(finding.topic).or_default() += 1;
        }
        let end = Fork::of(&found, &saddle.stops(), Beside::Nothing).end;
        noes += usize::from(!matches!(
            end,
            ForkEnd::Clear | ForkEnd::Watch | ForkEnd::Once | ForkEnd::NotInTune
        ));
    }
    assert!(open.values().all(|count| 3 * count <= COUNT), "{open:?}");
    assert_eq!(noes, 0);
}
