//! What is read for filing, for the fit after stringing up and for the sureness arrives in its unit and sign; one string
//! alone is a job too.

use instrument::StrungString;
use instrument::{Paired, Uncertainty};
use job::{Job, Problem, Profiles, Severity, read, read_strung};
use saddle::filing::PresentCrown;
use saddle::plan;

const GOOD: &str = include_str!("good.toml");

fn job(text: &str) -> Job {
    read(text, &Profiles::built_in())
        .unwrap_or_else(|problems| panic!("{}", problems.iter().map(|p| format!("{p}\n")).collect::<String>()))
        .job
}

/// `GOOD` up to its `[filing]`, and more.
fn with(more: &str) -> Job {
    job(&format!("{}{more}", GOOD.split("[filing]").next().unwrap()))
}

#[test]
fn crowns() {
    let filing = with("[filing]\ncrown = \"flat\"\nat_height = true\n")
        .saddle
        .unwrap()
        .filing;
    assert_eq!(filing.crown, [PresentCrown::Flat; 6]);
    assert!(filing.at_height);
    assert_eq!(
        (filing.back, filing.action_12, filing.floor_12),
        (vec![None; 6], vec![None; 6], vec![None; 6])
    );
    let each = with(
        "[filing]\ncrown = [\"planned\", \"facet\", \"flat\", \"rounded\", \"facet\", \"rounded\"]\n\
         fall = [\"-\", 5, \"-\", \"-\", \"1 over 10\", \"-\"]\nradius = [\"-\", \"-\", \"-\", \"0.1 in\", \"-\", 3]\n\
         contact_back = [1, 1.2, \"-\", 1.4, 1.5, 1.6]\n",
    )
    .saddle
    .unwrap()
    .filing;
    let facet = |fall| PresentCrown::Facet { fall };
    assert_eq!(
        each.crown,
        [
            PresentCrown::Planned,
            facet(5f64.to_radians()),
            PresentCrown::Flat,
            PresentCrown::Rounded { radius: 2.54 },
            facet(0.1f64.atan()),
            PresentCrown::Rounded { radius: 3.0 },
        ]
    );
    assert_eq!(each.back, [Some(1.0), Some(1.2), None, Some(1.4), Some(1.5), Some(1.6)]);
    let ends = with("[filing]\naction_12 = { bass = 2.7, treble = 2.0 }\nfloor_12 = 1.5\n")
        .saddle
        .unwrap()
        .filing;
    // Inner strings by their place at fret 12, as anywhere in the job.
    let target = with("").saddle.unwrap().survey.strings;
    for (string, action) in target.iter().zip(&ends.action_12) {
        let share = (2.4 - string.target_action) / 0.6;
        assert!((action.unwrap() - (2.7 - 0.7 * share)).abs() < 1e-12);
    }
    assert_eq!(ends.floor_12, [Some(1.5); 6]);
}

/// The outer strings and no others, or those of the list.
#[test]
fn readings_after_stringing_up() {
    let strung = job(GOOD).strung.unwrap();
    let column = |value: fn(&StrungString) -> Option<f64>| strung.iter().map(value).collect::<Vec<_>>();
    assert_eq!(column(|s| s.action_12), [Some(2.5), None, None, None, None, Some(1.9)]);
    assert_eq!(column(|s| s.clearance), [Some(0.5), None, None, None, None, Some(0.36)]);
    assert_eq!(
        column(|s| s.cents_12),
        [Some(2.0), Some(1.0), Some(0.0), None, Some(3.0), Some(1.0)]
    );
    assert_eq!(strung[4].others, [(5, 2.0)]);
    let two = with(
        "[strung]\naction_12 = [\"0.1 in\", \"-\", \"-\", \"-\", \"-\", \"-\"]\n\
         [[strung.cents_at]]\nfret = 3\ncents = { bass = 1, treble = -1 }\n\
         [[strung.cents_at]]\nfret = 7\ncents = [0, \"-\", 1, 1, 1, 2]\n",
    );
    let strung = two.strung.unwrap();
    assert_eq!(strung[0].action_12, Some(2.54));
    assert_eq!(strung[0].others, [(3, 1.0), (7, 0.0)]);
    assert_eq!(strung[1].others, []);
    assert_eq!(strung[5].others, [(3, -1.0), (7, 2.0)]);
}

