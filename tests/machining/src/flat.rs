//! The outline flat: what holds the part, how deep it is cut, and the last lap.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation, dead_code)]

use fixtures::{PARLOUR, cutter, on_edge};
use machining::{
    Check, CutTolerance, CutterShape, Fault, Holding, MotionKind, Outline, Prepared, Report, Setup, SetupKind, Stock,
    THROUGH, Target, prepare, target, verify,
};
use saddle::Plan;
use strings::Criterion;

const TAB: f64 = 0.6;

fn plan(thickness: f64) -> Plan {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.blank.thickness = thickness;
    saddle::plan(&survey).unwrap()
}

/// Stock that reaches `beyond` mm past both ends, `height` mm high.
fn setup(plan: &Plan, height: f64, beyond: f64, tabs: u32) -> Setup {
    Setup {
        kind: SetupKind::Flat,
        stock: Stock {
            thickness: plan.crown.thickness,
            height,
            length: plan.ends.1 - plan.ends.0 + 2.0 * beyond,
            bass_margin: beyond,
        },
        holding: Holding::Tape {
            tabs,
            tab_length: 3.0,
            tab_height: TAB,
        },
        ..on_edge()
    }
}

fn made(plan: &Plan, setup: &Setup) -> Prepared {
    prepare(plan, "flat", setup).unwrap_or_else(|e| panic!("{setup:?}: {e}"))
}

fn judge(plan: &Plan, setup: &Setup, text: &str) -> Report {
    let target = target(plan, setup).unwrap();
    let check = Check {
        setup,
        target: target.as_ref(),
        limits: CutTolerance::of(setup),
        loaded: 1,
        start: None,
        last: true,
    };
    verify(text, &check)
}

/// Where the stock is left standing in the middle of the kerf as high as a tab, by side: crown, low end, high end.
fn standing(plan: &Plan, setup: &Setup, prepared: &Prepared) -> [bool; 3] {
    let [x0, y0, x1, _] = Outline::new(plan, setup).unwrap().bounds();
    let left = prepared.programs[0].report.left.as_ref().unwrap();
    let aside = setup.rougher.radius();
    let tab = |x: f64, y: f64| left.near(x, y).is_some_and(|z| (z - TAB).abs() < 1e-6);
    let outline = Outline::new(plan, setup).unwrap();
    let top = |x: f64| {
        let mut y = 0.0;
        while outline.height(x, y + 0.05).is_some() {
            y += 0.05;
        }
        y
    };
    let share = |k: u32| f64::from(k) / 200.0;
    [
        (4..196).any(|k| {
            let x = x0 + (x1 - x0) * share(k);
            tab(x, top(x) + aside)
        }),
        (0..200).any(|k| tab(x0 - aside, y0 + 6.0 * share(k))),
        (0..200).any(|k| tab(x1 + aside, y0 + 6.0 * share(k))),
    ]
}

/// Tabs stand where there is stock for them to hold on to, and nowhere else.
#[test]
fn tabs_hold_on_to_stock() {
    let plan = plan(3.2);
    for (height, beyond, wanted, count, sides) in [
        (16.0, 1.0, 2, 2, [true, false, false]),
        (11.0, 8.0, 2, 2, [false, true, true]),
        (11.0, 8.0, 1, 1, [false, true, false]),
        (11.0, 1.0, 2, 0, [false; 3]),
    ] {
        let setup = setup(&plan, height, beyond, wanted);
        assert_eq!(Outline::new(&plan, &setup).unwrap().tab_count(), count);
        let prepared = made(&plan, &setup);
        assert_eq!(standing(&plan, &setup, &prepared), sides, "{height} {beyond} {wanted}");
        let told = prepared.notes.iter().any(|n| n.contains("tape alone"));
        assert_eq!(told, count == 0, "{:?}", prepared.notes);
    }
}

/// Without a skin the cut goes a hair into the board, and no program goes deeper; with a skin none goes into it at all.
#[test]
fn cut_through_but_not_into_the_table() {
    let plan = plan(3.2);
    for tabs in [1, 2] {
        let setup = setup(&plan, 16.0, 1.0, tabs);
        let program = &made(&plan, &setup).programs[0];
        assert_eq!(program.report.bounds.unwrap().0[2], -THROUGH);
        for (z, table) in [("Z-0.1020", false), ("Z-0.1050", true), ("Z-0.3000", true)] {
            let report = judge(&plan, &setup, &program.text.replace("Z-0.1000", z));
            let found = report.findings.iter().any(|f| matches!(f.fault, Fault::Table { .. }));
            assert_eq!(found, table, "{z}: {:?}", report.findings);
        }
        let short = judge(&plan, &setup, &program.text.replace("Z-0.1000", "Z0.0500"));
        assert!(short.findings.iter().any(|f| matches!(f.fault, Fault::Excess { .. })));
    }
    let skin = setup(&plan, 16.0, 1.0, 0);
    let program = &made(&plan, &skin).programs[0];
    assert_eq!(program.report.bounds.unwrap().0[2], TAB);
    let through = judge(&plan, &skin, &program.text.replace("Z0.6000", "Z-0.0500"));
    assert!(through.findings.iter().any(|f| matches!(f.fault, Fault::Table { .. })));
}

