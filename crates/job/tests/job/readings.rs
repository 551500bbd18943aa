//! `[[readings]]` and `[doubt]`: every kind arrives as what it is of, where and how sure it is; what makes no sense is refused.

use std::fs;

use instrument::{At, Between, Of, Paired, Readings, Taken, Uncertainty};
use job::{Job, Problem, Profiles, Severity, read};

const GOOD: &str = include_str!("good.toml");
const SPLIT: &str = include_str!("../../../../examples/split-saddle.toml");
const ALONE: &str = include_str!("../../../../examples/nut-only.toml");
const ZERO_FRET: &str = include_str!("../../../../examples/zero-fret.toml");

fn job(text: &str) -> Job {
    read(text, &Profiles::built_in())
        .unwrap_or_else(|problems| panic!("{}", problems.iter().map(|p| format!("{p}\n")).collect::<String>()))
        .job
}

/// The good job with this behind it.
fn with(more: &str) -> String {
    format!("{GOOD}\n{more}")
}

/// What one round of these keys gives.
fn round(keys: &str) -> Vec<Taken> {
    job(&with(&format!("[[readings]]\n{keys}\n"))).readings.taken
}

fn errors(text: &str) -> Vec<Problem> {
    let problems = read(text, &Profiles::built_in()).err().unwrap_or_default();
    problems.into_iter().filter(|p| p.severity == Severity::Error).collect()
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-12 * b.abs().max(1.0), "{a} {b}");
}

/// Where and what, without how.
fn values(taken: &[Taken]) -> Vec<(Of, At, f64)> {
    taken.iter().map(|t| (t.of, t.at, t.value)).collect()
}

const ALL: [At; 6] = [
    At::String(0),
    At::String(1),
    At::String(2),
    At::String(3),
    At::String(4),
    At::String(5),
];

/// Each kind alone, as the usual tool reads it: as sure as its row of `[uncertainty]`.
#[test]
fn every_kind_of_reading_arrives() {
    let outer = [At::String(0), At::String(5)];
    let ends = [At::End(0), At::End(1)];
    let strings = |key: &str, of: Of, bass: f64, treble: f64| {
        let found = round(&format!("{key} = {{ bass = {bass}, treble = {treble} }}"));
        assert_eq!(values(&found), [(of, outer[0], bass), (of, outer[1], treble)], "{key}");
        found
    };
    let mut seen = Vec::new();
    for (key, of, bass, treble) in [
        ("first_fret_clearance", Of::Clearance, 0.5, 0.35),
        ("held_at_3", Of::HeldAtThree, 0.15, 0.1),
        ("action_12", Of::Action { fret: 12 }, 2.7, 2.1),
        ("contact_from_fret_12", Of::Contact, 326.5, 324.5),
        ("saddle_height", Of::SaddleHeight, 9.5, 8.5),
        ("saddle_back", Of::SaddleBack, 1.5, 1.6),
        ("exposure", Of::Exposure, 3.5, 3.0),
        ("over_bridge", Of::OverBridge, 3.6, 3.1),
        ("cents_12", Of::Cents { fret: 12 }, 3.0, -1.0),
        ("inharmonicity", Of::Inharmonicity, 4e-5, 2e-5),
    ] {
        seen.extend(strings(key, of, bass, treble));
    }
    for (key, of, bass, treble) in [
        ("edge_from_fret_12", Of::SlotEdge, 324.4, 323.1),
        ("bridge_top", Of::BridgeTop, 0.35, -0.1),
        ("depth", Of::SlotDepth, 5.4, 5.3),
    ] {
        let found = round(&format!("{key} = {{ bass = {bass}, treble = {treble} }}"));
        assert_eq!(values(&found), [(of, ends[0], bass), (of, ends[1], treble)], "{key}");
        let both = round(&format!("{key} = {bass}"));
        assert_eq!(values(&both), ends.map(|at| (of, at, bass)), "{key}");
        seen.extend(found);
    }
    for (keys, of, value) in [
        ("nut_to_12 = 322.3", Of::NutTo12, 322.3),
        ("relief = 0.18", Of::Relief, 0.18),
        ("radius_at_nut = \"12 in\"", Of::RadiusAtNut, 304.8),
        ("radius_at_12 = 410", Of::RadiusAt12, 410.0),
        ("lean = \"2.5 deg\"", Of::Lean, 2.5f64.to_radians()),
        ("lean = \"0.5 mm over 10 mm\"", Of::Lean, 0.05f64.atan()),
        ("lean = -1", Of::Lean, -(1f64.to_radians())),
    ] {
        let found = round(keys);
        assert_eq!(found.len(), 1, "{keys}");
        assert_eq!((found[0].of, found[0].at), (of, At::Whole), "{keys}");
        near(found[0].value, value);
        seen.extend(found);
    }
    let usual = Uncertainty::default();
    for taken in &seen {
        let want = usual.taken(taken.of, taken.value);
        assert_eq!(taken.unsure, want, "{taken:?}");
        assert_eq!(
            (&*taken.tool, taken.visit, taken.doubted),
            (taken.of.usual_tool(), 1, false)
        );
    }
    // A zero fret is there in another job.
    let text = format!("{ZERO_FRET}\n[[readings]]\nzero_fret_above = {{ bass = \"0.1 mm\", treble = \"0.08 mm\" }}\n");
    let found = job(&text).readings.taken;
    assert_eq!(
        values(&found),
        [(Of::ZeroFret, outer[0], 0.1), (Of::ZeroFret, outer[1], 0.08)]
    );
}

