//! A program in order, and the same with one fault planted: each is refused for the right reason.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // helpers of tests

use fixtures::{Bow, bow_program, on_edge, swept_by_all};
use machining::{
    ArcFault, Check, CutTolerance, Disagreement, Fault, ReplayFault, Report, Setup, Target, TextFault, ToolLengths,
    read, replay, verify,
};
use proptest::prelude::*;

fn judge_in(text: &str, setup: &Setup) -> Report {
    let check = Check {
        setup,
        target: &Bow,
        limits: CutTolerance::of(setup),
        loaded: 1,
        start: None,
        last: true,
    };
    verify(text, &check)
}

/// In jaws whose length nobody gave.
fn judge(text: &str) -> Report {
    let mut setup = on_edge();
    setup.holding = machining::Holding::Vise {
        jaw_height: 5.0,
        jaw_thickness: 12.0,
        jaw_x: (f64::NEG_INFINITY, f64::INFINITY),
    };
    judge_in(text, &setup)
}

#[test]
fn the_program_is_in_order() {
    let report = judge(&bow_program());
    assert!(report.in_order(), "{:#?}", report.findings);
    let deviation = report.deviation.unwrap();
    assert!(deviation.gouge < 0.001, "{}", deviation.gouge);
    assert!(deviation.excess < 0.006, "{}", deviation.excess);
    // What was taken is the stock over the bow: a segment of a circle under 1 mm and the rest.
    let exact: f64 = (0..7500)
        .map(|i| (11.0 - Bow.height(0.005 + f64::from(i) / 100.0, -1.0).unwrap()) * 0.01 * 3.2)
        .sum();
    assert!(
        (report.removed - exact).abs() < 0.003 * 240.0,
        "{} for {exact}",
        report.removed
    );
    let (low, high) = report.bounds.unwrap();
    assert_eq!(
        (low[0], high[0], low[1], high[1], high[2]),
        (-4.0, 79.0, -3.2, 0.0, 16.0)
    );
    // 13 passes and 2 rough ones of about 75 mm in the material at 12 mm/s; two starts of 3 s.
    assert!(
        report.time.cutting > 94.0 && report.time.cutting < 105.0,
        "{:?}",
        report.time
    );
    assert!(
        report.time.air > 2.0 && report.time.air < 20.0 && report.time.other == 6.0,
        "{:?}",
        report.time
    );
}

type Right = fn(&Fault) -> bool;

fn text_fault(fault: &Fault, right: fn(&TextFault) -> bool) -> bool {
    matches!(fault, Fault::Text(text) if right(text))
}

fn replay_fault(fault: &Fault, right: fn(&ReplayFault) -> bool) -> bool {
    matches!(fault, Fault::Replay(what) if right(what))
}

