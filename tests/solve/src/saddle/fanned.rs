//! Strings of their own scale, frets as measured, and worn crowns.

use super::properties::scaled;
use fixtures::{Guitar, guitars};
use instrument::{Board, BoardRadius, FretPlaces, Frets, NutReading, ReferenceEnd, SlotSurvey, StringLine, StringRun};
use proptest::prelude::*;
use saddle::{Hold, SaddleSurvey, plan};
use strings::{Criterion, Point};

fn close(a: f64, b: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= tolerance, "{a} against {b}");
    Ok(())
}

/// Guitars whose treble scale is shorter or longer.
fn fanned() -> impl Strategy<Value = Guitar> {
    (guitars(), -10.0..45.0f64, 0u32..13).prop_map(|(of, less, square)| Guitar {
        fan: (less, square),
        ..of
    })
}

/// Every string keeps its share of the way across.
fn in_proportion(of: &Guitar, survey: &mut SaddleSurvey) {
    let last = survey.strings.len() - 1;
    for (i, s) in survey.strings.iter_mut().enumerate() {
        let share = i as f64 / last as f64 - 0.5;
        let start = survey.board.fret_x(0, &s.run) - s.nut_x;
        s.run = survey.board.frets().run(share * of.spread.0, share * of.spread.1);
        s.nut_x = survey.board.fret_x(0, &s.run) - start;
    }
}

