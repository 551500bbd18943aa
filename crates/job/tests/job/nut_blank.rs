//! `[nut_blank]`: what is read, what is refused, and the two ways to say how high the slots shall be.

use instrument::NewGap;
use job::{Job, Problem, Profiles, Severity, read};
use nut::{Front, Outer, TopShape};
use std::sync::LazyLock;

static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

const BLANK: &str = r#"
[nut_blank]
board_width = 43.5
fret_height = 1.0
seat = 3.1
material = "bone"
thickness = 5
height = 9
"#;

/// The good job of the refusals with a nut to be made, its strings placed by margin.
fn good(margin: &str, more: &str) -> String {
    include_str!("good.toml")
        .replace("nut_spread = 36.5\n", "")
        .replace("setback = 0\n", "new_clearance = { bass = 0.5, treble = 0.36 }\n")
        + BLANK
        + margin
        + "\n"
        + more
}

const TO_SIDE: &str = "margin = { bass = 3.0, treble = 2.8 }\nmargin_to = \"side\"";

fn job(text: &str) -> Job {
    let checked = read(text, &PROFILES).unwrap_or_else(|problems| {
        panic!("{}", problems.iter().map(|p| format!("{p}\n")).collect::<String>());
    });
    assert_eq!(checked.warnings, []);
    checked.job
}

#[test]
fn margins_place_the_strings_at_the_nut() {
    let job = job(&good(TO_SIDE, "headstock = 14\ntop = 300\nshows = 0.4"));
    let made = job.nut.unwrap();
    assert_eq!(made.survey.outer, Outer::ToSide([3.0, 2.8]));
    assert_eq!(made.survey.wound, [true, true, true, true, false, false]);
    assert_eq!(
        (made.survey.front, made.survey.top),
        (Front::Plain, TopShape::Arc(300.0))
    );
    assert!((made.survey.headstock.angle.to_degrees() - 14.0).abs() < 1e-12);
    assert_eq!(made.survey.blank.length, 43.5);
    let (first, last) = (
        &job.saddle.as_ref().unwrap().survey.strings[0],
        &job.saddle.as_ref().unwrap().survey.strings[5],
    );
    let half = |s: &saddle::StringSurvey| 0.5 * s.model.outer_diameter;
    assert!((first.run.nut - half(first) + 21.75 - 3.0).abs() < 1e-9);
    assert!((21.75 - last.run.nut - half(last) - 2.8).abs() < 1e-9);
    // The saddle's places do not move with them.
    assert!((first.run.y(645.0f64) + 27.5).abs() < 1e-9 && (last.run.y(645.0f64) - 27.5).abs() < 1e-9);
}

#[test]
fn a_spread_places_them_too() {
    let text = good("", "").replace("nut_spacing", "nut_spread = 36.5\nnut_spacing");
    let made = job(&text).nut.unwrap();
    assert_eq!(made.survey.outer, Outer::Spread(36.5));
}

#[test]
fn the_gap_is_asked_for_open_or_held_at_fret_3() {
    let open = good(TO_SIDE, "").replace("new_clearance = { bass = 0.5, treble = 0.36 }", "new_clearance = 0.4");
    let held = open.replace("new_clearance = 0.4", "new_held_at_3 = 0.12");
    for (text, gap) in [(open, NewGap::Open(0.4)), (held, NewGap::HeldAtThree(0.12))] {
        let job = job(&text);
        assert_eq!(job.nut.unwrap().gaps, vec![gap; 6]);
        let strings = job.saddle.unwrap().survey.strings;
        assert!(strings.iter().all(|s| s.new_gap == Some(gap)));
    }
}

#[test]
fn a_setback_is_a_shelf_unless_said() {
    let with = |more: &str| {
        let text = good(TO_SIDE, more).replace("intonation = \"octave\"", "intonation = \"best-fit-with-nut\"");
        job(&text).nut.unwrap().survey.front
    };
    assert_eq!(with(""), Front::Shelf);
    assert_eq!(with("front = \"straight\""), Front::Straight);
}

#[test]
fn posts_are_read_per_string() {
    let posts = "post_back = [60, 100, 140, 140, 100, 60]\npost_across = [-22, -24, -26, 26, 24, 22]\npost_below = 12";
    let posts = job(&good(TO_SIDE, posts)).nut.unwrap().survey.headstock.posts.unwrap();
    assert_eq!(
        (posts[1].back, posts[1].across, posts[1].below),
        (100.0, -24.0, Some(12.0))
    );
}

