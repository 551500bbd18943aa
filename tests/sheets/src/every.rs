//! Every sheet of every job: on both papers, in every unit, of either hand. What holds of one sheet holds of all.

use crate::texts::{LEAST_FIGURE, complaints};
use drawing::{PartWork, Point, Shape, Sheet, Text, filing_sheets_of, paragraphs, read_sheets_of, tolerance_sheets_of};
use job::{Job, Paper, Profiles};
use machining::PartKind;
use std::path::PathBuf;
use std::sync::Mutex;
use units::BenchUnit;
use work::{NutWork, Planned, SaddleWork, planned, usual_step};

/// Length of a bar may differ from what it says by this, mm.
const EXACT: f64 = 1e-9;
/// Side of the squares in which the room that a sheet uses is counted, mm.
const SQUARE: f64 = 10.0;
/// Share of the squares inside the border and over the strip that are used at least.
const LEAST_USED: f64 = 0.3;
/// Samples of a tolerance: the sheet is the same of many.
const SAMPLES: usize = 200;
/// From line to line of a paragraph, in heights of its capitals.
const LINE: f64 = 1.6;
/// Heads of lists, which stand in one place.
const LISTS: [&str; 2] = ["Order of work", "Cautions"];

fn jobs() -> Vec<(String, Job)> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let folders = [root.join("../../examples"), root.join("../jobs")];
    let files = folders.iter().flat_map(|folder| std::fs::read_dir(folder).unwrap());
    let mut paths: Vec<PathBuf> = files.map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        let read = job::read(&text, &Profiles::built_in()).ok()?;
        Some((path.file_stem().unwrap().to_string_lossy().into_owned(), read.job))
    };
    paths.into_iter().filter_map(read).collect()
}

fn on(paper: Paper, mut job: Job) -> Job {
    job.split.iter_mut().for_each(|one| *one = on(paper, one.clone()));
    job.paper = paper;
    job.tolerance.sampling.samples = SAMPLES;
    job
}

/// What is wrong with all that is drawn of a job.
fn wrong(name: &str, done: &Planned, bench: BenchUnit, mirrored: bool) -> Vec<String> {
    let mut found = Vec::new();
    let mut tell = |set: &str, sheets: &[Sheet], told: &[String], is_part: bool| {
        let all = sheets.iter().flat_map(|sheet| {
            let wrong = wrong_with(sheet, is_part);
            wrong.into_iter().map(|w| format!("{}: {w}", sheet.heading))
        });
        let parted = told
            .iter()
            .flat_map(|text| text.lines())
            .filter(|line| !is_whole(line, sheets));
        let parted = parted.map(|line| format!("not in one place: {line}"));
        found.extend(
            all.chain(parted)
                .map(|w| format!("{name} {set} {bench:?} {:?}: {w}", done.job.paper)),
        );
    };
    for one in done.saddles() {
        if let Some(saddle) = one.saddle() {
            let mut plan = saddle.plan.clone();
            plan.left_handed ^= mirrored;
            let saddle = SaddleWork { plan: &plan, ..saddle };
            let part = PartWork::Saddle(saddle);
            let options = part.options(bench);
            match part.sheets(&options) {
                Ok(sheets) => tell("saddle", &sheets, &options.notes, true),
                // Nothing is left of a part that cannot be made.
                Err(drawing::DrawingError::Shape(_)) => {}
                Err(error) => tell("saddle", &[], &[error.to_string()], true),
            }
            let filing = saddle.filing(&[], None, usual_step(bench), false);
            if let Ok(sheets) = filing.map(|filing| filing_sheets_of(&saddle, &filing, bench)) {
                tell("filing", &sheets.unwrap(), &[], true);
            }
            if let Ok(sure) = saddle.sureness(done.job.tolerance.sampling, &|_| ()) {
                tell(
                    "tolerance",
                    &tolerance_sheets_of(&saddle, &sure, bench).unwrap(),
                    &report::sure_advice(&sure, bench),
                    true,
                );
            }
        }
        if let Some(rounds) = one.rounds() {
            tell("read", &read_sheets_of(&one.job, &rounds, bench).unwrap(), &[], false);
        }
    }
    if let Some(nut) = done.nut() {
        let mut plan = nut.plan.clone();
        plan.left_handed ^= mirrored;
        let part = PartWork::Nut(NutWork { plan: &plan, ..nut });
        let options = part.options(bench);
        tell("nut", &part.sheets(&options).unwrap(), &options.notes, true);
    }
    found
}

