//! The words of a program.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)]

use fixtures::{PARLOUR, on_edge};
use machining::{
    EmitError, MotionKind, Move, Setup, ToolLengths, Toolpath, agree, emit, permitted, read, replay, toolpaths,
};
use saddle::Plan;

fn plan() -> Plan {
    PARLOUR.plan()
}

fn setup() -> Setup {
    let mut setup = on_edge();
    setup.stock.height = 12.0;
    setup
}

fn text_of(title: &str, setup: &Setup) -> Result<String, EmitError> {
    let made = toolpaths(&plan(), setup).unwrap();
    let paths: Vec<&Toolpath> = made.paths.iter().collect();
    emit(title, setup, &paths)
}

#[test]
fn starts_and_ends_as_a_program_must() {
    let text = text_of("Parlour guitar", &setup()).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "(Parlour guitar)");
    assert!(text.contains("AIR-CUT FIRST"));
    let words: Vec<&&str> = lines.iter().filter(|l| !l.starts_with('(')).collect();
    assert_eq!(*words[0], "G21");
    for mode in ["G90", "G17", "G94", "G40", "G49", "G80", "G54"] {
        assert!(words[1].split(' ').any(|w| w == mode), "{mode} in {}", words[1]);
    }
    assert_eq!(lines[lines.len() - 2..], ["M5", "M30"]);
    // Up before anything, the spindle on and at speed before the first descent.
    let at = |what: &str| lines.iter().position(|l| l.starts_with(what)).unwrap();
    assert!(at("G0 Z17.0000") < at("S12000 M3") && at("S12000 M3") < at("G4 P3.0"));
    assert!(at("G4 P3.0") < at("G1"));
    assert!(text.is_ascii() && text.lines().all(|l| l.len() <= 80));
}

#[test]
fn any_title_makes_a_comment() {
    let text = text_of("Ma\u{e7}on (\u{201c}old\u{201d}) \n; % and a title so long that it does not go on one line of a controller that holds eighty", &setup()).unwrap();
    assert!(text.is_ascii());
    for line in text.lines().filter(|l| l.contains('(')) {
        assert_eq!((line.matches('(').count(), line.matches(')').count()), (1, 1), "{line}");
    }
    let lines = read(&text).unwrap();
    assert!(agree(&text, &lines).is_ok());
}

#[test]
fn same_input_same_bytes() {
    assert_eq!(text_of("a", &setup()), text_of("a", &setup()));
}

#[test]
fn inches_are_the_same_motions() {
    let mut inch = setup();
    inch.machine.inch = true;
    let motions = |setup: &Setup| {
        let text = text_of("a", setup).unwrap();
        replay(&read(&text).unwrap(), 1).unwrap().motions
    };
    let (mm, inch) = (motions(&setup()), motions(&inch));
    // Places that the decimals of one unit tell apart and the other's do not are few.
    assert!(
        mm.len().abs_diff(inch.len()) * 100 <= mm.len(),
        "{} {}",
        mm.len(),
        inch.len()
    );
    let end = |m: &[machining::Motion]| m.last().unwrap().to;
    assert!((0..3).all(|k| (end(&mm)[k] - end(&inch)[k]).abs() < 0.001));
    assert!(
        text_of("a", &{
            let mut s = setup();
            s.machine.inch = true;
            s
        })
        .unwrap()
        .contains("G20\n")
    );
}

#[test]
fn no_word_that_the_machine_does_not_know() {
    let mut small = setup();
    // A plain controller: no cancelling of what it does not have, no change of tool.
    small.machine.words.g = vec![0, 10, 200, 210, 540, 900];
    small.machine.words.m = vec![30, 50, 20];
    small.machine.words.letters = "XYZFS".chars().collect();
    small.machine.tool_lengths = ToolLengths::OneProgram;
    small.machine.arcs = false;
    let text = text_of("a", &small).unwrap();
    assert!(permitted(&read(&text).unwrap(), &small.machine.words).is_empty());
    assert!(text.ends_with("M5\nM2\n"));
    for (strip, word) in [(10, "G1"), (900, "G90"), (540, "G54")] {
        let mut less = small.clone();
        less.machine.words.g.retain(|g| *g != strip);
        match text_of("a", &less) {
            Err(EmitError::Word { word: lacks, .. }) => assert_eq!(lacks, word),
            other => panic!("{word}: {other:?}"),
        }
    }
    let mut deaf = small;
    deaf.machine.words.letters.retain(|l| *l != 'F');
    assert!(matches!(text_of("a", &deaf), Err(EmitError::Word { .. })));
}

