//! The interview from the first question to a job file that reads cleanly, on invented instruments.

#![allow(clippy::panic)] // in helpers of tests

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use job::{Profiles, Severity};
use proptest::prelude::*;
use survey::{
    AnswerCheck, Answers, INSTRUMENTS, Interview, Kind, SPELLED_OUT, Spread, Start, Station, Step, ValueAt, When,
    questions,
};

/// Built once: they are read from text.
static PROFILES: LazyLock<Profiles> = LazyLock::new(Profiles::built_in);

type Script = BTreeMap<&'static str, &'static str>;

/// A parlour guitar with a through saddle, slot by straightedge, nut kept, cents read.
fn parlour() -> Script {
    BTreeMap::from([
        ("title", "Parlour guitar: new bone saddle"),
        ("notes", "Read in May, 48 % humidity"),
        ("unit", "mm"),
        ("instrument.nut_to_12", "305 mm"),
        ("instrument.joint_fret", "12"),
        ("ask.board", "two radii"),
        ("instrument.board_radius:nut", "300"),
        ("instrument.board_radius:fret_12", "350"),
        ("instrument.relief:gap", "0.18"),
        ("instrument.relief:fret", "6"),
        ("strings.set", "light bronze 12-53"),
        ("strings.tuning", "E2 A2 D3 G3 B3 E4"),
        ("strings.nut_spread", "36.5"),
        ("strings.saddle_spread", "55"),
        ("nut.first_fret_clearance.bass", "0.55"),
        ("nut.first_fret_clearance.treble", "0.36"),
        ("present.action_12.bass", "2.9"),
        ("present.action_12.treble", "2.2"),
        ("ask.more", "yes"),
        ("present.cents_12", "3 2 - 1 4 1"),
        ("present.contact_from_fret_12.bass", "308.5"),
        ("present.contact_from_fret_12.treble", "307"),
        ("target.action_12.bass", "2.4"),
        ("target.action_12.treble", "1.9"),
        ("slot.edge_from_fret_12.bass", "306.9"),
        ("slot.edge_from_fret_12.treble", "304.6"),
        ("slot.bridge_top.bass", "1.2"),
        ("slot.bridge_top.treble", "1.4"),
        ("slot.lean", "9"),
        ("bridge.string_exit", "pin holes"),
        ("bridge.behind_slot.bass", "12"),
        ("bridge.behind_slot.treble", "same"),
        ("slot.depth.bass", "5.5"),
        ("slot.depth.treble", "5.3"),
        ("slot.width", "3.25"),
        ("blank.kind", "through"),
        ("blank.material", "bone"),
        ("blank.thickness", "3.2 mm"),
        ("blank.height", "12"),
        ("blank.length", "76"),
        ("blank.wings.bass", "0: 4.2; 3: 5; 8: 9"),
        ("blank.wings.treble", "0 mm: 4.1 mm; 3 mm: 4.8; 8: 8.5 mm;"),
        ("blank.land", "0.35"),
    ])
}

/// A four-string instrument spelled out, slot by reference saddle, nut held at 3, offsets as a list.
fn spelled_out() -> Script {
    BTreeMap::from([
        ("title", "Four strings"),
        ("unit", "in"),
        ("ask.scale", "scale"),
        ("instrument.scale", "20 in"),
        ("instrument.joint_fret", "14"),
        ("ask.board", "one radius"),
        ("instrument.board_radius", "12"),
        ("instrument.relief:gap", "4 thou"),
        ("strings.set", SPELLED_OUT),
        ("ask.count", "4"),
        ("string.4.note", "D3"),
        ("string.4.gauge", "0.030"),
        ("string.4.kind", "wound"),
        ("ask.string.4.data", "measured"),
        ("string.4.linear_density", "1.9"),
        ("string.4.stretch_response", "22.5"),
        ("string.3.note", "G3"),
        ("string.3.gauge", "0.026"),
        ("string.3.kind", "wound"),
        ("string.3.core", "0.015"),
        ("string.3.core_shape", "hexagonal"),
        ("string.3.core_material", "steel"),
        ("string.3.wrap", "phosphor bronze"),
        ("string.2.note", "B3"),
        ("string.2.gauge", "0.018"),
        ("string.2.kind", "plain"),
        ("string.2.material", "steel"),
        ("string.1.note", "E4"),
        ("string.1.gauge", "0.013"),
        ("string.1.kind", "plain"),
        ("string.1.material", "steel"),
        ("strings.nut_spread", "1 3/16"),
        ("strings.saddle_spread", "1 5/8 in"),
        ("ask.nut_reading", "held at 3"),
        ("nut.held_at_3.bass", "0.004; 0.004; 0.003; 0.003"),
        ("present.action_12.bass", "0.095"),
        ("present.action_12.treble", "0.080"),
        ("target.action_12.bass", "0.090"),
        ("target.action_12.treble", "0.075"),
        ("target.intonation", "offsets"),
        ("target.offsets.bass", "3 mm; 2.6 mm; 2.4 mm; 1.8 mm"),
        ("slot.read_by", "reference saddle"),
        ("slot.reference.contact_from_fret_12.bass", "257 mm"),
        ("slot.reference.contact_from_fret_12.treble", "255.8 mm"),
        ("slot.lean", "0"),
        ("slot.reference.height.bass", "8.4 mm"),
        ("slot.reference.height.treble", "7.6 mm"),
        ("slot.reference.back.bass", "1.6 mm"),
        ("slot.reference.back.treble", "1.6 mm"),
        ("slot.width", "1/8"),
        ("slot.length", "2 1/2"),
        ("blank.kind", "drop-in"),
        ("blank.material", "bone"),
        ("blank.thickness", "3.1 mm"),
        ("blank.height", "12 mm"),
        ("blank.length", "2 1/2"),
    ])
}

