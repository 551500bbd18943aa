//! Strings spelled out: any number of them, of any make, with what is known of each.

use instrument::StretchKnown as K;
use job::{Checked, Problem, Profiles, read};
use saddle::{SaddleSurvey, plan};
use std::fmt::Write;
use strings::Stiffness;

/// A job with these strings, bass to treble, each the keys of its table.
fn job(strings: &[&str], more: &str) -> Result<Checked, Vec<Problem>> {
    let mut text = format!(
        "format = 1\ntitle = \"t\"\nunit = \"mm\"\n[instrument]\nscale = 648\njoint_fret = 14\nrelief = 0.1\nboard_radius = 400\n\
         [strings]\nnut_spread = 48\nsaddle_spread = 66\n{more}[nut]\nheld_at_3 = 0.1\n[target]\naction_12 = 2.2\n\
         intonation = \"octave\"\n[slot]\nread_by = \"straightedge\"\nedge_from_fret_12 = 325\nbridge_top = 0\ndepth = 5\nlean = 0\n\
         width = 4.2\n[blank]\nkind = \"through\"\nmaterial = \"bone\"\nthickness = 4.2\nheight = 12\nlength = 82\n"
    );
    for (i, keys) in strings.iter().enumerate() {
        let number = strings.len() - i;
        writeln!(text, "[[string]]\nnumber = {number}\n{}", keys.replace("; ", "\n")).unwrap();
    }
    read(&text, &Profiles::built_in())
}

/// The survey of a job that is sound, with the names of its doubts.
fn survey(strings: &[&str], more: &str) -> (SaddleSurvey, Vec<&'static str>) {
    let checked = job(strings, more).unwrap_or_else(|problems| panic!("{problems:?}"));
    let inner = |p: &Problem| match &p.kind {
        job::ProblemKind::InString { about, .. } => about.name(),
        kind => kind.name(),
    };
    let doubts = checked.warnings.iter().map(inner).collect();
    (checked.job.saddle.unwrap().survey, doubts)
}

const NICKEL: &str = "kind = \"wound\"; core_material = \"steel\"; wrap = \"nickel-plated steel\"";

/// Nine steel strings from C#1 to E4; the wound ones by gauge and kind alone.
fn nine() -> Vec<String> {
    let wound = [("C#1", 90), ("F#1", 72), ("B1", 59), ("E2", 46), ("A2", 36), ("D3", 26)];
    let plain = [("G3", 17), ("B3", 13), ("E4", 10)];
    let wound = wound.map(|(note, thou)| format!("note = \"{note}\"; gauge = \"{thou} thou\"; {NICKEL}"));
    let plain = plain.map(|(note, thou)| format!("note = \"{note}\"; gauge = \"{thou} thou\"; material = \"steel\""));
    wound.into_iter().chain(plain).collect()
}

#[test]
fn seven_eight_and_nine_strings_without_a_core_are_planned_with_a_doubt_for_each() {
    let all = nine();
    for count in [7, 8, 9] {
        let strings: Vec<&str> = all[9 - count..].iter().map(String::as_str).collect();
        let (survey, doubts) = survey(&strings, "");
        assert_eq!(doubts, vec!["CoreByRule"; count - 3]);
        let known: Vec<K> = survey.strings.iter().map(|s| s.known).collect();
        assert_eq!(known[..count - 3], vec![K::CoreByRule; count - 3]);
        assert_eq!(known[count - 3..], [K::PlainWire; 3]);
        let planned = plan(&survey).unwrap();
        assert_eq!(planned.strings.len(), count);
    }
}

/// A core by the rule gives the string that the same core given would, and only the doubt and its uncertainty tell them apart.
#[test]
fn a_core_by_rule_is_that_core_given() {
    let of = |core: &str| {
        format!(
            "note = \"E2\"; gauge = \"53 thou\"; kind = \"wound\"; core_material = \"steel\"; wrap = \"phosphor bronze\"{core}"
        )
    };
    let one = |keys: &str| {
        let treble = "note = \"E4\"; gauge = \"12 thou\"; material = \"steel\"";
        let (survey, doubts) = survey(&[keys, treble], "");
        (survey.strings[0].model, survey.strings[0].known, doubts)
    };
    let (by_rule, known, doubts) = one(&of(""));
    assert_eq!((known, doubts), (K::CoreByRule, vec!["CoreByRule"]));
    let flats = strings::steel_core(53.0 * 0.0254, strings::CoreShape::Hexagonal);
    // What the bronze sets have at this gauge, from memory.
    assert!((flats / (18.0 * 0.0254) - 1.0).abs() < 0.03, "{flats}");
    let (given, known, doubts) = one(&of(&format!("; core = \"{flats:.9} mm\"; core_shape = \"hexagonal\"")));
    assert_eq!((known, doubts), (K::Core, vec![]));
    // The core as written has nine decimals.
    assert!((given.linear_density / by_rule.linear_density - 1.0).abs() < 1e-8);
    match (given.stiffness, by_rule.stiffness) {
        (Stiffness::Elastic { axial: a, bending: b }, Stiffness::Elastic { axial: c, bending: d }) => {
            assert!((a / c - 1.0).abs() < 1e-8 && (b / d - 1.0).abs() < 1e-7);
        }
        other => panic!("{other:?}"),
    }
    // Weighed, it keeps the rule's core.
    let (weighed, known, _) = one(&of("; linear_density = 6.3"));
    assert_eq!(
        (weighed.linear_density, weighed.stiffness, known),
        (6.3, by_rule.stiffness, K::CoreByRule)
    );
}