#[test]
fn lists_and_other_frets() {
    let found = round("exposure = [3.5, \"-\", 3.4, 3.3, \"-\", 3.0]");
    let want = [(0, 3.5), (2, 3.4), (3, 3.3), (5, 3.0)].map(|(i, value)| (Of::Exposure, ALL[i], value));
    assert_eq!(values(&found), want);
    let found = round(
        "action_at = [{ fret = 5, action = { bass = 1.5, treble = 1.2 } }, { fret = 24, action = [3, \"-\", \"-\", \"-\", \"-\", \"-\"] }]\n\
         cents_at = [{ fret = 1, cents = [\"-\", \"-\", 4, \"-\", \"-\", \"-\"] }]",
    );
    let want = [
        (Of::Action { fret: 5 }, ALL[0], 1.5),
        (Of::Action { fret: 5 }, ALL[5], 1.2),
        (Of::Action { fret: 24 }, ALL[0], 3.0),
        (Of::Cents { fret: 1 }, ALL[2], 4.0),
    ];
    assert_eq!(values(&found), want);
}

/// A gap read off the middle is taken to mid-span, and its uncertainty with it.
#[test]
fn relief_read_at_another_fret() {
    let [plain, gap] = ["relief = 0.2", "relief = { gap = 0.1, fret = 3 }"].map(|keys| round(keys).remove(0));
    let same = job(&GOOD.replace("relief = { gap = 0.2, fret = 7 }", "relief = { gap = 0.1, fret = 3 }"));
    near(gap.value, same.instrument.board.relief());
    assert!(gap.value > 0.12, "{}", gap.value);
    near(gap.unsure.total() / plain.unsure.total(), gap.value / 0.1);
    let own = round("relief = { gap = 0.1, fret = 3 }\nsure_to = 0.05").remove(0);
    near(own.unsure.total(), 0.05 * gap.value / 0.1);
}

#[test]
fn tool_visit_and_doubt_are_of_the_whole_round() {
    let job = job(&with(
        "[[readings]]\nwith = \"dial indicator\"\nvisit = 2\naction_12 = { bass = 2.75, treble = 2.15 }\nrelief = 0.19\n\
         [[readings]]\ndoubt = true\ncents_12 = { bass = 4, treble = 2 }\n\
         [[readings]]\nwith = \"recording\"\ncents_12 = { bass = 2, treble = 1 }\n",
    ));
    let taken = &job.readings.taken;
    assert_eq!(taken.len(), 7);
    let dial = |total| Paired::correlated(total, 0.5);
    // In the order of the rows.
    assert_eq!((taken[0].of, taken[0].unsure), (Of::Relief, dial(0.013)));
    assert_eq!((taken[1].of, taken[1].unsure), (Of::Action { fret: 12 }, dial(0.025)));
    for (i, taken) in taken.iter().enumerate() {
        let (tool, visit, doubted) = match i {
            0..3 => ("dial indicator", 2, false),
            3..5 => ("tuner", 1, true),
            _ => ("recording", 1, false),
        };
        assert_eq!((&*taken.tool, taken.visit, taken.doubted), (tool, visit, doubted));
    }
    assert_eq!(taken[3].unsure, Paired::correlated(3.0, 0.8));
    assert_eq!(taken[6].unsure, Paired::correlated(1.0, 0.5));
}

