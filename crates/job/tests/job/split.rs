//! `[[saddle]]`: several saddles, each with what is its own laid over what is common.

use std::fs;

use job::{Job, Problem, ProblemKind, Profiles, Severity, read};
use saddle::BlankKind;

fn text() -> String {
    fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/split-saddle.toml")).unwrap()
}

fn job(text: &str) -> Job {
    read(text, &Profiles::built_in()).unwrap().job
}

/// The example with one line in place of another.
fn with(old: &str, new: &str) -> String {
    let text = text();
    assert_eq!(text.matches(old).count(), 1, "{old}");
    text.replacen(old, new, 1)
}

fn errors(text: &str) -> Vec<Problem> {
    let problems = read(text, &Profiles::built_in()).unwrap_err();
    let errors = problems.into_iter().filter(|p| p.severity == Severity::Error);
    // A saddle that carries other strings than it was cut for is too short for them besides.
    errors
        .filter(|p| !matches!(p.kind, ProblemKind::StringOffBlank { .. }))
        .collect()
}

fn line_of(text: &str, what: &str) -> Option<usize> {
    text.lines().position(|line| line.contains(what)).map(|at| at + 1)
}

#[test]
fn each_saddle_has_its_own_and_what_is_common() {
    let job = job(&text());
    assert!(job.saddle.is_none() && !job.saddle_stays() && job.instrument.strings.len() == 6);
    let [bass, treble] = &job.split[..] else {
        panic!("two saddles")
    };
    assert_eq!(
        [&bass.name, &treble.name].map(|n| n.as_deref()),
        [Some("bass"), Some("treble")]
    );
    let numbers = |job: &Job| job.instrument.strings.iter().map(|s| s.number).collect::<Vec<_>>();
    assert_eq!((numbers(bass), numbers(treble)), (vec![6, 5, 4, 3], vec![2, 1]));
    for (one, length, depth) in [(bass, 43.8, 5.2), (treble, 20.8, 5.0)] {
        let made = one.saddle.as_ref().unwrap();
        let survey = &made.survey;
        assert_eq!(survey.strings.len(), one.instrument.strings.len());
        // Its own.
        assert_eq!((survey.blank.length, made.cut.stock.length), (length, length));
        let instrument::SlotSurvey::Straightedge(ends) = survey.slot else {
            panic!()
        };
        assert_eq!(ends.map(|end| end.depth), [depth, depth]);
        // Common.
        assert_eq!((survey.blank.thickness, survey.blank.kind), (3.2, BlankKind::DropIn));
        assert_eq!(survey.slot_width, Some(3.25));
        assert_eq!(made.assess.front_wall, Some([7.0, 7.0]));
        assert_eq!(made.assess.wound.len(), survey.strings.len());
        assert_eq!(made.filing.crown.len(), survey.strings.len());
    }
    // What is given per string is over all strings.
    let targets = job
        .saddles()
        .flat_map(|made| &made.survey.strings)
        .map(|s| s.target_action);
    let targets: Vec<f64> = targets.collect();
    assert_eq!((targets[0], targets[5]), (2.4, 1.8));
    assert!(targets.windows(2).all(|two| two[0] > two[1]));
}

#[test]
fn the_order_in_the_file_does_not_matter() {
    let text = text();
    let (head, rest) = text.split_once("[[saddle]]").unwrap();
    let (bass, rest) = rest.split_once("[[saddle]]").unwrap();
    let (treble, tail) = rest.split_once("[neck]").unwrap();
    let turned = format!("{head}[[saddle]]{treble}[[saddle]]{bass}[neck]{tail}");
    assert_eq!(job(&turned), job(&text));
    let turned = text.replace("[6, 5, 4, 3]", "[3, 5, 4, 6]");
    assert_eq!(job(&turned), job(&text));
}

#[test]
fn a_filing_of_its_own_runs_over_its_own_strings() {
    let common =
        text() + "[filing]\ncrown = [\"flat\", \"flat\", \"flat\", \"flat\", \"planned\", \"facet\"]\nfall = 3\n";
    let made = |text: &str| {
        let job = job(text);
        job.saddles().map(|made| made.filing.crown.clone()).collect::<Vec<_>>()
    };
    use saddle::filing::PresentCrown::{Facet, Flat, Planned};
    let facet = Facet {
        fall: 3f64.to_radians(),
    };
    assert_eq!(made(&common), [vec![Flat; 4], vec![Planned, facet]]);
    let own = common.replacen("[neck]", "[saddle.filing]\ncrown = [\"flat\", \"planned\"]\n[neck]", 1);
    assert_eq!(made(&own), [vec![Flat; 4], vec![Flat, Planned]]);
}

#[test]
fn every_problem_is_told_once_with_its_line_and_its_saddle() {
    // In a common table: once, though it is read for each saddle.
    let bad = with("width = 3.25", "width = \"wide\"\nwidht = 3");
    let found = errors(&bad);
    let fields: Vec<_> = found.iter().map(|p| (p.field.as_str(), p.line)).collect();
    assert_eq!(
        fields,
        [
            ("slot.width", line_of(&bad, "width = \"wide\"")),
            ("slot.widht", line_of(&bad, "widht"))
        ]
    );
    // In a saddle's own.
    let bad = with("length = 20.8", "length = 20.8\nbass_end = \"x\"").replacen("length = 43.8", "lenght = 43.8", 1);
    let found = errors(&bad);
    let fields: Vec<_> = found.iter().map(|p| (p.field.as_str(), p.name())).collect();
    assert_eq!(
        fields,
        [
            ("saddle[1].blank.length", "Missing"),
            ("saddle[1].blank.lenght", "Unknown"),
            ("saddle[2].blank.bass_end", "Unreadable"),
        ]
    );
}

