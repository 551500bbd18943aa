//! What must hold on every instrument.

use fixtures::{Guitar, PARLOUR, guitars};
use instrument::{ReferenceEnd, SlotSurvey, StringLine, StringRun};
use proptest::prelude::*;
use saddle::{Hold, PlanError, SaddleSurvey, plan};
use strings::{Criterion, Stiffness};

fn close(a: f64, b: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= tolerance, "{a} against {b}");
    Ok(())
}

/// The other hand: bass and treble change sides, readings with them.
fn mirrored(of: &SaddleSurvey) -> SaddleSurvey {
    let mut m = of.clone();
    m.strings.reverse();
    for s in &mut m.strings {
        s.run = StringRun {
            nut: -s.run.nut,
            slope: -s.run.slope,
        };
    }
    let SlotSurvey::Straightedge([bass, treble]) = m.slot else {
        panic!("straightedge")
    };
    m.slot = SlotSurvey::Straightedge([treble, bass]);
    m
}

/// Every length times `s`; pitches over `s`, so that stiffness stays in proportion to tension. `of` is the guitar of the survey.
pub(super) fn scaled(of: &Guitar, survey: &SaddleSurvey, s: f64) -> SaddleSurvey {
    let mut m = survey.clone();
    let large = Guitar {
        scale: s * of.scale,
        relief: s * of.relief,
        radius: (s * of.radius.0, s * of.radius.1),
        spread: (s * of.spread.0, s * of.spread.1),
        fan: (s * of.fan.0, of.fan.1),
        ..*of
    };
    m.board = large.board(false);
    for string in &mut m.strings {
        string.run.nut *= s;
        string.nut_x *= s;
        string.target_action *= s;
        string.frequency /= s;
        let Some(instrument::NutReading::Open { clearance, action_12 }) = &mut string.present_nut else {
            panic!("open")
        };
        *clearance *= s;
        *action_12 *= s;
        string.model.outer_diameter *= s;
        string.model.linear_density *= s * s;
        let Stiffness::Elastic { axial, bending } = &mut string.model.stiffness else {
            panic!("elastic")
        };
        *axial *= s.powi(2);
        *bending *= s.powi(4);
    }
    let SlotSurvey::Straightedge(ends) = &mut m.slot else {
        panic!("straightedge")
    };
    for end in ends {
        end.edge_from_fret_12 *= s;
        end.bridge_top *= s;
        end.depth *= s;
    }
    m.blank.thickness *= s;
    m.blank.height *= s;
    m.blank.length *= s;
    m.blank.land *= s;
    m.crown.rounding *= s;
    m
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The line from the nut through the contact, rebuilt from (b, u, v) alone, has the target action.
    #[test]
    fn the_contact_gives_the_target_action(of in guitars()) {
        let survey = of.survey(Criterion::Octave);
        let plan = plan(&survey).unwrap();
        for (s, wanted) in plan.strings.iter().zip(&survey.strings) {
            let contact = plan.frame.to_fret(s.contact);
            let line = StringLine::through((s.nut.x, s.nut.z), (contact.x, contact.z));
            close(line.action(&survey.board, &wanted.run, 12), wanted.target_action, 1e-9)?;
            close(contact.y, wanted.run.y(contact.x), 1e-9)?;
        }
    }

    #[test]
    fn the_octave_is_in_tune_where_the_contact_is_free(of in guitars()) {
        let plan = plan(&of.survey(Criterion::Octave)).unwrap();
        for s in plan.strings.iter().filter(|s| s.hold == Hold::Free) {
            close(s.cents[11], 0.0, 1e-6)?;
        }
    }

    #[test]
    fn held_contacts_stand_at_the_land(of in guitars()) {
        let plan = plan(&of.survey(Criterion::BestFit)).unwrap();
        for s in &plan.strings {
            match s.hold {
                Hold::Front => close(s.contact.b, plan.blank.land, 1e-9)?,
                Hold::Back => close(s.contact.b, plan.blank.thickness - plan.blank.land, 1e-9)?,
                Hold::Free => {
                    close(s.contact.b, s.wanted.b, 0.0)?;
                    prop_assert!(s.contact.b >= plan.blank.land && s.contact.b <= plan.blank.thickness - plan.blank.land);
                }
            }
        }
        prop_assert_eq!(plan.ways_out.is_some(), plan.strings.iter().any(|s| s.hold != Hold::Free));
    }

    #[test]
    fn a_mirrored_instrument_gives_the_mirrored_plan(of in guitars()) {
        let survey = of.survey(Criterion::Octave);
        let (one, other) = (plan(&survey).unwrap(), plan(&mirrored(&survey)).unwrap());
        let wide = one.frame.direction_to_blank(other_origin(&one, &other)).u;
        for (a, b) in one.strings.iter().zip(other.strings.iter().rev()) {
            close(a.contact.b, b.contact.b, 1e-8)?;
            close(a.contact.v, b.contact.v, 1e-8)?;
            close(a.contact.u, wide - b.contact.u, 1e-8)?;
            close(a.cents[6], b.cents[6], 1e-8)?;
            close(a.filing.drop, b.filing.drop, 1e-8)?;
        }
        // Between the strings too.
        for i in 0..=20 {
            let u = wide * f64::from(i) / 20.0;
            close(one.crown.silhouette(u), other.crown.silhouette(wide - u), 1e-8)?;
        }
    }

    #[test]
    fn all_lengths_scaled_scale_the_plan(of in guitars(), s in 0.5..2.0f64) {
        let survey = of.survey(Criterion::BestFit);
        let (one, other) = (plan(&survey).unwrap(), plan(&scaled(&of, &survey, s)).unwrap());
        for (a, b) in one.strings.iter().zip(&other.strings) {
            close(s * a.contact.b, b.contact.b, 1e-6)?;
            close(s * a.contact.u, b.contact.u, 1e-6)?;
            close(s * a.contact.v, b.contact.v, 1e-6)?;
            close(a.rms_cents, b.rms_cents, 1e-6)?;
        }
    }

    /// Upright, square and level: b and v are plain differences of x and z.
    #[test]
    fn no_lean_and_no_skew_is_the_flat_case(of in guitars()) {
        let of = Guitar {
            lean: 0.0,
            edge: (of.edge.0, of.edge.0),
            top: (of.top.0, of.top.0),
            depth: (of.depth.0, of.depth.0),
            radius: (300.0, 300.0),
            spread: (52.0, 52.0),
            ..of
        };
        let mut survey = of.survey(Criterion::Octave);
        // Equal places at nut and saddle make parallel strings; the outer ones are then as high at the edge.
        for s in &mut survey.strings {
            s.run.slope = 0.0;
        }
        let n = survey.strings.len() - 1;
        survey.strings[0].run.nut = -26.0;
        survey.strings[n].run.nut = 26.0;
        let plan = plan(&survey).unwrap();
        let board = &survey.board;
        let run = survey.strings[0].run;
        let front = board.fret_x(12, &StringRun::CENTRE) + 0.5 * of.scale + of.edge.0;
        let floor = board.straightedge(&run, front) + of.top.0 - of.depth.0;
        for s in &plan.strings {
            close(s.contact.b, s.position.x - front, 1e-9)?;
            close(s.contact.v, s.position.z - floor, 1e-9)?;
            close(s.contact.u, s.position.y + 26.0, 1e-9)?;
        }
    }

    /// Fed with a plan's own contacts, a reference saddle gives back the same axes and floor.
    #[test]
    fn a_reference_saddle_finds_the_same_slot(of in guitars()) {
        let mut survey = of.survey(Criterion::Octave);
        // The reference saddle stands with the present action; let that be the target.
        for s in &mut survey.strings {
            let Some(instrument::NutReading::Open { action_12, .. }) = &mut s.present_nut else { panic!("open") };
            *action_12 = s.target_action;
        }
        let first = plan(&survey).unwrap();
        let x12 = survey.board.fret_x(12, &StringRun::CENTRE);
        let (bass, treble) = (first.strings.first().unwrap(), first.strings.last().unwrap());
        survey.slot = SlotSurvey::Reference([bass, treble].map(|s| ReferenceEnd {
            contact_from_fret_12: s.position.x - x12,
            action_12: s.action_12,
            height: s.contact.v,
            back: s.contact.b,
            depth: None,
        }));
        let second = plan(&survey).unwrap();
        // The solve stops when floor points move less than 1e-9 mm.
        close((first.frame.e_b - second.frame.e_b).norm(), 0.0, 1e-9)?;
        close((first.frame.e_u - second.frame.e_u).norm(), 0.0, 1e-9)?;
        let moved = second.frame.origin - first.frame.origin;
        close(moved.dot(&first.frame.e_b), 0.0, 1e-7)?;
        close(moved.dot(&first.frame.e_v), 0.0, 1e-7)?;
        for (a, b) in first.strings.iter().zip(&second.strings) {
            close(a.contact.b, b.contact.b, 1e-7)?;
            close(a.contact.v, b.contact.v, 1e-7)?;
        }
    }

    /// The taut string really ends on the planned contact, within 1 micrometre, whatever ridge and lean.
    #[test]
    fn the_taut_string_ends_on_the_planned_contact(of in guitars()) {
        let plan = plan(&of.survey(Criterion::Octave)).unwrap();
        for s in &plan.strings {
            prop_assert!(s.termination.from_planned < 0.001, "string {}: {:?}", s.number, s.termination);
        }
    }

    /// The ridge passes through every contact.
    #[test]
    fn the_ridge_passes_through_the_contacts(of in guitars()) {
        let plan = plan(&of.survey(Criterion::Octave)).unwrap();
        for s in &plan.strings {
            let (b, v) = plan.crown.ridge(s.contact.u);
            close(b, s.contact.b, 1e-9)?;
            close(v, s.contact.v, 1e-9)?;
            close(plan.crown.section(s.contact.u).height(b), v, 1e-9)?;
        }
    }

    /// Packing under the saddle lowers it in the blank by as much, nothing else.
    #[test]
    fn a_shim_takes_its_thickness_off_the_height(of in guitars(), under in 0.0..1.5f64) {
        let mut survey = of.survey(Criterion::Octave);
        let bare = plan(&survey).unwrap();
        survey.under = under;
        let packed = plan(&survey).unwrap();
        for (a, b) in bare.strings.iter().zip(&packed.strings) {
            close(a.contact.v - b.contact.v, under, 1e-9)?;
            close(a.contact.b, b.contact.b, 1e-9)?;
            close(a.exposure.unwrap(), b.exposure.unwrap(), 1e-9)?;
        }
    }
}