/// In place of the tool's, with what the tool's readings have in common.
#[test]
fn a_round_says_itself_how_sure_it_is() {
    for (keys, want) in [
        ("depth = 5.3\nsure_to = 0.02", Paired::correlated(0.02, 0.5)),
        ("depth = 5.3\nsure_to = \"1 thou\"", Paired::correlated(0.0254, 0.5)),
        (
            "lean = 2\nsure_to = \"0.25 deg\"",
            Paired::correlated(0.25f64.to_radians(), 0.5),
        ),
        (
            "cents_12 = { bass = 2, treble = 1 }\nsure_to = 1.5",
            Paired::correlated(1.5, 0.8),
        ),
        (
            "cents_12 = { bass = 2, treble = 1 }\nwith = \"recording\"\nsure_to = \"1.5 cents\"",
            Paired::correlated(1.5, 0.5),
        ),
        ("radius_at_nut = 400\nsure_to = 0.02", Paired::correlated(8.0, 0.5)),
        (
            "inharmonicity = { bass = 0.00004, treble = 0.00004 }\nsure_to = 0.03",
            Paired::correlated(1.2e-6, 0.5),
        ),
    ] {
        for taken in round(keys) {
            near(taken.unsure.shared, want.shared);
            near(taken.unsure.each, want.each);
        }
    }
}

#[test]
fn the_jobs_own_uncertainty_is_that_of_readings_without_a_tool() {
    let text = GOOD.replace(
        "seating = 0.03",
        "seating = 0.03\npresent_action = 0.04\nboard_radius = 0.1",
    );
    let job = job(&format!(
        "{text}\n[[readings]]\naction_12 = {{ bass = 2.7, treble = 2.1 }}\nradius_at_12 = 400\n[[readings]]\nwith = \"steel rule\"\naction_12 = {{ bass = 2.7, treble = 2.1 }}\n"
    ));
    let total = |i: usize| job.readings.taken[i].unsure.total();
    near(total(0), 40.0);
    near(total(1), 0.04);
    near(total(3), 0.1);
}

#[test]
fn a_shops_own_tool_is_known_by_its_name() {
    let mut profiles = Profiles::built_in();
    let own = "[[tool]]\nname = \"granite plate\"\nsource = \"measured\"\n[[tool.reads]]\nof = [\"saddle_height\"]\nsure_to = \"0.004 mm\"\nshared = 0\n";
    profiles.add_text("shop.toml", own).unwrap();
    let text = with("[[readings]]\nwith = \"granite plate\"\nsaddle_height = { bass = 9.5, treble = 8.5 }\n");
    let taken = read(&text, &profiles).unwrap().job.readings.taken;
    assert_eq!(
        (&*taken[0].tool, taken[0].unsure),
        (
            "granite plate",
            Paired {
                shared: 0.0,
                each: 0.004
            }
        )
    );
    assert_eq!(errors(&text)[0].name(), "NoSuchName");
}