/// Edits of the text: what is replaced, by what (at its first place), and the finding that must come.
const EDITS: &[(&str, &str, &str, Right)] = &[
    ("deeper rough pass", "G1 Z10.2 F300", "G1 Z9.2 F300", |f| {
        matches!(f, Fault::Gouge { .. })
    }),
    ("too deep a step", "G1 Z10.2 F300", "G1 Z10.05 F300", |f| {
        matches!(f, Fault::StepDown { .. })
    }),
    (
        "deeper finish by 0.02 mm",
        "G3 X78.0000 Z9.5902 I40.5000 K-2001.0902\nG1 Y-0.2667\n",
        "G1 Z9.5702\nG3 X78.0000 Z9.5702 I40.5000 K-2001.0902\nG1 Y-0.2667 Z9.5902\n",
        |f| matches!(f, Fault::Gouge { .. }),
    ),
    ("a pass left out", "G1 Y-1.6000\n", "", |f| {
        matches!(f, Fault::Excess { .. })
    }),
    ("roughing left out", "X79 F720\nY-2.4\nX-4\n", "", |f| {
        matches!(f, Fault::StepDown { .. })
    }),
    ("no spindle", "S12000 M3\nG4 P3\nG0 X-4", "G0 X-4", |f| {
        matches!(f, Fault::SpindleStill)
    }),
    ("spindle stopped too early", "F720\nG3", "F720 M5\nG3", |f| {
        matches!(f, Fault::SpindleStill)
    }),
    ("spindle backwards", "S12000 M3", "S12000 M4", |f| {
        matches!(f, Fault::SpindleReverse) || text_fault(f, |t| matches!(t, TextFault::NotAccepted(_)))
    }),
    ("spindle without speed", "S12000 M3", "M3", |f| {
        replay_fault(f, |r| *r == ReplayFault::NoSpeed)
    }),
    ("spindle too fast", "S12000 M3", "S30000 M3", |f| {
        matches!(f, Fault::SpindleRange { .. })
    }),
    ("spindle too slow for the feed", "S12000 M3", "S2500 M3", |f| {
        matches!(f, Fault::ChipThick { .. })
    }),
    ("axes swapped", "G0 X-4 Y-0.8", "G0 Y-4 X-0.8", |f| {
        matches!(
            f,
            Fault::RapidInMaterial { .. }
                | Fault::Jaw { .. }
                | Fault::Uncut { .. }
                | Fault::Excess { .. }
                | Fault::StepDown { .. }
        )
    }),
    ("inch for millimetre", "G21", "G20", |f| {
        matches!(f, Fault::Units { .. })
    }),
    (
        "no unit",
        "G21\n",
        "",
        |f| matches!(f, Fault::MissingMode(m) if m.contains("G21")),
    ),
    (
        "no G90",
        "G90 G17",
        "G17",
        |f| matches!(f, Fault::MissingMode(m) if m == "G90"),
    ),
    (
        "no work offset",
        " G54",
        "",
        |f| matches!(f, Fault::MissingMode(m) if m.contains("G54")),
    ),
    (
        "no G49",
        " G49",
        "",
        |f| matches!(f, Fault::MissingMode(m) if m == "G49"),
    ),
    (
        "G91 slipped in",
        "G17\nG0 Z16\nM5\nM30",
        "G17 G91\nG0 Z16\nM5\nM30",
        |f| matches!(f, Fault::Steps),
    ),
    ("another work offset", "G18\n", "G18 G55\n", |f| {
        matches!(f, Fault::OffsetChanges) || text_fault(f, |t| matches!(t, TextFault::NotAccepted(_)))
    }),
    ("retract dropped", "X-4\nG0 Z16\nM5\nT2", "X-4\nM5\nT2", |f| {
        matches!(f, Fault::StandsLow { .. })
    }),
    ("last retract dropped", "G17\nG0 Z16\nM5\n", "G17\nM5\n", |f| {
        matches!(f, Fault::StandsLow { .. })
    }),
    ("retract too low", "X-4\nG0 Z16\n", "X-4\nG0 Z12\n", |f| {
        matches!(f, Fault::RapidLow { .. } | Fault::StandsLow { .. })
    }),
    ("rapid for feed", "G1 Y-0.2667\nG2", "G0 Y-0.2667\nG2", |f| {
        matches!(f, Fault::RapidLow { .. })
    }),
    (
        "rapid into the stock",
        "Z11.5\nG1 Z10.2 F300\nX79",
        "Z11.5\nX20\nG0 Z10.2\nG1 F300\nX79",
        |f| {
            matches!(f, Fault::RapidInMaterial { .. })
                || replay_fault(f, |r| matches!(r, ReplayFault::NoCoordinates(_)))
        },
    ),
    ("rapid through material", "X79 F720", "G0 X79", |f| {
        matches!(f, Fault::RapidInMaterial { .. })
    }),
    (
        "through a jaw",
        "G0 X-3 Y0\nZ11.5\n",
        "G0 X-3 Y0\nG0 X40 Y8\nZ2\nZ16\nX-3 Y0\nZ11.5\n",
        |f| matches!(f, Fault::Jaw { .. }),
    ),
    (
        "feed into a jaw",
        "G1 Y-0.2667\n",
        "G1 Y6\nX40\nZ3\nZ9.5902\nX78\nY-0.2667\n",
        |f| matches!(f, Fault::Jaw { .. }),
    ),
    (
        "into the parallel",
        "G1 Y-0.2667\n",
        "G1 X90 Z-1\nX78 Z9.5902\nY-0.2667\n",
        |f| matches!(f, Fault::Table { .. }),
    ),
    ("arc reversed", "G3 X78.0000", "G2 X78.0000", |f| {
        matches!(f, Fault::Gouge { .. } | Fault::Travel { .. } | Fault::Table { .. })
    }),
    ("arc's centre wrong", "I40.5000", "I40.4000", |f| {
        replay_fault(f, |r| matches!(r, ReplayFault::Arc(ArcFault::Radius { .. })))
    }),
    ("arc's end wrong", "G3 X78.0000", "G3 X77.0000", |f| {
        replay_fault(f, |r| matches!(r, ReplayFault::Arc(ArcFault::Radius { .. })))
    }),
    ("arc without centre", " I40.5000 K-2001.0902", "", |f| {
        replay_fault(f, |r| matches!(r, ReplayFault::Arc(ArcFault::NoCentre)))
    }),
    ("wrong plane", "G18\n", "G19\n", |f| {
        replay_fault(f, |r| matches!(r, ReplayFault::Arc(ArcFault::WrongPlane(_))))
    }),
    ("no plane for the arcs", "G18\n", "", |f| {
        replay_fault(f, |r| matches!(r, ReplayFault::Arc(ArcFault::WrongPlane(_))))
    }),
    ("feed missing", "G1 Z10.2 F300", "G1 Z10.2", |f| {
        replay_fault(f, |r| *r == ReplayFault::NoFeed)
    }),
    ("feed too high for an axis", "F720\nG3", "F2600\nG3", |f| {
        matches!(f, Fault::FeedLimit { .. })
    }),
    ("feed too high for the material", "X79 F720", "X79 F2500", |f| {
        matches!(f, Fault::ChipThick { .. })
    }),
    ("feed too low", "X79 F720", "X79 F72", |f| {
        matches!(f, Fault::ChipThin { .. })
    }),
    ("no M30", "M30\n", "", |f| matches!(f, Fault::NoEnd)),
    ("no M5", "G0 Z16\nM5\nM30", "G0 Z16\nM30", |f| {
        matches!(f, Fault::SpindleLeftOn)
    }),
    ("words after the end", "M30\n", "M30\nG0 X0\n", |f| {
        replay_fault(f, |r| *r == ReplayFault::AfterEnd)
    }),
    ("unknown tool", "T2 M6", "T5 M6", |f| matches!(f, Fault::ToolUnknown(5))),
    ("the other tool", "T2 M6", "T1 M6", |f| {
        matches!(f, Fault::Excess { .. } | Fault::Gouge { .. })
    }),
    ("comma for a point", "G1 Z10.2 F300", "G1 Z10,2 F300", |f| {
        text_fault(f, |t| matches!(t, TextFault::BadNumber { .. }))
    }),
    ("a word twice", "X79 F720", "X79 F720 F700", |f| {
        text_fault(f, |t| matches!(t, TextFault::Duplicate('F')))
    }),
    ("two of one group", "G90 G17", "G90 G91 G17", |f| {
        text_fault(f, |t| matches!(t, TextFault::SameGroup(..)))
    }),
    ("not ASCII", "(bow, by hand)", "(bow, 5 \u{b5}m)", |f| {
        text_fault(f, |t| matches!(t, TextFault::NotAscii(_)))
    }),
    ("nested comment", "(bow, by hand)", "(bow (by hand))", |f| {
        text_fault(f, |t| matches!(t, TextFault::NestedComment))
    }),
    ("open comment", "(bow, by hand)", "(bow, by hand", |f| {
        text_fault(f, |t| matches!(t, TextFault::OpenComment))
    }),
    ("lower-case garbage", "X79 F720", "x79 f720 qwe", |f| {
        text_fault(f, |t| {
            matches!(t, TextFault::MissingNumber(_) | TextFault::UnknownWord(_))
        })
    }),
    ("a parameter", "X79 F720", "X#1 F720", |f| {
        text_fault(f, |t| matches!(t, TextFault::Expression(_)))
    }),
    ("a word that the machine lacks", "G18\n", "G18 M8\n", |f| {
        text_fault(f, |t| matches!(t, TextFault::NotAccepted(w) if w == "M8"))
    }),
    ("readers differ", "X79 F720", "X 7 9 F720", |f| {
        matches!(f, Fault::Readers(Disagreement::Refused { .. }))
    }),
    ("start not up", "G43 H1\nG0 Z16", "G43 H1\nG0 X5\nG0 Z16", |f| {
        matches!(f, Fault::StartNotUp { .. })
    }),
    // The places are those where the tool is taken to stand: only the words tell.
    ("start names X and Y", "G43 H1\nG0 Z16", "G43 H1\nG0 X0 Y0 Z16", |f| {
        matches!(f, Fault::StartNotUp { .. })
    }),
    ("start at a feed", "G43 H1\nG0 Z16", "G43 H1\nG1 Z16 F300", |f| {
        matches!(f, Fault::StartNotUp { .. })
    }),
    (
        "sideways after a change of tool",
        "G43 H2\nG0 Z16\nS12000 M3\nG4 P3\nG0 X-3 Y0",
        "G43 H2\nS12000 M3\nG4 P3\nG0 X-3 Y0 Z16",
        |f| matches!(f, Fault::StartNotUp { .. }),
    ),
    ("down before Y is named", "G0 X-3 Y0\nZ11.5", "G0 X-3\nZ11.5", |f| {
        matches!(f, Fault::PlaceUnknown { axis: 'Y' })
    }),
    ("no length of the second tool", "G43 H2\n", "", |f| {
        matches!(
            f,
            Fault::LengthNotTaken {
                tool: 2,
                have: Some(1),
                ..
            }
        )
    }),
    ("the first tool's length for the second", "G43 H2\n", "G43 H1\n", |f| {
        matches!(
            f,
            Fault::LengthNotTaken {
                tool: 2,
                have: Some(1),
                ..
            }
        )
    }),
    ("no length at all", "G43 H1\n", "", |f| {
        matches!(
            f,
            Fault::LengthNotTaken {
                tool: 1,
                have: None,
                ..
            }
        )
    }),
    ("a length given up", "G18\n", "G18 G49\n", |f| {
        matches!(
            f,
            Fault::LengthNotTaken {
                tool: 2,
                have: None,
                ..
            }
        )
    }),
    ("a length without its number", "G43 H2", "G43", |f| {
        replay_fault(f, |r| *r == ReplayFault::NoLength)
    }),
    (
        "arcs without G91.1",
        " G91.1",
        "",
        |f| matches!(f, Fault::MissingMode(m) if m.contains("G91.1")),
    ),
    ("no wait for the spindle", "G4 P3\nG0 X-4", "G0 X-4", |f| {
        matches!(
            f,
            Fault::NoWait {
                waited: 0.0,
                needed: 3.0
            }
        )
    }),
    ("a wait of nothing", "G4 P3\nG0 X-3", "G4 P0\nG0 X-3", |f| {
        matches!(
            f,
            Fault::NoWait {
                waited: 0.0,
                needed: 3.0
            }
        )
    }),
    ("too short a wait", "G4 P3\nG0 X-3", "G4 P2.9\nG0 X-3", |f| {
        matches!(f, Fault::NoWait { .. })
    }),
    (
        "a wait before the start",
        "S12000 M3\nG4 P3\nG0 X-3",
        "G4 P3\nS12000 M3\nG0 X-3",
        |f| matches!(f, Fault::NoWait { .. }),
    ),
    ("a wait for ever", "G4 P3\nG0 X-3", "G4 P100000\nG0 X-3", |f| {
        matches!(f, Fault::LongWait { .. })
    }),
    (
        "a line too long",
        "X79 F720",
        "X79 F720 (and a remark that goes on and on, until a small controller no longer reads it)",
        |f| text_fault(f, |t| matches!(t, TextFault::LineMost { length: 88, most: 80 })),
    ),
    ("a pause while it turns", "G0 Z16\nM5\nT2", "G0 Z16\nM0\nM5\nT2", |f| {
        matches!(f, Fault::RunsAtPause { what: "spindle", .. })
    }),
    ("a pause down in the work", "G18\n", "M5\nM1\nM3\nG4 P3\nG18\n", |f| {
        matches!(f, Fault::StandsLow { .. })
    }),
    ("corners rounded at will", "G18\n", "G18 G64\n", |f| {
        matches!(f, Fault::Rounding { by: None, .. })
    }),
    ("corners rounded too much", "G18\n", "G18 G64 P0.05\n", |f| {
        matches!(f, Fault::Rounding { by: Some(_), .. })
    }),
    ("home from down in the work", "G0 Z16\nM5\nT2", "G28\nM5\nT2", |f| {
        matches!(f, Fault::StandsLow { .. })
    }),
    ("home over the seat", "G0 Z16\nM5\nT2", "G28 Z0\nG0 Z16\nM5\nT2", |f| {
        matches!(f, Fault::RapidInMaterial { .. } | Fault::StandsLow { .. })
    }),
    (
        "home from nobody knows where",
        "G43 H1\nG0 Z16",
        "G43 H1\nG28\nG0 Z16",
        |f| matches!(f, Fault::MachinePlace { word: "G28", .. }),
    ),
    (
        "down after home",
        "G0 Z16\nM5\nT2",
        "G0 Z16\nG28\nG0 Z11.5\nG0 Z16\nM5\nT2",
        |f| matches!(f, Fault::PlaceUnknown { axis: 'X' }),
    ),
    (
        "down in the machine's coordinates",
        "G0 Z16\nM5\nT2",
        "G53 G0 Z-80\nG0 Z16\nM5\nT2",
        |f| matches!(f, Fault::MachinePlace { word: "G53", .. }),
    ),
    (
        "sideways in the machine's coordinates",
        "G0 Z16\nM5\nT2",
        "G53 G0 X0 Y0\nG0 Z16\nM5\nT2",
        |f| matches!(f, Fault::RapidLow { .. }),
    ),
    (
        "a cut in the machine's coordinates",
        "G0 Z16\nM5\nT2",
        "G53 G1 Z0\nG0 Z16\nM5\nT2",
        |f| replay_fault(f, |r| *r == ReplayFault::MachineFeed),
    ),
    (
        "beside the stock, in the jaws",
        "G0 X-3 Y0\nZ11.5\n",
        "G0 X-5 Y-3\nZ4\nZ16\nX-3 Y0\nZ11.5\n",
        |f| matches!(f, Fault::Jaw { .. }),
    ),
    ("too wide for the machine", "G0 X-4 Y-0.8", "G0 X-400 Y-0.8", |f| {
        matches!(f, Fault::Travel { axis: 'X', .. })
    }),
    ("letter O for nought", "X79 F720", "X79 F72O", |f| {
        text_fault(f, |t| matches!(t, TextFault::MissingNumber('O')))
    }),
    ("sign lost", "G1 Y-1.6000", "G1 Y1.6000", |f| {
        matches!(f, Fault::Excess { .. })
    }),
    ("point lost", "G1 Z10.2 F300", "G1 Z102 F300", |f| {
        matches!(f, Fault::StepDown { .. } | Fault::Excess { .. } | Fault::Travel { .. })
    }),
];