#[test]
fn who_carries_what_is_refused_where_it_is_not_sound() {
    let kinds = |text: &str| errors(text).into_iter().map(|p| (p.line, p.kind)).collect::<Vec<_>>();
    let twice = with("strings = [2, 1]", "strings = [3, 2, 1]");
    let at = line_of(&twice, "[3, 2, 1]");
    let name = "bass".to_owned();
    assert_eq!(kinds(&twice), [(at, ProblemKind::CarriedTwice { string: 3, name })]);

    let none = with("strings = [6, 5, 4, 3]", "strings = [6, 5, 4]");
    let strings = "string 3".to_owned();
    assert_eq!(
        kinds(&none),
        [(line_of(&none, "[[saddle]]"), ProblemKind::NotCarried { strings })]
    );

    let apart = with("strings = [6, 5, 4, 3]", "strings = [6, 5, 4, 1]").replace("[2, 1]", "[3, 2]");
    assert_eq!(
        kinds(&apart),
        [(line_of(&apart, "[6, 5, 4, 1]"), ProblemKind::NotNeighbours {})]
    );

    let alike = with("name = \"treble\"", "name = \"Bass\"");
    assert_eq!(
        kinds(&alike),
        [(
            line_of(&alike, "\"Bass\""),
            ProblemKind::SaddlesAlike {
                name: "bass".to_owned()
            }
        )]
    );

    for name in [
        "nut",
        "both",
        "saddle",
        "two words",
        "1st",
        "",
        "a-b",
        "ümlaut",
        "averyveryverylongname",
    ] {
        let bad = with("name = \"treble\"", &format!("name = \"{name}\""));
        assert_eq!(
            kinds(&bad),
            [(line_of(&text(), "\"treble\""), ProblemKind::SaddleName {})],
            "{name}"
        );
    }
    assert_eq!(errors(&apart)[0].field, "saddle[1].strings");
    let seventh = with("strings = [6, 5, 4, 3]", "strings = [7, 6, 5, 4, 3]");
    let found = kinds(&seventh);
    assert_eq!(
        found,
        [(
            line_of(&seventh, "[7"),
            ProblemKind::NoSuchString { string: 7, strings: 6 }
        )]
    );
    for words in ["[]", "\"6 to 3\"", "[6, 5.5]", "[-1]"] {
        let bad = with("strings = [6, 5, 4, 3]", &format!("strings = {words}"));
        assert_eq!(
            kinds(&bad),
            [(line_of(&text(), "[6, 5, 4, 3]"), ProblemKind::StringsOfSaddle {})],
            "{words}"
        );
    }
}

#[test]
fn one_saddle_or_none_is_no_several() {
    let text = text();
    let (head, rest) = text.split_once("[[saddle]]").unwrap();
    let (bass, rest) = rest.split_once("[[saddle]]").unwrap();
    let (_, tail) = rest.split_once("[neck]").unwrap();
    let one = format!("{head}[[saddle]]{bass}[neck]{tail}");
    let found: Vec<_> = errors(&one).into_iter().map(|p| p.kind).collect();
    assert_eq!(found, [ProblemKind::OneSaddle {}]);
    for saddle in ["saddle = 3", "saddle = []", "saddle = [1, 2]", "saddle = {}"] {
        let bad = format!("{saddle}\n{head}[neck]{tail}");
        let found: Vec<_> = errors(&bad).into_iter().map(|p| (p.line, p.kind)).collect();
        assert_eq!(found, [(Some(1), ProblemKind::NotSaddles {})], "{saddle}");
    }
}

#[test]
fn a_table_that_nobody_gives_is_missing_from_the_saddle() {
    let (head, tail) = {
        let text = text();
        let (head, rest) = text.split_once("[blank]").unwrap();
        let (_, tail) = rest.split_once("[[saddle]]").unwrap();
        (head.to_owned(), tail.to_owned())
    };
    let bad = format!("{head}[[saddle]]{tail}").replacen("[saddle.blank]\nlength = 20.8\n", "", 1);
    let found = errors(&bad);
    assert!(
        found
            .iter()
            .any(|p| p.field == "saddle[2].blank" && p.name() == "Missing"),
        "{found:?}"
    );
}

#[test]
fn a_saddle_of_one_string_has_one_reading() {
    let one = with("strings = [6, 5, 4, 3]", "strings = [6, 5, 4, 3, 2]")
        .replace("[2, 1]", "[1]")
        .replace("{ bass = 9.5, treble = 10 }", "10");
    let found: Vec<_> = errors(&one).into_iter().map(|p| (p.field, p.kind)).collect();
    let kind = || ProblemKind::EndsOfOneString {};
    let fields = [
        "saddle[2].slot.edge_from_fret_12.treble",
        "saddle[2].slot.bridge_top.treble",
    ];
    assert_eq!(found, fields.map(|field| (field.to_owned(), kind())));
    let sound = one
        .replace("{ bass = 325.6, treble = 324.4 }", "324.4")
        .replace("{ bass = 0.6, treble = 0.3 }", "0.3")
        .replace("length = 44\n", "length = 55\n")
        .replace("length = 43.8", "length = 54.8");
    let job = job(&sound);
    assert_eq!(job.split[1].instrument.strings.len(), 1);
    assert!(saddle::plan(&job.split[1].saddle.as_ref().unwrap().survey).is_ok());
}
