//! Programs for a nut: outline, grooves on edge, a saw on end; and faults planted in them.

#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests

use fixtures::{cutter, nut_survey, on_edge, with_nut};
use machining::{
    Check, CutTolerance, Cutter, CutterShape, Fault, Holding, Part, PartKind, PassError, PrepareError, Prism, Report,
    SIDE, Setup, SetupKind, Zero, grooves, outlined, prepare, target, verify,
};
use nut::{Front, NutPlan, NutString, NutSurvey, Post, together};
use proptest::prelude::*;
use std::sync::LazyLock;

fn planned(of: &NutSurvey, left_handed: bool) -> NutPlan {
    let mut survey = with_nut(of);
    survey.left_handed = left_handed;
    together(&survey, of).unwrap().nut
}

fn plan() -> NutPlan {
    planned(&nut_survey(), false)
}

fn tapered() -> Cutter {
    let shape = CutterShape::TaperedBall {
        radius: 0.25,
        half_angle: 5f64.to_radians(),
    };
    Cutter {
        collet_diameter: 18.0,
        ..cutter(7, shape, 3.175)
    }
}

fn vee() -> Cutter {
    let shape = CutterShape::Vee {
        tip: 0.1,
        half_angle: 30f64.to_radians(),
    };
    cutter(6, shape, 3.175)
}

fn saw() -> Cutter {
    Cutter {
        flutes: 40,
        cutting_length: 0.3,
        stick_out: 40.0,
        shank_diameter: 8.0,
        ..cutter(8, CutterShape::Saw, 25.0)
    }
}

/// A blank 48 by 5 by 9 mm; a machine that changes tools.
fn setup(plan: &NutPlan, kind: SetupKind) -> Setup {
    let mut setup = on_edge();
    setup.part = PartKind::Nut;
    setup.kind = kind;
    setup.stock.thickness = plan.blank.thickness;
    setup.stock.height = plan.blank.height;
    setup.stock.length = plan.blank.length;
    setup.stock.bass_margin = plan.ends[0];
    setup.holding = match kind {
        SetupKind::Flat => Holding::Tape {
            tabs: 1,
            tab_length: 3.0,
            tab_height: 0.6,
        },
        SetupKind::OnEdge | SetupKind::OnEnd => Holding::Vise {
            jaw_height: 2.0,
            jaw_thickness: 12.0,
            jaw_x: (0.0, 48.0),
        },
    };
    setup.machine.spindle = (500.0, 24000.0);
    setup.groovers = vec![tapered(), vee(), saw()];
    outlined(plan, &setup).unwrap()
}

/// The height of the finished slot and of the nut beside it, `p` mm square from a slot's line and `b` back from the front face.
fn finished(plan: &NutPlan, s: &NutString, p: f64, b: f64) -> f64 {
    let half = 0.5 * s.width;
    if p.abs() >= half {
        return s.top_at(plan.fall, b);
    }
    let floor = s.floor_at(plan.fall, b) + half - (half * half - p * p).sqrt();
    floor.min(s.top_at(plan.fall, b))
}

/// A groove is fitted at so many places across that it strays by no more than this, mm.
const SAMPLED: f64 = 1e-4;

