//! A simulated world: plant a true instrument with hidden errors, make the saddle, measure, fit, plan again.

use fixtures::{Guitar, PARLOUR, guitars};
use instrument::{BlankPoint, Board, NutReading, ReferenceEnd, SlotSurvey, StringLine, StringRun, Vec3};
use instrument::{Of, Paired, StrungString, Uncertainty};
use known::What;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use saddle::{Fit, FitError, Plan, SaddleSurvey, StringSurvey, plan};
use strings::{Criterion, Point};

/// What the survey got wrong: truth less reading; mm, radians, and a factor on each string's stretch stiffness.
#[derive(Debug, Clone)]
struct Hidden {
    lean: f64,
    edge: (f64, f64),
    top: (f64, f64),
    depth: (f64, f64),
    relief: f64,
    clearance: Vec<f64>,
    stretch: Vec<f64>,
}

/// Errors of the size of bench readings: lean 1 degree by eye, rule 0.3, bridge top and depth 0.1 to 0.2, feeler 0.025 (common practice).
fn hidden() -> impl Strategy<Value = Hidden> {
    let two = |by: f64| (-by..by, -by..by);
    (
        -0.02..0.02f64,
        two(0.3),
        two(0.2),
        two(0.1),
        -0.03..0.03f64,
        prop::collection::vec(-0.03..0.03f64, 6),
        prop::collection::vec(0.75..1.3f64, 6),
    )
        .prop_map(|(lean, edge, top, depth, relief, clearance, stretch)| Hidden {
            lean,
            edge,
            top,
            depth,
            relief,
            clearance,
            stretch,
        })
}

/// The instrument as it really is.
fn truth(survey: &SaddleSurvey, hidden: &Hidden) -> SaddleSurvey {
    let mut world = survey.clone();
    let board = &survey.board;
    world.board = Board::new(
        board.scale(&StringRun::CENTRE),
        board.joint_fret(),
        board.relief() + hidden.relief,
        board.radius(),
    )
    .unwrap();
    world.lean += hidden.lean;
    let SlotSurvey::Straightedge(ends) = &mut world.slot else {
        panic!("straightedge")
    };
    for (end, (edge, top, depth)) in ends.iter_mut().zip([
        (hidden.edge.0, hidden.top.0, hidden.depth.0),
        (hidden.edge.1, hidden.top.1, hidden.depth.1),
    ]) {
        end.edge_from_fret_12 += edge;
        end.bridge_top += top;
        end.depth += depth;
    }
    for (i, s) in world.strings.iter_mut().enumerate() {
        let Some(NutReading::Open { clearance, .. }) = &mut s.present_nut else {
            panic!("open")
        };
        *clearance += hidden.clearance[i];
        s.model.stiffness = s.model.stiffness.scaled(hidden.stretch[i]);
    }
    world
}

/// Stand a made saddle in the true world and measure each string: action at 12, gap over fret 1, cents at 12.
fn measure(world: &SaddleSurvey, made: &Plan) -> Vec<(f64, f64, f64)> {
    let real = plan(world).unwrap();
    made.strings
        .iter()
        .zip(&real.strings)
        .map(|(s, r)| {
            // Where the made ridge crosses the string's run in the true slot.
            let mut point = s.contact;
            let mut place = Vec3::zeros();
            for _ in 0..20 {
                (point.b, point.v) = made.crown.ridge(point.u);
                place = real.frame.to_fret(point);
                point.u -= place.y - s.run.y(place.x);
            }
            let line = StringLine::through((r.nut.x, r.nut.z), (place.x, place.z));
            let gap = |fret| line.action(&world.board, &s.run, fret);
            let cents = r.string.cents_at_12(r.nut, Point { x: place.x, z: place.z });
            (gap(12), gap(1), cents)
        })
        .collect()
}

fn readings(measured: &[(f64, f64, f64)]) -> Vec<StrungString> {
    measured
        .iter()
        .map(|&(action, clearance, cents)| StrungString {
            action_12: Some(action),
            clearance: Some(clearance),
            cents_12: Some(cents),
            others: Vec::new(),
            ..StrungString::default()
        })
        .collect()
}