/// Keys of a round, the field and the kind of what is reported, and a word of it.
#[rustfmt::skip]
const REFUSED: &[(&str, &str, &str, &str)] = &[
    ("", "readings[1]", "NoReadings", "action_12"),
    ("visit = 2\nwith = \"tuner\"", "readings[1]", "NoReadings", "leave the round out"),
    ("depth = 5\nvisit = 0", "readings[1].visit", "NoWholeNumber|Outside", "1"),
    ("depth = 5\nvisit = 10", "readings[1].visit", "Outside", "9"),
    ("depth = 5\ndoubt = \"yes\"", "readings[1].doubt", "Expected", "true or false"),
    ("depth = 5\nwith = \"depth rot\"", "readings[1].with", "NoSuchName", "Did you mean \"depth rod\"?"),
    ("depth = 5\nwith = \"tuner\"", "readings[1].depth", "ToolCannot", "\"depth rod\""),
    ("lean = 2\ndepth = 5\nwith = \"depth rod\"", "readings[1].lean", "ToolCannot", "\"eye\", \"protractor\" or \"square and dummy blank\""),
    ("radius_at_12 = 400\nwith = \"caliper\"", "readings[1].radius_at_12", "ToolCannot", "\"radius gauges\""),
    ("depth = 5\nlean = 2\nsure_to = 0.1", "readings[1].sure_to", "SureToOfUnlike", "round of its own"),
    ("depth = 5\nradius_at_nut = 400\nsure_to = 0.1", "readings[1].sure_to", "SureToOfUnlike", "shares"),
    ("depth = 5\nsure_to = 0", "readings[1].sure_to", "Outside", "0.0"),
    ("depth = 5\nsure_to = \"1 deg\"", "readings[1].sure_to", "Unreadable", "length"),
    ("radius_at_nut = 400\nsure_to = 20", "readings[1].sure_to", "Outside", "0.05 is 5 in 100"),
    ("depht = 5", "readings[1].depht", "Unknown", "Did you mean `depth`?"),
    ("depth = 50", "readings[1].depth", "Outside", "depth rod"),
    ("depth = { bass = 5 }", "readings[1].depth.treble", "Missing", "treble"),
    ("exposure = 3", "readings[1].exposure", "WhichStrings", "outer strings"),
    ("exposure = [3, 3]", "readings[1].exposure", "Count", "6 strings"),
    ("exposure = [\"-\", \"-\", \"-\", \"-\", \"-\", \"-\"]", "readings[1].exposure", "NoReadings", "Nothing"),
    ("inharmonicity = { bass = 0.05, treble = 0.0001 }", "readings[1].inharmonicity.bass", "Outside", "B"),
    ("inharmonicity = { bass = \"x\", treble = 0.0001 }", "readings[1].inharmonicity.bass", "NoNumber", "number"),
    ("contact_from_fret_12 = { bass = 360, treble = 324 }", "readings[1].contact_from_fret_12.bass", "OutOfReach", "present contact"),
    ("edge_from_fret_12 = 360", "readings[1].edge_from_fret_12", "OutOfReach", "front face"),
    ("zero_fret_above = { bass = 0, treble = 0 }", "readings[1].zero_fret_above", "NoZeroFret", "zero_fret"),
    ("relief = { gap = 0.2, fret = 20 }", "readings[1].relief.fret", "ReliefOutsideSpan", "joint"),
    ("relief = { gap = 0.2 }", "readings[1].relief.fret", "Missing", "fret"),
    ("action_at = 2", "readings[1].action_at", "Expected", "fret = 5"),
    ("action_at = [{ fret = 12, action = { bass = 2, treble = 2 } }]", "readings[1].action_at[1].fret", "OwnKeyAtTwelve", "action_12"),
    ("action_at = [{ fret = 1, action = { bass = 2, treble = 2 } }]", "readings[1].action_at[1].fret", "Outside", "first_fret_clearance"),
    ("action_at = [{ fret = 5, action = { bass = 2, treble = 2 } }, { fret = 5, action = { bass = 2, treble = 2 } }]", "readings[1].action_at[2].fret", "FretTwice", "5"),
    ("action_at = []", "readings[1].action_at", "NoReadings", "Nothing"),
    ("cents_at = [{ fret = 12, cents = { bass = 2, treble = 2 } }]", "readings[1].cents_at[1].fret", "Outside", "cents_12"),
    ("cents_at = [{ fret = 5 }]", "readings[1].cents_at[1].cents", "Missing", "cents"),
];