/// Every groove lies within its finished slot, and above its floor by what is to be left: at no place does the program's surface
/// reach into what the slot leaves standing.
fn within(plan: &NutPlan, kind: SetupKind) -> usize {
    let setup = setup(plan, kind);
    let surface = target(plan, &setup).unwrap();
    let prism = Prism::new(plan, &setup).unwrap();
    let (made, _) = grooves(plan, &prism, &setup);
    let thickness = plan.blank.thickness;
    for groove in &made {
        let s = plan.strings.iter().find(|s| s.number == groove.string).unwrap();
        for i in 0..=20 {
            let b = thickness * (0.005 + 0.99 * f64::from(i) / 20.0);
            let u = s.u + s.fan.tan() * (b - s.b);
            for k in -40..=40 {
                let across = f64::from(k) / 40.0 * (0.5 * s.width + 0.3);
                let x = prism.x(u + across);
                let Some(z) = surface.height(x, -b) else { continue };
                let p = across * s.fan.cos();
                // The file goes along the slot: its round lies square to that.
                let foot = b + across * s.fan.sin() * s.fan.cos();
                let wanted = finished(plan, s, p, foot);
                // Walls are given a width of their own: there the file comes.
                let beside = p.abs() > 0.5 * s.width - SIDE - 1e-3;
                let leave = if beside { 0.0 } else { setup.groove_leave };
                // Beyond the walls the nut stands higher than its finished top: only up to that does anything count.
                let most = s.top_at(plan.fall, foot).min(prism.height(x));
                prop_assert_ok(
                    z >= (wanted + leave).min(most) - SAMPLED,
                    &format!(
                        "string {} at b {b:.3}, {p:.3} aside: {z:.4} under {wanted:.4}",
                        s.number
                    ),
                );
            }
        }
    }
    made.len()
}

fn prop_assert_ok(ok: bool, why: &str) {
    assert!(ok, "{why}");
}

#[test]
fn grooves_lie_within_the_slots() {
    assert_eq!(within(&plan(), SetupKind::OnEdge), 6);
    assert_eq!(within(&planned(&nut_survey(), true), SetupKind::OnEdge), 6);
    // Without posts the slots run on with the strings, nearly straight across.
    assert!(within(&plan(), SetupKind::OnEnd) >= 4);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The same on random nuts: posts, falls, thickness, how much shows, allowance.
    #[test]
    fn grooves_lie_within_the_slots_of_random_nuts(
        across in -30.0..30.0f64, back in 40.0..120.0f64, fall in 2.0..14.0f64, thickness in 3.0..7.0f64,
        shows in 0.0..0.6f64, wide in 0.02..0.2f64, left in any::<bool>(), shelf in any::<bool>(),
    ) {
        let mut of = nut_survey();
        of.headstock.posts = Some((0..6).map(|i| Post { back: back + 5.0 * f64::from(i % 3), across: across * (f64::from(i) - 2.5) / 2.5, below: None }).collect());
        of.fall = Some(fall.to_radians());
        of.blank.thickness = thickness;
        of.shows = shows;
        (of.allowance.plain, of.allowance.wound) = (wide, wide);
        of.front = if shelf { Front::Shelf } else { Front::Plain };
        let plan = planned(&of, left);
        within(&plan, SetupKind::OnEdge);
        within(&plan, SetupKind::OnEnd);
    }
}

#[test]
fn all_setups_are_in_order() {
    for front in [Front::Plain, Front::Shelf, Front::Straight] {
        for left_handed in [false, true] {
            let of = NutSurvey { front, ..nut_survey() };
            let plan = planned(&of, left_handed);
            for kind in [SetupKind::Flat, SetupKind::OnEdge, SetupKind::OnEnd] {
                for zero in [Zero::Seat, Zero::RawTop] {
                    for inch in [false, true] {
                        let mut setup = setup(&plan, kind);
                        setup.zero = zero;
                        setup.machine.inch = inch;
                        let done = prepare(&plan, "A nut", &setup)
                            .unwrap_or_else(|e| panic!("{front:?} {left_handed} {kind:?} {zero:?} {inch}: {e}"));
                        assert!(done.programs.iter().all(|p| p.report.in_order()));
                    }
                }
            }
        }
    }
}