/// Twelve strings in pairs, flat board, slot read slack, a new nut.
fn pairs() -> Script {
    BTreeMap::from([
        ("title", "Twelve strings"),
        ("unit", "mm"),
        ("left_handed", "yes"),
        ("instrument.nut_to_12", "322"),
        ("instrument.joint_fret", "14"),
        ("ask.board", "flat"),
        ("instrument.relief:gap", "0.2"),
        ("strings.set", "light bronze 12-string"),
        ("strings.nut_spread", "41"),
        ("strings.nut_pair", "2.1"),
        ("strings.saddle_spread", "58"),
        ("strings.saddle_pair", "2.6"),
        ("ask.nut", "new"),
        ("nut.new_clearance.bass", "0.5"),
        ("nut.new_clearance.treble", "0.4"),
        ("target.action_12.bass", "2.4"),
        ("target.action_12.treble", "2"),
        ("slot.taken", "slack"),
        ("slot.edge_from_fret_12.bass", "324"),
        ("slot.edge_from_fret_12.treble", "322"),
        ("slot.bridge_top.bass", "0"),
        ("slot.bridge_top.treble", "same"),
        ("slot.lean", "0"),
        ("slot.under_tension:bridge_top.bass", "0.3"),
        ("slot.under_tension:bridge_top.treble", "0.2"),
        ("slot.under_tension:lean", "1"),
        ("slot.depth.bass", "6"),
        ("slot.depth.treble", "6"),
        ("blank.kind", "drop-in"),
        ("blank.material", "bone"),
        ("blank.thickness", "3.2"),
        ("blank.height", "13"),
        ("blank.length", "80"),
        ("blank.bass_end", "9"),
        ("crown.front_fall", "8"),
        ("crown.back_fall", "1 over 4"),
    ])
}

/// Spelled out with pairs among single strings.
fn mixed_courses() -> Script {
    let mut script = spelled_out();
    script.extend([
        ("strings.courses", "1 1 2"),
        ("strings.nut_pair", "2.1 mm"),
        ("strings.saddle_pair", "2.6 mm"),
        ("ask.nut", "new"),
        ("nut.new_clearance.bass", "0.018 in"),
        ("nut.new_clearance.treble", "0.014 in"),
        ("target.intonation", "octave"),
    ]);
    script
}

/// Six strings, a nut alone by margins, with setbacks and posts: the saddle stays.
fn nut_alone() -> Script {
    BTreeMap::from([
        ("title", "A worn nut"),
        ("ask.part", "nut"),
        ("unit", "mm"),
        ("instrument.nut_to_12", "322"),
        ("instrument.joint_fret", "14"),
        ("ask.board", "one radius"),
        ("instrument.board_radius", "400"),
        ("instrument.relief:gap", "0.15"),
        ("strings.set", "light bronze 12-53"),
        ("strings.saddle_spread", "55"),
        ("present.action_12.bass", "2.2"),
        ("present.action_12.treble", "1.7"),
        ("nut.first_fret_clearance.bass", "0.3"),
        ("nut.first_fret_clearance.treble", "0.2"),
        ("nut.new_clearance.bass", "0.5"),
        ("nut.new_clearance.treble", "0.36"),
        ("present.contact_from_fret_12.bass", "325.2"),
        ("present.contact_from_fret_12.treble", "323.3"),
        ("ask.setbacks", "yes"),
        ("nut_blank.board_width", "43.5"),
        ("nut_blank.margin.bass", "3.1"),
        ("nut_blank.margin.treble", "2.9"),
        ("nut_blank.headstock", "14"),
        ("ask.posts", "yes"),
        ("nut_blank.post_back.bass", "54; 92; 130; 130; 92; 54"),
        ("nut_blank.post_across.bass", "-21; -20; -19; 19; 20; 21"),
        ("nut_blank.fret_height", "1.05"),
        ("nut_blank.seat", "3.1"),
        ("nut_blank.thickness", "5"),
        ("nut_blank.height", "9"),
        ("nut_blank.length", "46"),
    ])
}

/// Twelve strings in pairs with a nut by spread, its height by the gap held at 3, an arc for its top.
fn both() -> Script {
    let mut script = pairs();
    script.extend([
        ("ask.part", "both"),
        ("ask.nut_places", "spread"),
        ("ask.new_nut_reading", "held at 3"),
        ("nut.new_held_at_3.bass", "0.16"),
        ("nut.new_held_at_3.treble", "0.12"),
        ("target.intonation", "best-fit-with-nut"),
        ("nut_blank.board_width", "48"),
        ("nut_blank.headstock", "13"),
        ("nut_blank.fret_height", "1.05"),
        ("nut_blank.seat", "3.1"),
        ("nut_blank.thickness", "6"),
        ("nut_blank.height", "9"),
        ("ask.top", "arc"),
        ("nut_blank.top", "300"),
        ("nut_blank.front", "straight"),
        ("ask.assess", "yes"),
        ("bridge.thickness.bass", "9 mm"),
        ("bridge.front_wall.bass", "7 mm"),
        ("bridge.wood", "ebony"),
        ("neck.heel_height", "85 mm"),
        ("neck.last_fret", "20"),
        ("assess.humidity", "45"),
    ]);
    script
}