/// From the origin of `one` to where the mirrored plan's origin lies in `one`'s world.
fn other_origin(one: &saddle::Plan, other: &saddle::Plan) -> instrument::Vec3 {
    let mut mirror = other.frame.origin;
    mirror.y = -mirror.y;
    mirror - one.frame.origin
}

/// A square flat top on a leaning saddle is highest at its back edge: refused, with the fall that is needed.
#[test]
fn a_flat_top_that_leans_is_refused() {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.crown.front_fall = Some(0.0);
    survey.crown.back_fall = Some(0.0);
    let errors = plan(&survey).unwrap_err();
    assert_eq!(errors.len(), 6, "{errors:?}");
    for error in &errors {
        let PlanError::BackFall { needed, .. } = error else {
            panic!("{error}")
        };
        assert!((7.0..10.0).contains(&needed.to_degrees()), "{error}");
    }
    // Just over the need is enough, and the ridge is then the end of the string.
    survey.crown.back_fall = Some(10f64.to_radians());
    for s in &plan(&survey).unwrap().strings {
        assert!(s.termination.from_planned < 0.001);
    }
}

/// On the square flat top the string would end at the back edge: the taut string shows why it is refused.
#[test]
fn readings_taken_slack_count_as_read_at_pitch() {
    let mut slack = PARLOUR.survey(Criterion::Octave);
    let at_pitch = plan(&slack).unwrap();
    slack.lean -= 0.02;
    slack.under_tension.lean = 0.02;
    let SlotSurvey::Straightedge(ends) = &mut slack.slot else {
        panic!("straightedge")
    };
    ends[0].bridge_top -= 0.3;
    ends[1].bridge_top -= 0.2;
    slack.under_tension.bridge_top = [0.3, 0.2];
    let planned = plan(&slack).unwrap();
    for (a, b) in at_pitch.strings.iter().zip(&planned.strings) {
        assert!((a.contact.v - b.contact.v).abs() < 1e-9 && (a.contact.b - b.contact.b).abs() < 1e-9);
    }
}