/// Edits that leave a program in order: what the machine's words mean is read, and not refused for being unknown.
const SOUND: &[(&str, &str, &str)] = &[
    ("exact path", "G18\n", "G18 G61\n"),
    ("corners within the machine's own", "G18\n", "G18 G64 P0.01\n"),
    ("a pause up in the air", "G0 Z16\nM5\nT2", "G0 Z16\nM5\nM0\nT2"),
    ("an optional pause", "G0 Z16\nM5\nT2", "G0 Z16\nM5\nM1\nT2"),
    ("coolant off", "G18\n", "G18 M9\n"),
    (
        "up in the machine's coordinates first",
        "G43 H1\nG0 Z16",
        "G43 H1\nG53 G0 Z0",
    ),
    (
        "up in the machine's coordinates for the change",
        "G0 Z16\nM5\nT2",
        "G53 G0 Z0\nM5\nT2",
    ),
    ("home before the change", "G0 Z16\nM5\nT2", "G0 Z16\nG28\nM5\nT2"),
    (
        "home over a place in the air",
        "G0 Z16\nM5\nT2",
        "G0 Z16\nG30 Z20\nM5\nT2",
    ),
    ("a longer wait", "G4 P3\nG0 X-3", "G4 P8\nG0 X-3"),
    ("two waits", "G4 P3\nG0 X-3", "G4 P1.5\nG0 X-3\nG4 P1.5"),
];

