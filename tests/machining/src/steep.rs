//! What spares the judgement from looking around every place is true, and changes no verdict.

use fixtures::{Bow, Guitar, PARLOUR, cutter, guitars, on_edge};
use machining::{Check, CutTolerance, CutterShape, Ends, Setup, Surface, Target, ToolLengths, prepare, target, verify};
use proptest::prelude::*;
use strings::Criterion;

fn setup() -> Setup {
    let mut setup = on_edge();
    setup.stock.height = 14.0;
    setup
}

/// Nothing within reach stands higher over a place than its steepness lets it.
fn holds(target: &dyn Target, x: f64, y: f64, reach: f64) -> Result<bool, TestCaseError> {
    let Some(slope) = target.steepest_near(x, y, reach) else {
        return Ok(false);
    };
    let height = |x: f64, y: f64| {
        target
            .height(x, y)
            .ok_or_else(|| TestCaseError::fail(format!("no part at {x}, {y}")))
    };
    let here = height(x, y)?;
    for k in 0..64u32 {
        let (sin, cos) = (f64::from(k) * 0.61).sin_cos();
        let r = reach * f64::from(k) / 63.0;
        let there = height(x + r * cos, y + r * sin)?;
        prop_assert!(
            there <= here + slope * r + 1e-9,
            "{there} over {here}, {r} mm off, at {x}, {y}"
        );
    }
    Ok(true)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_surface_is_steeper_than_it_says(of in guitars(), x in 0.0..75.0f64, y in -3.2..0.0f64, reach in 0.005..0.1f64, round: bool) {
        let Ok(plan) = saddle::plan(&of.survey(Criterion::Octave)) else { return Ok(()) };
        let mut setup = setup();
        if round { setup.ends = Ends::Round; }
        let Ok(surface) = Surface::new(&plan, &setup) else { return Ok(()) };
        holds(&surface, x, y, reach)?;
        prop_assert!(holds(&surface, 40.0, -1.6, reach)?);
        holds(&Bow, x, y, reach)?;
    }
}

/// A surface that says nothing of its steepness.
struct Mute<'a>(&'a dyn Target);

impl Target for Mute<'_> {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        self.0.height(x, y)
    }
    fn bounds(&self) -> [f64; 4] {
        self.0.bounds()
    }
    fn stock(&self, x: f64, y: f64) -> Option<f64> {
        self.0.stock(x, y)
    }
    fn kerf(&self, x: f64, y: f64) -> Option<f64> {
        self.0.kerf(x, y)
    }
    fn walls(&self) -> Vec<Vec<[f64; 2]>> {
        self.0.walls()
    }
    fn foot(&self, x: f64, y: f64) -> Option<f64> {
        self.0.foot(x, y)
    }
    fn walled_by(&self) -> Option<u32> {
        self.0.walled_by()
    }
    fn unreached(&self, x: f64, y: f64) -> f64 {
        self.0.unreached(x, y)
    }
}

/// The rough program leaves its allowance everywhere, a ball too large stands off the steps, a wing too high stands out.
#[test]
fn the_verdict_is_that_of_looking_around() {
    let winged = Ends::Winged {
        bass: vec![(0.0, 6.0), (8.0, 13.0)],
        treble: vec![(0.0, 6.0), (8.0, 13.0)],
    };
    for (stepped, ends) in [(false, Ends::Round), (true, Ends::Square), (false, winged)] {
        let plan = Guitar { stepped, ..PARLOUR }.plan();
        let mut setup = setup();
        setup.ends = ends;
        setup.machine.tool_lengths = ToolLengths::OneProgram;
        setup.rougher.cutting_length = 14.0;
        setup.finisher = cutter(2, CutterShape::Ball, if stepped { 1.0 } else { 3.0 });
        let programs = prepare(&plan, "test", &setup)
            .unwrap_or_else(|e| panic!("{e}"))
            .programs;
        let wanted = target(&plan, &setup).unwrap();
        // The rough program alone is judged as if it were the last, too; but not where every corner would be searched.
        let smooth = setup.ends == Ends::Round;
        for last in [false, true].into_iter().take(1 + usize::from(smooth)) {
            let judged = |target: &dyn Target| {
                let check = Check {
                    setup: &setup,
                    target,
                    limits: CutTolerance {
                        cell: 0.1,
                        ..CutTolerance::of(&setup)
                    },
                    loaded: programs[0].tools[0],
                    start: None,
                    last,
                };
                let report = verify(&programs[0].text, &check);
                let deviation = report.deviation.unwrap();
                let values: Vec<u64> = deviation.values.iter().map(|v| v.to_bits()).collect();
                let found: Vec<String> = report.findings.iter().map(ToString::to_string).collect();
                (found, values, [deviation.gouge, deviation.excess, deviation.unreached])
            };
            let (quick, slow) = (judged(wanted.as_ref()), judged(&Mute(wanted.as_ref())));
            assert!(
                quick == slow,
                "stepped {stepped}, last {last}: {:?} {:?}",
                quick.0,
                slow.0
            );
            assert_eq!(quick.0.is_empty(), !last, "{:?}", quick.0);
        }
    }
}
