//! Each question has its own drawing, which says and shows what is asked.

use std::collections::{BTreeMap, BTreeSet};

use job::Profiles;
use survey::{Answers, Kind, questions};

use super::*;

/// Words that name a tool in a line of how to read.
const TOOLS: [&str; 11] = [
    "rule",
    "caliper",
    "feeler",
    "straightedge",
    "depth rod",
    "micrometer",
    "radius gauge",
    "bevel gauge",
    "tuner",
    "hygrometer",
    "shims",
];

/// Answers by their keys.
type Given = &'static [(&'static str, &'static str)];

fn interview(answers: Given) -> Interview {
    let mut given = Answers::default();
    for (key, text) in answers {
        given.set(key, text);
    }
    Interview::new(given, Profiles::built_in())
}

/// Whether something is measured. The pitch of the fork is chosen.
fn measured(question: &Question) -> bool {
    let read = matches!(
        question.kind,
        Kind::Length | Kind::Angle | Kind::Cents | Kind::Contour | Kind::Number(_)
    );
    read && question.key != "strings.a4"
}

/// The names that a question's drawings may have, as it stands and on other instruments.
fn names(key: &str) -> impl Iterator<Item = String> {
    let own = key.replace(':', ".");
    let variants = VARIANTS.iter().filter(move |(of, _, _)| *of == key);
    let varied: Vec<String> = variants.map(|(_, variant, _)| format!("{own}.{variant}")).collect();
    std::iter::once(own).chain(varied)
}

/// The words of a line in small letters, without marks.
fn words(line: &str) -> BTreeSet<String> {
    let split = line.split(|c: char| !c.is_alphanumeric());
    split.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

#[test]
fn what_is_measured_has_a_drawing() {
    let bare = interview(&[]);
    let without = questions().filter(|question| measured(question) && how(question, &bare).is_none());
    let without: Vec<&str> = without.map(|question| question.key).collect();
    assert!(
        without.is_empty(),
        "{without:?}: draw them in assets/readings and name them in how.rs"
    );
}

#[test]
fn every_file_is_of_one_question() {
    let mut owners: BTreeMap<String, &str> = BTreeMap::new();
    for question in questions() {
        for name in names(question.key).filter(|name| file(name).is_some()) {
            assert_eq!(
                owners.insert(name.clone(), question.key),
                None,
                "{name} is of two questions"
            );
        }
    }
    for (key, variant, _) in VARIANTS {
        let name = format!("{}.{variant}", key.replace(':', "."));
        assert!(file(&name).is_some(), "{name} is chosen and not there");
    }
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/readings");
    let entries = std::fs::read_dir(folder).unwrap();
    let stored: BTreeSet<String> = entries
        .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".svg").map(str::to_owned))
        .collect();
    let used: BTreeSet<String> = owners.into_keys().collect();
    let named: BTreeSet<String> = DRAWINGS.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(named.len(), DRAWINGS.len(), "a file is named twice");
    assert_eq!(stored, named, "files in the folder, and files named in how.rs");
    assert_eq!(named, used, "files named in how.rs, and files that a question has");
}

#[test]
fn no_two_drawings_are_alike() {
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    let mut titles: BTreeMap<&str, &str> = BTreeMap::new();
    for (name, svg) in DRAWINGS {
        let drawn = inline(svg).unwrap();
        let shapes: Vec<&str> = drawn
            .lines()
            .skip(1)
            .map(str::trim)
            .filter(|line| !line.contains("<text"))
            .collect();
        if let Some(other) = seen.insert(shapes.concat(), name) {
            panic!("{name} shows what {other} shows");
        }
        if let Some(other) = titles.insert(title(svg).unwrap(), name) {
            panic!("{name} has the title of {other}");
        }
    }
}

/// The title has what the question asks for, and the tool that its line of how to read names.
#[test]
fn a_drawing_says_what_its_question_asks() {
    for question in questions() {
        let asked: BTreeSet<String> = words(question.title)
            .into_iter()
            .filter(|word| word.chars().count() > 2 && word != "the" && word != "that")
            .collect();
        // "By a rule" is worked out, not read.
        let line = question.how.replace("by a rule", "");
        let (line, all) = (line.to_lowercase(), words(&line));
        let named = |tool: &&&str| {
            if **tool == "rule" {
                all.contains("rule")
            } else {
                line.contains(**tool)
            }
        };
        let tools: Vec<&str> = TOOLS.iter().filter(named).copied().collect();
        for name in names(question.key) {
            let Some(svg) = file(&name) else { continue };
            let says = title(svg).unwrap();
            let missing: Vec<String> = asked.difference(&words(says)).cloned().collect();
            assert!(
                missing.is_empty(),
                "{name}: its title lacks {missing:?} of \"{}\"",
                question.title
            );
            let low = says.to_lowercase();
            let shown = |tool: &&str| low.contains(*tool);
            let enough = if line.contains(" or ") || tools.contains(&"shims") {
                tools.is_empty() || tools.iter().any(shown)
            } else {
                tools.iter().all(shown)
            };
            assert!(enough, "{name}: its title lacks a tool of \"{}\"", question.how);
            if tools.iter().any(shown) {
                assert!(svg.contains("<g id=\"tool\">"), "{name}: no tool is drawn");
            }
        }
    }
}

