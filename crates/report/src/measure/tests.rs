use super::{measure_json, measure_page, words};
use crate::WIDTH;
use crate::reference::{described_wholly, flat};
use instrument::{At, Of};
use saddle::tolerance::Band;
use serde_json::Value;
use units::BenchUnit;
use work::{Hazards, Next, NextStep};

const NUMBERS: [u32; 6] = [6, 5, 4, 3, 2, 1];

fn step(of: Of, places: &[At], tool: &str, sure_to: f64, chance: f64) -> NextStep {
    NextStep {
        of,
        places: places.to_vec(),
        tool: tool.to_owned(),
        sure_to,
        again: false,
        chance,
    }
}

fn every() -> Vec<At> {
    (0..6).map(At::String).collect()
}

fn next() -> Next {
    Next {
        band: Band::default(),
        wished: 0.9,
        now: 0.279,
        kinds: vec![
            step(Of::SaddleHeight, &every(), "micrometer", 0.01, 0.38),
            step(Of::SlotDepth, &[At::End(0), At::End(1)], "depth rod", 0.05, 0.912),
        ],
        singles: vec![
            step(Of::Action { fret: 12 }, &[At::String(5)], "dial indicator", 0.025, 0.3),
            NextStep {
                again: true,
                ..step(Of::Lean, &[At::Whole], "protractor", 0.5f64.to_radians(), 0.31)
            },
            step(Of::Cents { fret: 12 }, &[At::String(0)], "tuner", 3.0, 0.4),
            step(Of::RadiusAt12, &[At::Whole], "radius gauges", 0.05, 0.41),
        ],
        visit: 1,
        no_nut: false,
        shared: false,
    }
}

fn page(next: &Next) -> String {
    for bench in BenchUnit::ALL {
        for line in measure_page("A title", next, &NUMBERS, Hazards::default(), bench).lines() {
            assert!(line.chars().count() <= WIDTH && !line.ends_with(' '), "{line}");
        }
    }
    flat(&measure_page(
        "A title",
        next,
        &NUMBERS,
        Hazards::default(),
        BenchUnit::METRIC,
    ))
}

fn has(text: &str, what: &str) {
    assert!(text.contains(what), "{what}\n{text}");
}

#[test]
fn what_where_with_what_and_how_surely() {
    let text = page(&next());
    has(&text, "the chance is 28 % that every string ends in tolerance");
    has(&text, "Wished for: 90 %.");
    has(
        &text,
        "38 % Height of the present saddle, every string: micrometer, sure to 0.01 mm",
    );
    has(&text, "91.2 % Slot depth, both ends: depth rod, sure to 0.05 mm");
    has(
        &text,
        "30 % Present action at fret 12, string 1: dial indicator, sure to 0.03 mm",
    );
    has(&text, "31 % Lean once more: protractor, sure to 0.5 degrees");
    has(&text, "40 % Cents at fret 12, string 6: tuner, sure to 3.0 cents");
    has(&text, "41 % Board radius at fret 12: radius gauges, sure to 5 %");
    has(&text, "8 readings in all.");
    has(&text, "4 readings in all. The list ends short of 90 %: nothing else");
    has(&text, "Slot depth and lean are read in the empty slot.");
    has(&text, "with that saddle in its slot and the strings at pitch");
    has(&text, "--visit 2");
}

#[test]
fn a_sure_survey_is_asked_for_nothing() {
    let text = page(&Next {
        now: 0.95,
        kinds: Vec::new(),
        singles: Vec::new(),
        ..next()
    });
    has(&text, "make the saddle as planned");
    assert!(!text.contains("BY KINDS"), "{text}");
}

#[test]
fn what_stands_in_the_way_is_said() {
    let bare = Next {
        no_nut: true,
        visit: 2,
        kinds: Vec::new(),
        ..next()
    };
    let text = page(&bare);
    has(&text, "nut.held_at_3");
    has(&text, "read on visit 2");
    has(&text, "Nothing that these tools can read makes the saddle much surer.");
    assert!(!text.contains("--visit 2"), "{text}");
}

#[test]
fn json_has_every_figure() {
    let value: Value = serde_json::from_str(&measure_json("A title", &next(), &NUMBERS).unwrap()).unwrap();
    assert_eq!(value["now"].as_f64(), Some(0.279));
    assert_eq!(value["kinds"][0]["reading"], "saddle_height");
    assert_eq!(value["kinds"][0]["strings"], serde_json::json!([6, 5, 4, 3, 2, 1]));
    assert_eq!(value["kinds"][1]["ends"], serde_json::json!(["bass", "treble"]));
    assert_eq!(value["singles"][0]["fret"], 12);
    assert_eq!(value["singles"][1]["unit"], "rad");
    assert_eq!(value["singles"][3]["unit"], "share");
    described_wholly("bonewright-measure", [value].into_iter());
}

/// Every kind of reading has words and a word of the profiles of its own.
#[test]
fn every_reading_has_its_words() {
    let all = [
        Of::NutTo12,
        Of::Relief,
        Of::RadiusAtNut,
        Of::RadiusAt12,
        Of::Clearance,
        Of::HeldAtThree,
        Of::ZeroFret,
        Of::Action { fret: 5 },
        Of::Action { fret: 12 },
        Of::SlotEdge,
        Of::BridgeTop,
        Of::SlotDepth,
        Of::Lean,
        Of::Contact,
        Of::SaddleHeight,
        Of::SaddleBack,
        Of::Exposure,
        Of::OverBridge,
        Of::Cents { fret: 12 },
        Of::Inharmonicity,
    ];
    let mut names: Vec<String> = all.iter().map(|of| words::name(*of)).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all.len());
    assert!(all.iter().all(|of| !job::reading_word(*of).is_empty()));
}
