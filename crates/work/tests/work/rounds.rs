//! All that was read, round by round.

use instrument::{At, Of};
use job::Profiles;
use work::{Along, Belief, Planned, Round, Rounds, WeighedBy};

/// The sound guitar of the examples, with what is written below it.
fn sound(more: &str) -> Planned {
    const SOUND: &str = include_str!("../../../../examples/sound.toml");
    work::planned(job::read(&format!("{SOUND}{more}"), &Profiles::built_in()).unwrap().job)
}

const AGAIN: &str = r#"
[[readings]]
with = "feelers"
held_at_3 = [0.146, 0.131, 0.117, 0.103, 0.090, 0.077]
action_at = [{ fret = 5, action = [1.40, 1.34, 1.28, 1.22, 1.16, 1.09] }]

[[readings]]
with = "caliper"
saddle_height = [9.17, 9.54, 9.63, 9.45, 8.99, 8.27]
over_bridge = [3.66, 4.03, 4.12, 3.94, 3.48, 2.76]
"#;

fn of(read: &Rounds, of: Of) -> &Round {
    read.rounds.iter().find(|round| round.of == of).unwrap()
}

fn beliefs(round: &Round) -> Vec<Belief> {
    round.marks.iter().map(|mark| mark.belief).collect()
}

#[test]
fn rounds_stand_from_the_nut_back() {
    let read = sound(AGAIN).rounds().unwrap();
    let along: Vec<Along> = read.rounds.iter().map(|round| round.station.along).collect();
    assert!(
        read.rounds
            .windows(2)
            .all(|pair| pair[0].station.before(&pair[1].station).is_le())
    );
    assert_eq!(
        (along.first(), along.last()),
        (Some(&Along::Nut), Some(&Along::SaddleHeight))
    );
    // Bass to treble, each string once.
    let height = of(&read, Of::SaddleHeight);
    let at: Vec<At> = height.marks.iter().map(|mark| mark.at).collect();
    assert_eq!(at, (0..6).map(At::String).collect::<Vec<_>>());
    assert!(height.marks.iter().all(|mark| mark.is_checked));
    assert_eq!(
        of(&read, Of::SlotEdge)
            .marks
            .iter()
            .map(|mark| mark.at)
            .collect::<Vec<_>>(),
        [At::End(0), At::End(1)]
    );
    // Nothing else tells how long the neck is.
    assert!(!of(&read, Of::NutTo12).marks[0].is_checked);
}

/// Read again with the same tool it is one mark, read twice; with another tool, or on another visit, it is a round of its own.
#[test]
fn what_is_repeated_is_one_mark() {
    let relief = |more: &str| {
        let read = sound(more).rounds().unwrap();
        let rounds = read.rounds.into_iter().filter(|round| round.of == Of::Relief);
        rounds
            .map(|round| (round.tool, round.visit, round.marks[0].times))
            .collect::<Vec<_>>()
    };
    let feelers = |visit, times| ("feelers".to_owned(), visit, times);
    assert_eq!(relief(""), [feelers(1, 1)]);
    assert_eq!(
        relief("[[readings]]\nwith = \"feelers\"\nrelief = 0.21\n"),
        [feelers(1, 2)]
    );
    assert_eq!(
        relief("[[readings]]\nvisit = 2\nrelief = 0.21\n"),
        [feelers(1, 1), feelers(2, 1)]
    );
}

#[test]
fn what_does_not_fit_is_told_from_what_is_struck_out() {
    let wrong = AGAIN.replace("9.63, 9.45", "10.28, 9.45");
    let read = sound(&wrong).rounds().unwrap();
    use Belief::{Counted, Doubted, StruckOut, Suspected};
    let fourth = |belief| [Counted, Counted, belief, Counted, Counted, Counted].to_vec();
    assert_eq!(beliefs(of(&read, Of::SaddleHeight)), fourth(Doubted));
    assert_eq!(beliefs(of(&read, Of::OverBridge)), fourth(Suspected));
    // Struck out, it accuses none and bears on nothing.
    let doubt = wrong.replace(
        "[[readings]]\nwith = \"caliper\"",
        "[[readings]]\nwith = \"caliper\"\ndoubt = true",
    );
    let read = sound(&doubt).rounds().unwrap();
    for of_kind in [Of::SaddleHeight, Of::OverBridge] {
        let round = of(&read, of_kind);
        assert!(round.struck_out && round.sure_to.is_none());
        assert_eq!(beliefs(round), [StruckOut; 6]);
        assert!(
            round
                .marks
                .iter()
                .all(|mark| mark.takes_up.is_none() && mark.times == 1)
        );
    }
    // One of the survey's own, with another beside it that counts.
    let read =
        sound("[[readings]]\nwith = \"depth rod\"\ndepth = { bass = 5.5, treble = 5.3 }\n[doubt]\ndepth = \"bass\"\n")
            .rounds()
            .unwrap();
    let depths = || read.rounds.iter().filter(|round| round.of == Of::SlotDepth);
    let told: Vec<(bool, usize)> = depths().map(|round| (round.struck_out, round.marks.len())).collect();
    assert_eq!(told, [(false, 2), (true, 1)]);
    assert_eq!(
        depths()
            .next()
            .unwrap()
            .marks
            .iter()
            .map(|mark| mark.times)
            .collect::<Vec<_>>(),
        [1, 2]
    );
}