/// One string alone: its slot lies square across, and the same equations hold.
#[test]
fn one_string() {
    let mut one = PARLOUR.survey(Criterion::Octave);
    one.strings.truncate(1);
    one.strings[0].run = StringRun { nut: 0.0, slope: 0.0 };
    assert!(plan(&one).is_err(), "two different readings for one place");
    let SlotSurvey::Straightedge(ends) = &mut one.slot else {
        panic!("straightedge")
    };
    ends[1] = ends[0];
    let plan = plan(&one).unwrap();
    let s = &plan.strings[0];
    let line = StringLine::through((s.nut.x, s.nut.z), (s.position.x, s.position.z));
    assert!((line.action(&one.board, &s.run, 12) - one.strings[0].target_action).abs() < 1e-9);
    assert!(s.exposure.unwrap().is_finite() && s.termination.from_planned < 0.001);
    assert_eq!(plan.ends, (-37.5, 37.5));
}

#[test]
fn all_faults_are_told_at_once() {
    let mut survey = PARLOUR.survey(Criterion::Octave);
    survey.strings[1].present_nut = None;
    survey.strings[4].present_nut = None;
    let errors = plan(&survey).unwrap_err();
    assert_eq!(errors, [PlanError::NoNut { string: 5 }, PlanError::NoNut { string: 2 }]);
    survey.strings.clear();
    assert_eq!(plan(&survey).unwrap_err(), [PlanError::StringCount(0)]);
}