#[test]
fn what_makes_no_sense_in_a_round_is_refused() {
    for (keys, field, kind, word) in REFUSED {
        let text = with(&format!("[[readings]]\n{keys}\n"));
        let found = errors(&text);
        let hit = found
            .iter()
            .find(|p| p.field == *field && kind.split('|').any(|kind| p.name() == kind));
        assert!(
            hit.is_some_and(|p| p.what().contains(word) && p.line.is_some()),
            "{keys}: {}",
            found.iter().map(|p| format!("{p}\n")).collect::<String>()
        );
        assert_eq!(found.len(), 1, "{keys}: {found:?}");
    }
}

#[test]
fn rounds_are_tables_of_their_own_and_not_too_many() {
    let one = errors(&with("[readings]\ndepth = 5\n"));
    assert_eq!((one.len(), one[0].name()), (1, "ReadingsInOne"));
    let many = |count| with(&"[[readings]]\ndepth = 5.2\n".repeat(count));
    assert_eq!(job(&many(100)).readings.taken.len(), 200);
    let found = errors(&many(101));
    assert_eq!((found.len(), found[0].name()), (1, "ManyRounds"));
    // Two faults in two rounds are both told.
    let two = errors(&with("[[readings]]\nvisit = 1\n[[readings]]\ndepth = 50\n"));
    assert_eq!(two.len(), 2);
}

#[test]
fn a_flat_board_has_no_radius_to_read() {
    let text = GOOD.replace("board_radius = { nut = 300, fret_12 = 400 }", "board_radius = \"flat\"");
    for key in ["radius_at_nut", "radius_at_12"] {
        let found = errors(&format!("{text}\n[[readings]]\n{key} = 400\n"));
        assert_eq!((found.len(), found[0].name()), (1, "RadiusOfFlat"), "{found:?}");
    }
    let found = errors(&format!("{text}\n[doubt]\nboard_radius = true\n"));
    assert_eq!((found.len(), found[0].name()), (1, "NothingToDoubt"));
}

#[test]
fn where_the_saddle_stays_nothing_is_read_in_a_slot() {
    let strings = "[[readings]]\nsaddle_height = { bass = \"9 mm\", treble = \"8 mm\" }\n";
    assert_eq!(job(&format!("{ALONE}\n{strings}")).readings.taken.len(), 2);
    for key in [
        "depth = \"5 mm\"",
        "bridge_top = \"0 mm\"",
        "edge_from_fret_12 = \"325 mm\"",
        "lean = \"2 deg\"",
    ] {
        let found = errors(&format!("{ALONE}\n[[readings]]\n{key}\n"));
        assert_eq!(
            (found.len(), found[0].name()),
            (1, "SlotOfStandingSaddle"),
            "{key}: {found:?}"
        );
    }
    let found = errors(&format!("{ALONE}\n[doubt]\nlean = true\n"));
    assert_eq!((found.len(), found[0].name()), (1, "NothingToDoubt"));
}

fn struck(keys: &str) -> Vec<(Of, At)> {
    job(&with(&format!("[doubt]\n{keys}\n"))).readings.struck
}

