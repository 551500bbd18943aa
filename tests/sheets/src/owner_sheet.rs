//! The owner's sheet: everything is said, no text is in the way, and the chart shows the figures.

use crate::invented::sized;
use assess::{Assessment, Facts, assess};
use drawing::{Point, Shape, Sheet, SheetOptions, handed_back_sheets, owner_sheets};
use fixtures::{Guitar, PARLOUR, exit};
use job::Paper;
use proptest::prelude::*;
use report::{OwnerPart, OwnerSheet, OwnerTable};
use saddle::Plan;
use strings::Criterion;
use units::BenchUnit;
use work::Hazards;

/// Least air between two texts, mm.
const AIR: f64 = 0.2;

fn found(of: &Guitar) -> Option<(Plan, Assessment)> {
    let mut survey = of.survey(Criterion::Octave);
    survey.exit = exit(of.thickness + 10.0);
    survey.slot_width = Some(of.thickness + 0.05);
    let plan = saddle::plan(&survey).ok()?;
    let facts = Facts {
        heel_height: Some(90.0),
        last_fret: Some(19),
        ..Facts::default()
    };
    let found = assess(&survey, &plan, &facts);
    Some((plan, found))
}

fn words(each: usize, length: usize) -> OwnerSheet {
    let paragraph = |i: usize| format!("Paragraph {i} {}", "of plain words ".repeat(length));
    let list: Vec<String> = (0..each).map(paragraph).collect();
    let part = |head| OwnerPart::Words {
        head,
        paragraphs: list.clone(),
    };
    let row = |cell: &str| {
        [cell, "114.1 thou (2.897 mm)", "not measured"]
            .map(str::to_owned)
            .to_vec()
    };
    let table = OwnerTable {
        head: "What it would change",
        columns: vec!["", "now", "after"],
        rows: (0..each)
            .map(|_| row("Bass string (6, E2): height over fret 12"))
            .collect(),
        note: "A note. ".repeat(length),
    };
    OwnerSheet {
        under: "For the owner.",
        headline: "What comes of it, first and alone. ".repeat(2),
        parts: vec![
            part("What is wrong"),
            part("What is proposed"),
            OwnerPart::Table(table),
            part("What else could be done"),
            part("Before you agree"),
        ],
        open: vec![
            "Price",
            "Ready by",
            "Repairer, date and signature",
            "Owner, date and signature",
        ],
    }
}