/// What the simulation took is what lies between the outlined nut and its grooves.
#[test]
fn the_volume_taken_is_that_of_the_grooves() {
    let plan = plan();
    for kind in [SetupKind::OnEdge, SetupKind::OnEnd] {
        let setup = setup(&plan, kind);
        let done = prepare(&plan, "A nut", &setup).unwrap();
        let taken: f64 = done.programs.iter().map(|p| p.report.removed).sum();
        let surface = target(&plan, &setup).unwrap();
        let [x0, y0, x1, y1] = surface.bounds();
        let step = 0.01;
        let mut volume = 0.0;
        let mut y = y0 + 0.5 * 0.25;
        while y < y1 {
            let mut x = x0 + 0.5 * step;
            while x < x1 {
                volume += (surface.stock(x, y).unwrap() - surface.height(x, y).unwrap()) * step * 0.25;
                x += step;
            }
            y += 0.25;
        }
        assert!((taken / volume - 1.0).abs() < 0.02, "{kind:?}: {taken} of {volume}");
    }
}

/// A left-handed nut is the mirror of a right-handed one.
#[test]
fn a_left_handed_nut_is_mirrored() {
    let (right, left) = (plan(), planned(&nut_survey(), true));
    let (a, b) = (setup(&right, SetupKind::OnEdge), setup(&left, SetupKind::OnEdge));
    let (one, other) = (target(&right, &a).unwrap(), target(&left, &b).unwrap());
    for i in 1..400 {
        let x = right.board_width * f64::from(i) / 400.0;
        let (p, q) = (one.height(x, -1.3), other.height(right.board_width - x, -1.3));
        assert!((p.unwrap() - q.unwrap()).abs() < 1e-9, "{x}");
    }
}

#[test]
fn a_slot_that_no_cutter_fits_is_told() {
    let plan = plan();
    let mut setup = setup(&plan, SetupKind::OnEdge);
    setup.groovers = vec![cutter(9, CutterShape::Ball, 1.0)];
    let done = prepare(&plan, "A nut", &setup).unwrap();
    let none: Vec<&String> = done.notes.iter().filter(|note| note.starts_with("No groove")).collect();
    assert_eq!(none.len(), 1, "{:?}", done.notes);
    for (string, said) in [(6, false), (5, false), (1, true), (2, true)] {
        assert_eq!(none[0].contains(&format!(" {string} (")), said, "{string}: {none:?}");
    }
    assert!(done.notes.iter().any(|note| note.contains("gauged to its string")));
    setup.groovers = vec![cutter(9, CutterShape::Flat, 3.0)];
    let none = prepare(&plan, "A nut", &setup);
    assert!(
        matches!(none, Err(PrepareError::Pass(PassError::NoGroove(_)))),
        "{none:?}"
    );
}

#[test]
fn jaws_that_stand_in_the_way_are_told() {
    let plan = plan();
    for kind in [SetupKind::OnEdge, SetupKind::OnEnd] {
        let mut setup = setup(&plan, kind);
        setup.holding = Holding::Vise {
            jaw_height: 4.2,
            jaw_thickness: 12.0,
            jaw_x: (0.0, 48.0),
        };
        let refused = prepare(&plan, "A nut", &setup);
        assert!(
            matches!(
                refused,
                Err(PrepareError::Pass(
                    PassError::Jaws { .. } | PassError::JawsBeside { .. }
                ))
            ),
            "{kind:?}"
        );
    }
}

#[test]
fn a_saddle_is_not_cut_on_end() {
    let survey = with_nut(&nut_survey());
    let saddle = saddle::plan(&survey).unwrap();
    let refused = prepare(&saddle, "A saddle", &setup(&plan(), SetupKind::OnEnd));
    assert_eq!(refused.unwrap_err(), PrepareError::Pass(PassError::OnEnd));
}

/// The program of one setup, and what is said of another text in its place.
struct Bench {
    plan: NutPlan,
    setup: Setup,
    text: String,
}

impl Bench {
    fn new(kind: SetupKind) -> Self {
        let plan = plan();
        let setup = setup(&plan, kind);
        let mut done = prepare(Part::from(&plan), "A nut", &setup).unwrap();
        assert_eq!(done.programs.len(), 1);
        let text = done.programs.remove(0).text;
        Self { plan, setup, text }
    }

