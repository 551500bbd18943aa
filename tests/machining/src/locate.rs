//! Cutter location against a brute-force maximum over the surface, which knows only the height of the plan's crown.

#![allow(clippy::unwrap_used, clippy::cast_possible_truncation, dead_code)]

use fixtures::{Guitar, PARLOUR, cutter, guitars, located, on_edge};
use machining::{Cutter, CutterShape, Ends, Feature, Locator, Setup, Surface, locate};
use proptest::prelude::*;
use saddle::Plan;
use strings::Criterion;

fn plan(stepped: bool) -> Plan {
    let of = Guitar { stepped, ..PARLOUR };
    of.plan()
}

fn setup() -> Setup {
    let mut setup = on_edge();
    setup.stock.height = 12.0;
    setup
}

/// Numbers in 0..1 by the multiplicative congruence of Park and Miller (Comm. ACM 31, 1192 (1988)).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0 * 16807 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }
}

/// A random place over the blank and a little beside it.
fn place(dice: &mut Dice, surface: &Surface, beside: f64) -> (f64, f64) {
    let (a, z) = surface.ends_x();
    (
        a - beside + (z - a + 2.0 * beside) * dice.roll(),
        beside - (surface.thickness() + 2.0 * beside) * dice.roll(),
    )
}

fn compare(plan: &Plan, setup: &Setup, cutter: &Cutter, count: u32, within: (f64, f64)) {
    let surface = Surface::new(plan, setup).unwrap();
    let mut dice = Dice(u64::from(cutter.number) + 77);
    let mut locator = Locator::new(cutter, &surface);
    let u0 = plan.ends.0;
    for _ in 0..count {
        let (x, y) = place(&mut dice, &surface, 0.8 * cutter.radius());
        let ours = locator.z(x, y);
        let theirs = located(plan, &setup.ends, cutter, x + u0, -y);
        if theirs == f64::NEG_INFINITY {
            continue;
        }
        // The brute search is from below: it never stands higher than the truth, but may miss the very place.
        assert!(
            ours - theirs > -within.0 && ours - theirs < within.1,
            "{:?} at ({x:.4}, {y:.4}): {ours:.7} and brute {theirs:.7}",
            cutter.shape
        );
    }
}

const VEE: CutterShape = CutterShape::Vee {
    tip: 0.1,
    half_angle: 0.5,
};

#[test]
fn agrees_with_brute_force_on_both_ridges() {
    for stepped in [false, true] {
        let plan = plan(stepped);
        for (i, shape) in [CutterShape::Ball, CutterShape::Flat, VEE].into_iter().enumerate() {
            compare(&plan, &setup(), &cutter(i as u32, shape, 3.0), 350, (1e-7, 2e-3));
        }
    }
}

#[test]
fn agrees_with_brute_force_with_rarer_cutters_and_ends() {
    let wing = vec![(0.0, 5.0), (2.0, 5.4), (9.0, 8.5), (14.0, 12.0)];
    let winged = Ends::Winged {
        bass: wing.clone(),
        treble: wing,
    };
    let plan = plan(false);
    for ends in [Ends::Round, winged] {
        let setup = Setup { ends, ..setup() };
        for (i, shape) in [
            CutterShape::Ball,
            CutterShape::Flat,
            CutterShape::Corner { radius: 0.4 },
            CutterShape::TaperedBall {
                radius: 0.5,
                half_angle: 0.15,
            },
        ]
        .into_iter()
        .enumerate()
        {
            // A steep cone against a rounded end: the grid misses the rim by its last step, and the cone makes much of it.
            compare(&plan, &setup, &cutter(i as u32, shape, 3.0), 100, (1e-7, 2e-2));
        }
    }
}

#[test]
fn a_cutter_far_larger_than_the_rounding() {
    for shape in [CutterShape::Ball, CutterShape::Flat, VEE] {
        compare(&plan(true), &setup(), &cutter(1, shape, 16.0), 60, (1e-7, 2e-3));
    }
}