/// Readings after stringing up that are as good as exact, of a saddle that was made as planned.
fn exact() -> Uncertainty {
    Uncertainty {
        present_action: Paired::correlated(0.001, 0.0),
        clearance: Paired::correlated(0.001, 0.0),
        cents: Paired::correlated(0.01, 0.0),
        seating: 0.0,
        made_height: 0.0,
        made_ridge: 0.0,
        ..Uncertainty::default()
    }
}

/// Adjusts with what a survey of usual uncertainty says.
fn fit(survey: &SaddleSurvey, read: &[StrungString], unsure: &Uncertainty) -> Result<Fit, FitError> {
    let before = survey.evidence(&Uncertainty::default())?;
    saddle::fit(&before, survey, read, unsure)
}

/// What is likeliest wrong where something does not fit, and by how much it is more than the others allow.
fn accused(found: &Fit) -> Option<(What, f64)> {
    let suspect = found.slips.doubts.first()?.suspects.first()?;
    Some((found.after.known.rows[suspect.row].what, suspect.over))
}

/// Room across the blank, so that no contact is held at the land.
fn roomy(of: &Guitar) -> SaddleSurvey {
    let roomy = Guitar {
        edge: (-3.0 + 0.2 * of.edge.0, -3.5 + 0.2 * of.edge.1),
        thickness: 15.0,
        ..*of
    };
    roomy.survey(Criterion::Octave)
}

/// Whether every string is on target, within mm of action and cents at fret 12.
fn on_target(survey: &SaddleSurvey, measured: &[(f64, f64, f64)], (action, cents): (f64, f64)) -> bool {
    let near =
        |(m, s): (&(f64, f64, f64), &StringSurvey)| (m.0 - s.target_action).abs() <= action && m.2.abs() <= cents;
    measured.iter().zip(&survey.strings).all(near)
}

/// The second saddle lands on target: within 0.02 mm of action and 0.2 cent at fret 12, for at least 99 % of 1,000 planted
/// instruments with noise-free readings; with noisy ones, said so, within 0.1 mm and 2 cents for 90 %.
#[test]
fn the_second_saddle_lands() {
    const FINE: (f64, f64) = (0.02, 0.2);
    const BENCH: (f64, f64) = (0.1, 2.0);
    const TOTAL: usize = 1000;
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let noise = prop::collection::vec((-0.05..0.05f64, -0.025..0.025f64, -1.0..1.0f64), 6);
    let (mut first, mut first_bench, mut second, mut second_noisy) = (0, 0, 0, 0);
    for _ in 0..TOTAL {
        let of = guitars().new_tree(&mut runner).unwrap().current();
        let hidden = hidden().new_tree(&mut runner).unwrap().current();
        let noise = noise.new_tree(&mut runner).unwrap().current();
        let survey = roomy(&of);
        let world = truth(&survey, &hidden);
        let measured = measure(&world, &plan(&survey).unwrap());
        first += usize::from(on_target(&survey, &measured, FINE));
        first_bench += usize::from(on_target(&survey, &measured, BENCH));
        let again = |read: &[(f64, f64, f64)], unsure: &Uncertainty| {
            fit(&survey, &readings(read), unsure)
                .map(|f| measure(&world, &f.next))
                .unwrap_or_default()
        };
        let there = again(&measured, &exact());
        second += usize::from(on_target(&survey, &there, FINE));
        let noisy: Vec<_> = measured
            .iter()
            .zip(&noise)
            .map(|(m, n)| (m.0 + n.0, m.1 + n.1, m.2 + n.2))
            .collect();
        let as_noisy = Uncertainty {
            // Of a reading that is anywhere within its bounds alike.
            present_action: Paired::correlated(0.05 / 3f64.sqrt(), 0.0),
            clearance: Paired::correlated(0.025 / 3f64.sqrt(), 0.0),
            cents: Paired::correlated(1.0 / 3f64.sqrt(), 0.0),
            ..exact()
        };
        second_noisy += usize::from(on_target(&survey, &again(&noisy, &as_noisy), BENCH));
    }
    println!(
        "within 0.02 mm and 0.2 cent, of {TOTAL}: first saddle {first}, second {second}. \
         Within 0.1 mm and 2 cents: first {first_bench}, second with noisy readings (0.05 mm, 0.025 mm, 1 cent) {second_noisy}"
    );
    assert!(second * 100 >= 99 * TOTAL, "{second} of {TOTAL}");
    assert!(
        first_bench * 2 < TOTAL,
        "the planted errors are too small to test anything: {first_bench} of {TOTAL}"
    );
    assert!(
        second_noisy * 100 >= 90 * TOTAL,
        "noisy readings must help: {second_noisy} of {TOTAL}"
    );
}