fn wrong_with(sheet: &Sheet, is_part: bool) -> Vec<String> {
    let mut found = complaints(sheet);
    let texts: Vec<&Text> = sheet.texts().collect();
    for text in &texts {
        if text.content.contains('…') || text.content.contains("Continued") {
            found.push(format!("\"{}\" is cut", text.content));
        }
        if is_figure(&text.content) && text.font_size() < LEAST_FIGURE {
            found.push(format!("figure \"{}\" is too small", text.content));
        }
        if LISTS
            .iter()
            .any(|head| text.content.starts_with(&format!("{head}, part")))
        {
            found.push(format!("\"{}\": a list is parted", text.content));
        }
    }
    let strip = sheet
        .items
        .iter()
        .filter_map(|item| match (&item.shape, item.id.as_deref()) {
            (Shape::Path { points, .. }, Some(id)) => Some((id, points)),
            _ => None,
        });
    let bars: Vec<(&str, f64)> = strip
        .filter(|(id, _)| id.starts_with("bar-"))
        .map(|(id, points)| (id, (points[1][0] - points[0][0]).hypot(points[1][1] - points[0][1])))
        .collect();
    if is_part {
        let exact = |(id, long): (&str, f64)| {
            bars.iter()
                .any(|(name, length)| *name == id && (length - long).abs() < EXACT)
        };
        if bars.len() != 2 || ![("bar-100mm", 100.0), ("bar-4in", 101.6)].into_iter().all(exact) {
            found.push(format!("bars {bars:?}"));
        }
    }
    let used = used(sheet, is_part);
    if used < LEAST_USED {
        found.push(format!("only {:.0} % of the room is used", 100.0 * used));
    }
    found
}

/// A number with decimals, alone or with another one in brackets.
fn is_figure(text: &str) -> bool {
    let decimals = text
        .split([' ', '[', ']'])
        .any(|part| part.split_once('.').is_some_and(|(_, digits)| !digits.is_empty()));
    decimals && !text.ends_with('.') && text.chars().all(|c| c.is_ascii_digit() || " .[]+-−".contains(c))
}

/// Share of the squares inside the border, and over the strip with the bars, where something is drawn.
fn used(sheet: &Sheet, has_strip: bool) -> f64 {
    let [left, top, right, bottom] = sheet.border();
    let bottom = if has_strip { bottom - 31.0 } else { bottom };
    let [across, down] = [right - left, bottom - top].map(|side| (side / SQUARE).floor() as usize);
    let mut squares = vec![false; across * down];
    let mut touch = |points: &[Point]| {
        let reach = |axis: usize| {
            points
                .iter()
                .map(|p| p[axis])
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| {
                    [low.min(v), high.max(v)]
                })
        };
        let cell = |v: f64, from: f64, count: usize| ((v - from) / SQUARE).floor().clamp(0.0, count as f64) as usize;
        let ([x0, x1], [y0, y1]) = (reach(0), reach(1));
        for y in cell(y0, top, down)..=cell(y1, top, down).min(down - 1) {
            for x in cell(x0, left, across)..=cell(x1, left, across).min(across - 1) {
                squares[y * across + x] = true;
            }
        }
    };
    for item in &sheet.items {
        match &item.shape {
            // Not the border.
            Shape::Path {
                line: Some(drawing::LineKind::Border),
                ..
            } => {}
            Shape::Path {
                points, closed: false, ..
            } => points.windows(2).for_each(&mut touch),
            Shape::Path { points, .. } => touch(points),
            Shape::Circle { centre, .. } => touch(&[*centre]),
            Shape::Text(text) => touch(&text.corners()),
        }
    }
    squares.iter().filter(|used| **used).count() as f64 / squares.len() as f64
}