#[test]
fn sound_edits_pass() {
    let good = bow_program();
    for (name, from, to) in SOUND {
        assert!(good.contains(from), "{name}: nothing to edit");
        let report = judge(&good.replacen(from, to, 1));
        assert!(report.in_order(), "{name}: {:#?}", report.findings);
    }
}

/// What the profile does not have is refused by its name, with its line.
#[test]
fn words_that_the_profile_lacks_are_named() {
    let mut setup = on_edge();
    setup
        .machine
        .words
        .g
        .retain(|g| ![280, 300, 430, 530, 610, 640].contains(g));
    setup.machine.words.m.retain(|m| ![0, 10, 90].contains(m));
    for word in [
        "G43 H2",
        "G53 G0 Z0",
        "G28",
        "G61",
        "G64 P0.01",
        "G30",
        "M0",
        "M1",
        "M8",
        "M9",
    ] {
        let text = bow_program().replacen("G18\n", &format!("G0 Z16\n{word}\nG18\n"), 1);
        let line = text.lines().position(|l| l == word).unwrap() as u32 + 1;
        let name = word.split(' ').next().unwrap();
        let report = judge_in(&text, &setup);
        let named = |f: &machining::Finding| {
            f.line == line
                && text_fault(&f.fault, |_| true)
                && f.to_string().contains(&format!(": {name} is not among"))
        };
        assert!(report.findings.iter().any(named), "{word}: {:#?}", report.findings);
    }
}