/// A string of a fanned board alone, on a board of its own scale with its own stretch of the radius.
fn lone(of: &SaddleSurvey, i: usize) -> SaddleSurvey {
    let mut alone = of.clone();
    let s = &mut alone.strings[i];
    let board = &of.board;
    let [start, twelve] = [0, 12].map(|n| board.fret_x(n, &s.run));
    let BoardRadius::Conical { nut, fret_12 } = board.radius() else {
        panic!("conical")
    };
    let radius = |x: f64| nut + (fret_12 - nut) * x / board.frets().line(12).x;
    let radius = BoardRadius::Conical {
        nut: radius(start),
        fret_12: radius(twelve),
    };
    alone.board = Board::new(board.scale(&s.run), board.joint_fret(), board.relief(), radius).unwrap();
    s.run.nut = s.run.y(start);
    s.nut_x -= start;
    let s = s.clone();
    alone.strings = vec![s.clone(), s];
    alone.strings[1].run.nut += 20.0;
    alone
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn each_string_is_an_instrument_of_its_own_scale(
        of in fanned(), criterion in prop_oneof![Just(Criterion::Octave), Just(Criterion::BestFit), Just(Criterion::BestFitWithNut)], i in 0usize..6,
    ) {
        let mut survey = of.survey(criterion);
        in_proportion(&of, &mut survey);
        let together = plan(&survey).unwrap();
        let alone = plan(&lone(&survey, i)).unwrap();
        let (a, b) = (&together.strings[i], &alone.strings[0]);
        close(a.setback_wanted, b.setback_wanted, 1e-7)?;
        close(a.nut_setback, b.nut_setback, 1e-7)?;
        close(a.nut.z, b.nut.z, 1e-9)?;
        close(a.line.slope, b.line.slope, 1e-10)?;
        close(a.action_12, b.action_12, 1e-9)?;
        close(a.action_1, b.action_1, 1e-9)?;
        close(a.aim_cents_12, b.aim_cents_12, 1e-6)?;
    }

    #[test]
    fn contacts_give_the_action_in_tune_on_their_own_runs(of in fanned()) {
        let survey = of.survey(Criterion::Octave);
        let plan = plan(&survey).unwrap();
        for (s, wanted) in plan.strings.iter().zip(&survey.strings) {
            let contact = plan.frame.to_fret(s.contact);
            let line = StringLine::through((s.nut.x, s.nut.z), (contact.x, contact.z));
            close(line.action(&survey.board, &wanted.run, 12), wanted.target_action, 1e-9)?;
            close(contact.y, wanted.run.y(contact.x), 1e-9)?;
            prop_assert!(s.termination.from_planned < 0.001, "string {}: {:?}", s.number, s.termination);
            if s.hold == Hold::Free {
                close(s.cents[11], 0.0, 1e-6)?;
            }
        }
    }

    #[test]
    fn the_other_hand(of in fanned()) {
        let survey = of.survey(Criterion::Octave);
        let mut other = survey.clone();
        other.board = of.board(true);
        other.strings.reverse();
        for s in &mut other.strings {
            s.run = StringRun { nut: -s.run.nut, slope: -s.run.slope };
        }
        let SlotSurvey::Straightedge([bass, treble]) = other.slot else { panic!("straightedge") };
        other.slot = SlotSurvey::Straightedge([treble, bass]);
        let (one, other) = (plan(&survey).unwrap(), plan(&other).unwrap());
        let mut mirror = other.frame.origin;
        mirror.y = -mirror.y;
        let wide = one.frame.direction_to_blank(mirror - one.frame.origin).u;
        for (a, b) in one.strings.iter().zip(other.strings.iter().rev()) {
            close(a.contact.b, b.contact.b, 1e-8)?;
            close(a.contact.v, b.contact.v, 1e-8)?;
            close(a.contact.u, wide - b.contact.u, 1e-8)?;
            close(a.cents[6], b.cents[6], 1e-8)?;
            close(a.setback, b.setback, 1e-8)?;
        }
    }

    #[test]
    fn a_reference_saddle_finds_the_same_slot(of in fanned()) {
        let mut survey = of.survey(Criterion::Octave);
        for s in &mut survey.strings {
            let Some(NutReading::Open { action_12, .. }) = &mut s.present_nut else { panic!("open") };
            *action_12 = s.target_action;
        }
        let first = plan(&survey).unwrap();
        let (bass, treble) = (first.strings.first().unwrap(), first.strings.last().unwrap());
        survey.slot = SlotSurvey::Reference([bass, treble].map(|s| ReferenceEnd {
            contact_from_fret_12: s.position.x - survey.board.fret_x(12, &s.run),
            action_12: s.action_12,
            height: s.contact.v,
            back: s.contact.b,
            depth: None,
        }));
        let second = plan(&survey).unwrap();
        for (a, b) in first.strings.iter().zip(&second.strings) {
            close(a.contact.b, b.contact.b, 1e-7)?;
            close(a.contact.v, b.contact.v, 1e-7)?;
        }
    }

    #[test]
    fn all_lengths_scaled_scale_the_plan(of in fanned(), s in 0.5..2.0f64) {
        let survey = of.survey(Criterion::BestFit);
        let (one, other) = (plan(&survey).unwrap(), plan(&scaled(&of, &survey, s)).unwrap());
        for (a, b) in one.strings.iter().zip(&other.strings) {
            close(s * a.contact.b, b.contact.b, 1e-6)?;
            close(s * a.contact.u, b.contact.u, 1e-6)?;
            close(s * a.contact.v, b.contact.v, 1e-6)?;
            close(s * a.setback, b.setback, 1e-6)?;
            close(a.rms_cents, b.rms_cents, 1e-6)?;
        }
    }

    /// Equal temperament by list is equal temperament by rule.
    #[test]
    fn a_list_of_tempered_frets_changes_nothing(of in guitars(), count in 12usize..25) {
        let survey = of.survey(Criterion::BestFit);
        let list: Vec<f64> = (1..=count).map(|n| of.scale * (1.0 - (-(n as f64) / 12.0).exp2())).collect();
        let mut listed = survey.clone();
        let frets = Frets::square(&FretPlaces::measured(of.scale, &list));
        listed.board = Board::with_frets(frets, of.joint, of.relief, survey.board.radius()).unwrap();
        let (one, other) = (plan(&survey).unwrap(), plan(&listed).unwrap());
        for (a, b) in one.strings.iter().zip(&other.strings) {
            close(a.position.x, b.position.x, 1e-9)?;
            close(a.position.z, b.position.z, 1e-9)?;
            close(a.cents[3], b.cents[3], 1e-9)?;
        }
    }

    /// A fret that stands too near the bridge by a little is sharp by its share of what is left of the string, and no other fret heeds it.
    #[test]
    fn a_misplaced_fret_is_off_by_its_own_place(of in guitars(), wrong in 1u32..12, by in -0.8..0.8f64) {
        let survey = of.survey(Criterion::Octave);
        let list: Vec<f64> = (1..=20)
            .map(|n| of.scale * (1.0 - (-f64::from(n) / 12.0).exp2()) + if n == wrong { by } else { 0.0 })
            .collect();
        let mut off = survey.clone();
        let frets = Frets::square(&FretPlaces::measured(of.scale, &list));
        off.board = Board::with_frets(frets, of.joint, 0.0, BoardRadius::Flat).unwrap();
        let mut right = survey;
        right.board = Board::new(of.scale, of.joint, 0.0, BoardRadius::Flat).unwrap();
        let (one, other) = (plan(&right).unwrap(), plan(&off).unwrap());
        for (a, b) in one.strings.iter().zip(&other.strings) {
            // Gaps over fret 1 are read over it, so the nut is another where that is the wrong one.
            prop_assume!(wrong > 1);
            let left = a.position.x - of.scale * (1.0 - (-f64::from(wrong) / 12.0).exp2());
            for n in 1..12u32 {
                let sharper = b.cents[n as usize - 1] - a.cents[n as usize - 1];
                let wanted = if n == wrong { -1200.0 * (1.0 - by / left).log2() } else { 0.0 };
                // The stretch at the fret changes with its place too, by hundredths.
                close(sharper, wanted, if n == wrong { 0.03 * wanted.abs() + 0.02 } else { 1e-6 })?;
            }
        }
    }

    /// A worn crown is a lower crown: under the string it reads as a gap so much wider, and a string pressed there is as on a board that
    /// is lower there.
    #[test]
    fn a_worn_fret_is_a_lower_crown(of in guitars(), worn in 2u32..12, by in 0.01..0.2f64) {
        // A straightedge would lie lower on a worn joint fret, and with it the bridge top.
        prop_assume!(worn != of.joint);
        let mut survey = of.survey(Criterion::Octave);
        let one = plan(&survey).unwrap();
        let mut lower = [0.0; 36];
        lower[worn as usize - 1] = by;
        survey.board = survey.board.worn(lower);
        let other = plan(&survey).unwrap();
        for (a, b) in one.strings.iter().zip(&other.strings) {
            close(a.position.z, b.position.z, 1e-9)?;
            let action = |s: &saddle::StringPlan, board: &Board| s.line.action(board, &s.run, worn);
            close(action(b, &survey.board) - action(a, &of.board(false)), by, 1e-9)?;
            let mut string = a.string;
            string.crowns[worn as usize - 1].z -= by;
            let cents = string.cents(a.nut, Point { x: a.position.x, z: a.position.z });
            for (n, (c, wanted)) in b.cents.iter().zip(cents).enumerate() {
                close(*c, wanted, 1e-9)?;
                prop_assert!(n + 1 == worn as usize || (c - a.cents[n]).abs() < 1e-9);
            }
        }
    }
}