/// The parlour guitar with fanned frets.
fn fanned() -> Script {
    let mut script = parlour();
    script.remove("instrument.nut_to_12");
    script.extend([
        ("ask.scale", "two scales"),
        ("instrument.scale:bass", "620"),
        ("instrument.scale:treble", "605 mm"),
        ("instrument.scale:square", "8"),
        ("present.contact_from_fret_12.bass", "313.5"),
        ("present.contact_from_fret_12.treble", "304.5"),
        ("slot.edge_from_fret_12.bass", "311.9"),
        ("slot.edge_from_fret_12.treble", "302.1"),
    ]);
    script
}

/// A zero fret, dressed, read by its height.
fn zero_fret() -> Script {
    let mut script = parlour();
    script.extend([
        ("ask.nut", "zero fret"),
        ("nut.zero_fret", "dressed"),
        ("nut.dressed.bass", "0.1"),
        ("nut.dressed.treble", "same"),
        ("ask.zero_reading", "above"),
        ("nut.zero_fret_above.bass", "0.15"),
        ("nut.zero_fret_above.treble", "0.1"),
    ]);
    script
}

/// New wire at a zero fret that was read with the string held at fret 3.
fn new_wire() -> Script {
    let mut script = spelled_out();
    script.extend([
        ("ask.nut", "zero fret"),
        ("nut.zero_fret", "new wire"),
        ("nut.new_wire.bass", "0.008"),
        ("nut.new_wire.treble", "same"),
    ]);
    script
}

fn text_for(script: &Script, interview: &Interview, step: &Step) -> String {
    let key = step.key();
    let scripted = script.get(key.as_str()).map(|text| (*text).to_owned());
    scripted.or_else(|| interview.enter(step)).unwrap_or_default()
}

/// Answers every question from the script, else by Enter; confirms what is doubtful. Stops after `most` answers.
fn answer(interview: &mut Interview, script: &Script, most: usize) -> (BTreeSet<&'static str>, Vec<String>) {
    let (mut asked, mut doubts) = (BTreeSet::new(), Vec::new());
    for _ in 0..most {
        let Some(step) = interview.next() else { break };
        asked.insert(step.question.key);
        let text = text_for(script, interview, &step);
        match interview.answer(&step, &text) {
            AnswerCheck::Keep(_) => {}
            AnswerCheck::Doubt { text, why } => {
                interview.answers.set(&step.key(), &text);
                doubts.push(why);
            }
            AnswerCheck::Refuse(why) => panic!("{} = `{text}`: {why}", step.key()),
        }
    }
    (asked, doubts)
}

const ALL: usize = 1000;

fn fresh() -> Interview {
    Interview::new(Answers::default(), PROFILES.clone())
}

fn filled(script: &Script) -> Interview {
    let mut interview = fresh();
    answer(&mut interview, script, ALL);
    assert_eq!(interview.next(), None);
    interview
}

fn scripts() -> [Script; 9] {
    [
        parlour(),
        spelled_out(),
        pairs(),
        mixed_courses(),
        nut_alone(),
        both(),
        fanned(),
        zero_fret(),
        new_wire(),
    ]
}

/// Every script filled in, once for all properties.
static FILLED: LazyLock<[Interview; 9]> = LazyLock::new(|| scripts().map(|script| filled(&script)));

#[test]
fn every_survey_makes_a_job_without_errors() {
    for script in scripts() {
        let interview = filled(&script);
        let text = interview.job_text();
        let errors: Vec<String> = interview
            .problems()
            .into_iter()
            .filter(|(problem, _)| problem.severity == Severity::Error)
            .map(|(problem, _)| problem.to_string())
            .collect();
        assert!(errors.is_empty(), "{text}\n{errors:#?}");
        assert!(
            text.lines()
                .all(|line| line.chars().count() <= 79 || !line.starts_with('#')),
            "{text}"
        );
    }
}

/// Enter at the core takes it by the rule: no shape is asked, nothing is refused, and the job says what that costs.
#[test]
fn a_core_may_be_left_to_the_rule() {
    let mut script = spelled_out();
    script.remove("string.3.core");
    script.remove("string.3.core_shape");
    let mut interview = fresh();
    let (asked, _) = answer(&mut interview, &script, ALL);
    assert_eq!(interview.next(), None);
    assert!(asked.contains("string.core") && !asked.contains("string.core_shape"));
    assert!(!interview.job_text().contains("core_shape"));
    let problems = interview.problems();
    assert!(
        problems.iter().all(|(p, _)| p.severity != Severity::Error),
        "{problems:?}"
    );
    assert!(
        problems
            .iter()
            .any(|(p, _)| p.name() == "InString" || p.to_string().contains("20 %"))
    );
}