/// A program whose tools are touched off at a pause: what is not stopped, lifted or said there is refused.
#[test]
fn tools_touched_off_at_a_pause() {
    let mut setup = on_edge();
    setup.machine.tool_lengths = ToolLengths::TouchOff;
    let good = bow_program()
        .replace("T1 M6\nG43 H1\n", "")
        .replace("T2 M6\nG43 H2\n", "(Tool 2: put in the ball)\nM0\n");
    let report = judge_in(&good, &setup);
    assert!(report.in_order(), "{:#?}", report.findings);
    let edits: [(&str, &str, Right); 7] = [
        ("M5\n(Tool 2", "(Tool 2", |f| {
            matches!(f, Fault::RunsAtPause { what: "spindle", .. })
        }),
        ("X-4\nG0 Z16\n", "X-4\n", |f| matches!(f, Fault::StandsLow { .. })),
        ("M0\nG0 Z16\n", "M0\n", |f| matches!(f, Fault::StartNotUp { .. })),
        // Nobody says that the other tool goes in, so the first goes on.
        ("(Tool 2: put in the ball)\n", "", |f| {
            matches!(f, Fault::Gouge { .. } | Fault::StepDown { .. } | Fault::Excess { .. })
        }),
        ("(Tool 2: put in the ball)\nM0\n", "T2 M6\n", |f| {
            matches!(
                f,
                Fault::LengthNotTaken {
                    tool: 2,
                    touched: true,
                    ..
                }
            )
        }),
        ("M0\nG0 Z16\nS12000 M3\nG4 P3\n", "M0\nG0 Z16\n", |f| {
            matches!(f, Fault::SpindleStill)
        }),
        ("M0\nG0 Z16\n", "M0\nG43 H2\nG0 Z16\n", |f| {
            matches!(f, Fault::LengthAdded { tool: 2 })
        }),
    ];
    for (from, to, right) in edits {
        assert!(good.contains(from), "{from}");
        let report = judge_in(&good.replacen(from, to, 1), &setup);
        assert!(
            report.findings.iter().any(|f| right(&f.fault)),
            "{to}: {:#?}",
            report.findings
        );
    }
    // A machine that has one program a tool does not go on to another.
    setup.machine.tool_lengths = ToolLengths::OneProgram;
    let report = judge_in(&good, &setup);
    assert!(
        report.findings.iter().any(|f| matches!(f.fault, Fault::ToolChange)),
        "{:#?}",
        report.findings
    );
}

