//! What is read arrives where the survey needs it, in its unit and sign.

use instrument::Uncertainty;
use instrument::{BoardRadius, NewGap, NutReading, SlotSurvey};
use job::{FilingSetup, Job, Paper, Profiles, StringExit, read};
use saddle::tolerance::{Band, Sampling};
use saddle::{BlankKind, Ridge, plan};
use strings::Criterion;
use units::{BenchUnit, LengthUnit};

/// Worked example A of the project's design papers as a job file: an invented parlour guitar with a through saddle that leans
/// forward. Its solution was computed independently of this project, by scipy root finding.
const EXAMPLE_A: &str = r#"format = 1
title = "Worked example A"
unit = "mm"
[instrument]
nut_to_12 = 305
joint_fret = 12
relief = 0.18
board_radius = { nut = 300, fret_12 = 350 }
[strings]
tuning = ["E2", "A2", "D3", "G3", "B3", "E4"]
nut_spread = 36.5
nut_spacing = "equal gaps"
saddle_spread = 55
saddle_spacing = "equal centres"
[[string]]
number = 1
gauge = 0.30
kind = "plain"
material = "steel"
[[string]]
number = 2
gauge = 0.41
kind = "plain"
material = "steel"
[[string]]
number = 3
gauge = 0.61
kind = "wound"
core = 0.33
core_material = "steel"
wrap = "phosphor bronze"
[[string]]
number = 4
gauge = 0.81
kind = "wound"
core = 0.36
core_material = "steel"
wrap = "phosphor bronze"
[[string]]
number = 5
gauge = 1.07
kind = "wound"
core = 0.4
core_material = "steel"
wrap = "phosphor bronze"
[[string]]
number = 6
gauge = 1.35
kind = "wound"
core = 0.45
core_shape = "round"
core_material = "steel"
wrap = "phosphor bronze"
[nut]
first_fret_clearance = [0.55, 0.52, 0.48, 0.45, 0.4, 0.36]
[present]
action_12 = [2.9, 2.75, 2.6, 2.45, 2.3, 2.2]
[target]
action_12 = [2.4, 2.3, 2.2, 2.1, 2.0, 1.9]
intonation = "octave"
[slot]
read_by = "straightedge"
edge_from_fret_12 = { bass = 306.9, treble = 304.6 }
bridge_top = { bass = 1.2, treble = 1.4 }
depth = { bass = 5.5, treble = 5.3 }
lean = 9
width = 3.25
[blank]
kind = "through"
material = "bone"
thickness = 3.2
height = 12
length = 75
land = 0.35
"#;

fn job(text: &str) -> Job {
    read(text, &Profiles::built_in())
        .unwrap_or_else(|problems| panic!("{}", problems.iter().map(|p| format!("{p}\n")).collect::<String>()))
        .job
}

/// u, b, v of each string, bass to treble: worked example A, criterion octave; tolerance as given there.
#[test]
fn the_worked_example_is_planned_from_its_job_file() {
    let plan = plan(&job(EXAMPLE_A).saddle.unwrap().survey).unwrap();
    let want = [
        [-0.0909, 2.85, 8.46715],
        [10.97157, 2.4731, 8.86437],
        [22.01986, 2.12609, 8.96108],
        [33.04565, 2.00958, 8.70597],
        [44.02899, 2.85, 8.02411],
        [55.04608, 2.58151, 7.20193],
    ];
    for (string, [u, b, v]) in plan.strings.iter().zip(want) {
        let c = string.contact;
        for (got, want) in [(c.u, u), (c.b, b), (c.v, v)] {
            assert!((got - want).abs() < 0.0005, "string {}: {got} {want}", string.number);
        }
    }
}

#[test]
fn what_is_not_said_has_its_default() {
    let job = job(EXAMPLE_A);
    assert_eq!(job.notes, "");
    assert_eq!(job.unit, LengthUnit::Millimetre);
    assert_eq!(job.bench, BenchUnit::METRIC);
    assert_eq!(job.paper, Paper::A4);
    assert_eq!(job.set_name, None);
    assert_eq!(job.saddle.as_ref().unwrap().string_exit, None);
    assert_eq!(job.saddle.as_ref().unwrap().material.name, "bone");
    assert_eq!(job.saddle.as_ref().unwrap().filing, FilingSetup::untouched(6));
    assert_eq!(job.strung, None);
    assert_eq!(job.tolerance.band, Band::default());
    assert_eq!(job.tolerance.sampling, Sampling::default());
    assert_eq!(job.uncertainty, Uncertainty::default());
    let survey = &job.saddle.as_ref().unwrap().survey;
    assert!(!survey.left_handed);
    assert_eq!(survey.press, 0.0);
    assert_eq!(survey.under, 0.0);
    assert_eq!(survey.exit, None);
    assert_eq!(survey.slot_length, None);
    assert_eq!(survey.blank.bass_end, None);
    assert_eq!(survey.crown.ridge, Ridge::Smooth);
    assert_eq!(survey.crown.rounding, 0.5);
    assert_eq!((survey.crown.front_fall, survey.crown.back_fall), (None, None));
    assert!(
        survey
            .strings
            .iter()
            .all(|s| s.nut_x == 0.0 && s.nut_x.is_sign_positive())
    );
    let no_land = EXAMPLE_A.replace("land = 0.35\n", "");
    assert_eq!(self::job(&no_land).saddle.unwrap().survey.blank.land, 0.5);
    for (unit, bench) in [
        ("in", BenchUnit::THOU),
        ("thou", BenchUnit::THOU),
        ("mm", BenchUnit::METRIC),
    ] {
        // The unit is declared but every length carries its own.
        let text = format!("unit = \"{unit}\"\n{}", own_units());
        assert_eq!(self::job(&text).bench, bench);
    }
}

