//! A second wished action, and other tunings and sets: what is read, and what is refused.

use job::{Problem, Profiles, Severity, read};
use saddle::{ActionWish, SaddleSurvey};
use std::sync::LazyLock;

const GOOD: &str = include_str!("good.toml");
static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);
const INTONATION: &str = "intonation = \"octave\"";
const DROPPED: &str = "tuning = [\"D2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]";
const MAIN: &str = "tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]";

fn with(target: &str, also: &str) -> String {
    GOOD.replace(INTONATION, &format!("{INTONATION}\n{target}")) + "\n" + also
}

fn survey(target: &str, also: &str) -> SaddleSurvey {
    let checked = read(&with(target, also), &PROFILES).unwrap_or_else(|p| panic!("{p:?}"));
    assert_eq!(checked.warnings, []);
    checked.job.saddle.unwrap().survey
}

fn problems(text: &str) -> Vec<Problem> {
    read(text, &PROFILES).map_or_else(|problems| problems, |checked| checked.warnings)
}

#[test]
fn a_second_action_is_read_per_string() {
    let strings = survey("action_at = { fret = 5, action = { bass = 1.5, treble = 1.1 } }", "").strings;
    let wish = |action| {
        Some(ActionWish {
            fret: 5,
            action,
            weight: 1.0,
        })
    };
    assert_eq!((strings[0].action_at, strings[5].action_at), (wish(1.5), wish(1.1)));
    let inner = strings[2].action_at.unwrap().action;
    assert!((1.2..1.4).contains(&inner), "{inner}");
    let one = survey("action_at = { fret = 17, action = 3, weight = 0.25 }", "").strings;
    let one = one[3].action_at.unwrap();
    assert_eq!((one.fret, one.action, one.weight), (17, 3.0, 0.25));
}

#[test]
fn tunings_and_sets_are_read() {
    let plain = survey("", "");
    assert!(plain.strings.iter().all(|s| s.also.is_empty() && s.action_at.is_none()));
    let also = format!(
        "[[also]]\n{DROPPED}\n[[also]]\nset = \"medium bronze 13-56\"\nweight = 0.5\n[[also]]\nname = \"light and low\"\nset = \"extra light bronze 11-52\"\n{DROPPED}\n"
    );
    let survey = survey("", &also);
    for (i, s) in survey.strings.iter().enumerate() {
        let [dropped, medium, light] = s.also.as_slice() else {
            panic!("{:?}", s.also)
        };
        let names = [&dropped.name, &medium.name, &light.name].map(String::as_str);
        assert_eq!(names, ["tuning 2", "medium bronze 13-56", "light and low"]);
        assert_eq!([dropped.weight, medium.weight, light.weight], [1.0, 0.5, 1.0]);
        assert!(dropped.model.is_none(), "the same string, tuned otherwise");
        assert_eq!((medium.note.as_str(), medium.frequency), (s.note.as_str(), s.frequency));
        let gauges = [light.model.unwrap(), s.model, medium.model.unwrap()].map(|model| model.outer_diameter);
        assert!(
            gauges[0] <= gauges[1] && gauges[1] <= gauges[2] && gauges[0] < gauges[2],
            "{gauges:?}"
        );
        let down = dropped.frequency / s.frequency;
        let wanted = if i == 0 { (-2.0f64 / 12.0).exp2() } else { 1.0 };
        assert!(
            (down - wanted).abs() < 1e-12 && light.frequency == dropped.frequency,
            "{i}"
        );
    }
}