#[test]
fn the_parlour_guitar_raises_no_doubt() {
    let mut interview = fresh();
    let (_, doubts) = answer(&mut interview, &parlour(), ALL);
    assert_eq!(doubts, Vec::<String>::new());
    assert_eq!(interview.problems(), []);
}

#[test]
fn every_question_is_reached() {
    let mut asked = BTreeSet::new();
    for script in scripts() {
        asked.extend(answer(&mut fresh(), &script, ALL).0);
    }
    let all: BTreeSet<_> = questions().map(|question| question.key).collect();
    assert_eq!(all.difference(&asked).collect::<Vec<_>>(), Vec::<&&str>::new());
    assert_eq!(all.len(), questions().count(), "a key stands twice");
}

#[test]
fn conditions_name_questions_and_answers_that_exist() {
    fn leaves(when: When, found: &mut Vec<When>) {
        match when {
            When::All(all) | When::Any(all) => all.iter().for_each(|when| leaves(*when, found)),
            other => found.push(other),
        }
    }
    for (at, question) in questions().enumerate() {
        let mut conditions = Vec::new();
        leaves(question.when, &mut conditions);
        leaves(question.required, &mut conditions);
        for when in &conditions {
            let (When::Is(key, _) | When::Given(key)) = when else {
                continue;
            };
            let named = questions().find(|question| question.key == *key);
            let named = named.unwrap_or_else(|| panic!("{} asks after {key}", question.key));
            if let (When::Is(_, value), Kind::Choice(choices)) = (when, named.kind) {
                assert!(choices.iter().any(|(word, _)| word == value), "{key} = {value}");
            }
        }
        if let Start::Copy(key) = question.start {
            assert!(questions().take(at).any(|question| question.key == key), "{key}");
        }
    }
}

#[test]
fn no_line_is_wider_than_a_terminal() {
    for question in questions() {
        assert!(question.how.chars().count() <= 77, "{}: {}", question.key, question.how);
        assert!(!question.how.is_empty());
        assert!(question.station.intro().iter().all(|line| line.chars().count() <= 79));
        if let Kind::Choice(choices) = question.kind {
            assert!(
                choices.iter().all(|(word, meaning)| word.len() + meaning.len() <= 77),
                "{}",
                question.key
            );
        }
    }
    for script in scripts() {
        let interview = filled(&script);
        for step in interview.steps() {
            let prompt = format!("{} [{}]: ", step.title(), interview.enter(&step).unwrap_or_default());
            let long_text =
                matches!(step.question.kind, Kind::Text | Kind::Contour) || step.question.spread == Spread::Strings;
            assert!(prompt.chars().count() <= 79 || long_text, "{prompt}");
        }
    }
}

#[test]
fn strings_come_off_only_once_and_last() {
    // Every reading on the strings comes before the first that needs them off.
    let off = questions().position(|question| question.strings_off).unwrap();
    for question in questions().skip(off) {
        let made = question.key.starts_with("blank.") || question.key.starts_with("crown.");
        let of_nut = question.station == Station::NutBlank;
        assert!(question.strings_off || made || of_nut, "{}", question.key);
    }
}

#[test]
fn leaving_and_going_on_makes_the_same_file() {
    for script in scripts() {
        let whole = filled(&script).job_text();
        let steps = filled(&script).steps().len();
        for stop in (0..=steps).step_by(13) {
            let mut first = fresh();
            answer(&mut first, &script, stop);
            let answers = Answers::from_draft(&first.answers.to_draft()).unwrap();
            let mut second = Interview::new(answers, PROFILES.clone());
            answer(&mut second, &script, ALL);
            assert_eq!(second.job_text(), whole);
        }
    }
}

fn step(interview: &Interview, key: &str) -> Step {
    let steps = interview.steps();
    *steps
        .iter()
        .find(|step| step.key() == key)
        .unwrap_or_else(|| panic!("{key} is not asked"))
}

#[test]
fn wrong_text_is_refused_with_the_reason() {
    let interview = filled(&parlour());
    for (key, text, reason) in [
        ("instrument.nut_to_12", "1,305 mm", "comma"),
        ("instrument.nut_to_12", "12,5 in", "comma"),
        ("present.action_12.bass", "2.5,1", "comma"),
        ("instrument.nut_to_12", "", "needed"),
        ("instrument.nut_to_12", "5/64", "fraction without a unit"),
        ("instrument.nut_to_12", "3 mm", "outside what is allowed"),
        ("instrument.joint_fret", "twelve", "whole number"),
        ("present.action_12.bass", "-1", "outside what is allowed"),
        ("present.action_12.bass", "2; 3", "6 values"),
        ("present.cents_12", "3 2 2 1 4", "6 numbers"),
        ("present.cents_12", "3 2 2 1 4 x", "no meaning"),
        ("slot.lean", "120", "beyond 90"),
        ("slot.read_by", "ruler", "expected one of"),
        ("blank.thickness", "3.6 mm", "thicker than the slot"),
        ("left_handed", "maybe", "yes or no"),
        ("strings.tuning", "E2 A2 D3 G3 B3 H4", "note name"),
        ("strings.a4", "1e3", "decimal number"),
        ("title", "a\u{1b}[2J", "cannot be seen"),
    ] {
        match interview.check(&step(&interview, key), text) {
            AnswerCheck::Refuse(why) => assert!(why.contains(reason), "{key} = `{text}`: {why}"),
            other => panic!("{key} = `{text}`: {other:?}"),
        }
    }
}

