//! Page, notes and JSON of a nut.

use super::*;
use crate::fixture::survey;
use crate::reference::{described_wholly, flat};
use crate::{Note, NoteTopic, WIDTH};
use instrument::StringRun;
use instrument::StrungString;
use numerics::math;
use nut::{Front, NutSurvey, Outer, Together, spacing, together};
use saddle::SaddleSurvey;
use strings::Criterion;
use units::BenchUnit;
use work::{Hazards, NutSureness, SlotLimits, SlotsRead};

fn nut_survey() -> NutSurvey {
    NutSurvey {
        board_width: 44.0,
        outer: Outer::ToSide([3.0, 3.0]),
        front: Front::Shelf,
        ..fixtures::nut_survey()
    }
}

fn saddle_survey(nut: &NutSurvey) -> SaddleSurvey {
    let mut survey = survey();
    let gauges: Vec<f64> = survey.strings.iter().map(|s| s.model.outer_diameter).collect();
    let y = spacing::centres(nut.outer, nut.board_width, nut.rule, &gauges, &nut.courses).unwrap();
    for (i, s) in survey.strings.iter_mut().enumerate() {
        s.run = StringRun::between(y[i], s.run.y(610.0), 610.0);
        s.new_gap = Some(instrument::NewGap::Open(0.45));
        s.criterion = Criterion::BestFitWithNut;
    }
    survey
}

fn made(change: impl Fn(&mut NutSurvey)) -> Together {
    let mut nut = nut_survey();
    change(&mut nut);
    together(&saddle_survey(&nut), &nut).unwrap()
}

/// Readings over a nut, judged by the usual limits.
fn slots<'a>(nut: &'a nut::NutPlan, read: &'a [StrungString]) -> SlotsRead<'a> {
    let limits = SlotLimits {
        reading: 0.025,
        least: assess::Limits::default().least_first_fret,
    };
    SlotsRead::of(nut, read, limits)
}

fn page(done: &Together, notes: &[Note], bench: BenchUnit) -> String {
    let page = NutPage {
        title: "A nut",
        remarks: "",
        nut: &done.nut,
        notes,
        hazards: Hazards::default(),
        bench,
    };
    page.text()
}

#[test]
fn pages_fit_eighty_columns_and_hold_every_figure() {
    for front in [Front::Shelf, Front::Straight] {
        let done = made(|n| n.front = front);
        for bench in BenchUnit::ALL {
            let notes = nut_notes(&done.nut, bench);
            let text = page(&done, &notes, bench);
            let filing = nut_filing_page("A nut", &done.nut, Hazards::default(), bench);
            let read = StrungString {
                clearance: Some(0.05),
                ..StrungString::default()
            };
            let fit = nut_fit_page("A nut", &slots(&done.nut, &vec![read; 6]), Hazards::default(), bench);
            for line in text.lines().chain(filing.lines()).chain(fit.lines()) {
                assert!(line.chars().count() <= WIDTH, "{line}");
            }
            for s in &done.nut.strings {
                for mm in [
                    s.u,
                    s.y,
                    s.width,
                    s.floor,
                    s.stack,
                    s.depth,
                    s.shows,
                    s.clearance,
                    s.held_at_3,
                    s.setback,
                ] {
                    assert!(text.contains(&bench.number(mm)), "{} in {text}", bench.number(mm));
                }
            }
            assert!(flat(&fit).contains("too low, under the least gap that plays"), "{fit}");
        }
    }
}

fn sure(nut: &nut::NutPlan, slots: Vec<nut::tolerance::SlotSpread>) -> NutSureness<'_> {
    NutSureness {
        nut,
        leave_proud: slots.iter().map(|s| s.proud).fold(0.0, f64::max),
        slots,
        confidence: 0.95,
    }
}