/// Whether a paragraph stands on one of the sheets line under line, or is what it says first.
fn is_whole(paragraph: &str, sheets: &[Sheet]) -> bool {
    let paragraph = paragraph.split_whitespace().collect::<Vec<_>>().join(" ");
    let number = paragraph
        .split_once(". ")
        .filter(|(number, _)| number.bytes().all(|b| b.is_ascii_digit()));
    let words = number.map_or(paragraph.as_str(), |(_, text)| text);
    sheets.iter().any(|sheet| {
        let texts: Vec<&Text> = sheet.texts().collect();
        (0..texts.len()).any(|first| {
            let mut rest = words;
            for (i, text) in texts[first..].iter().enumerate() {
                let Some(after) = rest.strip_prefix(text.content.as_str()) else {
                    return false;
                };
                let down = text.at[1] - texts[first].at[1] - i as f64 * LINE * text.lettering.capitals;
                if text.at[0] != texts[first].at[0] || down.abs() > EXACT {
                    return false;
                }
                rest = after.trim_start();
                if rest.is_empty() {
                    return true;
                }
            }
            false
        })
    })
}

#[test]
fn every_sheet_of_every_job_can_be_worked_from() {
    let jobs = Mutex::new(jobs().into_iter().enumerate());
    let found = Mutex::new(Vec::new());
    let work = || {
        loop {
            let Some((at, (name, job))) = jobs.lock().unwrap().next() else {
                return;
            };
            for (turn, paper) in [Paper::A4, Paper::Letter].into_iter().enumerate() {
                let done = planned(on(paper, job.clone()));
                // Of every job all units, and both hands of each paper and of each unit.
                for (i, bench) in BenchUnit::ALL.into_iter().enumerate() {
                    let wrong = wrong(&name, &done, bench, (at + turn + i) % 2 == 1);
                    found.lock().unwrap().extend(wrong);
                }
            }
        }
    };
    std::thread::scope(|scope| {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        for _ in 0..threads {
            scope.spawn(work);
        }
    });
    let found = found.into_inner().unwrap();
    assert!(found.is_empty(), "{} things:\n{}", found.len(), found.join("\n"));
}

/// The checks must be able to fail.
#[test]
fn what_is_not_whole_or_used_is_found() {
    let done = planned(jobs().into_iter().find(|(name, _)| name == "parlour").unwrap().1);
    let part = PartWork::of(&done, PartKind::Saddle).unwrap();
    let options = part.options(done.job.bench);
    let mut sheets = part.sheets(&options).unwrap();
    let note = paragraphs(&report::saddle_notes(&done.saddle().unwrap(), done.job.bench))
        .pop()
        .unwrap();
    let line = note.lines().next().unwrap();
    assert!(is_whole(line, &sheets) && !is_whole(&format!("{line} And more."), &sheets));
    for sheet in &mut sheets {
        for item in &mut sheet.items {
            if let Shape::Text(text) = &mut item.shape {
                text.at[1] += if line.ends_with(&text.content) { 9.0 } else { 0.0 };
            }
        }
    }
    assert!(!is_whole(line, &sheets));
    let sheet = &mut sheets[0];
    assert!(is_figure("8.467 [333.4]") && is_figure("[-333.4]") && !is_figure("1.") && !is_figure("bonewright 0.1.0"));
    sheet.items.retain(|item| !matches!(&item.shape, Shape::Text(_)));
    sheet.items.truncate(20);
    let wrong = wrong_with(sheet, true);
    assert!(wrong.iter().any(|w| w.contains("of the room")), "{wrong:?}");
}
