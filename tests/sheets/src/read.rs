//! The sheet of what was read: every reading has one mark, at its place; nothing is in the way; what is mirrored is mirrored.

use crate::texts::complaints;
use drawing::{ReadLayout, ReadRoom, Shape, Sheet, SheetOptions, read_sheets, read_weight};
use instrument::At;
use job::{Paper, Profiles};
use proptest::prelude::*;
use report::read_words;
use std::collections::BTreeSet;
use std::path::PathBuf;
use units::BenchUnit;
use work::{Along, Belief, Lane, Mark, Planned, Round, Rounds, Station, WeighedBy};

/// 9 point, mm.
const NINE_POINT: f64 = 9.0 * 25.4 / 72.0;

fn examples() -> Vec<(String, Planned)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let jobs = files.filter(|path| path.extension().is_some_and(|ending| ending == "toml"));
    jobs.map(|path| {
        let text = std::fs::read_to_string(&path).unwrap();
        let job = job::read(&text, &Profiles::built_in()).unwrap().job;
        (path.display().to_string(), work::planned(job))
    })
    .collect()
}

fn options(paper: Paper) -> SheetOptions {
    SheetOptions {
        paper,
        bench: BenchUnit::THOU,
        title: "A guitar".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: work::Hazards::default(),
        notes: Vec::new(),
    }
}

fn drawn(read: &Rounds, paper: Paper) -> Vec<Sheet> {
    let options = options(paper);
    read_sheets(read, &read_words(read, options.bench), &options).unwrap()
}

/// What is wrong with the sheets of these readings.
fn wrong(read: &Rounds, sheets: &[Sheet]) -> Vec<String> {
    let mut found = Vec::new();
    let mut marks = Vec::new();
    for sheet in sheets {
        found.extend(complaints(sheet));
        let small = sheet.texts().filter(|text| text.font_size() < NINE_POINT);
        found.extend(small.map(|text| format!("\"{}\" is under 9 point", text.content)));
        let [left, top, right, bottom] = sheet.border();
        for item in &sheet.items {
            let inside = |[x, y]: [f64; 2], by: f64| {
                (left..=right).contains(&(x - by))
                    && (left..=right).contains(&(x + by))
                    && (top..=bottom).contains(&(y - by))
                    && (top..=bottom).contains(&(y + by))
            };
            let fits = match &item.shape {
                Shape::Path { points, .. } => points.iter().all(|p| inside(*p, 0.0)),
                Shape::Circle { centre, radius, .. } => inside(*centre, *radius),
                Shape::Text(_) => true,
            };
            if !fits {
                found.push(format!("{:?} leaves the border", item.shape));
            }
            marks.extend(item.id.clone().filter(|id| id.starts_with("read-")));
        }
    }
    let all: BTreeSet<&String> = marks.iter().collect();
    if all.len() != marks.len() || marks.len() != read.places() {
        found.push(format!("{} places, and the marks {marks:?}", read.places()));
    }
    for line in &read_words(read, BenchUnit::THOU).lines {
        let first = line.split(' ').next().unwrap();
        if !sheets
            .iter()
            .flat_map(Sheet::texts)
            .any(|text| text.content.starts_with(first))
        {
            found.push(format!("\"{line}\" is not told"));
        }
    }
    found
}

/// Of every example on both papers; each of several saddles by itself.
#[test]
fn every_reading_of_every_example_has_one_mark_and_nothing_is_in_the_way() {
    for (name, done) in examples() {
        for one in done.surveyed() {
            let read = one.rounds().unwrap();
            let evidence = one.evidence.as_ref().unwrap();
            let rows = evidence.known.rows.iter().filter(|row| row.is_reading()).count();
            let marks = || read.rounds.iter().flat_map(|round| &round.marks);
            assert_eq!(marks().map(|mark| mark.times).sum::<usize>(), rows, "{name}");
            assert!(marks().all(|mark| mark.takes_up.is_some_and(f64::is_finite)), "{name}");
            for paper in [Paper::A4, Paper::Letter] {
                let sheets = drawn(&read, paper);
                let found = wrong(&read, &sheets);
                assert!(found.is_empty(), "{name}:\n{}", found.join("\n"));
                assert_eq!(sheets.len(), 1, "{name}");
            }
        }
    }
}