#[test]
fn planted_faults_are_refused_for_the_right_reason() {
    let good = bow_program();
    let mut missed = Vec::new();
    for (name, from, to, right) in EDITS {
        assert!(good.contains(from), "{name}: nothing to edit");
        let report = judge(&good.replacen(from, to, 1));
        if !report.findings.iter().any(|f| right(&f.fault)) {
            let told: Vec<_> = report.findings.iter().map(ToString::to_string).collect();
            missed.push(format!("{name}: {told:#?}"));
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
    assert!(EDITS.len() >= 50);
}

/// Cut anywhere, the text is refused.
#[test]
fn truncated_anywhere() {
    let good = bow_program();
    for length in (0..good.len() - 1).step_by(31) {
        assert!(!judge(&good[..length]).in_order(), "cut to {length} bytes");
    }
    // Without the closing sign, at every line end.
    let bare = good.replace("%\n", "");
    assert!(judge(&bare).in_order());
    for (at, _) in bare.match_indices('\n') {
        assert!(
            at + 1 == bare.len() || !judge(&bare[..=at]).in_order(),
            "cut to {at} bytes"
        );
    }
}

/// Faults that lie in the setup and not in the text.
#[test]
fn setups_that_do_not_fit() {
    let good = bow_program();
    let with = |change: fn(&mut Setup)| {
        let mut setup = on_edge();
        change(&mut setup);
        judge_in(&good, &setup)
    };
    let has = |report: &Report, right: Right| report.findings.iter().any(|f| right(&f.fault));
    let short_edges = with(|s| (s.rougher.cutting_length, s.rougher.shank_diameter) = (0.5, 6.0));
    assert!(
        has(&short_edges, |f| matches!(f, Fault::Shank { .. })),
        "{:?}",
        short_edges.findings
    );
    let short_tool = with(|s| s.rougher.stick_out = 0.5);
    assert!(
        has(&short_tool, |f| matches!(f, Fault::Collet { .. })),
        "{:?}",
        short_tool.findings
    );
    let no_change = with(|s| s.machine.tool_lengths = ToolLengths::OneProgram);
    assert!(has(&no_change, |f| matches!(f, Fault::ToolChange)));
    assert!(has(&no_change, |f| matches!(
        f,
        Fault::ToolNotLoaded { wanted: 2, loaded: 1 }
    )));
    let low = with(|s| s.stock.height = 9.9);
    assert!(has(&low, |f| matches!(f, Fault::StockLow { .. })), "{:?}", low.findings);
    let jaws = with(|s| {
        s.holding = machining::Holding::Vise {
            jaw_height: 10.5,
            jaw_thickness: 12.0,
            jaw_x: (2.0, 73.0),
        }
    });
    assert!(has(&jaws, |f| matches!(f, Fault::Jaw { .. })), "{:?}", jaws.findings);
    let inches = with(|s| s.machine.inch = true);
    assert!(has(&inches, |f| matches!(f, Fault::Units { .. })));
    let small = with(|s| s.machine.travel[0] = 80.0);
    assert!(has(&small, |f| matches!(f, Fault::Travel { .. })));
}

#[test]
fn findings_say_where_and_what_to_change() {
    let report = judge(&bow_program().replacen("G1 Z10.2 F300", "G1 Z9.2 F300", 1));
    let gouge = report
        .findings
        .iter()
        .find(|f| matches!(f.fault, Fault::Gouge { .. }))
        .unwrap();
    let told = gouge.to_string();
    // The second rough pass, in line 16, comes to the worst place first.
    assert!(
        told.starts_with("line 16 (X ") && told.contains("into the finished part"),
        "{told}"
    );
    assert_eq!(
        judge("G1 X1,5\n").findings[0].to_string().split(':').next(),
        Some("line 1")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// No edit of a coordinate that moves the cut by more than the limit passes.
    #[test]
    fn edited_coordinates(pick in 0..1000usize, change in -3.0..3.0f64, fine: bool) {
        let setup = on_edge();
        let good = bow_program();
        let change = if fine { 0.03 * change } else { change };
        // Every X, Y, Z, I, K word behind the first lines.
        let body = good.find("G0 X-4").unwrap();
        let words: Vec<(usize, usize)> = good[body..].char_indices().filter(|(_, c)| "XYZIK".contains(*c)).map(|(at, _)| {
            let at = body + at + 1;
            let length = good[at..].find([' ', '\n']).unwrap();
            (at, at + length)
        }).collect();
        let (from, to) = words[pick % words.len()];
        let value: f64 = good[from..to].parse().unwrap();
        let text = format!("{}{:.4}{}", &good[..from], value + change, &good[to..]);
        let report = judge_in(&text, &setup);
        if report.in_order() {
            let motions = replay(&read(&text).unwrap(), 1).unwrap().motions;
            let line = good[..from].matches('\n').count() as u32 + 1;
            let near: Vec<_> = motions[1..].iter().filter(|m| m.to[2] < 11.0 || m.from[2] < 11.0).copied().collect();
            let places: Vec<[f64; 2]> = (0..60)
                .map(|k| [2.5 + 5.0 * f64::from(k / 4), -0.4 - 0.8 * f64::from(k % 4)])
                .collect();
            for (low, [x, y]) in swept_by_all(&near, &setup, &places).into_iter().zip(places) {
                let off = low - Bow.height(x, y).unwrap();
                // Samples lie 0.02 mm apart on a path of little slope, so they miss less than 0.001 mm.
                prop_assert!(off > -0.011 && off < setup.scallop + 0.011, "line {line}: {off} at {x}, {y}");
            }
        }
    }
}