#[test]
fn nylon_cores_are_taken_by_the_published_set() {
    let string =
        "note = \"A2\"; gauge = 0.89; kind = \"wound\"; core_material = \"nylon\"; wrap = \"silver-plated copper\"";
    let treble = "note = \"E4\"; gauge = 0.71; material = \"nylon\"";
    let (survey, doubts) = survey(&[string, treble], "");
    assert_eq!(doubts, ["StringByRule"]);
    let known: Vec<K> = survey.strings.iter().map(|s| s.known).collect();
    assert_eq!(known, [K::ResponseByRule, K::Filament]);
    // J. Acoust. Soc. Am. 156(1), 683 (2024): 3.289 g/m and R = 23.9.
    let model = survey.strings[0].model;
    assert!((model.linear_density / 3.289 - 1.0).abs() < 0.04);
    assert_eq!(model.stiffness, Stiffness::from_response(25.0));
    plan(&survey).unwrap();
}

/// Silk and steel: the floss between core and wrap weighs little, so the string is weighed; its core carries it. Gut by its material.
#[test]
fn silk_and_steel_and_gut_are_described_and_planned() {
    let silk = "note = \"E2\"; gauge = 1.2; kind = \"wound\"; core = 0.36; core_shape = \"round\"; core_material = \"steel\"; wrap = \"silver-plated copper\"; linear_density = 4.6";
    let plain = "note = \"E4\"; gauge = 0.28; material = \"steel\"";
    let (with_silk, doubts) = survey(&[silk, plain], "");
    assert_eq!(doubts, Vec::<&str>::new());
    let model = with_silk.strings[0].model;
    assert_eq!(model.linear_density, 4.6);
    let area = std::f64::consts::PI * 0.36f64.powi(2) / 4.0;
    match model.stiffness {
        Stiffness::Elastic { axial, .. } => assert!((axial / (200e3 * area) - 1.0).abs() < 1e-12),
        Stiffness::Measured { .. } => panic!("its core carries it"),
    }
    assert_eq!(with_silk.strings[0].known, K::Core);
    plan(&with_silk).unwrap();

    let bass = "note = \"G3\"; gauge = 1.1; kind = \"wound\"; core = 0.8; core_material = \"gut\"; wrap = \"silver-plated copper\"";
    let treble = "note = \"E4\"; gauge = 0.72; material = \"gut\"";
    let (gut, _) = survey(&[bass, treble], "");
    assert!(gut.strings.iter().all(|s| s.known == K::Filament));
    plan(&gut).unwrap();
}

/// Courses of one and two, in unison and an octave apart, with a single string among them.
#[test]
fn courses_in_unison_and_octaves_are_planned() {
    let wound = "gauge = 1.2; kind = \"wound\"; core_material = \"steel\"; wrap = \"phosphor bronze\"";
    let steel = |note: &str, gauge: f64| format!("note = \"{note}\"; gauge = {gauge}; material = \"steel\"");
    let strings = [
        format!("note = \"E2\"; {wound}"),
        format!(
            "note = \"E3\"; gauge = 0.69; {}",
            wound.trim_start_matches("gauge = 1.2; ")
        ),
        steel("B3", 0.36),
        steel("B3", 0.36),
        steel("E4", 0.25),
    ];
    let strings: Vec<&str> = strings.iter().map(String::as_str).collect();
    let more = "courses = [2, 2, 1]\nnut_pair = 2\nsaddle_pair = 2.5\n";
    let (survey, doubts) = survey(&strings, more);
    assert_eq!(doubts, ["CoreByRule"; 2]);
    let planned = plan(&survey).unwrap();
    // Strings in unison of one gauge stand back alike, but for the crown under each.
    let x: Vec<f64> = planned.strings.iter().map(|s| s.setback).collect();
    assert!((x[2] - x[3]).abs() < 0.05 && x[0] > x[1], "{x:?}");
}

/// What a set says of a string and what the job says of it are known to different shares.
#[test]
fn the_jobs_own_reading_is_surer_than_the_sets_name() {
    let known = |set: &str, extra: &str| {
        let text = include_str!("good.toml").replace("light bronze 12-53", set);
        let checked = read(&format!("{text}\n{extra}"), &Profiles::built_in()).unwrap();
        let strings = checked.job.saddle.unwrap().survey.strings;
        (strings[0].known, strings[5].known)
    };
    let bronze = "light bronze 12-53";
    assert_eq!(known(bronze, ""), (K::CoreOfSet, K::PlainWire));
    let own = "[[string]]\nnumber = 6\ncore = 0.44\n";
    assert_eq!(known(bronze, own), (K::Core, K::PlainWire));
    assert_eq!(known("nylon normal tension", ""), (K::ResponseOfSet, K::ResponseOfSet));
    let own = "[[string]]\nnumber = 1\nstretch_response = 24\n";
    assert_eq!(known("nylon normal tension", own), (K::ResponseOfSet, K::Response));
}