/// A reading twice as unsure takes up twice as much of the tolerance where nothing else says the same; a band twice as wide halves all.
#[test]
fn what_is_less_sure_takes_up_more() {
    let takes_up = |more: &str| {
        let read = sound(more).rounds().unwrap();
        assert!(matches!(read.weighed_by, Some(WeighedBy::Saddle(_))));
        of(&read, Of::SlotDepth)
            .marks
            .iter()
            .map(|mark| mark.takes_up.unwrap())
            .fold(0.0, f64::max)
    };
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
    let once = takes_up("[uncertainty]\nslot_depth = { total = 0.05, correlation = 0.5 }\n");
    let twice = takes_up("[uncertainty]\nslot_depth = { total = 0.1, correlation = 0.5 }\n");
    assert!(once > 0.05 && near(twice, 2.0 * once), "{once} {twice}");
    let wide = takes_up(
        "[uncertainty]\nslot_depth = { total = 0.1, correlation = 0.5 }\n[tolerance]\naction = 0.2\ncents = 6\n",
    );
    assert!(near(wide, once), "{wide} {once}");
    // Read once more it is surer, and by itself takes up less.
    let again = takes_up("[[readings]]\ndepth = { bass = 5.5, treble = 5.3 }\n");
    assert!(again < 0.8 * takes_up(""), "{again}");
}

/// The saddle goes up with the slot's depth one to one, and a string's action by about half of that.
#[test]
fn depth_takes_up_half_of_itself_in_action() {
    let read = sound(
        "[uncertainty]\nslot_depth = { total = 0.1, correlation = 0.5 }\n[tolerance]\naction = 0.1\ncents = 50\n",
    )
    .rounds()
    .unwrap();
    let most = of(&read, Of::SlotDepth)
        .marks
        .iter()
        .map(|mark| mark.takes_up.unwrap())
        .fold(0.0, f64::max);
    assert!((0.45..0.56).contains(&most), "{most}");
}

/// Where the saddle stays readings are weighed by the nut's slots; its present contacts hardly bear on them, its action does.
#[test]
fn a_nut_alone_is_weighed_by_its_slots() {
    const NUT: &str = include_str!("../../../../examples/nut-only.toml");
    let read = work::planned(job::read(NUT, &Profiles::built_in()).unwrap().job)
        .rounds()
        .unwrap();
    assert!(matches!(read.weighed_by, Some(WeighedBy::Slots(_))) && !read.has_slot);
    let most = |kind| {
        of(&read, kind)
            .marks
            .iter()
            .map(|mark| mark.takes_up.unwrap())
            .fold(0.0, f64::max)
    };
    let (action, contact) = (most(Of::Action { fret: 12 }), most(Of::Contact));
    assert!(action > 0.1 && action > 5.0 * contact, "{action} {contact}");
}

#[test]
fn of_several_saddles_each_has_its_own() {
    const SPLIT: &str = include_str!("../../../../examples/split-saddle.toml");
    let done = work::planned(job::read(SPLIT, &Profiles::built_in()).unwrap().job);
    assert!(done.rounds().is_none());
    let numbers = done.surveyed().into_iter().map(|one| {
        let read = one.rounds().unwrap();
        read.lanes.iter().map(|lane| lane.number).collect::<Vec<_>>()
    });
    assert_eq!(numbers.collect::<Vec<_>>(), [vec![6, 5, 4, 3], vec![2, 1]]);
}
