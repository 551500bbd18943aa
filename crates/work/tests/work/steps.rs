//! The steps and what they are ticked off by.

use instrument::StrungString;
use job::{Profiles, StrungReadings, read};
use std::collections::HashSet;
use std::sync::LazyLock;
use work::{Ending, Planned, Stage, Step, planned, steps};

static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

const PARLOUR: &str = include_str!("../../../../examples/parlour.toml");
const BOTH: &str = include_str!("../../../../examples/parlour-both.toml");
const NUT: &str = include_str!("../../../../examples/nut-only.toml");
const DROP_IN: &str = include_str!("../../../../examples/nylon-drop-in.toml");

fn done(text: &str) -> Planned {
    planned(read(text, &PROFILES).unwrap().job)
}

/// With readings after stringing up: each string so much over its target, mm.
fn strung(text: &str, over: f64) -> Planned {
    let first = done(text);
    let saddle = first.saddle().unwrap();
    let each = saddle.plan.strings.iter().zip(&saddle.survey.strings);
    let read = each.map(|(s, from)| StrungString {
        action_12: Some(from.target_action + over),
        clearance: Some(s.action_1),
        cents_12: None,
        others: Vec::new(),
        ..StrungString::default()
    });
    let strings = read.collect();
    let mut job = first.job;
    job.strung = Some(StrungReadings {
        strings,
        humidity: None,
    });
    planned(job)
}

/// Keys of a stage, or of all.
fn keys(done: &Planned, stage: Option<Stage>) -> Vec<String> {
    let all = steps(done)
        .into_iter()
        .filter(|staged| stage.is_none_or(|stage| stage == staged.stage));
    all.flat_map(|staged| staged.steps)
        .map(|(key, _)| key.as_str().to_owned())
        .collect()
}