fn options(paper: Paper, bench: BenchUnit) -> SheetOptions {
    SheetOptions {
        paper,
        bench,
        title: "A guitar with a long name that does not end where one would think that it would, and goes on"
            .to_owned(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    }
}

/// Box of a level text: left, top, right, bottom.
fn boxed(corners: [Point; 4]) -> [f64; 4] {
    let xs = corners.map(|c| c[0]);
    let ys = corners.map(|c| c[1]);
    let low = |v: [f64; 4]| v.into_iter().fold(f64::INFINITY, f64::min);
    let high = |v: [f64; 4]| v.into_iter().fold(f64::NEG_INFINITY, f64::max);
    [low(xs), low(ys), high(xs), high(ys)]
}

/// Whether a straight piece passes through a box.
fn strikes([a, b]: [Point; 2], [left, top, right, bottom]: [f64; 4]) -> bool {
    let (mut from, mut to): (f64, f64) = (0.0, 1.0);
    for (start, step, low, high) in [(a[0], b[0] - a[0], left, right), (a[1], b[1] - a[1], top, bottom)] {
        if step.abs() < 1e-12 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (p, q) = ((low - start) / step, (high - start) / step);
        from = from.max(p.min(q));
        to = to.min(p.max(q));
    }
    from <= to
}

fn complaints(sheet: &Sheet) -> Vec<String> {
    let texts: Vec<(&str, [f64; 4])> = sheet
        .texts()
        .map(|t| (t.content.as_str(), boxed(t.corners())))
        .collect();
    let [left, top, right, bottom] = sheet.border();
    let mut found = Vec::new();
    for (i, (text, at)) in texts.iter().enumerate() {
        if at[0] < left + 0.3 || at[1] < top + 0.3 || at[2] > right - 0.3 || at[3] > bottom - 0.3 {
            found.push(format!("\"{text}\" leaves the border"));
        }
        for (other, there) in &texts[i + 1..] {
            if at[0] < there[2] + AIR && there[0] < at[2] + AIR && at[1] < there[3] + AIR && there[1] < at[3] + AIR {
                found.push(format!("\"{text}\" overlaps \"{other}\""));
            }
        }
        for item in &sheet.items {
            let Shape::Path { points, closed, .. } = &item.shape else {
                continue;
            };
            let last = closed.then(|| [points[points.len() - 1], points[0]]);
            let pieces = points.windows(2).map(|w| [w[0], w[1]]).chain(last);
            if pieces.into_iter().any(|piece| strikes(piece, *at)) {
                found.push(format!("\"{text}\" is struck by {:?}", item.id));
            }
        }
    }
    found
}

/// The check itself must be able to fail.
#[test]
fn complaints_are_found() {
    let (plan, found) = found(&PARLOUR).unwrap();
    let of = options(Paper::A4, BenchUnit::THOU);
    let mut sheet = owner_sheets(&plan, &found, &words(2, 4), &of).unwrap().remove(0);
    assert_eq!(complaints(&sheet), Vec::<String>::new());
    for item in &mut sheet.items {
        if let Shape::Text(text) = &mut item.shape {
            text.at[1] += 2.5;
        }
    }
    assert!(!complaints(&sheet).is_empty());
}

#[test]
fn the_chart_shows_the_samples() {
    let (plan, found) = found(&PARLOUR).unwrap();
    let of = options(Paper::Letter, BenchUnit::THOU);
    let sheets = owner_sheets(&plan, &found, &words(2, 4), &of).unwrap();
    let item = |id: &str| {
        let item = sheets
            .iter()
            .flat_map(|sheet| &sheet.items)
            .find(|item| item.id.as_deref() == Some(id))
            .unwrap();
        match &item.shape {
            Shape::Path { points, .. } => points.clone(),
            _ => panic!("{id} is no path"),
        }
    };
    let (frame, mean, target) = (item("chart"), item("mean-exposure"), item("target"));
    let samples = &found.what_if.as_ref().unwrap().actions;
    assert_eq!(mean.len(), samples.len());
    // The curve starts and ends at the plot's sides, and the target line crosses it where the plan stands.
    assert!((mean[0][0] - frame[0][0]).abs() < 1e-9 && (mean[mean.len() - 1][0] - frame[1][0]).abs() < 1e-9);
    let at = samples.iter().position(|s| s.change.abs() < 1e-9).unwrap();
    assert!((mean[at][0] - target[0][0]).abs() < 1e-9);
    // Equal steps of exposure are equal steps on the paper.
    let scale = |i: usize, j: usize| (mean[j][1] - mean[i][1]) / (samples[i].mean - samples[j].mean);
    assert!((scale(0, at) - scale(at, samples.len() - 1)).abs() < 1e-6);
}

#[test]
fn every_word_is_set_on_as_many_sheets_as_it_needs() {
    let (plan, found) = found(&PARLOUR).unwrap();
    let of = options(Paper::A4, BenchUnit::METRIC);
    let words = words(9, 40);
    let sheets = owner_sheets(&plan, &found, &words, &of).unwrap();
    assert!(sheets.len() > 1);
    let all: String = sheets
        .iter()
        .flat_map(Sheet::texts)
        .map(|t| format!("{} ", t.content))
        .collect();
    assert_eq!(all.matches("Paragraph").count(), 4 * 9);
    // What is signed stands once, at the foot of the last words.
    for open in &words.open {
        assert_eq!(all.matches(open).count(), 1, "{open}");
    }
    assert_eq!(all.matches("plain").count(), 4 * 9 * 40);
    let pdf = drawing::pdf(&sheets).unwrap();
    assert_eq!(
        pdf,
        drawing::pdf(&owner_sheets(&plan, &found, &words, &of).unwrap()).unwrap()
    );
}

/// A list that a column holds is not cut: its last paragraph stands on the page of its heading.
#[test]
fn no_list_is_cut_by_a_page() {
    let (plan, found) = found(&PARLOUR).unwrap();
    for (each, length) in [(3, 10), (6, 8), (5, 14)] {
        for paper in [Paper::A4, Paper::Letter] {
            let words = words(each, length);
            for sheet in owner_sheets(&plan, &found, &words, &options(paper, BenchUnit::THOU)).unwrap() {
                let texts: Vec<&str> = sheet.texts().map(|text| text.content.as_str()).collect();
                let heads = [
                    "What is wrong",
                    "What is proposed",
                    "What else could be done",
                    "Before you agree",
                ];
                let heads = heads.iter().filter(|head| texts.contains(head)).count();
                let begun = texts.iter().filter(|text| text.starts_with("Paragraph")).count();
                assert_eq!(begun, heads * each, "{each} {length} {paper:?}");
            }
        }
    }
}

/// Words that are read at arm's length: 9 point at least.
#[test]
fn words_are_large_enough() {
    let (plan, found) = found(&PARLOUR).unwrap();
    let of = options(Paper::A4, BenchUnit::THOU);
    let before = owner_sheets(&plan, &found, &words(3, 10), &of).unwrap();
    let after = handed_back_sheets(&words(3, 10), &of).unwrap();
    for text in before[0].texts().chain(after.iter().flat_map(Sheet::texts)) {
        assert!(
            text.font_size() >= 9.0 * 25.4 / 72.0,
            "{} {}",
            text.content,
            text.font_size()
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_text_is_in_the_way(
        strings in 2usize..=12, spread in 30.0..70.0f64, lean in -12.0..14.0f64, thickness in 2.2..6.0f64, depth in 3.0..8.0f64,
        each in 0usize..8, length in 0usize..40, letter: bool, bench in 0usize..3, left_handed: bool,
    ) {
        let of = Guitar { strings, lean, thickness, length: spread + 20.0, left_handed, ..sized(spread, depth) };
        let Some((plan, found)) = found(&of) else { return Ok(()) };
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        for sheet in owner_sheets(&plan, &found, &words(each, length), &options(paper, BenchUnit::ALL[bench])).unwrap() {
            let found = complaints(&sheet);
            prop_assert!(found.is_empty(), "{}", found.join("\n"));
        }
        for sheet in handed_back_sheets(&words(each, length), &options(paper, BenchUnit::ALL[bench])).unwrap() {
            let found = complaints(&sheet);
            prop_assert!(found.is_empty(), "{}", found.join("\n"));
        }
    }
}