#[test]
fn what_is_wrong_is_said_where_it_stands() {
    let problems = |text: &str| -> Vec<Problem> {
        match read(text, &PROFILES) {
            Ok(checked) => checked.warnings,
            Err(problems) => problems,
        }
    };
    let (e, w) = (Severity::Error, Severity::Warning);
    let spread = good(TO_SIDE, "").replace("nut_spacing", "nut_spread = 36.5\nnut_spacing");
    let both = good(TO_SIDE, "").replace("new_clearance", "new_held_at_3 = 0.1\nnew_clearance");
    let none = good(TO_SIDE, "").replace("new_clearance = { bass = 0.5, treble = 0.36 }\n", "");
    let nowhere = good("", "");
    let rows: [(&str, String, &str, Severity, &str); 17] = [
        (
            "spread and margin",
            spread,
            "strings.nut_spread",
            e,
            "SpreadBesideMargin",
        ),
        ("no place", nowhere, "strings.nut_spread", e, "Missing"),
        ("both gaps", both, "nut.new_held_at_3", e, "NutWantedTwice"),
        ("no height", none, "nut_blank", w, "NoNutPlanned"),
        ("to what", good("margin = 3", ""), "nut_blank.margin_to", e, "Missing"),
        (
            "no margin",
            good("margin_to = \"side\"", ""),
            "nut_blank.margin_to",
            e,
            "NoMargin",
        ),
        (
            "word",
            good("margin = 3\nmargin_to = \"edge\"", ""),
            "nut_blank.margin_to",
            e,
            "NoSuchWord",
        ),
        (
            "wide",
            good(TO_SIDE, "").replace("board_width = 43.5", "board_width = 435"),
            "nut_blank.board_width",
            e,
            "Outside",
        ),
        (
            "tight",
            good("margin = 14\nmargin_to = \"side\"", "").replace("board_width = 43.5", "board_width = 30"),
            "nut_blank.margin",
            e,
            "TooTight",
        ),
        (
            "short",
            good(TO_SIDE, "length = 43"),
            "nut_blank.length",
            e,
            "NutShorterThanBoard",
        ),
        (
            "material",
            good(TO_SIDE, "").replace(
                "material = \"bone\"\nthickness = 5",
                "material = \"bon\"\nthickness = 5",
            ),
            "nut_blank.material",
            e,
            "NoSuchName",
        ),
        (
            "front",
            good(TO_SIDE, "front = \"shelf\""),
            "nut_blank.front",
            e,
            "FrontWithoutSetback",
        ),
        (
            "post",
            good(TO_SIDE, "post_back = 60"),
            "nut_blank.post_across",
            e,
            "Missing",
        ),
        (
            "across",
            good(TO_SIDE, "post_below = 9"),
            "nut_blank.post_back",
            e,
            "Missing",
        ),
        ("shows", good(TO_SIDE, "shows = 2"), "nut_blank.shows", e, "Outside"),
        (
            "misspelt",
            good(TO_SIDE, "heigth = 3"),
            "nut_blank.heigth",
            e,
            "Unknown",
        ),
        (
            "fret",
            good(TO_SIDE, "").replace("fret_height = 1.0", "fret_height = 1.9"),
            "nut_blank.fret_height",
            w,
            "Doubtful",
        ),
    ];
    for (name, text, field, severity, word) in rows {
        let found = problems(&text);
        assert!(
            found
                .iter()
                .any(|p| p.field == field && p.severity == severity && p.name() == word),
            "{name}: {found:#?}"
        );
    }
}

/// Of a nut alone, what `[target]` says that it cannot is told at its line with how to mend it; nothing else is.
#[test]
fn a_target_over_a_saddle_that_stays_is_said_where_it_stands() {
    let alone = include_str!("../../../../examples/nut-only.toml");
    let (before, _) = alone.split_once("[target]").unwrap();
    let head = before.lines().count() + 1;
    let leave = "leave [target] out for a nut without them.";
    let rows = [
        ("", "target.intonation", 0, leave),
        ("action_12 = \"5/64\"", "target.action_12", 1, "The saddle stays"),
        ("intonation = \"octave\"", "target.intonation", 1, leave),
        (
            "intonation = \"octaves\"",
            "target.intonation",
            1,
            "Did you mean \"octave\"?",
        ),
        (
            "intonation = \"best-fit-with-nut\"\noffsets = 0.1",
            "target.offsets",
            2,
            "The saddle stays",
        ),
    ];
    for (target, field, line, mend) in rows {
        let found = read(&format!("{before}[target]\n{target}\n"), &PROFILES).unwrap_err();
        let hit = found
            .iter()
            .find(|p| p.field == field)
            .unwrap_or_else(|| panic!("{target}: {found:?}"));
        assert_eq!((hit.severity, hit.line), (Severity::Error, Some(head + line)), "{hit}");
        assert!(hit.what().contains(mend), "{hit}");
    }
    for target in ["", "[target]\nintonation = \"best-fit-with-nut\"\n"] {
        let nut = job(&format!("{before}{target}")).nut.unwrap();
        assert_eq!(nut.survey.front == Front::Plain, target.is_empty());
    }
}