/// Per cent in the file, a share inside; in the job and in a file of its own.
#[test]
fn humidity_after_the_work() {
    assert_eq!(job(GOOD).strung.unwrap().humidity, None);
    let strung = "[strung]\nhumidity = 52\naction_12 = { bass = 2.5, treble = 1.9 }\n";
    assert_eq!(with(strung).strung.unwrap().humidity, Some(0.52));
    let text = format!("format = 1\nunit = \"mm\"\n{strung}");
    let (read, doubts) = read_strung(&text, &job(GOOD), &Profiles::built_in()).unwrap();
    assert_eq!((read.humidity, doubts), (Some(0.52), Vec::new()));
    let problems = read_strung(&text.replace("52", "0.52"), &job(GOOD), &Profiles::built_in()).unwrap_err();
    assert_eq!(problems[0].field, "strung.humidity");
}

#[test]
fn tolerance_and_uncertainty() {
    let job = with(
        "[tolerance]\naction = \"4 thou\"\ncents = \"2 cents\"\nconfidence = 0.9\nsamples = 5000\nseed = 7\n\
         [uncertainty]\nlean = \"0.5 deg\"\nrelief = 0\nboard_radius = 0.1\nstretch = 0.2\nstretch_calibrated = 0.1\n\
         made_height = 0.04\nmade_ridge = 0.2\nseating = 0.05\nfirst_fret_clearance = 0.05\n\
         present_action = { total = 0.06, correlation = 1 }\nslot_edge = { total = 0.2 }\nbridge_top = \"5 thou\"\n\
         slot_depth = { total = 0.1, correlation = 0 }\nreference_contact = 0.25\nreference_height = 0.01\nreference_back = 0.15\n\
         nut_to_12 = 0.3\nstraightedge = \"2 thou\"\nfloor_bow = 0.02\nold_seat = 0.04\nmass = 0.03\nends = 0.4\nstand_off = 0.2\n\
         cents = { total = 2, correlation = 0.5 }\nexposure = 0.1\nover_bridge = { total = 0.06, correlation = 1 }\n\
         inharmonicity = 0.04\nbetween_action = 0.07\nbetween_nut = 0.01\ndrift_neck = 0.06\ndrift_top = 0.2\n",
    );
    assert!((job.tolerance.band.action - 0.1016).abs() < 1e-12);
    assert_eq!(job.tolerance.band.cents, 2.0);
    let sampling = job.tolerance.sampling;
    assert_eq!((sampling.samples, sampling.seed, sampling.confidence), (5000, 7, 0.9));
    let half = |total| Paired::correlated(total, 0.5);
    let want = Uncertainty {
        relief: 0.0,
        board_radius: 0.1,
        clearance: half(0.05),
        present_action: Paired {
            shared: 0.06,
            each: 0.0,
        },
        slot_edge: half(0.2),
        bridge_top: half(0.127),
        slot_depth: Paired { shared: 0.0, each: 0.1 },
        lean: 0.5f64.to_radians(),
        reference_contact: half(0.25),
        reference_height: half(0.01),
        reference_back: half(0.15),
        stretch: Some(0.2),
        stretch_calibrated: 0.1,
        seating: 0.05,
        made_height: 0.04,
        made_ridge: 0.2,
        nut_to_12: 0.3,
        straightedge: 0.0508,
        floor_bow: 0.02,
        old_seat: 0.04,
        mass: 0.03,
        ends: 0.4,
        stand_off: 0.2,
        cents: half(2.0),
        exposure: half(0.1),
        over_bridge: Paired {
            shared: 0.06,
            each: 0.0,
        },
        inharmonicity: 0.04,
        between_action: 0.07,
        between_nut: 0.01,
        drift_neck: 0.06,
        drift_top: 0.2,
    };
    assert_eq!(job.uncertainty, want);
    // Of cents most is in common, unless the job says how much.
    for cents in ["2", "\"2 cents\"", "{ total = 2 }"] {
        let job = with(&format!("[uncertainty]\ncents = {cents}\n"));
        assert_eq!(job.uncertainty.cents, Paired::correlated(2.0, 0.8));
    }
}

