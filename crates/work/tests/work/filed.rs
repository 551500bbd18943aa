//! What `filing` says of a stroke is what will be: the stroke is carried out, and the string is planned anew where it then stands.

use fixtures::{Guitar, guitars};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use saddle::filing::{Move, PresentCrown, Start, Stroke};
use saddle::{Hold, LIKE, Plan, SaddleSurvey, StringPlan, plan};
use std::collections::BTreeSet;
use strings::Criterion;
use work::{FiledString, FilingAsk, FilingTerms, FilingVerdict, STAYS, filing};

/// Figures of the solver and of the stroke agree to this, mm and cents.
const SAME: f64 = 1e-6;

#[derive(Debug)]
struct World {
    survey: SaddleSurvey,
    made: Plan,
    ask: FilingAsk,
    terms: FilingTerms,
}

fn worlds() -> impl Strategy<Value = World> {
    let crown = prop_oneof![
        Just(PresentCrown::Flat),
        (-0.3..0.6f64).prop_map(|fall| PresentCrown::Facet { fall }),
        (0.8..4.0f64).prop_map(|radius| PresentCrown::Rounded { radius }),
        Just(PresentCrown::Planned),
    ];
    let step = prop_oneof![
        1 => Just(None),
        6 => (-0.8..2.0f64).prop_map(|forward| Some(Move::Forward(forward))),
        1 => (-0.03..0.03f64).prop_map(|forward| Some(Move::Forward(forward))),
        3 => (-2.0..5.0f64).prop_map(|cents| Some(Move::Cents(cents))),
    ];
    let start = (prop::option::of(-0.3..0.6f64), prop::option::of(0.1..0.9f64));
    let terms = (any::<bool>(), 0.02..0.3f64, 1.0..4.0f64);
    (guitars(), 3.0..9.0f64, 0usize..6, crown, step, start, terms).prop_filter_map(
        "no such guitar has a saddle",
        |(guitar, thickness, i, crown, step, (over, back), (at_height, allowed, cents))| {
            let survey = Guitar { thickness, ..guitar }.survey(Criterion::Octave);
            let made = plan(&survey).ok()?;
            let string = made.strings.get(i)?;
            let ask = FilingAsk {
                number: string.number,
                crown,
                start: Start {
                    action_12: over.map(|over| string.action_12 + over),
                    back: back.map(|share| share * thickness),
                },
                floor: string.action_12 - allowed,
                step,
            };
            let terms = FilingTerms {
                allowed,
                cents,
                at_height,
                step: 0.25,
            };
            Some(World {
                survey,
                made,
                ask,
                terms,
            })
        },
    )
}

/// The string that ends where the stroke leaves it, as the solver plans it.
fn replanned(world: &World, i: usize, action_12: f64, x: f64) -> Option<StringPlan> {
    let mut survey = world.survey.clone();
    let string = survey.strings.get_mut(i)?;
    string.target_action = action_12;
    string.criterion = Criterion::Offset(x - survey.board.scale_end(&string.run));
    plan(&survey).ok()?.strings.into_iter().nth(i)
}

/// Whether a contact stands inside the land, and how far outside, mm.
fn outside(made: &Plan, b: f64) -> f64 {
    let (land, thickness) = (made.blank.land, made.blank.thickness);
    (land - b).max(b - (thickness - land))
}

/// The stroke ends where it says, with the action and the cents that it says. Counts strokes held against the solver.
fn stands(
    world: &World,
    filed: &FiledString,
    from: &Stroke,
    stroke: &Stroke,
    counted: &mut usize,
) -> Result<(), TestCaseError> {
    let frame = &world.made.frame;
    let (was, at) = (frame.to_fret(from.contact), frame.to_fret(stroke.contact));
    prop_assert!((was.x - at.x - stroke.forward).abs() < SAME, "{stroke:?}");
    prop_assert!((was.z - at.z - stroke.drop).abs() < SAME, "{stroke:?}");
    let i = world
        .made
        .strings
        .iter()
        .position(|s| s.number == filed.plan.number)
        .unwrap();
    let run = &world.made.strings[i].run;
    prop_assert!((run.y(at.x) - at.y).abs() < SAME, "beside its string: {stroke:?}");
    prop_assert!(
        (stroke.cents_12 - from.cents_12 - stroke.by_length - stroke.by_height).abs() < SAME,
        "{stroke:?}"
    );
    prop_assert!(
        (from.action_12 - stroke.action_12 - stroke.loss_12).abs() < SAME,
        "{stroke:?}"
    );
    if let Some(then) = replanned(world, i, stroke.action_12, at.x)
        && then.hold == Hold::Free
    {
        let off = [
            then.contact.b - stroke.contact.b,
            then.contact.u - stroke.contact.u,
            then.contact.v - stroke.contact.v,
            then.cents[11] - stroke.cents_12,
            then.action_1 - stroke.action_1,
        ];
        prop_assert!(off.iter().all(|off| off.abs() < SAME), "{off:?} {stroke:?}");
        prop_assert!(outside(&world.made, stroke.contact.b) < SAME, "{stroke:?}");
        *counted += 1;
    }
    Ok(())
}