/// Marks by their names, from the middle of the nut's front.
fn places(sheet: &Sheet) -> Vec<(String, [f64; 2])> {
    let named = |item: &drawing::Item| match (&item.shape, &item.id) {
        (Shape::Circle { centre, .. }, Some(id)) if id.starts_with("read-") => Some((id.clone(), *centre)),
        _ => None,
    };
    let mut all: Vec<(String, [f64; 2])> = sheet.items.iter().filter_map(named).collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

#[test]
fn a_mirrored_instrument_has_the_mirrored_picture() {
    for (name, done) in examples() {
        for one in done.surveyed() {
            let read = one.rounds().unwrap();
            let other = Rounds {
                left_handed: !read.left_handed,
                ..read.clone()
            };
            let [a, b] = [&read, &other].map(|read| places(&drawn(read, Paper::A4)[0]));
            // About one line across the paper; fans lean the other way, and so keep their x.
            let line = a[0].1[1] + b[0].1[1];
            for ((id, [x, y]), (other, [u, v])) in a.iter().zip(&b) {
                assert!(
                    id == other && (x - u).abs() < 1e-9 && (y + v - line).abs() < 1e-9,
                    "{name}: {id} at {x} {y}, {other} at {u} {v}"
                );
            }
        }
    }
}

/// What tells the treble side from the bass side: with the nut to the left the treble string of a right-handed one is up.
#[test]
fn the_treble_string_is_up_with_the_nut_to_the_left() {
    for (name, up) in [("parlour.toml", "1"), ("baritone-ukulele.toml", "4")] {
        let done = examples().into_iter().find(|(path, _)| path.ends_with(name)).unwrap().1;
        let read = done.rounds().unwrap();
        let round = 1 + read
            .rounds
            .iter()
            .position(|round| round.of == instrument::Of::SlotEdge)
            .unwrap();
        let all = places(&drawn(&read, Paper::A4)[0]);
        let y = |end: &str| {
            all.iter()
                .find(|(id, _)| *id == format!("read-{round}-{end}"))
                .unwrap()
                .1[1]
        };
        assert_eq!(y("treble") < y("bass"), up == "1", "{name}");
    }
}

#[test]
fn a_reading_that_takes_up_more_is_drawn_thicker() {
    let weights = [None, Some(0.01), Some(0.1), Some(0.25), Some(1.0)].map(read_weight);
    assert!(weights.windows(2).all(|pair| pair[0] < pair[1]), "{weights:?}");
    // As the legend says.
    assert!((2.0 * weights[3] - weights[4]).abs() < 1e-12);
    assert_eq!(read_weight(Some(7.0)), weights[4]);
}

/// Rounds of anything that is read, as many as there may be, at places that are there.
fn some_read() -> impl Strategy<Value = Rounds> {
    use instrument::Of;
    const ALL: [Of; 21] = [
        Of::NutTo12,
        Of::Relief,
        Of::RadiusAtNut,
        Of::RadiusAt12,
        Of::Clearance,
        Of::HeldAtThree,
        Of::ZeroFret,
        Of::Action { fret: 12 },
        Of::Action { fret: 2 },
        Of::Action { fret: 24 },
        Of::SlotEdge,
        Of::BridgeTop,
        Of::SlotDepth,
        Of::Lean,
        Of::Contact,
        Of::SaddleHeight,
        Of::SaddleBack,
        Of::Exposure,
        Of::OverBridge,
        Of::Cents { fret: 7 },
        Of::Inharmonicity,
    ];
    let mark =
        (0.0..2.0f64, any::<bool>(), 0usize..4, 1usize..4).prop_map(|(takes_up, is_checked, belief, times)| Mark {
            at: At::Whole,
            times,
            takes_up: (belief < 3).then_some(takes_up),
            is_checked,
            belief: [Belief::Counted, Belief::Suspected, Belief::Doubted, Belief::StruckOut][belief],
        });
    let round = (
        0usize..ALL.len(),
        proptest::collection::vec(mark, 12),
        1u32..10,
        0usize..30,
    );
    let rounds = proptest::collection::vec(round, 0..45);
    let gaps = proptest::collection::vec(1.5..12.0f64, 0..12);
    (rounds, gaps, any::<[bool; 3]>(), -0.25..0.25f64).prop_map(|(rounds, gaps, [left_handed, has_slot, zero], fan)| {
        let mut y = -0.5 * gaps.iter().sum::<f64>();
        let count = gaps.len() + 1;
        let mut lanes = Vec::new();
        for (i, gap) in gaps.iter().chain([&0.0]).enumerate() {
            let number = u32::try_from(count - i).unwrap();
            lanes.push(Lane { number, y });
            y += gap;
        }
        // The fan turns from one slant at the nut to the other at the bridge.
        let board = instrument::Board::new(650.0, 14, 0.2, instrument::BoardRadius::Flat).unwrap();
        let station = |along: Along| {
            let plain = Station::on(&board, along);
            Station {
                slant: fan * (plain.x / 325.0 - 1.0),
                ..plain
            }
        };
        let mut all: Vec<Round> = rounds
            .into_iter()
            .map(|(of, marks, visit, tool)| {
                let of = ALL[of];
                let places: Vec<At> = match Along::of(of) {
                    Along::Nut | Along::ToFret12 | Along::MidSpan | Along::FrontWall => vec![At::Whole],
                    Along::SlotEdge | Along::SlotFloor => vec![At::End(0), At::End(1)],
                    _ if of == Of::RadiusAt12 => vec![At::Whole],
                    _ if of == Of::BridgeTop => vec![At::End(1)],
                    _ => (0..count).map(At::String).collect(),
                };
                Round {
                    of,
                    tool: "a tool with a name ".repeat(1 + tool / 10),
                    visit,
                    over_made: tool % 7 == 0,
                    struck_out: false,
                    station: station(Along::of(of)),
                    sure_to: (tool > 3).then_some(0.1),
                    marks: places
                        .into_iter()
                        .zip(marks)
                        .map(|(at, mark)| Mark { at, ..mark })
                        .collect(),
                }
            })
            .collect();
        all.sort_by(|a, b| a.station.before(&b.station));
        let always = [
            Some(Along::Nut),
            zero.then_some(Along::Fret(0)),
            Some(Along::Fret(12)),
            Some(Along::Ridge),
        ];
        Rounds {
            rounds: all,
            lanes,
            always: always.into_iter().flatten().map(station).collect(),
            has_slot,
            left_handed,
            weighed_by: Some(WeighedBy::Slots(0.03)),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_is_read_has_its_mark_and_no_text_is_in_the_way(read in some_read(), letter: bool) {
        let sheets = drawn(&read, if letter { Paper::Letter } else { Paper::A4 });
        let found = wrong(&read, &sheets);
        prop_assert!(found.is_empty(), "{}", found.join("\n"));
    }

    /// For the screen as for the paper: in the room, in the order of the stations, no two rounds in one place.
    #[test]
    fn a_layout_keeps_to_its_room_and_its_order(read in some_read(), width in 200.0..400.0f64) {
        let room = ReadRoom { width, height: 170.0, strings: (13.5, 20.0), pitch: 30.0 };
        let layout = ReadLayout::of(&read, room);
        prop_assert!(layout.width <= width + 1e-9, "{}", layout.width);
        let x: Vec<f64> = layout.columns.iter().map(|column| column.0).collect();
        prop_assert!(x.windows(2).all(|pair| pair[0] < pair[1] + 1e-9), "{x:?}");
        prop_assert!(layout.across.windows(2).all(|pair| pair[1] - pair[0] >= 13.5 - 1e-9));
        prop_assert_eq!(layout.across.len(), read.lanes.len());
    }
}
