//! Several saddles in slots that are one slot cut in pieces are one saddle, string by string.

use std::ops::Range;

use fixtures::{PARLOUR, guitars, nut_survey, with_nut};
use instrument::{SlotEnd, SlotSurvey};
use nut::{Front, Together, joined, together};
use proptest::prelude::*;
use saddle::{Plan, SaddleSurvey, StringPlan, plan};
use strings::Criterion;

/// A millionth of a thousandth of a millimetre, a millionth of a cent.
const SAME: f64 = 1e-9;

/// The survey of a piece of a saddle, with its slot as it would be read under the outer strings of the piece.
fn piece(survey: &SaddleSurvey, whole: &Plan, strings: Range<usize>) -> SaddleSurvey {
    let SlotSurvey::Straightedge(read) = survey.slot else {
        panic!("by straightedge")
    };
    let [bass, treble] = whole.mouth.unwrap();
    let along = treble - bass;
    let own = survey.strings[strings].to_vec();
    let end = |at: usize| {
        let run = own[at].run;
        // Where the string's plan crosses the line of the mouth.
        let t = (run.y(bass.x) - bass.y) / (along.y - run.slope * along.x);
        let place = bass + along * t;
        SlotEnd {
            edge_from_fret_12: place.x - survey.board.fret_x(12, &run),
            bridge_top: place.z - survey.board.straightedge(&run, place.x),
            depth: read[0].depth + t * (read[1].depth - read[0].depth),
        }
    };
    let slot = SlotSurvey::Straightedge([end(0), end(own.len() - 1)]);
    SaddleSurvey {
        slot,
        strings: own,
        ..survey.clone()
    }
}

/// All but what hangs on where the piece's bass string lies.
fn figures(s: &StringPlan) -> Vec<f64> {
    let mut all = vec![
        s.contact.b,
        s.contact.v,
        s.wanted.b,
        s.wanted.v,
        s.position.x,
        s.position.y,
        s.position.z,
    ];
    all.extend([
        s.nut.x,
        s.nut.z,
        s.setback,
        s.setback_wanted,
        s.nut_setback,
        s.action_12,
        s.action_1,
    ]);
    all.extend([s.rms_cents, s.aim_cents_12, s.tension, s.exposure.unwrap()]);
    all.extend(s.cents);
    all
}

fn alike(pieces: &[&Plan], whole: &Plan) -> Result<(), TestCaseError> {
    let strings: Vec<&StringPlan> = pieces.iter().flat_map(|piece| &piece.strings).collect();
    prop_assert_eq!(strings.len(), whole.strings.len());
    for (own, all) in strings.iter().zip(&whole.strings) {
        prop_assert_eq!((own.number, own.hold), (all.number, all.hold));
        for (a, b) in figures(own).iter().zip(figures(all)) {
            prop_assert!((a - b).abs() < SAME, "string {}: {a} {b}", own.number);
        }
    }
    // Along the slot the pieces lie as their strings do.
    for piece in pieces {
        let first = piece.strings[0].number;
        let bass = whole.strings.iter().find(|s| s.number == first).unwrap();
        for own in &piece.strings {
            let all = whole.strings.iter().find(|s| s.number == own.number).unwrap();
            let (a, b) = (
                own.contact.u - piece.strings[0].contact.u,
                all.contact.u - bass.contact.u,
            );
            prop_assert!((a - b).abs() < SAME, "string {}: {a} {b}", own.number);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn pieces_of_a_slot_are_the_slot(guitar in guitars(), at in any::<prop::sample::Index>(), octave in any::<bool>()) {
        // A piece with one string cannot tell which way its slot lies.
        prop_assume!(guitar.strings >= 4);
        let criterion = if octave { Criterion::Octave } else { Criterion::BestFit };
        let survey = guitar.survey(criterion);
        let Ok(whole) = plan(&survey) else { return Ok(()) };
        let count = survey.strings.len();
        let cut = 2 + at.index(count - 3);
        let pieces = [0..cut, cut..count].map(|own| plan(&piece(&survey, &whole, own)).unwrap());
        alike(&pieces.each_ref(), &whole)?;
    }
}

/// Three pieces, and a nut that moves them all by one shift.
#[test]
fn a_nut_over_pieces_is_the_nut_over_the_whole() {
    for front in [Front::Plain, Front::Shelf, Front::Straight] {
        let mut nut = nut_survey();
        nut.front = front;
        let survey = with_nut(&nut);
        let Together { saddle, nut: one, .. } = together(&survey, &nut).unwrap();
        let whole = plan(&survey).unwrap();
        let pieces = [0..2, 2..4, 4..6].map(|own| piece(&survey, &whole, own));
        let done = joined(&pieces, &nut).unwrap();
        let plans: Vec<&Plan> = done.saddles.iter().map(|(_, plan)| plan).collect();
        alike(&plans, &saddle).unwrap();
        let shift = done.nut.compensation.shift;
        assert!((shift - one.compensation.shift).abs() < SAME);
        assert!(done.saddles.iter().all(|(survey, _)| survey.strings.iter().all(|s| {
            let moved = if front == Front::Straight { -shift } else { 0.0 };
            s.nut_x == moved
        })));
        for (own, all) in done.nut.strings.iter().zip(&one.strings) {
            for (a, b) in [
                (own.floor, all.floor),
                (own.u, all.u),
                (own.b, all.b),
                (own.clearance, all.clearance),
            ] {
                assert!((a - b).abs() < SAME, "{front:?} string {}: {a} {b}", own.number);
            }
        }
        let last = done.nut.of_strings(4..6);
        assert_eq!(last.strings, done.nut.strings[4..]);
        assert_eq!((last.lines.len(), last.lines[0].number), (2, 2));
    }
    assert!(joined(&[], &nut_survey()).is_err());
    // Where the pieces' lines are not one line, they are not the whole.
    let survey = PARLOUR.survey(Criterion::Octave);
    let whole = plan(&survey).unwrap();
    let mut own = piece(&survey, &whole, 3..6);
    let SlotSurvey::Straightedge(ends) = &mut own.slot else {
        panic!()
    };
    ends[0].edge_from_fret_12 += 0.5;
    assert!(
        alike(
            &[&plan(&piece(&survey, &whole, 0..3)).unwrap(), &plan(&own).unwrap()],
            &whole
        )
        .is_err()
    );
}