#[test]
fn the_spread_of_a_slot_is_told() {
    let done = made(|_| ());
    let uncertainty = instrument::Uncertainty::default();
    let spreads = nut::tolerance::tolerance(&done.nut, &uncertainty, &[0.1; 6], 0.95);
    // By hand: floor 0.025 and 0.025 mm give 0.0354; 0.944 of it at fret 1 beside 0.112 of 0.1 mm.
    let want = math::hypot(0.944 * 0.0354f64, 0.0112);
    for s in &spreads {
        assert!((s.by_stack - want).abs() < 2e-4, "{s:?}");
        assert!((s.proud - 1.645 * want / 0.944).abs() < 4e-4, "{s:?}");
        assert!((s.action_12 - 0.5 * 0.0354).abs() < 3e-4, "{s:?}");
    }
    let sure = sure(&done.nut, spreads.clone());
    let text = nut_tolerance_page("A nut", &sure, Hazards::default(), BenchUnit::THOU);
    assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
    assert!(text.contains(&BenchUnit::THOU.number(spreads[0].proud)), "{text}");
    assert!(
        flat(&text).contains("more than the 2.0 thou (0.05 mm) of the job"),
        "{text}"
    );
}

#[test]
fn flags_are_told_with_their_figures() {
    let told = |change: fn(&mut NutSurvey)| {
        let done = made(change);
        let notes = nut_notes(&done.nut, BenchUnit::METRIC);
        let slots = notes.iter().filter(|n| n.topic == NoteTopic::NutSlots);
        slots.map(|n| n.text.clone()).collect::<Vec<_>>().join("\n")
    };
    for (change, word) in [
        ((|n| n.blank.height = 4.0) as fn(&mut NutSurvey), "too low by"),
        (|n| n.blank.length = 43.0, "shorter than the board"),
        (|n| n.shows = -1.0, "Deeper than sense: string 6"),
        (|n| n.shows = 1.2, "there is no slot"),
        (
            |n| n.fall = Some(0.0),
            "too little for strings 6, 5, 4, 3, 2 and 1 to bear",
        ),
        (|n| n.fall = Some(0.4), "more steeply than the strings"),
        (|n| n.outer = Outer::ToSide([0.5, 3.0]), "string 6 leaves 0.49"),
        (|n| n.outer = Outer::Spread(6.0), "of wall"),
        (|n| n.blank.thickness = 0.5, "more than half of the blank"),
    ] {
        let text = told(change);
        assert!(text.contains(word), "{word}: {text}");
    }
    assert!(!told(|_| ()).contains("Near the edge"));
}

#[test]
fn readings_say_file_fill_or_good() {
    let done = made(|_| ());
    let strung: Vec<StrungString> = done
        .saddle
        .strings
        .iter()
        .enumerate()
        .map(|(i, s)| StrungString {
            clearance: [
                Some(s.action_1 + 0.1),
                Some(s.action_1),
                Some(s.action_1 - 0.1),
                Some(s.action_1 - 0.05),
                Some(0.05),
                None,
            ][i],
            ..StrungString::default()
        })
        .collect();
    let text = nut_fit_page("x", &slots(&done.nut, &strung), Hazards::default(), BenchUnit::THOU);
    let row = |n: &str| text.lines().find(|l| l.trim_start().starts_with(n)).unwrap().to_owned();
    assert!(row("6 ").contains("file 4 strokes"), "{text}");
    assert!(
        row("5 ").contains("good") && row("2 ").contains("TOO LOW") && row("1 ").contains("not read"),
        "{text}"
    );
    assert!(
        row("4 ").contains("low, leave it") && row("3 ").contains("low, leave it"),
        "{text}"
    );
    for said in [
        "String 2: too low, under the least gap that plays (4.0 thou, common practice, no source)",
        "Leave string 3 (gap 15.5 thou, 2.0 thou under the one wanted): within what the reading can tell",
        "Leave string 4 (gap 14.0 thou, 4.0 thou under the one wanted): it will play, for the least gap is 4.0 thou",
    ] {
        assert!(flat(&text).contains(said), "{said}: {text}");
    }
}