/// What the cut takes of the board is no stock.
#[test]
fn the_board_is_not_counted() {
    let plan = plan(3.2);
    let setup = setup(&plan, 11.0, 1.0, 2);
    let report = made(&plan, &setup).programs.remove(0).report;
    let left = report.left.unwrap();
    let cell = left.grid.cell * left.grid.cell;
    let stock = left
        .heights
        .iter()
        .map(|z| setup.stock.thickness - z.max(0.0))
        .sum::<f64>()
        * cell;
    assert!((report.removed - stock).abs() < 1e-6, "{} {stock}", report.removed);
    let all: f64 = report.met.iter().map(|m| m.volume).sum();
    assert!(all > stock + 1.0, "{all} {stock}");
}

/// Nothing is taken along the bottom edge, which the last lap alone skims, just touching it; every level comes from the air beside
/// it and climbs.
#[test]
fn only_skims_the_bottom_edge() {
    let plan = plan(3.2);
    let setup = setup(&plan, 16.0, 5.0, 0);
    let [x0, _, x1, _] = Outline::new(&plan, &setup).unwrap().bounds();
    let report = made(&plan, &setup).programs.remove(0).report;
    let mut skimmed = 0;
    for (motion, met) in report.motions.iter().zip(&report.met).skip(1) {
        if motion.kind == MotionKind::Rapid {
            continue;
        }
        let middle = motion.at(0.5);
        if middle[1] <= 0.0 && middle[0] > x0 && middle[0] < x1 {
            let radius = setup.rougher.radius();
            assert_eq!((motion.from[1], motion.to[1]), (-radius, -radius), "{motion:?}");
            assert!(
                motion.from[0] > x1 && motion.to[0] < x0 && met.volume < 1e-6,
                "{motion:?}"
            );
            skimmed += 1;
            continue;
        }
        // The part lies on the right: up the low end, along the crown to greater X, down the high end.
        if met.volume > 0.0 {
            let [dx, dy] = [0, 1].map(|k| motion.to[k] - motion.from[k]);
            let right = if middle[0] < x0 { dy > 0.0 } else { dx > 0.0 || dy < 0.0 };
            assert!(right || motion.to[2] != motion.from[2], "{motion:?}");
        }
    }
    assert!(skimmed > 0);
}

/// The last lap is as deep as material and edges allow: in one go through a thin blank, in more through a thick one, and what it
/// does is in order for every material, cutter and allowance.
#[test]
fn the_last_lap_is_deep_and_in_order() {
    let mut laps = std::collections::BTreeSet::new();
    for thickness in [2.5, 3.2, 5.0] {
        let plan = plan(thickness);
        for (step_down, step_over) in [(0.08, 0.3), (0.15, 0.4), (0.25, 0.4)] {
            for (diameter, allowance) in [(2.0, 0.1), (3.0, 0.0), (3.0, 0.12), (3.0, 0.15), (3.0, 0.4)] {
                let mut setup = setup(&plan, 16.0, 6.0, 2);
                setup.rougher = cutter(1, CutterShape::Flat, diameter);
                setup.rough_allowance = allowance;
                (setup.material.step_down, setup.material.step_over) = (step_down, step_over);
                let report = made(&plan, &setup).programs.remove(0).report;
                let entries = report.motions.iter().filter(|m| {
                    m.kind == MotionKind::Line && m.to[2] < m.from[2] && m.to[..2] == m.from[..2] && m.to[1] < 0.0
                });
                let levels = ((thickness + THROUGH) / (step_down * diameter)).ceil();
                laps.insert((entries.count() as f64 - levels) as i64);
            }
        }
    }
    // None where nothing is left for it, one at best, as many as roughing where it is left too much.
    assert!(laps.contains(&0) && laps.contains(&1) && laps.len() > 4, "{laps:?}");
}

/// A plunge into the solid is refused even though a plunge beside a wall is not.
#[test]
fn a_plunge_into_the_solid_is_refused() {
    let plan = plan(3.2);
    let setup = setup(&plan, 16.0, 1.0, 2);
    let text = &made(&plan, &setup).programs[0].text;
    let plunge = "G0 X30 Y14.5\nZ3.7\nG1 Z2 F200\nG0 Z8.2\nM5";
    let report = judge(&plan, &setup, &text.replacen("M5", plunge, 1));
    assert!(
        report
            .findings
            .iter()
            .any(|f| matches!(f.fault, Fault::StepDown { .. })),
        "{:?}",
        report.findings
    );
}

/// Neither setup needs a stop that stands in the cutter's way.
#[test]
fn the_stop_is_taken_away() {
    let plan = plan(3.2);
    let flat = made(&plan, &setup(&plan, 16.0, 1.0, 2)).registration;
    assert!(flat.contains("Take the stop away"), "{flat}");
    let mut edge = on_edge();
    edge.stock = Stock {
        height: 12.0,
        ..setup(&plan, 16.0, 1.0, 2).stock
    };
    let edge = made(&plan, &edge).registration;
    assert!(!edge.contains("stop"), "{edge}");
}