#[test]
fn a_stretch_factor_scales_the_stiffness_and_nothing_else() {
    let plain = with("");
    let scaled = with("[[string]]\nnumber = 4\nstretch_factor = 1.25\n");
    for (a, b) in plain
        .saddle
        .as_ref()
        .unwrap()
        .survey
        .strings
        .iter()
        .zip(&scaled.saddle.as_ref().unwrap().survey.strings)
    {
        let mut want = a.clone();
        if a.number == 4 {
            want.model.stiffness = a.model.stiffness.scaled(1.25);
            want.stretch_found = true;
            assert_ne!(&want, a);
        }
        assert_eq!(&want, b);
    }
}

/// With a reference saddle the action that it stood at may differ from the present one.
#[test]
fn a_reference_saddle_has_an_action_of_its_own() {
    let by_reference = |action: &str| {
        let text = GOOD
            .replace("read_by = \"straightedge\"", "read_by = \"reference saddle\"")
            .replace("edge_from_fret_12 = { bass = 324.5, treble = 323 }\n", "")
            .replace("bridge_top = { bass = 0.4, treble = 0.5 }\n", "");
        let reference = "[slot.reference]\ncontact_from_fret_12 = 325.5\nheight = 9\nback = 1.6\n";
        job(&text.replace("[bridge]", &format!("{reference}{action}\n[bridge]")))
            .saddle
            .unwrap()
            .survey
            .slot
    };
    let own = by_reference("action_12 = { bass = 2.8, treble = 2.2 }");
    assert_eq!(by_reference(""), own);
    assert_ne!(by_reference("action_12 = 2.9"), own);
}

const SECOND: &str = "format = 1\nunit = \"mm\"\n[strung]\naction_12 = { bass = 2.5, treble = 1.9 }\n\
                      first_fret_clearance = { bass = 0.5, treble = 0.36 }\ncents_12 = [2, 1, 0, \"-\", 3, 1]\n\
                      cents_at = [{ fret = 5, cents = [1, 1, 0, 0, 2, 1] }]\n";

#[test]
fn a_second_file_gives_the_same_readings() {
    let job = job(GOOD);
    let (strung, doubts) = read_strung(SECOND, &job, &Profiles::built_in()).unwrap();
    assert_eq!(Some(strung), job.strung);
    assert_eq!(doubts, []);
}

/// All problems at once, in line order, each with its line.
#[test]
fn a_second_file_is_refused_with_reasons() {
    let job = job(GOOD);
    let problems = |text: &str| -> Vec<Problem> {
        match read_strung(text, &job, &Profiles::built_in()) {
            Ok((_, doubts)) => doubts,
            Err(problems) => {
                assert!(problems.iter().any(|p| p.severity == Severity::Error));
                problems
            }
        }
    };
    for (from, to, line, field, word) in [
        ("format = 1", "format = 2", Some(1), "format", "OtherFormat"),
        ("format = 1\n", "", None, "format", "Missing"),
        ("format = 1", "format = 1\ntitle = \"a\"", Some(2), "title", "Unknown"),
        ("[strung]", "[slot]", Some(3), "slot", "Unknown"),
        ("[strung]", "[stung]", Some(3), "stung", "Unknown"),
        ("[strung]", "[slot]", None, "strung", "Missing"),
        ("unit = \"mm\"\n", "", Some(3), "strung.action_12.bass", "NoUnit"),
        ("bass = 2.5", "bass = 25", Some(4), "strung.action_12.bass", "Outside"),
        ("bass = 2.5", "bass = 8", Some(4), "strung.action_12.bass", "Doubtful"),
        (
            "[2, 1, 0, \"-\", 3, 1]",
            "[2, 1, 0]",
            Some(6),
            "strung.cents_12",
            "Count",
        ),
        ("[2, 1, 0, \"-\", 3, 1]", "[2, 1, = 0]", Some(6), "", "Layout"),
    ] {
        let found = problems(&SECOND.replace(from, to));
        let hit = found
            .iter()
            .find(|p| p.field == field && p.line == line && p.name() == word);
        assert!(hit.is_some(), "{to}: {found:?}");
        assert!(found.is_sorted_by_key(|p| p.line));
    }
    let two = problems(
        &SECOND
            .replace("bass = 2.5", "bass = 25")
            .replace("fret = 5", "fret = 15"),
    );
    assert_eq!(two.len(), 2, "{two:?}");
}