#[test]
fn the_reference_names_every_key_and_no_other() {
    let nuts = [
        made(|n| n.fall = Some(0.0)).nut,
        made(|_| ()).nut,
        over_a_standing_saddle(0.1),
    ];
    let documents = nuts.map(|nut| {
        let notes = nut_notes(&nut, BenchUnit::THOU);
        serde_json::from_str(&nut_json("A nut", &nut, &notes).unwrap()).unwrap()
    });
    described_wholly("bonewright-nut-plan", documents.into_iter());
}

fn value(text: &str) -> serde_json::Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_reference_names_every_key_of_what_comes_after_the_plan() {
    let done = made(|_| ());
    let filing = nut_filing_json("A nut", &done.nut, BenchUnit::THOU).unwrap();
    described_wholly("bonewright-nut-filing", std::iter::once(value(&filing)));
    let low = StrungString {
        clearance: Some(0.05),
        ..StrungString::default()
    };
    let fit = nut_fit_json("A nut", &slots(&done.nut, &vec![low; 6]), BenchUnit::THOU).unwrap();
    described_wholly("bonewright-nut-fit", std::iter::once(value(&fit)));
    let spreads = nut::tolerance::tolerance(&done.nut, &instrument::Uncertainty::default(), &[0.1; 6], 0.95);
    let tolerance = nut_tolerance_json("A nut", &sure(&done.nut, spreads)).unwrap();
    described_wholly("bonewright-nut-tolerance", std::iter::once(value(&tolerance)));
}

/// What the documents say is what the library works out, and hangs together: a slot filed by `by` shows what `then` has.
#[test]
fn the_documents_hold_the_figures() {
    let done = made(|_| ());
    let filing = value(&nut_filing_json("A nut", &done.nut, BenchUnit::METRIC).unwrap());
    assert_eq!(filing["stroke"], 0.02);
    for (out, s) in filing["strings"].as_array().unwrap().iter().zip(&done.nut.strings) {
        let f = |key: &str, figure: &str| out[key][figure].as_f64().unwrap();
        assert_eq!(out["number"], s.number);
        assert!((f("final", "clearance") - s.clearance).abs() < 1e-12);
        assert!((f("proud", "lowered") + 0.05).abs() < 1e-12 && f("final", "lowered") == 0.0);
        // By similar triangles 0.944 of a change at the floor shows at fret 1 and about half at fret 12.
        let (one, twelve) = (
            f("proud", "clearance") - f("final", "clearance"),
            f("final", "action_12") - f("stroke_further", "action_12"),
        );
        assert!(
            (one - 0.944 * 0.05).abs() < 1e-4 && (twelve - 0.01).abs() < 2e-4,
            "{one} {twelve}"
        );
        assert!((out["strokes"].as_f64().unwrap() - 2.5).abs() < 1e-9);
    }
    let off = [0.1, 0.0, 0.05 - done.nut.strings[2].clearance, -0.1, 0.0, 0.0];
    let strung: Vec<StrungString> = done
        .nut
        .strings
        .iter()
        .zip(off)
        .enumerate()
        .map(|(i, (s, off))| StrungString {
            clearance: (i < 4).then_some(s.clearance + off),
            ..StrungString::default()
        })
        .collect();
    let fit = value(&nut_fit_json("A nut", &slots(&done.nut, &strung), BenchUnit::THOU).unwrap());
    let strings = fit["strings"].as_array().unwrap();
    let said: Vec<&str> = strings.iter().map(|s| s["verdict"]["say"].as_str().unwrap()).collect();
    assert_eq!(said, ["file", "good", "too-low", "low", "not-read", "not-read"]);
    for i in [0, 2] {
        let then = &strings[i]["then"];
        assert!((then["clearance"].as_f64().unwrap() - strings[i]["wanted"].as_f64().unwrap()).abs() < 1e-9);
        let (by, lowered) = (
            strings[i]["verdict"]["by"].as_f64().unwrap(),
            then["lowered"].as_f64().unwrap(),
        );
        assert!((by - off[i].abs() / 0.944).abs() < 1e-3 && (lowered.abs() - by).abs() < 1e-12);
        assert_eq!(lowered > 0.0, i == 0);
    }
    let low = &strings[3];
    assert!((low["verdict"]["by"].as_f64().unwrap() - 0.1).abs() < 1e-9 && low["then"].is_null());
    assert_eq!((&low["verdict"]["least"], &fit["least"]), (&0.1.into(), &0.1.into()));
    assert!(strings[1]["then"].is_null() && strings[4]["read"]["first_fret_clearance"].is_null());
}