/// The same slot surveyed by a reference saddle: a saddle of the plan's own figures, with the present action at its target.
fn by_reference(survey: &SaddleSurvey) -> SaddleSurvey {
    let mut by = survey.clone();
    for s in &mut by.strings {
        let Some(NutReading::Open { action_12, .. }) = &mut s.present_nut else {
            panic!("open")
        };
        *action_12 = s.target_action;
    }
    let made = plan(&by).unwrap();
    let ends = [made.strings.first().unwrap(), made.strings.last().unwrap()];
    by.slot = SlotSurvey::Reference(ends.map(|s| ReferenceEnd {
        contact_from_fret_12: s.position.x - by.board.fret_x(12, &StringRun::CENTRE),
        action_12: s.action_12,
        height: s.contact.v,
        back: s.contact.b,
        depth: None,
    }));
    by
}

/// As above with the slot surveyed by a reference saddle, and the nut not quite as read; 98 %, for a few planted instruments stand so far
/// from their survey that the tie of bending to stretch leaves a quarter of a cent.
#[test]
fn the_second_saddle_lands_by_reference() {
    const TOTAL: usize = 200;
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let mut second = 0;
    for _ in 0..TOTAL {
        let of = guitars().new_tree(&mut runner).unwrap().current();
        let hidden = hidden().new_tree(&mut runner).unwrap().current();
        let mut straight = roomy(&of);
        for s in &mut straight.strings {
            let Some(NutReading::Open { action_12, .. }) = &mut s.present_nut else {
                panic!("open")
            };
            *action_12 = s.target_action;
        }
        let survey = by_reference(&straight);
        let world = truth(&straight, &hidden);
        let measured = measure(&world, &plan(&survey).unwrap());
        let found = fit(&survey, &readings(&measured), &exact()).unwrap();
        let there = measure(&world, &found.next);
        second += usize::from(on_target(&survey, &there, (0.02, 0.2)));
    }
    assert!(second * 100 >= 98 * TOTAL, "{second} of {TOTAL}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A seat that is off by a planted height and roll, and nothing else, is found as far as these readings tell it from relief: 0.02 mm of
    /// that is twice as much at the saddle.
    #[test]
    fn finds_a_planted_seat(of in guitars(), bass in -0.4..0.4f64, treble in -0.4..0.4f64) {
        let survey = roomy(&of);
        let mut world = survey.clone();
        let SlotSurvey::Straightedge(ends) = &mut world.slot else { panic!("straightedge") };
        ends[0].depth -= bass;
        ends[1].depth -= treble;
        let made = plan(&survey).unwrap();
        let found = fit(&survey, &readings(&measure(&world, &made)), &exact()).unwrap();
        prop_assert!((found.seat.bass - bass).abs() < 0.08, "{:?} against {bass}", found.seat);
        prop_assert!((found.seat.treble - treble).abs() < 0.08, "{:?} against {treble}", found.seat);
    }

    /// Outer readings alone do as well where only the seat is off.
    #[test]
    fn outer_strings_are_enough_for_the_seat(of in guitars(), bass in -0.3..0.3f64, treble in -0.3..0.3f64) {
        let survey = roomy(&of);
        let mut world = survey.clone();
        let SlotSurvey::Straightedge(ends) = &mut world.slot else { panic!("straightedge") };
        ends[0].depth -= bass;
        ends[1].depth -= treble;
        let made = plan(&survey).unwrap();
        let measured = measure(&world, &made);
        let mut read = vec![StrungString::default(); 6];
        for i in [0, 5] {
            read[i].action_12 = Some(measured[i].0);
        }
        let found = fit(&survey, &read, &exact()).unwrap();
        for (s, m) in found.strings.iter().zip(&measured) {
            prop_assert!((s.action_12 - m.0).abs() < 0.02, "string {}: {} against {}", s.number, s.action_12, m.0);
        }
    }

    /// A made saddle that is as planned has nothing left to do.
    #[test]
    fn as_planned_is_good(of in guitars()) {
        let survey = roomy(&of);
        let made = plan(&survey).unwrap();
        let found = fit(&survey, &readings(&measure(&survey, &made)), &Uncertainty::default()).unwrap();
        for s in &found.strings {
            let moved = s.moved.unwrap();
            prop_assert!(s.off_12.abs() < 1e-6 && s.off_saddle.abs() < 1e-6 && moved.back.abs() < 1e-6, "{s:?}");
            prop_assert!((s.stretch - 1.0).abs() < 1e-6 && found.slips.doubts.is_empty(), "{s:?}");
        }
    }

    /// One wild action among good ones is named, and does not pull the seat.
    #[test]
    fn a_stray_reading_is_named(of in guitars(), which in 0usize..6, by in prop_oneof![-0.9..-0.6f64, 0.6..0.9f64]) {
        let survey = roomy(&of);
        let made = plan(&survey).unwrap();
        let mut read = readings(&measure(&survey, &made));
        *read[which].action_12.as_mut().unwrap() += by;
        let found = fit(&survey, &read, &Uncertainty::default()).unwrap();
        let (what, over) = accused(&found).unwrap();
        prop_assert_eq!(what, What::Strung(Of::Action { fret: 12 }, which));
        prop_assert!((over - by).abs() < 1e-3, "{over} against {by}");
        prop_assert_eq!(found.slips.doubts.len(), 1);
        prop_assert!(found.strings.iter().all(|s| s.off_12.abs() < 1e-3), "{:?}", found.strings);
    }
}

fn parlour() -> SaddleSurvey {
    let of = PARLOUR;
    of.survey(Criterion::Octave)
}

/// What is off stands at fret 12 and at the saddle, where it is about twice as much; the corrected plan takes it away.
#[test]
fn what_is_off_is_told_at_both_places() {
    for by in [-0.5, 0.6] {
        let survey = parlour();
        let mut world = survey.clone();
        let SlotSurvey::Straightedge(ends) = &mut world.slot else {
            panic!("straightedge")
        };
        ends.iter_mut().for_each(|end| end.depth += by);
        let made = plan(&survey).unwrap();
        let found = fit(&survey, &readings(&measure(&world, &made)), &exact()).unwrap();
        for (s, next) in found.strings.iter().zip(&found.next.strings) {
            assert!((s.off_saddle + by).abs() < 0.05, "{s:?}");
            assert!((s.off_12 + by / 2.0).abs() < 0.03, "{s:?}");
            assert!((s.off_12 - (s.action_12 - next.action_12)).abs() < 1e-12, "{s:?}");
            // Lowered by that where it stands, the contact is on the target's line.
            let at = BlankPoint {
                v: s.contact.v - s.off_saddle,
                ..s.contact
            };
            let placed = found.next.frame.to_fret(at);
            let line = StringLine::through((next.nut.x, next.nut.z), (placed.x, placed.z));
            let crown = next.string.crowns[11];
            // Over the ridge by the stand-off that is found beside it.
            let over = found.corrected.stand_off * next.stand_off * (crown.x - next.nut.x) / (placed.x - next.nut.x);
            assert!(
                (line.z(crown.x) + over - crown.z - next.action_12).abs() < 1e-3,
                "{s:?}"
            );
        }
    }
}

#[test]
fn readings_are_asked_for_and_doubted() {
    let survey = parlour();
    assert!(fit(&survey, &[], &exact()).is_err());
    assert!(fit(&survey, &vec![StrungString::default(); 6], &exact()).is_err());
    let made = plan(&survey).unwrap();
    let mut read = readings(&measure(&survey, &made));
    read[3].cents_12 = Some(70.0);
    let found = fit(&survey, &read, &Uncertainty::default()).unwrap();
    assert_eq!(accused(&found).unwrap().0, What::Strung(Of::Cents { fret: 12 }, 3));
    read[3].cents_12 = None;
    read[2].others = vec![(5, made.strings[2].cents[4]), (7, made.strings[2].cents[6] + 9.0)];
    let found = fit(&survey, &read, &Uncertainty::default()).unwrap();
    assert_eq!(accused(&found).unwrap().0, What::Strung(Of::Cents { fret: 7 }, 2));
}
