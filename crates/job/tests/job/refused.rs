//! The table of what is refused on the page of the format: each row is provoked, and the way round for a floating bridge is planned.

use std::collections::BTreeSet;

use job::{Job, Profiles, Severity, read};

const PAGE: &str = include_str!("../../../../examples/FORMAT.md");
const GOOD: &str = include_str!("good.toml");
const MANDOLIN: &str = include_str!("../../../../examples/mandolin.toml");

/// First cell of a row, what is written in the good job for what stands there, and the kind of the refusal.
#[rustfmt::skip]
const ROWS: &[(&str, &str, &str, &str)] = &[
    ("A floating bridge as such", "string_exit = \"pin holes\"", "string_exit = \"pin holes\"\nfloating = true", "Unknown"),
    ("A bridge with three feet, or on a head or skin", "string_exit = \"pin holes\"", "string_exit = \"pin holes\"\nfeet = 3", "Unknown"),
    ("Just, meantone or microtonal targets", "intonation = \"octave\"", "intonation = \"just\"", "NoSuchWord"),
    ("A setback or a new nut beside a zero fret", "setback = 0", "setback = 0\nzero_fret = \"kept\"", "ZeroFretNotSetBack"),
    ("A setback or a new nut beside a zero fret", "setback = 0", "new_clearance = 0.4\nzero_fret = \"kept\"", "ZeroFretNoNewGap"),
    ("A setback or a new nut beside a zero fret", "setback = 0", "zero_fret = \"kept\"\n[nut_blank]\nboard_width = 43", "ZeroFretNoNutBlank"),
    ("`best-fit-with-nut` beside a zero fret", "setback = 0\n\n[present]", "zero_fret = \"kept\"\n\n[present]", "ZeroFretIntonation"),
    ("Courses of three", "courses = \"single\"", "courses = [3, 3]", "Outside"),
    ("More than twelve strings", "[nut]", "[[string]]\nnumber = 13\ngauge = 0.3\n[nut]", "Outside"),
    ("A saddle for each string, on screws or rollers", "string_exit = \"pin holes\"", "string_exit = \"rollers\"", "NoSuchWord"),
    ("A slot that leans by more than 45 degrees", "lean = 2", "lean = 46", "Outside"),
    ("A blank thicker than its slot", "width = 3.25", "width = 3.1", "BlankTooThick"),
    ("A wound string on gut or silk without its core", "[nut]", "[[string]]\nnumber = 1\nkind = \"wound\"\ncore_material = \"gut\"\nwrap = \"silver-plated copper\"\n[nut]", "CoreMissing"),
    ("A comma in a number, and a length whose unit is open", "height = 12", "height = \"12,5\"", "Unreadable"),
    ("A comma in a number, and a length whose unit is open", "unit = \"mm\"", "", "NoUnits"),
    ("Reading cents without the present nut's height", "first_fret_clearance = { bass = 0.5, treble = 0.35 }", "new_clearance = 0.4", "CentsNeedNut"),
];

/// Errors of a text, by kind.
fn kinds(text: &str) -> Vec<&'static str> {
    let problems = read(text, &Profiles::built_in()).err().unwrap_or_default();
    let errors = problems.iter().filter(|p| p.severity == Severity::Error);
    errors.map(|p| p.kind.name()).collect()
}

fn section() -> &'static str {
    let (_, rest) = PAGE.split_once("## What is refused\n").unwrap();
    rest.split_once("\n## ").unwrap().0
}

#[test]
fn every_row_is_refused_as_it_says() {
    let mut seen = BTreeSet::new();
    for (name, old, new, kind) in ROWS {
        assert!(GOOD.contains(old), "{name}: {old}");
        let mut text = GOOD.replacen(old, new, 1);
        if *kind == "ZeroFretIntonation" {
            text = text.replace("intonation = \"octave\"", "intonation = \"best-fit-with-nut\"");
        }
        let found = kinds(&text);
        assert!(
            found
                .iter()
                .any(|found| found == kind || *found == "InString" && *kind == "CoreMissing"),
            "{name}: {found:?}"
        );
        seen.insert(*name);
    }
    // A saddle that stays has no [slot] and no [blank], so it is another job.
    let alone = include_str!("../../../../examples/nut-only.toml");
    let wish = format!("{alone}\n[target]\naction_12 = \"2 mm\"\nintonation = \"best-fit-with-nut\"\n");
    assert!(kinds(&wish).contains(&"TargetOfStandingSaddle"), "{:?}", kinds(&wish));
    seen.insert("A wanted action of a saddle that stays");
    let rows = section().lines().filter(|line| line.starts_with("| ")).skip(1);
    let told: BTreeSet<&str> = rows
        .map(|row| row.split(" | ").next().unwrap().trim_start_matches("| "))
        .collect();
    assert_eq!(told, seen);
}

/// The page's floating bridge in place of the mandolin's slot and blank, with this action wanted.
fn floating(action: &str) -> Job {
    let (_, block) = section().split_once("<!-- a floating bridge -->\n```toml\n").unwrap();
    let block = block.split("```").next().unwrap();
    let table = |name: &str| {
        let (_, rest) = MANDOLIN.split_once(&format!("[{name}]\n")).unwrap();
        format!("[{name}]\n{}\n", rest.split("\n[").next().unwrap())
    };
    let kept: String = ["instrument", "strings", "nut"].map(table).concat();
    let text = format!(
        "format = 1\ntitle = \"Floating bridge\"\nunit = \"mm\"\n{kept}\n{block}\n[target]\nintonation = \"best-fit\"\naction_12 = {action}\n"
    );
    let checked = read(&text, &Profiles::built_in()).unwrap_or_else(|problems| panic!("{text}\n{problems:?}"));
    let doubts: Vec<&str> = checked.warnings.iter().map(|p| p.kind.name()).collect();
    assert!(
        doubts.iter().all(|kind| ["NoSlotWidth", "NoSlotDepth"].contains(kind)),
        "{doubts:?}"
    );
    checked.job
}

/// With the action as it is now the new piece is as high as the old one, and half a millimetre less takes off the double of it.
#[test]
fn a_floating_bridge_is_planned_by_its_own_piece() {
    let heights = |action: &str| {
        let plan = saddle::plan(&floating(action).saddle.unwrap().survey).unwrap();
        let ends = [&plan.strings[0], &plan.strings[7]];
        let slopes = ends.map(|s| s.line.slope);
        ends.into_iter()
            .zip(slopes)
            // Along the string, back to where the old piece has its ridge.
            .map(|(s, slope)| s.contact.v - (s.contact.b - 3.0) * slope)
            .collect::<Vec<f64>>()
    };
    let same = heights("{ bass = 2.2, treble = 1.8 }");
    assert!((same[0] - 9.6).abs() < 0.02 && (same[1] - 8.9).abs() < 0.02, "{same:?}");
    let lower = heights("{ bass = 1.7, treble = 1.3 }");
    for (was, is) in same.iter().zip(&lower) {
        // Of 177 mm to fret 12 and some 180 mm beyond.
        let off = was - is;
        assert!((off - 0.5 * 357.0 / 177.0).abs() < 0.02, "{off}");
    }
}