/// The nut of [`made`] again, its gaps higher by `more` mm, over the saddle that was made with it.
fn over_a_standing_saddle(more: f64) -> nut::NutPlan {
    let survey = nut_survey();
    let (all, done) = (saddle_survey(&survey), made(|_| ()));
    let each = done.saddle.strings.iter().zip(&all.strings);
    let strings = each.map(|(s, from)| instrument::SurveyedString {
        number: s.number,
        note: s.note.clone(),
        model: from.model,
        frequency: from.frequency,
        run: s.run,
        present_nut: Some(instrument::NutReading::Open {
            clearance: s.action_1,
            action_12: s.action_12,
        }),
        nut_x: 0.0,
        contact_from_fret_12: Some(s.position.x - all.board.fret_x(12, &s.run)),
        action_12: Some(s.action_12),
        cents_12: None,
        stretch_found: false,
        known: from.known,
    });
    let standing = instrument::StrungInstrument {
        board: all.board,
        strings: strings.collect(),
        press: all.press,
        left_handed: false,
        ends: strings::Ends::PUBLISHED,
        stand_off: 0.0,
    };
    let open = |s: &saddle::StringPlan| instrument::NewGap::Open(s.action_1 + more);
    let gaps: Vec<_> = done.saddle.strings.iter().map(open).collect();
    nut::alone(&standing, &gaps, &survey).unwrap()
}

/// By similar triangles a gap higher by 0.1 mm over fret 1 raises the action at 12 by 0.05 mm.
#[test]
fn a_saddle_that_stays_is_told_before_and_after() {
    for (more, word) in [(0.1, "higher"), (-0.1, "lower")] {
        let nut = over_a_standing_saddle(more);
        for bench in BenchUnit::ALL {
            let notes = nut_notes(&nut, bench);
            let page = NutPage {
                title: "A nut",
                remarks: "",
                nut: &nut,
                notes: &notes,
                hazards: Hazards::default(),
                bench,
            };
            let text = page.text();
            assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
            let plain = flat(&text);
            assert!(plain.contains("THE SADDLE STAYS"), "{text}");
            assert!(plain.contains("with the saddle where it stands"), "{text}");
            assert!(!plain.contains("leave it proud, as its plan says"), "{text}");
            assert!(plain.contains(&format!("it will be {word} by up to")), "{text}");
            for line in &nut.lines {
                let now = line.now.unwrap();
                assert!(
                    (line.action_12() - now.action_12 - 0.53 * more).abs() < 0.002,
                    "{line:?}"
                );
                for mm in [now.action_12, line.action_12()] {
                    assert!(text.contains(&bench.action().number(mm)), "{text}");
                }
            }
        }
        let json = value(&nut_json("A nut", &nut, &[]).unwrap());
        assert_eq!(json["saddle_stays"], true);
        let out = &json["strings"][0];
        let change = out["action_12"].as_f64().unwrap() - out["action_12_now"].as_f64().unwrap();
        assert!((change - 0.53 * more).abs() < 0.002, "{change}");
    }
    let done = made(|_| ());
    let json = value(&nut_json("A nut", &done.nut, &[]).unwrap());
    assert!(json["saddle_stays"] == false && json["strings"][0]["action_12_now"].is_null());
}