#[test]
fn surface_is_the_plans_crown() {
    for stepped in [false, true] {
        let plan = plan(stepped);
        let surface = Surface::new(&plan, &setup()).unwrap();
        let mut dice = Dice(5);
        for _ in 0..2000 {
            let (x, y) = place(&mut dice, &surface, 0.0);
            let ours = surface.height(x, y).unwrap();
            let theirs = plan.crown.section(x + plan.ends.0).height(-y);
            assert!((ours - theirs).abs() < 1e-9, "{x} {y}: {ours} {theirs}");
        }
    }
}

#[test]
fn mirrored_for_the_left_hand() {
    let right = plan(false);
    let left = Plan {
        left_handed: true,
        ..right.clone()
    };
    let mut setup = setup();
    setup.stock.length = 80.0;
    setup.stock.bass_margin = 3.0;
    let (right, left) = (
        Surface::new(&right, &setup).unwrap(),
        Surface::new(&left, &setup).unwrap(),
    );
    let tool = cutter(1, CutterShape::Ball, 3.0);
    let mut dice = Dice(9);
    for _ in 0..500 {
        let (x, y) = place(&mut dice, &right, 1.0);
        let (a, b) = (locate(&tool, &right, x, y), locate(&tool, &left, 80.0 - x, y));
        assert!((a.z - b.z).abs() < 1e-9 || a.z == b.z, "{x} {y}: {} {}", a.z, b.z);
    }
}

#[test]
fn names_what_it_touches() {
    let plan = plan(false);
    let surface = Surface::new(&plan, &setup()).unwrap();
    let ball = cutter(1, CutterShape::Ball, 1.0);
    let x = 40.0;
    let at = |b: f64| locate(&ball, &surface, x, -b).contact.unwrap().feature;
    let centre = plan.crown.section(x + plan.ends.0).centre_b;
    assert_eq!(at(centre), Feature::Rounding);
    assert_eq!(at(0.5 * centre), Feature::FrontFall);
    assert_eq!(at(-0.3), Feature::Edge);
    assert_eq!(at(0.5 * (centre + 0.2 + 3.2)), Feature::BackFall);
    assert_eq!(
        locate(&ball, &surface, -0.3, -1.6).contact.unwrap().feature,
        Feature::End
    );
    assert_eq!(locate(&ball, &surface, 40.0, 5.0).contact, None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20))]

    /// Whatever the instrument: the contact lies on the surface and on the cutter, and nothing stands higher under it.
    #[test]
    fn rests_and_does_not_cut(of in guitars(), seed in 1u64..1000) {
        let Ok(plan) = saddle::plan(&of.survey(Criterion::Octave)) else { return Ok(()) };
        let mut setup = setup();
        setup.stock.height = 40.0;
        let surface = Surface::new(&plan, &setup).unwrap();
        let mut dice = Dice(seed);
        for shape in [CutterShape::Ball, CutterShape::Flat, VEE] {
            let tool = cutter(1, shape, 3.0);
            for _ in 0..20 {
                let (x, y) = place(&mut dice, &surface, 1.0);
                let found = locate(&tool, &surface, x, y);
                let Some(contact) = found.contact else { continue };
                let [cx, cy, cz] = contact.point;
                let r = (cx - x).hypot(cy - y).min(tool.radius());
                prop_assert!((found.z + tool.profile(r) - cz).abs() < 1e-6);
                for _ in 0..200 {
                    let (r, turn) = (tool.radius() * dice.roll().sqrt(), std::f64::consts::TAU * dice.roll());
                    let (px, py) = (x + r * turn.cos(), y + r * turn.sin());
                    if let Some(h) = surface.height(px, py) {
                        prop_assert!(h - tool.profile(r) <= found.z + 1e-6, "{shape:?} {x} {y}");
                    }
                }
            }
        }
    }
}
