//! The nut from the front, as from the frets.

use nut::{NutPlan, NutString};
use units::BenchUnit;

use super::pen::Pen;

/// Width of the picture, and room at its sides, in user units.
const WIDE: f64 = 360.0;
const SIDE: f64 = 14.0;
/// Room above the top for numbers and figures.
const OVER: f64 = 40.0;
/// Steps of the top's line.
const STEPS: u32 = 48;

/// Outline, slots and their floors above the seat; dashed, the board's surface in front; pale, the slots as they `were` before a change.
#[must_use]
pub fn front(plan: &NutPlan, bench: BenchUnit, were: Option<&NutPlan>) -> String {
    let [low, high] = plan.ends;
    let scale = (WIDE - 2.0 * SIDE) / (high - low).max(1.0);
    let x = |u: f64| {
        let along = scale * (u - low);
        if plan.left_handed {
            WIDE - SIDE - along
        } else {
            SIDE + along
        }
    };
    let top: Vec<[f64; 2]> = (0..=STEPS)
        .map(|i| low + (high - low) * f64::from(i) / f64::from(STEPS))
        .map(|u| [u, plan.top.height(u)])
        .collect();
    let crest = top.iter().map(|p| p[1]).fold(0.0, f64::max);
    let y = |v: f64| OVER + scale * (crest - v);
    let tall = y(0.0) + 22.0;
    let mut pen = Pen::new(
        "view",
        WIDE,
        tall,
        "The nut from the front, with the floor of every slot",
    );
    let body = top.iter().map(|p| [x(p[0]), y(p[1])]);
    let body: Vec<[f64; 2]> = body.chain([[x(high), y(0.0)], [x(low), y(0.0)]]).collect();
    pen.path("body", body, true);
    let board = plan.strings.iter().map(|s| [x(s.u), y(s.board)]);
    pen.path("bridge", board, false);
    let gaps = plan.strings.windows(2).map(|w| scale * (w[1].u - w[0].u).abs());
    let gap = gaps.fold(f64::INFINITY, f64::min);
    // The floor is half a circle across; the walls go up to the top.
    let slot = |s: &NutString| {
        let (at, half) = (x(s.u), 0.5 * scale * s.width);
        let (rim, floor) = (y(s.top), y(s.floor));
        let spring = (floor - half).max(rim);
        format!(
            "M{:.2} {rim:.2}V{spring:.2}A{half:.2} {:.2} 0 0 0 {:.2} {spring:.2}V{rim:.2}",
            at - half,
            floor - spring,
            at + half
        )
    };
    for s in &plan.strings {
        let (at, floor) = (x(s.u), y(s.floor));
        pen.raw_path("slot", &slot(s));
        pen.line("lead", [at, OVER - 8.0], [at, floor]);
        pen.string(at, gap, s.number, &bench.number(s.floor));
    }
    for s in were.into_iter().flat_map(|were| &were.strings) {
        pen.raw_path("was", &slot(s));
    }
    let (left, right) = if plan.left_handed {
        ("treble", "bass")
    } else {
        ("bass", "treble")
    };
    pen.text("t small", [2.0, tall - 6.0], left);
    pen.text("t small end", [WIDE - 2.0, tall - 6.0], right);
    pen.done()
}