#[test]
fn doubtful_values_ask_for_a_yes() {
    let interview = filled(&parlour());
    for (key, text) in [
        ("present.action_12.bass", "8 mm"),
        ("present.action_12.treble", "8 mm"),
        ("present.action_12.bass", "8 mm; 2 mm; 2 mm; 2 mm; 2 mm; 2 mm"),
        ("slot.lean", "40"),
        ("instrument.relief:gap", "-0.2 mm"),
        // Thinner than the slot: doubtful beside an earlier answer.
        ("blank.thickness", "2.6 mm"),
    ] {
        let verdict = interview.check(&step(&interview, key), text);
        assert!(
            matches!(verdict, AnswerCheck::Doubt { .. }),
            "{key} = `{text}`: {verdict:?}"
        );
    }
}

#[test]
fn a_bare_number_keeps_its_unit_when_the_unit_is_changed() {
    let mut interview = filled(&parlour());
    let before = interview.job_text();
    let unit = step(&interview, "unit");
    assert_eq!(interview.answer(&unit, "2"), AnswerCheck::Keep("in".to_owned()));
    assert_eq!(
        interview.job_text(),
        before.replacen("unit        = \"mm\"", "unit        = \"in\"", 1)
    );
}

#[test]
fn a_changed_branch_asks_what_it_needs_and_drops_the_rest() {
    let mut interview = filled(&parlour());
    let nut = step(&interview, "ask.nut");
    interview.answer(&nut, "new");
    assert_eq!(interview.next().unwrap().key(), "ask.new_nut_reading");
    let mut script = parlour();
    script.extend([("nut.new_clearance.bass", "0.5"), ("nut.new_clearance.treble", "0.4")]);
    answer(&mut interview, &script, ALL);
    // The cents were read on the present nut, so its reading stays as long as they do.
    let nut = |interview: &Interview| {
        let text = interview.job_text();
        ["\nnew_clearance", "\nfirst_fret_clearance"].map(|key| text.contains(key))
    };
    assert_eq!(nut(&interview), [true, true]);
    let cents = step(&interview, "present.cents_12");
    interview.answer(&cents, "");
    assert_eq!(nut(&interview), [true, false]);
    // A reference saddle needs the present action; a skipped one is asked again.
    let action = step(&interview, "present.action_12.bass");
    interview.answer(&action, "");
    assert_eq!(interview.next(), None);
    let read_by = step(&interview, "slot.read_by");
    interview.answer(&read_by, "reference saddle");
    let waiting: Vec<String> = interview
        .steps()
        .iter()
        .filter(|step| interview.waits(step))
        .map(Step::key)
        .collect();
    assert!(waiting.contains(&"present.action_12.bass".to_owned()), "{waiting:?}");
    assert_eq!(interview.next().unwrap().key(), waiting[0]);
}

#[test]
fn choices_are_taken_by_number_name_or_beginning() {
    let interview = filled(&parlour());
    let intonation = step(&interview, "target.intonation");
    for (text, kept) in [
        ("1", "octave"),
        ("OCTAVE", "octave"),
        ("oc", "octave"),
        ("best-fit", "best-fit"),
    ] {
        assert_eq!(interview.check(&intonation, text), AnswerCheck::Keep(kept.to_owned()));
    }
    assert!(matches!(interview.check(&intonation, "best"), AnswerCheck::Refuse(_)));
    assert!(matches!(interview.check(&intonation, "5"), AnswerCheck::Refuse(_)));
    assert!(matches!(interview.check(&intonation, "0"), AnswerCheck::Refuse(_)));
}