/// Lines are as short as the machine takes them: a feed goes on a line before, and a move that does not fit is told.
#[test]
fn lines_are_no_longer_than_the_machine_takes() {
    let title = "A title that is far longer than a small controller has room for on one line of its programs";
    for inch in [false, true] {
        let mut small = setup();
        small.machine.inch = inch;
        let longest = |text: &str| text.lines().map(str::len).max().unwrap();
        let wide = text_of(title, &small).unwrap();
        small.machine.line_most = 60;
        let text = text_of(title, &small).unwrap();
        assert!(longest(&wide) > 60 && longest(&text) <= 60, "{}", longest(&text));
        let moves = |text: &str| replay(&read(text).unwrap(), 1).unwrap().motions;
        let ends = |text: &str| moves(text).iter().map(|m| (m.to, m.feed)).collect::<Vec<_>>();
        assert_eq!(ends(&text), ends(&wide));
        // A slanting cut with its feed takes some 30 characters, and without it fewer.
        let mut path = toolpaths(&plan(), &small).unwrap().paths.remove(0);
        path.moves = vec![
            Move::Rapid([0.0, 0.0, 30.0]),
            Move::Line {
                to: [-100.1234, -10.1234, -10.1234],
                feed: 1234.5,
            },
        ];
        small.machine.line_most = 34;
        let text = emit("a", &small, &[&path]).unwrap();
        assert!(
            longest(&text) <= 34 && text.lines().any(|l| l.starts_with('F')),
            "{text}"
        );
        small.machine.line_most = 30;
        assert!(matches!(
            emit("a", &small, &[&path]),
            Err(EmitError::LongLine { most: 30, .. })
        ));
    }
}

/// A bare T is for changers only; a table's lengths are taken up before the tool moves; a pause lifts and stops first.
#[test]
fn tools_come_in_as_the_machine_knows_their_lengths() {
    let table = text_of("a", &setup()).unwrap();
    for tool in [1, 2] {
        assert!(
            table.contains(&format!("T{tool} M6\nG43 H{tool}\nG0 Z17.0000\nS12000 M3\nG4 P3.0\n")),
            "{table:.900}"
        );
    }
    let mut paused = setup();
    paused.machine.tool_lengths = ToolLengths::TouchOff;
    paused.machine.spindle_up = 2.34;
    let text = text_of("a", &paused).unwrap();
    let words = "G0 Z17.0000\n(finish the crown)\nM5\nG53 G0 Z0.0000\n(Tool 2: put in test cutter 2)\n\
                 (Touch off on the top of the fixed jaw: Z is 5.000 mm plus the gauge)\n";
    assert!(text.contains(words), "{text}");
    // Never less than the spindle takes.
    assert!(
        text.contains("(Lift it clear, then go on)\nM0\nG0 Z17.0000\nS12000 M3\nG4 P2.4\n"),
        "{text}"
    );
    assert!(!text.contains("M6") && !text.contains("\nT") && !text.contains("G43"));
    paused.machine.tool_lengths = ToolLengths::OneProgram;
    let made = toolpaths(&plan(), &paused).unwrap();
    let text = emit("a", &paused, &[&made.paths[1]]).unwrap();
    assert!(!text.contains("\nT") && !text.contains("M0\n") && text.contains("(Tool 2: "));
    for (lengths, g, m, word) in [
        (ToolLengths::Table, Some(430), None, "G43"),
        (ToolLengths::TouchOff, None, Some(0), "M0"),
    ] {
        let mut deaf = setup();
        deaf.machine.tool_lengths = lengths;
        deaf.machine.words.g.retain(|code| Some(*code) != g);
        deaf.machine.words.m.retain(|code| Some(*code) != m);
        match text_of("a", &deaf) {
            Err(EmitError::Word { word: lacks, .. }) => assert_eq!(lacks, word),
            other => panic!("{word}: {other:?}"),
        }
    }
}

#[test]
fn says_only_what_changes() {
    let text = text_of("a", &setup()).unwrap();
    let mut last = String::new();
    for line in text.lines().filter(|l| l.starts_with('G') || l.starts_with('X')) {
        let word = |letter| line.split(' ').find(|w| w.starts_with(letter)).map(str::to_owned);
        if let Some(x) = word('X') {
            assert_ne!(x, last, "{line}");
            last = x;
        }
        assert!(!line.contains("-0.0000 ") && !line.ends_with("-0.0000"), "{line}");
    }
}

/// An arc so short that its end is written at its start, or on the wrong side of it, is no circle.
#[test]
fn a_short_arc_is_not_a_whole_circle() {
    for inch in [false, true] {
        let mut setup = setup();
        setup.machine.inch = inch;
        let mut path = toolpaths(&plan(), &setup).unwrap().paths.remove(0);
        let radius = 2.0;
        // Clockwise about the origin, in ever shorter steps from where rounding is near.
        for start in [0.3, 0.700_04, 1.234_567] {
            for step in [1e-3, 1e-4, 3e-5, 1e-5, 1e-6, 1e-9, 0.0] {
                let at = |angle: f64| [radius * angle.sin(), radius * angle.cos(), 5.0];
                path.moves = vec![Move::Rapid([0.0, 0.0, 30.0]), Move::Rapid(at(start))];
                path.moves.extend((1..40).map(|i| Move::Arc {
                    to: at(start + f64::from(i) * step),
                    centre: [0.0; 2],
                    clockwise: true,
                    feed: 100.0,
                }));
                let text = emit("short", &setup, &[&path]).unwrap();
                for motion in replay(&read(&text).unwrap(), 1).unwrap().motions {
                    if let MotionKind::Arc { turn, .. } = motion.kind {
                        assert!(turn < 0.1, "inch {inch}, {start}, {step}: line {}", motion.line);
                    }
                }
            }
        }
    }
}