#[test]
fn readings_of_the_survey_are_struck_out() {
    // Of what is given at bass and treble only the outer strings are read.
    let clearance = [(Of::Clearance, ALL[0]), (Of::Clearance, ALL[5])];
    assert_eq!(struck("first_fret_clearance = true"), clearance);
    assert_eq!(struck("first_fret_clearance = [1, 6]"), [clearance[1], clearance[0]]);
    assert_eq!(struck("first_fret_clearance = \"bass\""), clearance[..1]);
    assert_eq!(struck("first_fret_clearance = \"treble\""), clearance[1..]);
    assert_eq!(struck("first_fret_clearance = false"), []);
    assert_eq!(struck("action_12 = [6]"), [(Of::Action { fret: 12 }, ALL[0])]);
    assert_eq!(struck("contact_from_fret_12 = \"treble\""), [(Of::Contact, ALL[5])]);
    // String 4 was not read.
    let cents = [0, 1, 3, 4, 5].map(|i| (Of::Cents { fret: 12 }, ALL[i]));
    assert_eq!(struck("cents_12 = true"), cents);
    assert_eq!(struck("cents_12 = [5, 5]"), [cents[1]]);
    assert_eq!(
        struck("relief = true\nlean = true"),
        [(Of::Relief, At::Whole), (Of::Lean, At::Whole)]
    );
    assert_eq!(
        struck("board_radius = true"),
        [(Of::RadiusAtNut, At::Whole), (Of::RadiusAt12, At::Whole)]
    );
    assert_eq!(
        struck("edge_from_fret_12 = \"bass\"\nbridge_top = true\ndepth = \"treble\""),
        [
            (Of::SlotEdge, At::End(0)),
            (Of::BridgeTop, At::End(0)),
            (Of::BridgeTop, At::End(1)),
            (Of::SlotDepth, At::End(1))
        ]
    );
    let text = GOOD.replace("scale = 645", "nut_to_12 = 322.5");
    let by_half = job(&format!("{text}\n[doubt]\nnut_to_12 = true\n"));
    assert_eq!(by_half.readings.struck, [(Of::NutTo12, At::Whole)]);
    let held = GOOD.replace(
        "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nsetback",
        "held_at_3 = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1]\nsetback",
    );
    let held = job(&format!("{held}\n[doubt]\nheld_at_3 = [3]\n"));
    assert_eq!(held.readings.struck, [(Of::HeldAtThree, ALL[3])]);
}

#[test]
fn readings_of_a_reference_saddle_are_struck_out_at_its_ends() {
    let text = include_str!("../../../../examples/nylon-drop-in.toml");
    let keys = "reference_contact = \"bass\"\nreference_height = true\nreference_back = \"treble\"";
    let found = job(&format!("{text}\n[doubt]\n{keys}\n")).readings.struck;
    assert_eq!(
        found,
        [
            (Of::Contact, At::End(0)),
            (Of::SaddleHeight, At::End(0)),
            (Of::SaddleHeight, At::End(1)),
            (Of::SaddleBack, At::End(1))
        ]
    );
    let other = errors(&format!("{text}\n[doubt]\nbridge_top = true\n"));
    assert_eq!((other.len(), other[0].name()), (1, "NothingToDoubt"));
}

/// A line of `[doubt]`, its field within, the kind of what is reported, and a word of it.
#[rustfmt::skip]
const NO_DOUBT: &[(&str, &str, &str, &str)] = &[
    ("held_at_3 = true", "held_at_3", "NothingToDoubt", "nut.held_at_3"),
    ("nut_to_12 = true", "nut_to_12", "NothingToDoubt", "instrument.nut_to_12"),
    ("reference_height = \"bass\"", "reference_height", "NothingToDoubt", "slot.reference.height"),
    ("zero_fret_above = true", "zero_fret_above", "NothingToDoubt", "nut.zero_fret_above"),
    ("relief = \"bass\"", "relief", "Expected", "true"),
    ("lean = [6]", "lean", "Expected", "one reading"),
    ("depth = [6]", "depth", "Expected", "both ends"),
    ("depth = \"middle\"", "depth", "Expected", "\"bass\""),
    ("action_12 = [3]", "action_12[1]", "NotReadThere", "string 3"),
    ("cents_12 = [4]", "cents_12[1]", "NotReadThere", "left out"),
    ("action_12 = [7]", "action_12[1]", "NoSuchString", "1 to 6"),
    ("action_12 = [0]", "action_12[1]", "NoSuchString", "1 to 6"),
    ("action_12 = [-1]", "action_12[1]", "Expected", "string numbers"),
    ("action_12 = []", "action_12", "Expected", "string numbers"),
    ("action_12 = 6", "action_12", "Expected", "string numbers"),
    ("exposure = true", "exposure", "Unknown", "[present]"),
];

#[test]
fn what_the_survey_has_not_is_not_doubted() {
    for (line, field, kind, word) in NO_DOUBT {
        let found = errors(&with(&format!("[doubt]\n{line}\n")));
        let hit = found
            .iter()
            .find(|p| p.field == format!("doubt.{field}") && p.name() == *kind);
        let said = hit.is_some_and(|p| p.what().contains(word) && p.line.is_some());
        assert!(said && found.len() == 1, "{line}: {found:?}");
    }
}