/// The contact lies on the crown as it was given.
fn on_crown(world: &World, filed: &FiledString, stroke: &Stroke) -> Result<(), TestCaseError> {
    let (from, to) = (filed.before.contact, stroke.contact);
    let (back, up) = world.made.crown.slopes(from.u);
    let along = to.u - from.u;
    // Square to the ridge: what the ridge itself runs back and up on the way along is none of the stroke's.
    let (b, v) = (to.b - from.b - back * along, to.v - from.v - up * along);
    match filed.ask.crown {
        PresentCrown::Flat => prop_assert!(v.abs() < SAME, "{v}"),
        PresentCrown::Facet { fall } => prop_assert!((v - b * fall.tan()).abs() < SAME, "{v} {b}"),
        PresentCrown::Rounded { radius } => {
            let normal = (-filed.plan.direction.v).atan2(filed.plan.direction.b);
            let far = (b + radius * normal.sin()).hypot(v + radius * normal.cos());
            prop_assert!((far - radius).abs() < SAME, "{far} {radius}");
        }
        PresentCrown::Planned => {
            let height = |b: f64, u: f64| world.made.crown.section(u).height(b);
            let fell = height(to.b, to.u) - height(from.b, from.u);
            prop_assert!((to.v - from.v - fell).abs() < SAME, "{fell}");
        }
    }
    Ok(())
}

/// The verdict is what the figures give.
fn judged(world: &World, filed: &FiledString) -> Result<(), TestCaseError> {
    let Ok(stroke) = filed.stroke else {
        prop_assert!(matches!(
            filed.verdict,
            FilingVerdict::OffBlank | FilingVerdict::OutOfReach
        ));
        return Ok(());
    };
    let (target, aim, allowed) = (filed.plan.action_12, filed.plan.aim_cents_12, world.terms.allowed);
    let out = outside(&world.made, stroke.contact.b);
    let further = out > outside(&world.made, filed.before.contact.b).max(0.0) + SAME;
    let changes = (stroke.cents_12 - filed.before.cents_12).abs();
    let for_pitch = !matches!(world.ask.step, Some(Move::Forward(_)));
    let crumb = stroke.forward.abs() < STAYS || for_pitch && changes < LIKE - SAME;
    let safe = stroke.drop >= -SAME && !further;
    match filed.verdict {
        FilingVerdict::Still => prop_assert!(stroke.forward.abs() < SAME),
        FilingVerdict::NotWorth => prop_assert!(crumb && safe, "{filed:?}"),
        FilingVerdict::Go => {
            prop_assert!(safe && !crumb && target - stroke.action_12 <= allowed, "{filed:?}");
            let off = (stroke.cents_12 - aim).abs();
            let worse = off - (filed.before.cents_12 - aim).abs();
            let said = filed.untuned.map(|untuned| (untuned.off.abs(), untuned.worse));
            prop_assert!(
                said.map_or(off <= world.terms.cents + 0.051 || worse < 0.051, |(o, w)| (o - off)
                    .abs()
                    < SAME
                    && (w - worse).abs() < SAME),
                "{filed:?}"
            );
        }
        FilingVerdict::LeaveProud(height) => {
            prop_assert!(safe && !crumb && !world.terms.at_height, "{filed:?}");
            let proud = filed.proud.unwrap();
            prop_assert!(height == proud.height && target - stroke.action_12 > allowed);
            prop_assert!((proud.stroke.action_12 - target).abs() < SAME, "{filed:?}");
        }
        FilingVerdict::EndsLow(low) => {
            prop_assert!(safe && !crumb && (target - stroke.action_12 - low).abs() < SAME && low > allowed);
        }
        FilingVerdict::OutsideLand(by) => prop_assert!(further && (by - out).abs() < SAME, "{filed:?}"),
        FilingVerdict::Rises(by) => prop_assert!(stroke.drop < 0.0 && (by + stroke.drop).abs() < SAME),
        FilingVerdict::OffBlank | FilingVerdict::OutOfReach => prop_assert!(false, "{filed:?}"),
    }
    Ok(())
}

fn name(verdict: FilingVerdict) -> String {
    let text = format!("{verdict:?}");
    text.split('(').next().unwrap_or_default().to_owned()
}

#[test]
fn what_a_stroke_is_said_to_do_is_what_it_does() {
    let mut runner = TestRunner::deterministic();
    let (mut seen, mut counted) = (BTreeSet::new(), 0);
    for _ in 0..600 {
        let world = worlds().new_tree(&mut runner).unwrap().current();
        let Ok(done) = filing(&world.made, &[world.ask], world.terms) else {
            continue;
        };
        let filed = &done.strings[0];
        judged(&world, filed).unwrap();
        seen.insert(name(filed.verdict));
        let Ok(stroke) = &filed.stroke else { continue };
        stands(&world, filed, &filed.before, stroke, &mut counted).unwrap();
        on_crown(&world, filed, stroke).unwrap();
        if let Some(Move::Cents(cents)) = world.ask.step {
            assert!((stroke.cents_12 - filed.before.cents_12 - cents).abs() < SAME);
        }
    }
    assert!(counted > 200, "{counted}");
    for wanted in [
        "Still",
        "NotWorth",
        "Go",
        "LeaveProud",
        "EndsLow",
        "OutsideLand",
        "Rises",
        "OffBlank",
        "OutOfReach",
    ] {
        assert!(seen.contains(wanted), "{wanted} of {seen:?}");
    }
}
