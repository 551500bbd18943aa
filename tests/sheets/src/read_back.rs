//! The sheets read back by others: SVG by usvg, PDF and PNG from their bytes.

use crate::invented::{Invented, parlour, sized};
use drawing::{DrawingError, Sheet, SheetOptions, pdf, png, saddle_sheets};
use fixtures::{Guitar, PARLOUR};
use job::Paper;
use proptest::prelude::*;
use saddle::Plan;
use units::BenchUnit;
use usvg::{Node, Options, Tree};
use work::Hazards;

/// CSS: 96 user units of usvg to the inch.
const UNITS_PER_MM: f64 = 96.0 / 25.4;
/// The tolerance for outline and stations, mm.
const TOLERANCE: f64 = 0.005;

fn options(paper: Paper) -> SheetOptions {
    SheetOptions {
        paper,
        bench: BenchUnit::THOU,
        title: "Parlour guitar".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: vec!["Read at pitch.".to_owned()],
    }
}

fn sheets(plan: &Plan, paper: Paper) -> Vec<Sheet> {
    saddle_sheets(plan, &options(paper)).unwrap()
}

fn fonts() -> Options<'static> {
    let mut options = Options::default();
    for file in ["DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"] {
        let path = format!("{}/../../crates/drawing/fonts/{file}", env!("CARGO_MANIFEST_DIR"));
        options.fontdb_mut().load_font_data(std::fs::read(path).unwrap());
    }
    options
}

fn tree(sheet: &Sheet) -> Tree {
    Tree::from_str(&sheet.svg(), &fonts()).unwrap()
}

/// Points of a path in mm.
fn points(tree: &Tree, id: &str) -> Vec<[f64; 2]> {
    let Some(Node::Path(path)) = tree.node_by_id(id) else {
        panic!("{id} is missing")
    };
    let at = path.abs_transform();
    let place = |p: usvg::tiny_skia_path::Point| {
        [
            f64::from(p.x * at.sx + at.tx) / UNITS_PER_MM,
            f64::from(p.y * at.sy + at.ty) / UNITS_PER_MM,
        ]
    };
    path.data()
        .segments()
        .filter_map(|s| match s {
            usvg::tiny_skia_path::PathSegment::MoveTo(p) | usvg::tiny_skia_path::PathSegment::LineTo(p) => {
                Some(place(p))
            }
            _ => None,
        })
        .collect()
}

/// Centre of the mark on a contact, mm.
fn centre(tree: &Tree, id: &str) -> [f64; 2] {
    let node = tree.node_by_id(id).unwrap_or_else(|| panic!("{id} is missing"));
    let b = node.abs_bounding_box();
    [b.x() + 0.5 * b.width(), b.y() + 0.5 * b.height()].map(|v| f64::from(v) / UNITS_PER_MM)
}

fn check_front(plan: &Plan, sheet: &Sheet) {
    let tree = tree(sheet);
    let outline = points(&tree, "outline-front");
    let bottom = outline.iter().map(|p| p[1]).fold(f64::MIN, f64::max);
    let left = outline.iter().map(|p| p[0]).fold(f64::MAX, f64::min);
    // The frame: seen from the nut, the treble end of a right-handed saddle is to the left.
    let u = |x: f64| {
        if plan.left_handed {
            plan.ends.0 + (x - left)
        } else {
            plan.ends.1 - (x - left)
        }
    };
    let right = outline.iter().map(|p| p[0]).fold(f64::MIN, f64::max);
    assert!((right - left - (plan.ends.1 - plan.ends.0)).abs() < TOLERANCE);
    let mut top = 0;
    for [x, y] in &outline {
        let v = bottom - y;
        if v.abs() > TOLERANCE {
            let want = drawing::silhouette(plan, u(*x));
            assert!((v - want).abs() < TOLERANCE, "outline at {x}: {v} against {want}");
            top += 1;
        }
    }
    assert!(top > plan.strings.len());
    for string in &plan.strings {
        let [x, y] = centre(&tree, &format!("station-{}", string.number));
        assert!((u(x) - string.contact.u).abs() < TOLERANCE, "string {}", string.number);
        assert!((bottom - y - string.contact.v).abs() < TOLERANCE);
        let [x, y] = centre(&tree, &format!("station-above-{}", string.number));
        let front = points(&tree, "outline-above")
            .iter()
            .map(|p| p[1])
            .fold(f64::MIN, f64::max);
        assert!((u(x) - string.contact.u).abs() < TOLERANCE);
        assert!((front - y - string.contact.b).abs() < TOLERANCE);
    }
}

#[test]
fn outline_and_stations_are_where_the_plan_has_them() {
    for left_handed in [false, true] {
        for drop_in in [false, true] {
            for strings in [2, 6, 12] {
                let of = Guitar {
                    strings,
                    left_handed,
                    drop_in,
                    stepped: drop_in,
                    ..PARLOUR
                };
                let plan = Invented::from(of).plan();
                for paper in [Paper::A4, Paper::Letter] {
                    check_front(&plan, &sheets(&plan, paper)[0]);
                }
            }
        }
    }
}