#[test]
fn what_cannot_be_wished_is_refused() {
    use Severity::{Error, Warning};
    let at = |rest: &str| with(&format!("action_at = {rest}"), "");
    let also = |rest: &str| with("", &format!("[[also]]\n{rest}\n"));
    let twice = format!("{DROPPED}\n[[also]]\n{DROPPED}");
    let named = format!("name = \"a\"\n{DROPPED}\n[[also]]\nname = \"a\"\nset = \"medium bronze 13-56\"");
    let long = format!("name = \"{}\"\n{DROPPED}", "a".repeat(41));
    let new_nut = at("{ fret = 1, action = 0.4 }").replace(
        "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nsetback",
        "first_fret_clearance = { bass = 0.5, treble = 0.35 }\nnew_clearance = 0.4\nsetback",
    );
    let nut_only = "[[also]]\nset = \"medium bronze 13-56\"\n";
    for (text, field, severity, word) in [
        (
            at("{ fret = 12, action = 2 }"),
            "target.action_at.fret",
            Error,
            "WishAtTwelve",
        ),
        (
            at("{ fret = 25, action = 2 }"),
            "target.action_at.fret",
            Error,
            "Outside",
        ),
        (at("{ fret = 5 }"), "target.action_at.action", Error, "Missing"),
        (at("{ action = 1.5 }"), "target.action_at.fret", Error, "Missing"),
        (
            at("{ fret = 5, action = [1.5, 1.2] }"),
            "target.action_at.action",
            Error,
            "Count",
        ),
        (
            at("{ fret = 5, action = 1.5, weight = -1 }"),
            "target.action_at.weight",
            Error,
            "Outside",
        ),
        (
            at("{ fret = 5, action = 1.5, frett = 3 }"),
            "target.action_at.frett",
            Error,
            "Unknown",
        ),
        (at("1.5"), "target.action_at", Error, "Expected"),
        (new_nut, "target.action_at.fret", Error, "WishAtOne"),
        (also(""), "also[1]", Error, "AlsoNothing"),
        (also("weight = 2"), "also[1]", Error, "AlsoNothing"),
        (
            also("tuning = [\"D2\", \"A2\", \"D3\"]"),
            "also[1].tuning",
            Error,
            "Count",
        ),
        (
            also("tuning = [\"E3\", \"A2\", \"D3\", \"G3\", \"B3\", \"E4\"]"),
            "also[1].tuning[1]",
            Error,
            "TensionOutside",
        ),
        (
            also("tuning = [\"E2\", \"A2\", \"D3\", \"G3\", \"E2\", \"E4\"]"),
            "also[1].tuning[5]",
            Warning,
            "TensionDoubtful",
        ),
        (
            also("set = \"nylon normal tensoin\""),
            "also[1].set",
            Error,
            "NoSuchName",
        ),
        (
            also("set = \"baritone ukulele DGBE\""),
            "also[1].set",
            Error,
            "AlsoCount",
        ),
        (also(MAIN), "also[1]", Warning, "AlsoTwice"),
        (also("set = \"light bronze 12-53\""), "also[1]", Warning, "AlsoTwice"),
        (also(&twice), "also[2]", Warning, "AlsoTwice"),
        (also(&named), "also[2]", Error, "AlsoNameTwice"),
        (also(&long), "also[1].name", Error, "LongName"),
        (
            also(&format!("name = \" \"\n{DROPPED}")),
            "also[1].name",
            Error,
            "Expected",
        ),
        (
            also(&format!("weight = 2000\n{DROPPED}")),
            "also[1].weight",
            Error,
            "Outside",
        ),
        (
            also(&format!("wieght = 2\n{DROPPED}")),
            "also[1].wieght",
            Error,
            "Unknown",
        ),
        (with("", &format!("[also]\n{DROPPED}\n")), "also", Error, "AlsoInOne"),
        (
            include_str!("../../../../examples/nut-only.toml").to_owned() + nut_only,
            "also",
            Warning,
            "TableOfASaddle",
        ),
    ] {
        let found = problems(&text);
        let hit = found
            .iter()
            .any(|p| p.field == field && p.severity == severity && p.name() == word);
        let list: String = found
            .iter()
            .map(|p| format!("\n  {} {} {p}", p.field, p.name()))
            .collect();
        assert!(hit, "no {severity:?} {word} of {field} in{list}\n{text}");
        assert!(
            severity == Error || found.iter().all(|p| p.severity == Warning),
            "{list}"
        );
    }
}