    fn judged(&self, text: &str) -> Report {
        let target = target(&self.plan, &self.setup).unwrap();
        let check = Check {
            setup: &self.setup,
            target: target.as_ref(),
            limits: CutTolerance::of(&self.setup),
            loaded: self.setup.cutters().next().unwrap().number,
            start: None,
            last: true,
        };
        verify(text, &check)
    }

    /// The text with every word of `letter` in cutting lines shifted.
    fn shifted(&self, letter: char, by: impl Fn(f64) -> f64) -> String {
        let mut cutting = false;
        let line = |line: &str| {
            if line.starts_with("G0") {
                cutting = false;
            } else if line.starts_with("G1") {
                cutting = true;
            }
            if !cutting || line.starts_with('(') {
                return line.to_owned();
            }
            let words = line.split(' ').map(|word| match word.strip_prefix("G1") {
                _ if !word.starts_with(letter) => word.to_owned(),
                _ => format!("{letter}{:.4}", by(word[1..].parse::<f64>().unwrap())),
            });
            words.collect::<Vec<_>>().join(" ")
        };
        self.text.lines().map(line).collect::<Vec<_>>().join("\n") + "\n"
    }
}

type Reason = fn(&Fault) -> bool;

fn has(report: &Report, is: Reason) -> bool {
    report.findings.iter().any(|f| is(&f.fault))
}