/// usvg's own layout of every text, with the carried font, keeps to the width that the sheet measured.
#[test]
fn texts_have_the_width_measured() {
    fn texts(group: &usvg::Group, all: &mut Vec<(String, f64)>) {
        for node in group.children() {
            match node {
                Node::Group(group) => texts(group, all),
                Node::Text(text) => {
                    let content: String = text.chunks().iter().map(|c| c.text()).collect();
                    all.push((content, f64::from(text.bounding_box().width())));
                }
                _ => {}
            }
        }
    }
    let plan = parlour();
    for sheet in sheets(&plan, Paper::A4) {
        // Without textLength, which would force the width.
        let mut svg = sheet.svg();
        while let Some(at) = svg.find("textLength=\"") {
            let end = at + 12 + svg[at + 12..].find('"').unwrap();
            svg.replace_range(at..=end, "");
        }
        let tree = Tree::from_str(&svg.replace("lengthAdjust=\"spacingAndGlyphs\"", ""), &fonts()).unwrap();
        let mut laid = Vec::new();
        texts(tree.root(), &mut laid);
        let ours: Vec<_> = sheet.texts().collect();
        assert_eq!(laid.len(), ours.len(), "a text vanished");
        for ((content, width), text) in laid.into_iter().zip(ours) {
            assert_eq!(content.trim(), text.content);
            // usvg kerns words, so it may be a little narrower, but never wider; figures are exact.
            let measured = text.width();
            assert!(width < measured + 0.01, "{content}: {width} against {measured}");
            assert!(width > 0.95 * measured, "{content}: {width} against {measured}");
            if content.chars().all(|c| c.is_ascii_digit() || c == '.') {
                assert!((width - measured).abs() < 0.01, "{content}: {width} against {measured}");
            }
        }
    }
}

#[test]
fn the_bars_are_exact() {
    let plan = parlour();
    for paper in [Paper::A4, Paper::Letter] {
        for sheet in sheets(&plan, paper) {
            let svg = sheet.svg();
            for (id, length) in [("bar-100mm", 100.0), ("bar-4in", 101.6)] {
                let at = svg.find(&format!("id=\"{id}\"")).unwrap();
                let element = &svg[svg[..at].rfind('<').unwrap()..];
                let d = element.split(" d=\"").nth(1).unwrap().split('"').next().unwrap();
                let numbers: Vec<f64> = d[1..].split(['L', ' ']).map(|n| n.parse().unwrap()).collect();
                assert_eq!(numbers[1], numbers[3]);
                assert!((numbers[2] - numbers[0] - length).abs() < 1e-9, "{d}");
            }
        }
    }
}

