//! What stands beside the heights of a plan.

use job::Profiles;
use work::{Heights, Planned};

const SOUND: &str = include_str!("../../../../examples/sound.toml");

fn sound(edits: &[(&str, &str)]) -> Planned {
    let text = edits.iter().fold(SOUND.to_owned(), |text, (was, then)| {
        assert!(text.contains(was), "{was}");
        text.replace(was, then)
    });
    work::planned(job::read(&text, &Profiles::built_in()).unwrap().job)
}

fn heights(done: &Planned) -> Heights {
    done.saddle().unwrap().heights()
}

fn off(done: &Planned) -> Vec<f64> {
    heights(done).strings.iter().map(|s| s.off_old.unwrap()).collect()
}

/// What the old saddle has too much, worked out again from the plan's own places: with the target where the action is, nothing; for each
/// millimetre of action what similar triangles from the nut say, over what a way up a leaning face brings.
#[test]
fn the_old_saddle_loses_what_the_action_asks() {
    for lean in ["lean = \"0 deg\"", "lean = \"9 deg\""] {
        let at = |action: &str| {
            sound(&[
                ("lean = \"0 deg\"", lean),
                ("action_12 = { bass = 2.4, treble = 1.8 }", action),
            ])
        };
        let stays = off(&at("action_12 = { bass = 2.2, treble = 1.7 }"));
        assert!(stays.iter().all(|off| off.abs() < 1e-6), "{stays:?}");
        let lower = at("action_12 = { bass = 1.9, treble = 1.4 }");
        let plan = lower.saddle().unwrap().plan;
        for (s, off) in plan.strings.iter().zip(off(&lower)) {
            let fret_12 = 0.5 * 645.0;
            let rise = 0.3 * (s.position.x - s.nut.x) / (fret_12 - s.nut.x);
            let (sin, cos) = plan.lean.sin_cos();
            // Along the lowered line the saddle's top also goes back as it goes down.
            let want = rise / (cos + s.line.slope * sin);
            assert!((off - want).abs() < 2e-3 * want, "{lean} {}: {off} {want}", s.number);
        }
        // The old saddle is too low for what the example wants.
        assert!(
            off(&at("action_12 = { bass = 2.4, treble = 1.8 }"))
                .iter()
                .all(|off| *off < -0.1)
        );
    }
}

/// The height left proud is that of the whole saddle, to the digit; sure to is half the spread of the action, at the saddle about twice that.
#[test]
fn proud_and_sure_are_the_tolerance_s() {
    let done = sound(&[]);
    let saddle = done.saddle().unwrap();
    let sure = saddle.sureness(done.job.tolerance.sampling, &|_| ()).unwrap();
    let heights = heights(&done);
    assert_eq!(heights.proud, Some(sure.tolerance.proud));
    assert_eq!(heights.chance, sure.sampling.confidence);
    for (s, spread) in heights.strings.iter().zip(&sure.tolerance.strings) {
        let half = 0.5 * (spread.action.high - spread.action.low);
        let times = s.sure_to.unwrap() / half;
        assert!((2.0..2.06).contains(&times), "{s:?} {times}");
    }
}

/// Without the old saddle's action there is nothing to take off; without a nut that was read neither.
#[test]
fn what_was_not_read_on_the_old_saddle_is_not_told() {
    let done = work::planned(
        job::read(
            include_str!("../../../../examples/parlour-both.toml"),
            &Profiles::built_in(),
        )
        .unwrap()
        .job,
    );
    let heights = heights(&done);
    let read = done.evidence.as_ref().unwrap().likeliest();
    for (s, read) in heights.strings.iter().zip(&read.strings) {
        assert_eq!(
            s.off_old.is_some(),
            read.present_nut.is_some() && read.action_12.is_some()
        );
    }
}