/// Faults planted in the grooves on edge and on end are found, each for its own reason.
#[test]
fn planted_faults_are_found() {
    let edge = Bench::new(SetupKind::OnEdge);
    let end = Bench::new(SetupKind::OnEnd);
    let flat = Bench::new(SetupKind::Flat);
    for bench in [&edge, &end, &flat] {
        assert!(bench.judged(&bench.text).in_order());
    }
    let gouge: Reason = |f| matches!(f, Fault::Gouge { .. });
    let excess: Reason = |f| matches!(f, Fault::Excess { .. } | Fault::Uncut { .. });
    let still: Reason = |f| matches!(f, Fault::SpindleStill);
    let low: Reason = |f| matches!(f, Fault::RapidLow { .. });
    let cases: [(&str, &Bench, String, Reason); 20] = [
        ("grooves 0.02 mm deeper", &edge, edge.shifted('Z', |z| z - 0.02), gouge),
        ("grooves 0.05 mm higher", &edge, edge.shifted('Z', |z| z + 0.05), excess),
        ("grooves 0.1 mm aside", &edge, edge.shifted('X', |x| x + 0.1), gouge),
        ("no spindle", &edge, edge.text.replace(" M3", ""), still),
        (
            "stopped short of the back",
            &edge,
            edge.shifted('Y', |y| y.max(-2.5)),
            excess,
        ),
        ("V and ball changed", &edge, edge.text.replace("T7 M6", "T6 M6"), gouge),
        (
            "a retract dropped",
            &edge,
            edge.text.replacen("G0 Z", "(Z", 4).replacen("\nX", ")\nG0 X", 1),
            |_| true,
        ),
        ("no end", &edge, edge.text.replace("M30\n", ""), |f| {
            matches!(f, Fault::NoEnd)
        }),
        ("in inches", &edge, edge.text.replace("G21", "G20"), |f| {
            matches!(f, Fault::Units { .. })
        }),
        ("a saw on edge", &edge, edge.text.replace("T7 M6", "T8 M6"), |_| true),
        ("saw 0.02 mm deeper", &end, end.shifted('X', |x| x - 0.02), gouge),
        ("saw 0.05 mm less deep", &end, end.shifted('X', |x| x + 0.05), excess),
        ("saw 0.05 mm higher", &end, end.shifted('Z', |z| z + 0.05), gouge),
        ("saw at a rapid", &end, end.text.replace("\nG1 Z", "\nG0 Z"), low),
        ("saw stopped short", &end, end.shifted('Y', |y| y.max(-2.5)), excess),
        ("saw stands", &end, end.text.replace(" M3", ""), still),
        ("outline 0.05 mm lower", &flat, flat.shifted('Y', |y| y - 0.05), gouge),
        ("outline too high", &flat, flat.shifted('Y', |y| y + 0.1), |f| {
            gouge_or_excess(f)
        }),
        ("outline too deep", &flat, flat.shifted('Z', |z| z - 0.3), |f| {
            matches!(f, Fault::Table { .. })
        }),
        ("outline not through", &flat, flat.shifted('Z', |z| z.max(0.5)), excess),
    ];
    let mut missed = Vec::new();
    for (name, bench, text, reason) in &cases {
        assert_ne!(text, &bench.text, "{name}: nothing was planted");
        let report = bench.judged(text);
        if !has(&report, *reason) {
            missed.push(format!("{name}: {:?}", report.findings));
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

fn gouge_or_excess(fault: &Fault) -> bool {
    matches!(fault, Fault::Gouge { .. } | Fault::Excess { .. })
}

/// What holds and drives the saw is looked at too.
#[test]
fn arbor_collet_and_jaws_of_the_saw_are_looked_at() {
    let mut bench = Bench::new(SetupKind::OnEnd);
    let text = bench.text.clone();
    for (change, reason) in [
        (
            (|s: &mut Setup| s.groovers[2].shank_diameter = 24.5) as fn(&mut Setup),
            (|f: &Fault| matches!(f, Fault::Shank { .. })) as fn(&Fault) -> bool,
        ),
        (
            |s: &mut Setup| (s.groovers[2].collet_diameter, s.groovers[2].stick_out) = (30.0, 10.0),
            |f: &Fault| matches!(f, Fault::Collet { .. }),
        ),
        (
            |s: &mut Setup| {
                s.holding = Holding::Vise {
                    jaw_height: 4.6,
                    jaw_thickness: 12.0,
                    jaw_x: (0.0, 48.0),
                }
            },
            |f: &Fault| matches!(f, Fault::Jaw { .. }),
        ),
    ] {
        let before = bench.setup.clone();
        change(&mut bench.setup);
        let report = bench.judged(&text);
        assert!(has(&report, reason), "{:?}", report.findings);
        bench.setup = before;
    }
}

/// One of each, made once.
static GROOVED: LazyLock<[Bench; 2]> = LazyLock::new(|| [SetupKind::OnEdge, SetupKind::OnEnd].map(Bench::new));

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// No cutting coordinate of a groove can be moved into the nut by more than the limit and pass.
    #[test]
    fn no_deeper_line_passes(which in 0usize..10_000, by in 0.02..2.0f64, on_end in any::<bool>()) {
        let bench = &GROOVED[usize::from(on_end)];
        let letter = if on_end { 'X' } else { 'Z' };
        let lines: Vec<&str> = bench.text.lines().collect();
        // The last pass of each groove: where the coordinate is least between two rapids.
        let mut least: Vec<(usize, f64)> = Vec::new();
        let (mut lowest, mut cutting): (Option<(usize, f64)>, bool) = (None, false);
        for (i, line) in lines.iter().enumerate() {
            if line.starts_with("G0") {
                least.extend(lowest.take());
                cutting = false;
            } else if line.starts_with("G1") {
                cutting = true;
            }
            if let Some(value) = line.split(' ').find_map(|w| w.strip_prefix(letter)).filter(|_| cutting && !line.starts_with('(')) {
                let value: f64 = value.parse().unwrap();
                if lowest.is_none_or(|(_, low)| value < low) {
                    lowest = Some((i, value));
                }
            }
        }
        let (at, value) = least[which % least.len()];
        let edited: Vec<String> = lines
            .iter()
            .enumerate()
            .map(|(i, line)| if i == at { line.replace(&format!("{letter}{value:.4}"), &format!("{letter}{:.4}", value - by)) } else { (*line).to_owned() })
            .collect();
        let text = edited.join("\n") + "\n";
        prop_assert_ne!(&text, &bench.text);
        let report = bench.judged(&text);
        prop_assert!(!report.in_order(), "line {} of {letter}{value} by {by}", at + 1);
    }
}