/// A length or an angle has its two ends.
#[test]
fn what_is_measured_has_its_dimension() {
    for question in questions().filter(|question| matches!(question.kind, Kind::Length | Kind::Angle | Kind::Contour)) {
        for name in names(question.key) {
            let Some(svg) = file(&name) else { continue };
            let (_, group) = svg
                .split_once("<g id=\"dimension\">")
                .unwrap_or_else(|| panic!("{name}: no dimension"));
            let (group, _) = group.split_once("</g>").unwrap();
            let heads = group.matches("class=\"head\"").count();
            // A radius has one head, on its arc.
            let radius = question.tool == job::Tool::RadiusGauge;
            assert!(heads >= if radius { 1 } else { 2 }, "{name}: {heads} arrow heads");
            assert!(svg.contains("<g id=\"reference\">"), "{name}: from where is it read");
        }
    }
}

/// The label of a drawing in the page is the title of its file, which is the one that the answers choose.
#[test]
fn the_label_is_the_title_of_the_file_that_the_answers_choose() {
    const SADDLE: (&str, &str) = ("ask.part", "saddle");
    const NUT: (&str, &str) = ("ask.part", "nut");
    let chosen: [(&str, &str, Given); 9] = [
        ("blank.bass_end", "drop-in", &[SADDLE, ("blank.kind", "drop-in")]),
        ("blank.length", "drop-in", &[SADDLE, ("blank.kind", "drop-in")]),
        (
            "bridge.above_bridge_top",
            "tie-block",
            &[SADDLE, ("bridge.string_exit", "tie block")],
        ),
        (
            "bridge.behind_slot",
            "tie-block",
            &[SADDLE, ("bridge.string_exit", "tie block")],
        ),
        (
            "nut.first_fret_clearance",
            "zero-fret",
            &[SADDLE, ("ask.nut", "zero fret")],
        ),
        ("nut.held_at_3", "zero-fret", &[SADDLE, ("ask.nut", "zero fret")]),
        (
            "nut_blank.margin",
            "centre",
            &[NUT, ("ask.nut_places", "margin"), ("nut_blank.margin_to", "centre")],
        ),
        (
            "nut_blank.thickness",
            "shelf",
            &[NUT, ("ask.setbacks", "yes"), ("nut_blank.front", "shelf")],
        ),
        (
            "slot.bridge_top",
            "above",
            &[SADDLE, ("slot.read_by", "straightedge"), ("slot.bridge_side", "above")],
        ),
    ];
    let table: Vec<(&str, &str)> = VARIANTS.iter().map(|(key, variant, _)| (*key, *variant)).collect();
    let tested: Vec<(&str, &str)> = chosen.iter().map(|(key, variant, _)| (*key, *variant)).collect();
    assert_eq!(table, tested, "each variant is chosen here once");
    let label = |svg: &str| {
        let (_, rest) = svg.split_once("aria-label=\"").unwrap();
        rest.split_once('"').unwrap().0.to_owned()
    };
    for question in questions() {
        let plain = question.key.replace(':', ".");
        if let Some(svg) = file(&plain) {
            assert_eq!(label(&how(question, &interview(&[])).unwrap()), title(svg).unwrap());
        }
        for (_, variant, answers) in chosen.iter().filter(|(key, _, _)| *key == question.key) {
            let drawn = how(question, &interview(answers)).unwrap();
            let own = file(&format!("{plain}.{variant}")).unwrap();
            assert_eq!(label(&drawn), title(own).unwrap());
            // An answer on a branch that was left chooses nothing.
            let left = how(question, &interview(&answers[1..])).unwrap();
            assert_eq!(label(&left), title(file(&plain).unwrap()).unwrap());
        }
    }
}

/// The page allows no style of its own, and no two things of one name.
#[test]
fn a_drawing_in_the_page_has_no_style_and_no_names() {
    for (name, svg) in DRAWINGS {
        let drawn = inline(svg).unwrap();
        for unfit in ["<style", "style=", " id=", "<title", "<script", "href", "&quot;"] {
            assert!(!drawn.contains(unfit), "{name}: {unfit}");
        }
        assert!(drawn.ends_with("</svg>\n") || drawn.ends_with("</svg>"), "{name}");
        assert_eq!(drawn.matches("<svg").count(), 1, "{name}");
        assert_eq!(drawn.matches("<g>").count(), drawn.matches("</g>").count(), "{name}");
        assert!(svg.contains(&format!("viewBox=\"{VIEW}\"")), "{name}");
        assert!(!title(svg).unwrap().contains('"'), "{name}");
    }
}