const ONE: &str = "format = 1\ntitle = \"One string\"\nunit = \"mm\"\n\
                   [instrument]\nscale = 645\njoint_fret = 14\nrelief = 0.2\nboard_radius = 300\n\
                   [strings]\n[[string]]\nnumber = 1\nnote = \"G3\"\ngauge = 0.43\nkind = \"plain\"\nmaterial = \"steel\"\n\
                   [nut]\nfirst_fret_clearance = 0.4\n[present]\naction_12 = 2.4\n\
                   [target]\naction_12 = { bass = 2, treble = 2 }\nintonation = \"octave\"\n\
                   [slot]\nread_by = \"straightedge\"\nedge_from_fret_12 = 322.7\nbridge_top = 0.5\ndepth = 5\nlean = 3\nwidth = 3.2\n\
                   [blank]\nkind = \"through\"\nmaterial = \"bone\"\nthickness = 3.2\nheight = 12\nlength = 20\n\
                   [strung]\naction_12 = 2.1\ncents_12 = 1\n";

#[test]
fn one_string_alone_is_planned() {
    let job = job(ONE);
    let plan = plan(&job.saddle.as_ref().unwrap().survey).unwrap();
    assert_eq!(plan.strings.len(), 1);
    assert!((plan.strings[0].action_12 - 2.0).abs() < 1e-9);
    assert!(
        plan.strings[0].run.nut == 0.0 && plan.frame.e_u.y == 1.0,
        "square across: {:?}",
        plan.frame
    );
    let strung = job.strung.unwrap();
    assert_eq!(
        (strung.len(), strung[0].action_12, strung[0].cents_12),
        (1, Some(2.1), Some(1.0))
    );
}

#[test]
fn one_string_has_no_two_ends() {
    for (from, to, field, severity, word) in [
        (
            "depth = 5",
            "depth = { bass = 5, treble = 5.1 }",
            "slot.depth.treble",
            Severity::Error,
            "EndsOfOneString",
        ),
        (
            "bridge_top = 0.5",
            "bridge_top = { bass = 0.5, treble = 0.4 }",
            "slot.bridge_top.treble",
            Severity::Error,
            "EndsOfOneString",
        ),
        (
            "{ bass = 2, treble = 2 }",
            "{ bass = 2, treble = 2.1 }",
            "target.action_12.treble",
            Severity::Error,
            "EndsOfOneString",
        ),
        (
            "clearance = 0.4",
            "clearance = { bass = 0.4, treble = 0.3 }",
            "nut.first_fret_clearance.treble",
            Severity::Error,
            "EndsOfOneString",
        ),
        (
            "action_12 = 2.1",
            "action_12 = { bass = 2.1, treble = 2.2 }",
            "strung.action_12.treble",
            Severity::Error,
            "EndsOfOneString",
        ),
        (
            "[strings]",
            "[strings]\nsaddle_spread = 50",
            "strings.saddle_spread",
            Severity::Warning,
            "SpreadOfOneString",
        ),
        (
            "[strings]",
            "[strings]\ncourses = \"pairs\"",
            "strings.courses",
            Severity::Error,
            "OddPairs",
        ),
    ] {
        let found = match read(&ONE.replace(from, to), &Profiles::built_in()) {
            Ok(checked) => checked.warnings,
            Err(problems) => problems,
        };
        let hit = found
            .iter()
            .find(|p| p.field == field && p.severity == severity && p.name() == word);
        assert!(hit.is_some_and(|p| p.line.is_some()), "{to}: {found:?}");
    }
    // The same value at both is one value.
    let same = ONE.replace("depth = 5", "depth = { bass = 5, treble = 5 }");
    assert_eq!(job(&same).saddle.unwrap().survey, job(ONE).saddle.unwrap().survey);
}