#[test]
fn no_two_steps_share_a_key() {
    for text in [PARLOUR, BOTH, NUT, DROP_IN] {
        let mut all = vec![done(text)];
        if text != NUT {
            all.extend([0.3, 0.0, -0.5].map(|over| strung(text, over)));
        }
        for done in all {
            let keys = keys(&done, None);
            assert!(!keys.is_empty());
            assert_eq!(keys.iter().collect::<HashSet<_>>().len(), keys.len(), "{keys:?}");
            assert!(
                keys.iter()
                    .all(|key| key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')),
                "{keys:?}"
            );
        }
    }
}

/// Ticks are kept by these from one release to the next.
#[test]
fn keys_stay_what_they_were() {
    let before = ["read", "print", "slack", "slot"];
    let making = [
        "thick", "bottom", "dry-fit", "ends", "pattern", "line", "ridge", "from-top", "string",
    ];
    let nut = [
        "nut-relief",
        "nut-saddle-proud",
        "nut-slots",
        "nut-at-pitch",
        "nut-saddle-last",
    ];
    let end = ["polish", "blend", "glue", "note"];
    let both = done(BOTH);
    assert_eq!(keys(&both, Some(Stage::MakeSaddle)), making);
    assert_eq!(keys(&both, None), [&before[..], &making, &nut, &end].concat());
    assert_eq!(
        keys(&done(NUT), None),
        ["nut-relief", "nut-slots", "nut-at-pitch", "nut-action"]
    );
    assert_eq!(keys(&done(DROP_IN), Some(Stage::Finish)), ["polish", "note"]);
}

/// What each kind of work asks for, and no more: what a drop-in does not need is not told to it.
#[test]
fn each_kind_has_the_steps_that_are_right_for_it() {
    let through = PARLOUR.replace("\n[blank]\n", "\n[blank]\nglued = false\n");
    let old_glued = PARLOUR.replace("\n[present]\n", "\n[present]\nglued = true\n");
    let old_drop_in = DROP_IN.replace("\n[present]\n", "\n[present]\nglued = true\n");
    assert!(through != PARLOUR && old_glued != PARLOUR && old_drop_in != DROP_IN);
    let assess = |text: &str| text.replace("assess ", "");
    let table = [
        (
            "through, dry",
            through.as_str(),
            "read print held slack slot thick bottom dry-fit ends pattern line ridge from-top string polish blend note",
        ),
        (
            "through, glued",
            PARLOUR,
            "read print held slack slot thick bottom dry-fit ends pattern line ridge from-top string polish blend glue note",
        ),
        (
            "through, the old one glued",
            old_glued.as_str(),
            "read print held slack free-cold free-warm free-kerf slot floor thick bottom dry-fit ends pattern line ridge from-top string polish blend glue note",
        ),
        (
            "drop-in",
            DROP_IN,
            "read print slack slot thick bottom ends dry-fit pattern line ridge string polish note",
        ),
        (
            "drop-in, the old one glued",
            old_drop_in.as_str(),
            "read print slack free-cold free-warm free-kerf slot floor thick bottom ends dry-fit pattern line ridge string polish note",
        ),
        ("nut alone", NUT, "nut-relief nut-slots nut-at-pitch nut-action"),
    ];
    for (name, text, want) in table {
        assert_eq!(assess(&keys(&done(text), None).join(" ")), want, "{name}");
    }
}

/// Where the readings say that no file makes it right, neither ends nor glue come next; where they say that it is right, both do.
#[test]
fn glue_comes_after_the_readings() {
    let ends = |over: f64| {
        let done = strung(PARLOUR, over);
        let all = keys(&done, None);
        let has = |key: &str| all.iter().any(|own| own == key);
        (has("blend"), has("glue"))
    };
    assert_eq!(ends(0.3), (true, true));
    assert_eq!(ends(0.0), (true, true));
    assert_eq!(ends(-0.5), (false, false));
}

/// What is glued in is not taken out again: first every string's action and pitch are read.
#[test]
fn nothing_is_glued_while_readings_are_missing() {
    let dry = PARLOUR.replace("\n[blank]\n", "\n[blank]\nglued = false\n");
    let ending = |text: &str, read: &dyn Fn(usize, &mut StrungString)| {
        let done = strung(text, 0.0);
        let saddle = done.saddle().unwrap();
        let mut strings = done.job.strung.clone().unwrap().strings;
        let plans = &saddle.plan.strings;
        for (i, (string, plan)) in strings.iter_mut().zip(plans).enumerate() {
            string.action_12 = Some(plan.action_12);
            string.cents_12 = Some(plan.cents[11]);
            read(i, string);
        }
        saddle.fit(&strings).unwrap().ending()
    };
    assert_eq!(ending(PARLOUR, &|_, _| {}), Some(Ending::BlendAndGlue));
    let no_pitch = |i: usize, string: &mut StrungString| {
        if i == 2 {
            string.cents_12 = None;
        }
    };
    assert_eq!(ending(PARLOUR, &no_pitch), Some(Ending::ReadFirst(vec![4])));
    assert_eq!(ending(&dry, &no_pitch), Some(Ending::Blend));
    let high = |_: usize, string: &mut StrungString| string.action_12 = string.action_12.map(|action| action + 0.4);
    assert_eq!(ending(PARLOUR, &high), None);
}

/// Steps that follow from readings have other keys with other readings, and the same ones with the same; all others keep theirs.
#[test]
fn new_readings_make_new_keys() {
    let after = |done: &Planned| keys(done, Some(Stage::AfterStringing));
    let (one, same, other) = (strung(PARLOUR, 0.3), strung(PARLOUR, 0.3), strung(PARLOUR, 0.31));
    assert_eq!(after(&done(PARLOUR)), Vec::<String>::new());
    assert_eq!(after(&one), after(&same));
    assert_eq!(after(&one).len(), after(&other).len());
    assert!(after(&one).iter().all(|key| !after(&other).contains(key)));
    let rest = |done: &Planned| -> Vec<String> {
        let mine = after(done);
        keys(done, None).into_iter().filter(|key| !mine.contains(key)).collect()
    };
    assert_eq!(rest(&one), rest(&other));
    assert_eq!(rest(&one), keys(&done(PARLOUR), None));
    // Each kind of reading counts, and another place of the same one too.
    let changes: [fn(&mut StrungString); 4] = [
        |s| s.clearance = None,
        |s| s.cents_12 = Some(1.0),
        |s| s.others = vec![(5, 1.0)],
        |s| s.action_12 = None,
    ];
    let stamp = |done: &Planned| after(done)[0].split('-').next().unwrap().to_owned();
    let mut seen = HashSet::from([stamp(&one)]);
    for change in changes {
        for string in [0, 5] {
            let mut job = one.job.clone();
            change(&mut job.strung.as_mut().unwrap().strings[string]);
            assert!(seen.insert(stamp(&planned(job))), "string {string}");
        }
    }
}

/// Every string that is to be filed is moved first and then lowered, by what the move leaves.
#[test]
fn strings_are_moved_before_they_are_lowered() {
    let done = strung(PARLOUR, 0.3);
    let saddle = done.saddle().unwrap();
    let fitted = saddle.fit(done.job.strung.as_deref().unwrap()).unwrap();
    let mut want = Vec::new();
    for s in fitted.strings().iter().filter(|s| s.left == work::Left::File) {
        let (string, back) = (s.number, s.move_back);
        let (all, rest) = (s.lower, s.rest());
        want.extend((back != 0.0).then_some(Step::Move { string, back }));
        want.extend((rest > 0.0).then_some(Step::Lower { string, all, rest }));
    }
    assert!(!want.is_empty());
    want.push(Step::LastStrokes);
    let steps = steps(&done)
        .into_iter()
        .find(|staged| staged.stage == Stage::AfterStringing)
        .unwrap()
        .steps;
    assert_eq!(steps.into_iter().map(|(_, step)| step).collect::<Vec<_>>(), want);
}

/// Where a part is not to be made as it stands nothing of the making is told: only what comes before it.
#[test]
fn what_is_not_to_be_made_has_no_order_of_work() {
    let (level, low) = (
        NUT.replace("15 deg", "0 deg"),
        PARLOUR.replace("height = \"1/2\"", "height = \"0.33\""),
    );
    let nut_low = BOTH.replace("height = \"3/8\"\n", "height = \"1/8\"\n");
    assert!(level != NUT && low != PARLOUR && nut_low != BOTH);
    for (name, text, halts) in [
        ("sound nut", NUT, false),
        ("level headstock without posts", level.as_str(), true),
        ("sound saddle", PARLOUR, false),
        ("blank too low", low.as_str(), true),
        ("both sound", BOTH, false),
        ("nut too low beside a sound saddle", nut_low.as_str(), true),
    ] {
        let done = done(text);
        assert_eq!(done.halts(), halts, "{name}");
        let all = keys(&done, None);
        assert_eq!(all == ["read", "plan-again"], halts, "{name}: {all:?}");
        let own = done
            .saddle()
            .map(|saddle| (!saddle.stops().is_empty(), work::saddle_steps(&saddle)));
        if let Some((stops, steps)) = own {
            assert_eq!(steps == [Step::PlanAgain], stops, "{name}: {steps:?}");
        }
    }
    // With readings after stringing up as well: they are of another saddle than this plan.
    assert_eq!(keys(&strung(&low, 0.3), None), ["read", "plan-again"]);
}