/// What is not known keeps its question open: it is skipped where that is allowed, and refused with the way back where not.
#[test]
fn an_answer_may_say_that_it_is_not_known() {
    let interview = filled(&parlour());
    let skipped = step(&interview, "slot.width");
    let needed = step(&interview, "slot.depth.bass");
    assert!(interview.may_skip(&skipped) && !interview.may_skip(&needed));
    for text in [
        "don't know",
        "Don’t know.",
        "dont know",
        "?",
        "unknown",
        "Not read",
        "\"unknown\"",
    ] {
        assert_eq!(
            interview.check(&skipped, text),
            AnswerCheck::Keep(String::new()),
            "{text}"
        );
        match interview.check(&needed, text) {
            AnswerCheck::Refuse(why) => assert!(why.contains("come back"), "{text}: {why}"),
            other => panic!("{text}: {other:?}"),
        }
    }
    // A title may be anything, and a word that is near is no such answer.
    let title = step(&interview, "title");
    assert_eq!(
        interview.check(&title, "Unknown"),
        AnswerCheck::Keep("Unknown".to_owned())
    );
    match interview.check(&skipped, "unknwon") {
        AnswerCheck::Refuse(why) => assert!(why.contains("no meaning"), "{why}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn quotes_around_an_answer_and_other_spellings_say_nothing() {
    let interview = filled(&parlour());
    for (key, text, kept) in [
        ("slot.width", "“3.25 mm”", "3.25 mm"),
        ("slot.width", "\"3.25 mm\"", "3.25 mm"),
        ("slot.width", "‘3.25’", "3.25 mm"),
        ("slot.width", "“1/8””", "1/8”"),
        ("slot.width", "1/8\"", "1/8\""),
        ("slot.width", "about 3.25", "about 3.25 mm"),
        ("blank.kind", "“Through”", "through"),
        ("bridge.string_exit", "pin-holes", "pin holes"),
        ("strings.saddle_spacing", "equal centers", "equal centres"),
        ("title", "“Parlour”", "Parlour"),
        ("title", "\"Parlour\"", "\"Parlour\""),
    ] {
        let verdict = interview.read(&step(&interview, key), text);
        assert_eq!(verdict, AnswerCheck::Keep(kept.to_owned()), "{key} = {text}");
    }
}

#[test]
fn a_field_of_the_file_leads_back_to_its_question() {
    let interview = filled(&spelled_out());
    for (field, key) in [
        ("title", "title"),
        ("slot.lean", "slot.lean"),
        ("present.action_12.treble", "present.action_12.treble"),
        ("present.action_12", "present.action_12.bass"),
        ("target.offsets[3]", "target.offsets.bass"),
        ("instrument.relief", "instrument.relief:gap"),
        ("instrument.relief.fret", "instrument.relief:fret"),
        ("slot.reference.back.bass", "slot.reference.back.bass"),
        ("string[1]", "string.4.note"),
        ("string[4].gauge", "string.1.gauge"),
    ] {
        assert_eq!(
            interview.step_of(field).map(|step| step.key()).as_deref(),
            Some(key),
            "{field}"
        );
    }
    for field in [
        "nonsense",
        "",
        "slot",
        "slot.reference",
        "string[9]",
        "string[0].gauge",
        "string[x",
    ] {
        assert_eq!(interview.step_of(field), None, "{field}");
    }
}

#[test]
fn the_step_before_is_the_one_asked_before() {
    let interview = filled(&parlour());
    let steps = interview.steps();
    assert_eq!(interview.before(&steps[0]), None);
    for pair in steps.windows(2) {
        assert_eq!(interview.before(&pair[1]), Some(pair[0]));
    }
    assert_eq!(steps[0].part, ValueAt::Whole);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Any text at any question is judged without a panic, and what is kept makes a file that is TOML.
    #[test]
    fn any_text_never_panics(
        text in prop_oneof![".*", "[0-9./; -]{0,12}(mm|in|thou|\"|deg)?", "[\\\\\"'#;=\\[\\]{}]{0,8}"],
        which in 0usize..1000,
        script in 0usize..4,
    ) {
        let mut interview = FILLED[script].clone();
        let steps = interview.steps();
        let step = steps[which % steps.len()];
        if let AnswerCheck::Keep(kept) | AnswerCheck::Doubt { text: kept, .. } = interview.check(&step, &text) {
            interview.answers.set(&step.key(), &kept);
            let file: Result<toml::Table, _> = interview.job_text().parse();
            prop_assert!(file.is_ok(), "{}", interview.job_text());
            let _ = (interview.next(), interview.steps(), interview.problems());
            // What is kept is taken again as it is, so that a draft goes on where it was left.
            prop_assert_eq!(interview.read(&step, &kept), AnswerCheck::Keep(kept));
        }
    }

    /// A draft with any text in any place asks again or goes on, without a panic.
    #[test]
    fn a_tampered_draft_never_panics(text in ".*", which in 0usize..1000) {
        let mut interview = FILLED[0].clone();
        let steps = interview.steps();
        interview.answers.set(&steps[which % steps.len()].key(), &text);
        let _ = (interview.next(), interview.job_text(), interview.problems());
    }
}

/// A nut alone asks nothing of the saddle's place; both parts ask all; and the file is of that kind at every step.
#[test]
fn the_part_decides_what_is_asked_and_made() {
    let of_saddle = ["slot.", "bridge.", "blank.", "crown.", "target."];
    let asked =
        |interview: &Interview, prefix: &str| interview.steps().iter().any(|s| s.question.key.starts_with(prefix));
    let interview = filled(&nut_alone());
    for prefix in of_saddle {
        assert!(!asked(&interview, prefix), "{prefix}");
    }
    let profiles = PROFILES.clone();
    let checked = job::read(&interview.job_text(), &profiles).unwrap();
    assert_eq!(checked.warnings, []);
    assert!(checked.job.saddle.is_none(), "the saddle stays");
    let nut = checked.job.nut.unwrap().survey;
    assert_eq!(nut.front, nut::Front::Shelf);
    assert_eq!(nut.headstock.posts.map(|posts| posts[2].across), Some(-19.0));
    let interview = filled(&both());
    for prefix in of_saddle.into_iter().chain(["nut_blank."]) {
        assert!(asked(&interview, prefix) || prefix == "bridge.", "{prefix}");
    }
    let made = job::read(&interview.job_text(), &profiles).unwrap().job;
    assert!(made.saddle.is_some());
    assert_eq!(made.nut.unwrap().survey.top, nut::TopShape::Arc(300.0));
    // From both to the nut alone: what was answered of the saddle is left out of the file, and comes back.
    let mut changed = interview.clone();
    changed.answers.set("ask.part", "nut");
    let text = changed.job_text();
    assert!(!text.contains("[slot]") && text.contains("[nut_blank]"), "{text}");
    changed.answers.set("ask.part", "both");
    assert_eq!(changed.job_text(), interview.job_text());
    // A saddle alone has no nut blank.
    assert!(!asked(&filled(&parlour()), "nut_blank."));
}

/// Drafts of earlier versions, in `tests/old`: every answer in them is kept, and the survey goes on behind the last.
#[test]
fn drafts_of_every_version_go_on() {
    let old = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/old");
    let versions = std::fs::read_dir(old).unwrap().map(|entry| entry.unwrap().path());
    let mut count = 0;
    for version in versions.filter(|path| path.is_dir()) {
        let text = std::fs::read_to_string(version.join("survey.toml.draft")).unwrap();
        let answers = Answers::from_draft(&text).unwrap();
        assert_eq!(answers.get("title"), Some("Half a survey"));
        let interview = Interview::new(answers, Profiles::built_in());
        let answered = interview
            .steps()
            .iter()
            .filter(|step| interview.answers.get(&step.key()).is_some())
            .count();
        let typed = text
            .lines()
            .skip_while(|line| *line != "[answers]")
            .filter(|line| line.contains(" = "))
            .count();
        assert_eq!(answered, typed, "an answer is no longer asked for");
        assert!(typed > 15 && interview.next().is_some());
        count += 1;
    }
    assert!(count > 0);
}

/// What a repairer reads of a flat-top for the barest saddle by straightedge; all else is as usual.
fn barest() -> Script {
    BTreeMap::from([
        ("title", "Flat-top, new saddle"),
        ("ask.kind", "flat-top"),
        ("unit", "in"),
        ("instrument.nut_to_12", "12.7"),
        ("strings.nut_spread", "1 7/16"),
        ("strings.saddle_spread", "2 1/8"),
        ("slot.edge_from_fret_12.bass", "12 25/32"),
        ("slot.edge_from_fret_12.treble", "12 23/32"),
        ("instrument.relief:gap", "8 thou"),
        ("nut.held_at_3.bass", "6 thou"),
        ("nut.held_at_3.treble", "4 thou"),
        ("slot.bridge_top.bass", "-10 thou"),
        ("slot.bridge_top.treble", "-14 thou"),
        ("slot.lean", "2 deg"),
        ("slot.depth.bass", "0.22"),
        ("slot.depth.treble", "0.22"),
        ("slot.width", "0.126"),
        ("slot.length", "2.98"),
        ("blank.material", "bone"),
        ("blank.height", "0.5"),
    ])
}

/// The survey of a kind of instrument, station by station: the stations that are stood at, and the values that are typed there.
fn walked(script: &Script) -> (Interview, Vec<Station>, Vec<String>) {
    let mut interview = Interview::short(Answers::default(), PROFILES.clone());
    let (mut stations, mut typed) = (Vec::new(), Vec::new());
    while let Some(step) = interview.next() {
        if stations.last() != Some(&step.question.station) {
            stations.push(step.question.station);
        }
        let key = step.key();
        let text = text_for(script, &interview, &step);
        let chosen = matches!(step.question.kind, Kind::Choice(_) | Kind::Name(_) | Kind::YesNo);
        if script.contains_key(key.as_str()) && !chosen {
            typed.push(key);
        }
        match interview.answer(&step, &text) {
            AnswerCheck::Keep(_) => {}
            other => panic!("{} = `{text}`: {other:?}", step.key()),
        }
    }
    (interview, stations, typed)
}

/// The first page begins the job, each station is a screen, and the plan is the last.
const OTHER_SCREENS: usize = 1;

#[test]
fn the_barest_saddle_takes_few_screens_and_values() {
    let (interview, stations, typed) = walked(&barest());
    assert!(
        interview.problems().iter().all(|(p, _)| p.severity != Severity::Error),
        "{:#?}",
        interview.problems()
    );
    let job = job::read(&interview.job_text(), &PROFILES).unwrap().job;
    assert!(saddle::plan(&job.saddle.as_ref().unwrap().survey).is_ok());
    assert!(stations.is_sorted(), "{stations:?}");
    // The station of the job itself is the first page.
    assert!(stations.len() + OTHER_SCREENS <= 8, "{stations:?}");
    assert!(typed.len() <= 18, "{} {typed:?}", typed.len());
    assert_eq!(job.readings.assumed.len(), 2, "both radii of the board are assumed");
}

/// All that the evidence asks for, with the old saddle in hand.
#[test]
fn a_complete_survey_takes_few_screens_too() {
    let mut script = barest();
    script.extend([
        ("ask.more", "yes"),
        ("ask.assess", "yes"),
        ("present.action_12.bass", "0.105"),
        ("present.action_12.treble", "0.085"),
        ("present.contact_from_fret_12.bass", "12.85"),
        ("present.contact_from_fret_12.treble", "12.77"),
        ("present.exposure.bass", "0.12; 0.13; 0.135; 0.135; 0.13; 0.11"),
        ("present.over_bridge.bass", "0.12"),
        ("present.over_bridge.treble", "0.12"),
        ("present.cents_12", "3 2 - 1 4 1"),
        ("present.saddle_height.bass", "0.34; 0.35; -; 0.35; 0.35; 0.33"),
        ("present.saddle_back.bass", "0.06"),
        ("present.saddle_back.treble", "0.06"),
    ]);
    let mut interview = Interview::short(Answers::default(), PROFILES.clone());
    interview.begin(&INSTRUMENTS[0]);
    interview.answers.set("ask.part", "saddle");
    for (key, text) in [("ask.more", "yes"), ("ask.assess", "yes")] {
        let at = step(&interview, key);
        interview.keep(&at, text);
    }
    let stations: Vec<Station> = interview
        .visits()
        .iter()
        .filter(|visit| visit.is_on_the_way())
        .map(|visit| visit.station)
        .collect();
    assert!(stations.len() + OTHER_SCREENS <= 14, "{stations:?}");
    let mut doubts = answer(&mut interview, &script, ALL).1;
    doubts.sort();
    let job = job::read(&interview.job_text(), &PROFILES)
        .unwrap_or_else(|e| panic!("{e:#?}\n{}", interview.job_text()))
        .job;
    // Six exposures, two strings over the bridge, five heights, two backs.
    assert_eq!(job.readings.taken.len(), 6 + 2 + 5 + 2, "{}", interview.job_text());
}

/// What is assumed is told in the file as no reading, and stops being so as soon as one gives it.
#[test]
fn a_reading_takes_the_place_of_what_was_assumed() {
    let mut interview = Interview::short(Answers::default(), PROFILES.clone());
    interview.answers.set("ask.part", "saddle");
    interview.begin(&INSTRUMENTS[0]);
    let radius = step(&interview, "instrument.board_radius");
    assert!(interview.is_assumed(&radius));
    assert!(interview.job_text().contains("[assumed]") && interview.job_text().contains("board_radius = true"));
    let draft = Answers::from_draft(&interview.answers.to_draft()).unwrap();
    assert!(Interview::short(draft, PROFILES.clone()).is_assumed(&radius));
    interview.answer(&radius, "406 mm");
    assert!(!interview.is_assumed(&radius) && !interview.job_text().contains("[assumed]"));
    let relief = step(&interview, "instrument.relief:gap");
    assert!(interview.assume(&relief) && interview.is_assumed(&relief));
    assert!(!interview.assume(&step(&interview, "slot.lean")));
}

/// The terminal's way: what stands folded is asked only of those who want all.
#[test]
fn what_stands_folded_is_not_asked() {
    let (_, _, short) = walked(&barest());
    let mut all = fresh();
    all.begin(&INSTRUMENTS[0]);
    let mut script = barest();
    script.insert("slot.read_by", "straightedge");
    let (asked, _) = answer(&mut all, &script, ALL);
    assert!(asked.contains("crown.rounding") && asked.contains("paper"));
    assert!(short.iter().all(|key| !key.starts_with("crown.")));
}

/// The angle of the headstock is asked of every nut and never assumed; who reads the posts below the frets may skip it.
#[test]
fn the_headstock_is_asked_and_never_assumed() {
    for (part, posts, asked, skipped) in [
        ("saddle", "", false, false),
        ("nut", "", true, false),
        ("both", "", true, false),
        ("nut", "no", true, false),
        ("nut", "yes", true, true),
    ] {
        let mut answers = Answers::default();
        answers.set("ask.part", part);
        if !posts.is_empty() {
            answers.set("ask.posts", posts);
        }
        let interview = Interview::short(answers, PROFILES.clone());
        let steps = interview.steps();
        let step = steps.iter().find(|step| step.question.key == "nut_blank.headstock");
        assert_eq!(step.is_some(), asked, "{part} {posts}");
        if let Some(step) = step {
            assert!(!step.question.folded, "{part} {posts}");
            assert_eq!(interview.answers.given(&step.key()), None, "{part} {posts}");
            assert_eq!(interview.usual(step), None, "{part} {posts}");
            assert_eq!(interview.may_skip(step), skipped, "{part} {posts}");
        }
    }
}

/// A treble end waits in the file for its bass end, which is asked then.
#[test]
fn a_treble_end_stands_alone_until_its_bass_end_comes() {
    let mut interview = filled(&parlour());
    let [bass, treble] = ["slot.depth.bass", "slot.depth.treble"].map(|key| step(&interview, key));
    assert_eq!(interview.other_end(&bass), Some(treble));
    assert_eq!(interview.other_end(&treble), Some(bass));
    assert!(!interview.is_missing(&bass) && !interview.is_missing(&treble));
    interview.leave_open(&bass);
    assert!(interview.is_missing(&bass) && interview.waits(&bass));
    let text = interview.job_text();
    assert!(
        text.contains("depth = { treble = ") || text.contains("{ treble = \"5.3"),
        "{text}"
    );
    assert!(!interview.problems().is_empty());
    assert_eq!(interview.answer(&bass, "5.5"), AnswerCheck::Keep("5.5 mm".into()));
    assert!(!interview.is_missing(&bass) && interview.problems().is_empty());
    // "Same" is of something.
    interview.leave_open(&bass);
    interview.leave_open(&treble);
    assert!(matches!(interview.check(&treble, "same"), AnswerCheck::Refuse(_)));
    interview.keep_same(&bass);
    assert_eq!(interview.answers.get("slot.depth.treble"), None);
    interview.answer(&bass, "5.5");
    assert!(interview.is_missing(&treble) && interview.waits(&treble));
    interview.keep_same(&bass);
    assert_eq!(interview.answers.given("slot.depth.treble"), Some("same"));
    assert!(!interview.is_missing(&treble));
}