/// Example A with `mm` behind every length and no unit declared.
fn own_units() -> String {
    let mm = |line: &str| {
        let Some((key, value)) = line.split_once(" = ") else {
            return line.to_owned();
        };
        let plain = ["format", "joint_fret", "lean", "number"].contains(&key) || value.contains('"');
        if plain {
            return line.to_owned();
        }
        let mut out = String::new();
        let mut number = String::new();
        for c in value.chars().chain([' ']) {
            if c.is_ascii_digit() || c == '.' {
                number.push(c);
            } else {
                if !number.is_empty() && number != "12" || key == "height" && !number.is_empty() {
                    out += &format!("\"{number} mm\"");
                } else {
                    out += &number;
                }
                number.clear();
                out.push(c);
            }
        }
        format!("{key} = {}", out.replace("fret_\"12 mm\"", "fret_12"))
    };
    EXAMPLE_A
        .replace("unit = \"mm\"\n", "")
        .lines()
        .map(mm)
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn units_change_no_value() {
    let (bare, own) = (job(EXAMPLE_A), job(&own_units()));
    assert_eq!(
        bare.saddle.as_ref().unwrap().survey,
        own.saddle.as_ref().unwrap().survey
    );
}

#[test]
fn top_and_crown_are_read() {
    let text = EXAMPLE_A.replace(
        "unit = \"mm\"\n",
        "unit = \"mm\"\nbench = \"64ths\"\nnotes = \"one\\ntwo\"\nleft_handed = true\npaper = \"Letter\"\n",
    ) + "bass_end = 9\n[crown]\nridge = \"stepped\"\nrounding = 0.4\nfront_fall = 8\nback_fall = \"1 over 4\"\n\
         [bridge]\nstring_exit = \"tie block\"\nbehind_slot = { bass = 12, treble = 13 }\nabove_bridge_top = -0.5\n";
    let job = job(&text);
    assert_eq!(job.bench, BenchUnit::IMPERIAL);
    assert_eq!(job.notes, "one\ntwo");
    assert_eq!(job.paper, Paper::Letter);
    assert_eq!(job.saddle.as_ref().unwrap().string_exit, Some(StringExit::TieBlock));
    let survey = job.saddle.unwrap().survey;
    assert!(survey.left_handed);
    assert_eq!(survey.blank.kind, BlankKind::Through);
    assert_eq!(survey.blank.bass_end, Some(9.0));
    assert_eq!(survey.crown.ridge, Ridge::Stepped);
    assert_eq!(survey.crown.front_fall, Some(8f64.to_radians()));
    assert_eq!(survey.crown.back_fall, Some(0.25f64.atan()));
    let [bass, treble] = survey.exit.unwrap();
    assert_eq!((bass.behind_slot, treble.behind_slot), (12.0, 13.0));
    assert_eq!((bass.above_bridge_top, treble.above_bridge_top), (-0.5, -0.5));
}

/// The left-handed instrument has the same survey but for the flag.
#[test]
fn left_handed_changes_nothing_but_the_flag() {
    let mut left = job(&EXAMPLE_A.replace("unit =", "left_handed = true\nunit ="))
        .saddle
        .unwrap()
        .survey;
    assert!(left.left_handed);
    left.left_handed = false;
    assert_eq!(left, job(EXAMPLE_A).saddle.unwrap().survey);
}

#[test]
fn inner_strings_are_interpolated_by_place_at_fret_12() {
    let text = EXAMPLE_A.replace("[2.4, 2.3, 2.2, 2.1, 2.0, 1.9]", "{ bass = 2.6, treble = 1.6 }");
    let survey = job(&text).saddle.unwrap().survey;
    // Fret 12 is half way, so a place there is the mean of the places at nut and saddle.
    let at_12: Vec<f64> = survey.strings.iter().map(|s| s.run.y(305.0)).collect();
    for (string, y) in survey.strings.iter().zip(&at_12) {
        let want = 2.6 - (y - at_12[0]) / (at_12[5] - at_12[0]);
        assert!((string.target_action - want).abs() < 1e-12);
    }
    // Equal gaps at the nut: not the same as by number.
    assert!((survey.strings[1].target_action - 2.4).abs() > 0.005);
    let all = job(&EXAMPLE_A.replace("[2.4, 2.3, 2.2, 2.1, 2.0, 1.9]", "2.2"))
        .saddle
        .unwrap()
        .survey;
    assert!(all.strings.iter().all(|s| s.target_action == 2.2));
}

#[test]
fn relief_read_at_another_fret_is_converted() {
    let survey = job(&EXAMPLE_A.replace("relief = 0.18", "relief = { gap = 0.15, fret = 4 }"))
        .saddle
        .unwrap()
        .survey;
    let dip = survey.board.dip(4);
    assert!((dip - 0.15).abs() < 1e-12);
    assert!(survey.board.relief() > 0.15);
}

#[test]
fn radius_in_its_three_forms() {
    let radius = |text: &str| {
        let text = EXAMPLE_A.replace("{ nut = 300, fret_12 = 350 }", text);
        job(&text).saddle.unwrap().survey.board.radius()
    };
    let cone = |nut, fret_12| BoardRadius::Conical { nut, fret_12 };
    assert_eq!(radius("\"flat\""), BoardRadius::Flat);
    assert_eq!(radius("\"16 in\""), cone(406.4, 406.4));
    assert_eq!(radius("{ nut = \"12 in\", fret_12 = 400 }"), cone(304.8, 400.0));
}

#[test]
fn nut_readings_and_signs() {
    let nut = |text: &str| {
        let text = EXAMPLE_A.replace("first_fret_clearance = [0.55, 0.52, 0.48, 0.45, 0.4, 0.36]", text);
        job(&text).saddle.unwrap().survey.strings
    };
    let open = job(EXAMPLE_A).saddle.unwrap().survey.strings;
    assert_eq!(
        open[0].present_nut,
        Some(NutReading::Open {
            clearance: 0.55,
            action_12: 2.9
        })
    );
    let held = nut("held_at_3 = { bass = 0.2, treble = 0.1 }\nsetback = { bass = -0.6, treble = 0.2 }");
    assert_eq!(held[0].present_nut, Some(NutReading::HeldAtThree { gap: 0.2 }));
    assert_eq!(held[5].present_nut, Some(NutReading::HeldAtThree { gap: 0.1 }));
    // Negative is toward the bridge, and x runs toward the bridge.
    assert_eq!((held[0].nut_x, held[5].nut_x), (0.6, -0.2));
    assert_eq!(held[0].new_gap, None);
    let new = nut("new_clearance = 0.45");
    assert_eq!((new[3].present_nut, new[3].new_gap), (None, Some(NewGap::Open(0.45))));
    let both = nut("held_at_3 = 0.1\nnew_clearance = 0.45");
    assert!(both[3].present_nut.is_some() && both[3].new_gap.is_some());
}

#[test]
fn criteria() {
    for (word, criterion) in [
        ("octave", Criterion::Octave),
        ("best-fit", Criterion::BestFit),
        ("best-fit-with-nut", Criterion::BestFitWithNut),
    ] {
        let survey = job(&EXAMPLE_A.replace("\"octave\"", &format!("\"{word}\"")))
            .saddle
            .unwrap()
            .survey;
        assert!(survey.strings.iter().all(|s| s.criterion == criterion));
    }
    let offsets = "\"offsets\"\noffsets = [4, 3, 2.5, 2, 3.5, 1.8]";
    let survey = job(&EXAMPLE_A.replace("\"octave\"", offsets)).saddle.unwrap().survey;
    assert_eq!(survey.strings[4].criterion, Criterion::Offset(3.5));
}

#[test]
fn cents_readings_calibrate_only_the_strings_read() {
    let text = EXAMPLE_A.replace(
        "[present]\n",
        "[present]\ncents_12 = [\"-\", 2.5, \"-3 cents\", \"-\", \"-\", 0]\ncontact_from_fret_12 = { bass = 309, treble = 307 }\n",
    );
    let strings = job(&text).saddle.unwrap().survey.strings;
    let read: Vec<Option<f64>> = strings.iter().map(|s| s.measured.map(|m| m.cents_12)).collect();
    assert_eq!(read, [None, Some(2.5), Some(-3.0), None, None, Some(0.0)]);
    let treble = strings[5].measured.unwrap();
    assert_eq!((treble.contact_from_fret_12, treble.action_12), (307.0, 2.2));
}

#[test]
fn slack_readings_carry_what_tension_adds() {
    let text = EXAMPLE_A.replace(
        "width = 3.25\n",
        "width = 3.25\ntaken = \"slack\"\nunder_tension = { bridge_top = { bass = 0.3, treble = 0.2 }, lean = 1 }\n",
    );
    let change = job(&text).saddle.unwrap().survey.under_tension;
    assert_eq!(change.bridge_top, [0.3, 0.2]);
    assert_eq!(change.lean, 1f64.to_radians());
}

/// Fed with a plan's own contacts, a reference saddle gives back the same axes (design of the project, frames).
/// Above or below in words is the sign of the reading; both together are refused.
#[test]
fn the_side_of_the_bridge_top_is_its_sign() {
    let with = |lines: &str| EXAMPLE_A.replace("bridge_top = { bass = 1.2, treble = 1.4 }", lines);
    for (side, sign) in [("below", "-"), ("above", "")] {
        let said = with(&format!("bridge_side = \"{side}\"\nbridge_top = \"0.8 mm\""));
        let signed = with(&format!("bridge_top = \"{sign}0.8 mm\""));
        let [said, signed] = [said, signed].map(|text| job(&text).saddle.unwrap().survey);
        assert_eq!(said, signed);
    }
    let both = read(
        &with("bridge_side = \"below\"\nbridge_top = \"-0.8 mm\""),
        &Profiles::built_in(),
    )
    .unwrap_err();
    assert!(both.iter().any(|p| p.name() == "SignBesideSide"), "{both:?}");
}

#[test]
fn a_reference_saddle_gives_back_the_slot() {
    let first = plan(&job(EXAMPLE_A).saddle.unwrap().survey).unwrap();
    let (bass, treble) = (&first.strings[0], &first.strings[5]);
    let x12 = 305.0;
    let by_reference = EXAMPLE_A
        .replace("read_by = \"straightedge\"", "read_by = \"reference saddle\"")
        .replace("edge_from_fret_12 = { bass = 306.9, treble = 304.6 }\n", "")
        .replace("bridge_top = { bass = 1.2, treble = 1.4 }\n", "")
        .replace("[2.9, 2.75, 2.6, 2.45, 2.3, 2.2]", "[2.4, 2.3, 2.2, 2.1, 2.0, 1.9]")
        .replace("[0.55, 0.52, 0.48, 0.45, 0.4, 0.36]", &{
            let gaps: Vec<String> = first.strings.iter().map(|s| format!("{:.12}", s.action_1)).collect();
            format!("[{}]", gaps.join(", "))
        })
        + &format!(
            "[slot.reference]\ncontact_from_fret_12 = {{ bass = {:?}, treble = {:?} }}\nheight = {{ bass = {:?}, treble = {:?} }}\n\
             back = {{ bass = {:?}, treble = {:?} }}\n",
            bass.position.x - x12,
            treble.position.x - x12,
            bass.contact.v,
            treble.contact.v,
            bass.contact.b,
            treble.contact.b
        );
    let job = job(&by_reference);
    assert!(matches!(
        job.saddle.as_ref().unwrap().survey.slot,
        SlotSurvey::Reference(_)
    ));
    let again = plan(&job.saddle.as_ref().unwrap().survey).unwrap();
    assert!((again.frame.e_u - first.frame.e_u).norm() < 1e-9);
    assert!((again.frame.e_b - first.frame.e_b).norm() < 1e-9);
    for (a, b) in again.strings.iter().zip(&first.strings) {
        assert!((a.contact.v - b.contact.v).abs() < 1e-6 && (a.contact.b - b.contact.b).abs() < 1e-6);
    }
}

#[test]
fn a_set_is_overlaid_and_tuned() {
    let text = EXAMPLE_A
        .split("[[string]]")
        .next()
        .unwrap()
        .replace("[strings]", "[strings]\nset = \"light bronze 12-53\"\na4 = 432")
        + "[[string]]\nnumber = 6\ncore = \"0.019 in\"\n[nut]"
        + EXAMPLE_A.split("[nut]").nth(1).unwrap();
    let plain = job(&text.replace("core = \"0.019 in\"\n", "")).saddle.unwrap().survey;
    let job = job(&text);
    assert_eq!(job.set_name.as_deref(), Some("light bronze 12-53"));
    let strings = &job.saddle.as_ref().unwrap().survey.strings;
    assert_ne!(strings[0].model, plain.strings[0].model);
    assert_eq!(strings[1..], plain.strings[1..]);
    assert_eq!(strings[0].number, 6);
    assert!((strings[1].frequency - 108.0).abs() < 1e-9);
    assert!((strings[5].model.outer_diameter - 0.3048).abs() < 1e-12);
}