#[test]
fn what_is_put_between_is_told_from_what_is_read() {
    let good = Between {
        nut: true,
        action_12: true,
        contact: true,
        ..Between::default()
    };
    assert_eq!(
        job(GOOD).readings,
        Readings {
            between: good,
            ..Readings::default()
        }
    );
    let with = |old: &str, new: &str| {
        assert!(GOOD.contains(old), "{old}");
        job(&GOOD.replace(old, new)).readings.between
    };
    let list = |value: &str| format!("[{}]", [value; 6].join(", "));
    let actions = with(
        "action_12 = { bass = 2.8, treble = 2.2 }",
        &format!("action_12 = {}", list("2.5")),
    );
    assert_eq!(
        actions,
        Between {
            action_12: false,
            ..good
        }
    );
    let contacts = with(
        "contact_from_fret_12 = { bass = 326.5, treble = 324.5 }",
        &format!("contact_from_fret_12 = {}", list("325.5")),
    );
    assert_eq!(contacts, Between { contact: false, ..good });
    let gaps = with(
        "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nsetback",
        &format!("first_fret_clearance = {}\nsetback", list("0.4")),
    );
    assert_eq!(gaps, Between { nut: false, ..good });
    // One value for all is no more than the outer strings'.
    assert_eq!(
        with("action_12 = { bass = 2.8, treble = 2.2 }", "action_12 = 2.5"),
        good
    );
    // Nothing is put between what is not there.
    let fresh = GOOD
        .replace(
            "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nsetback",
            "new_clearance = 0.4\nsetback",
        )
        .replace("cents_12 = [3, 2, \"-\", 1, 3, 1]\n", "");
    assert_eq!(job(&fresh).readings.between, Between { nut: false, ..good });
}

#[test]
fn each_of_several_saddles_has_the_readings_of_its_own_strings() {
    let rounds = "\n[[readings]]\nwith = \"caliper\"\nvisit = 3\nsaddle_height = [\"9 mm\", \"9 mm\", \"9 mm\", \"8.5 mm\", \"8 mm\", \"7.5 mm\"]\n\
                  [[readings]]\nrelief = \"0.15 mm\"\n";
    let head = SPLIT.find("\n[[saddle]]").unwrap();
    let text = format!("{}{rounds}{}", &SPLIT[..head], &SPLIT[head..]);
    let whole = job(&text);
    assert_eq!(whole.readings.taken.len(), 7);
    let [bass, treble] = &whole.split[..] else {
        panic!("two saddles")
    };
    let heights = |values: &[f64]| {
        let each = values.iter().enumerate();
        let mut all: Vec<_> = each
            .map(|(i, value)| (Of::SaddleHeight, At::String(i), *value))
            .collect();
        all.push((Of::Relief, At::Whole, 0.15));
        all
    };
    assert_eq!(values(&bass.readings.taken), heights(&[9.0, 9.0, 9.0, 8.5]));
    assert_eq!(values(&treble.readings.taken), heights(&[8.0, 7.5]));
    assert_eq!(treble.readings.taken[0].visit, 3);
    assert_eq!(treble.readings.taken[0].tool, "caliper");
    for more in [
        "[[readings]]\ndepth = \"5 mm\"\n",
        "[[readings]]\nlean = \"2 deg\"\n",
        "[doubt]\ndepth = true\n",
        "[doubt]\nlean = true\n",
    ] {
        let found = errors(&format!("{}\n{more}{}", &SPLIT[..head], &SPLIT[head..]));
        assert_eq!((found.len(), found[0].name()), (1, "SlotOfSeveral"), "{found:?}");
    }
}

/// A job without either holds nothing but what is put between.
#[test]
fn a_job_without_them_has_none() {
    for entry in fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "toml") {
            let readings = job(&fs::read_to_string(&path).unwrap()).readings;
            assert!(
                readings.taken.is_empty() && readings.struck.is_empty(),
                "{}",
                path.display()
            );
        }
    }
}
