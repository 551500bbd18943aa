//! A program in order, and the same with one fault planted: each is refused for the right reason.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // helpers of tests

use fixtures::{Bow, bow_program, on_edge};
use machining::{
    ArcFault, Check, CutTolerance, Disagreement, Fault, Motion, ReplayFault, Report, Setup, Target, TextFault, read,
    replay, verify,
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

fn judge(text: &str) -> Report {
    judge_in(text, &on_edge())
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
    ("no spindle", "S12000 M3\nG0 X-4", "G0 X-4", |f| {
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
    ("start not up", "G0 Z16\nT1", "G0 X5\nG0 Z16\nT1", |f| {
        matches!(f, Fault::StartNotUp { .. })
    }),
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
    let no_change = with(|s| s.machine.tool_change = false);
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
    // The second rough pass, in line 14, comes to the worst place first.
    assert!(
        told.starts_with("line 14 (X ") && told.contains("into the finished part"),
        "{told}"
    );
    assert_eq!(
        judge("G1 X1,5\n").findings[0].to_string().split(':').next(),
        Some("line 1")
    );
}

/// Lowest tip surface over a place, by samples: knows nothing of the simulation.
fn brute(motions: &[Motion], setup: &Setup, x: f64, y: f64) -> f64 {
    let mut low = f64::INFINITY;
    for motion in motions {
        let tool = if motion.tool == 1 {
            &setup.rougher
        } else {
            &setup.finisher
        };
        let count = (motion.length() / 0.02).ceil().max(1.0) as u32;
        for k in 0..=count {
            let tip = motion.at(f64::from(k) / f64::from(count));
            low = low.min(tip[2] + tool.profile((tip[0] - x).hypot(tip[1] - y)));
        }
    }
    low
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
            for i in 0..15 {
                for j in 0..4 {
                    let (x, y) = (2.5 + 5.0 * f64::from(i), -0.4 - 0.8 * f64::from(j));
                    let off = brute(&near, &setup, x, y) - Bow.height(x, y).unwrap();
                    // Samples lie 0.02 mm apart on a path of little slope, so they miss less than 0.001 mm.
                    prop_assert!(off > -0.011 && off < setup.scallop + 0.011, "line {line}: {off} at {x}, {y}");
                }
            }
        }
    }
}