#[test]
fn pages_are_as_large_as_the_paper() {
    let plan = parlour();
    // ISO 216 A4 and US Letter, lying, in points of 1/72 in.
    for (paper, width, height) in [(Paper::A4, 841.8898, 595.2756), (Paper::Letter, 792.0, 612.0)] {
        let sheets = sheets(&plan, paper);
        let bytes = pdf(&sheets).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let boxes: Vec<Vec<f64>> = text
            .split("/MediaBox")
            .skip(1)
            .map(|rest| {
                let inside = rest.split(['[', ']']).nth(1).unwrap();
                inside.split_whitespace().map(|n| n.parse().unwrap()).collect()
            })
            .collect();
        assert_eq!(boxes.len(), sheets.len());
        for b in boxes {
            assert!(b[0] == 0.0 && b[1] == 0.0);
            assert!((b[2] - width).abs() < 1e-3 && (b[3] - height).abs() < 1e-3, "{b:?}");
        }
        assert!(text.contains("/FontFile"), "no font inside: no text");
        let svg = sheets[0].svg();
        let wanted = match paper {
            Paper::A4 => "viewBox=\"0 0 297 210\" width=\"297mm\"",
            Paper::Letter => "viewBox=\"0 0 279.4 215.9\" width=\"279.4mm\"",
        };
        assert!(svg.contains(wanted), "{}", &svg[..400]);
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let plan = parlour();
    let (a, b) = (sheets(&plan, Paper::A4), sheets(&plan, Paper::A4));
    assert_eq!(a[0].svg(), b[0].svg());
    assert_eq!(pdf(&a).unwrap(), pdf(&b).unwrap());
    assert_eq!(png(&a[0], 60.0).unwrap(), png(&b[0], 60.0).unwrap());
}

/// The picture states its scale (PNG specification, pHYs), and the bar in it has its length.
#[test]
fn the_picture_knows_its_scale() {
    let plan = parlour();
    let sheet = &sheets(&plan, Paper::A4)[0];
    let dpi = 254.0;
    let bytes = png(sheet, dpi).unwrap();
    let at = bytes.windows(4).position(|w| w == b"pHYs").unwrap();
    assert_eq!(bytes[at + 4..at + 8], 10_000u32.to_be_bytes());
    assert_eq!(bytes[at + 12], 1, "per metre");
    let mut reader = ::png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    assert_eq!((info.width, info.height), (2970, 2100));
    let bar = points(&tree(sheet), "bar-100mm");
    let row = (bar[0][1] * 10.0).round() as usize * info.line_size;
    let middle = (0.5 * (bar[0][0] + bar[1][0]) * 10.0) as usize;
    let dark = |x: &usize| pixels[row + *x] < 128;
    let right = (middle..).take_while(dark).count();
    let left = (0..middle).rev().take_while(dark).count();
    // 100 mm at 10 pixels a millimetre; the ends may round by a pixel each.
    assert!((998..=1004).contains(&(left + right)), "{left} {right}");
}

#[test]
fn resolutions_out_of_range_are_refused() {
    let plan = parlour();
    let sheet = &sheets(&plan, Paper::A4)[0];
    for dpi in [f64::NAN, f64::INFINITY, 0.0, -96.0, 1e6] {
        assert!(matches!(png(sheet, dpi), Err(DrawingError::Resolution { .. })));
    }
    assert_eq!(pdf(&[]), Err(DrawingError::NoSheets));
}

#[test]
fn what_cannot_be_drawn_is_refused_in_words() {
    let good = parlour();
    let mut plan = good.clone();
    plan.strings.clear();
    let refused = |plan: &Plan| saddle_sheets(plan, &options(Paper::A4)).unwrap_err();
    assert_eq!(refused(&plan), DrawingError::NoStrings);
    let long = Guitar {
        length: 240.0,
        ..sized(90.0, 12.0)
    };
    let long = Invented::from(long).plan();
    let error = refused(&long);
    assert!(matches!(error, DrawingError::TooLong { .. }), "{error:?}");
    assert!(error.to_string().contains("at true scale the saddle needs"), "{error}");
    let mut high = good.clone();
    high.blank.height = 90.0;
    assert!(matches!(refused(&high), DrawingError::TooHigh { .. }));
    for breakage in [
        (|p: &mut Plan| p.strings[2].contact.v = f64::NAN) as fn(&mut Plan),
        |p| p.strings[0].contact.u = f64::INFINITY,
        |p| p.lean = f64::NAN,
        |p| p.blank.height = f64::NAN,
        |p| p.strings[3].setback = f64::NAN,
        |p| p.strings[3].exposure = Some(f64::INFINITY),
        |p| p.blank.land = f64::NAN,
        |p| p.crown.rounding = f64::NAN,
    ] {
        let mut plan = good.clone();
        breakage(&mut plan);
        let error = refused(&plan);
        assert!(
            matches!(error, DrawingError::NotFinite { .. } | DrawingError::Shape(_)),
            "{error:?}"
        );
    }
}

/// A left-handed plan is the mirror image; its words are not.
#[test]
fn left_handed_sheets_are_mirrored_with_readable_words() {
    let right = parlour();
    let mut left = right.clone();
    left.left_handed = true;
    let (a, b) = (sheets(&right, Paper::A4), sheets(&left, Paper::A4));
    let ends = |sheet: &Sheet| {
        let x = |word: &str| sheet.texts().find(|t| t.content == word).unwrap().at[0];
        (x("BASS"), x("TREBLE"))
    };
    let ((bass, treble), (bass_left, treble_left)) = (ends(&a[0]), ends(&b[0]));
    assert!(bass > treble && bass_left < treble_left);
    let middle = |sheet: &Sheet| {
        let all = points(&tree(sheet), "outline-front");
        0.5 * (all[0][0] + all[1][0])
    };
    for string in &right.strings {
        let id = format!("station-{}", string.number);
        let (p, q) = (centre(&tree(&a[0]), &id), centre(&tree(&b[0]), &id));
        assert!((p[0] - middle(&a[0]) + (q[0] - middle(&b[0]))).abs() < TOLERANCE);
        assert!((p[1] - q[1]).abs() < TOLERANCE);
    }
}

/// A held contact is marked by words and by a sign.
#[test]
fn held_contacts_are_marked() {
    let plan = parlour();
    assert_eq!(plan.strings[0].hold, saddle::Hold::Back);
    let all = sheets(&plan, Paper::A4);
    let has = |sheet: &Sheet, word: &str| sheet.texts().any(|t| t.content.contains(word));
    assert!(has(&all[0], "HELD") && has(&all[0], "■ BACK"));
    assert!(all[1..].iter().any(|sheet| has(sheet, "HELD back")));
    assert!(all[0].svg().contains("data-held=\"yes\""));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]
    /// Whatever title and notes say, the SVG is well-formed and holds no loose number.
    #[test]
    fn any_words_give_a_well_formed_sheet(title in any::<String>(), notes in proptest::collection::vec(any::<String>(), 0..4)) {
        let plan = parlour();
        let options = SheetOptions { title, notes, ..options(Paper::A4) };
        for sheet in saddle_sheets(&plan, &options).unwrap() {
            let svg = sheet.svg();
            prop_assert!(Tree::from_str(&svg, &Options::default()).is_ok());
            prop_assert!(!svg.contains("NaN\"") && !svg.contains("inf\""));
        }
    }
}
