//! Nut and saddle together: closures, figures found another way, mirrored instruments, planted faults.

use fixtures::{nut_survey, with_nut};
use instrument::{CentsReading, Courses, NutReading, PairSpacing, SlotSurvey, StringRun, Uncertainty};
use nut::filing::PresentString;
use nut::{Flag, Front, NutError, NutSurvey, Outer, Post, TopShape, together};
use proptest::prelude::*;
use saddle::{ActionWish, AlsoString, SaddleSurvey, StringPlan, StringSurvey, Wishes};
use strings::{Criterion, FrettedString, NutPath, Point, SaddleHeight, rms, shared_setback};

#[test]
fn heights_close_on_the_wanted_clearance() {
    let mut nut = nut_survey();
    nut.front = Front::Plain;
    let mut survey = with_nut(&nut);
    for s in &mut survey.strings {
        s.criterion = Criterion::Octave;
    }
    let done = together(&survey, &nut).unwrap();
    assert_eq!(done.survey, survey);
    for (s, (line, wanted)) in done
        .nut
        .strings
        .iter()
        .zip(done.saddle.strings.iter().zip(&survey.strings))
    {
        assert!((s.clearance - wanted.new_gap.unwrap().mm()).abs() < 1e-12);
        // Stack, board and seat: floor = seat to board under the string + stack.
        assert!((s.board + s.stack - s.floor).abs() < 1e-12);
        assert!((s.top_at(0.1, 2.0) - s.floor_at(0.1, 2.0) - s.depth).abs() < 1e-12);
        assert!((s.stack - nut.fret_height - s.over_frets).abs() < 1e-12);
        // The string line is back at the planned action.
        assert!((line.action_12 - wanted.target_action).abs() < 1e-12);
        assert!((s.depth - 0.5 * s.gauge).abs() < 1e-12 && (s.shows - 0.5 * s.gauge).abs() < 1e-12);
        let allowance = if s.wound {
            nut.allowance.wound
        } else {
            nut.allowance.plain
        };
        assert!((s.width - s.gauge - allowance).abs() < 1e-12);
        assert_eq!((s.b, s.setback), (0.0, 0.0));
        assert!((s.u - done.nut.centre - s.y).abs() < 1e-12);
    }
    assert!((done.nut.fall - 7f64.to_radians()).abs() < 1e-12);
    assert_eq!(done.nut.flags, []);
    let (first, last) = (done.nut.strings[0], done.nut.strings[5]);
    // u counts from the end of a blank that overhangs the board alike at both ends.
    assert!((first.u - 0.5 * first.gauge - (48.0 - 44.5) / 2.0 - 3.0).abs() < 1e-9);
    assert!((done.nut.ends[1] - last.u - 0.5 * last.gauge - 2.8).abs() < 1e-9);
}

#[test]
fn a_shelf_stands_over_the_board_and_a_shift_moves_the_whole_face() {
    let mut nut = nut_survey();
    nut.front = Front::Shelf;
    let survey = with_nut(&nut);
    let shelf = together(&survey, &nut).unwrap();
    let most = shelf
        .nut
        .strings
        .iter()
        .map(|s| -s.setback)
        .fold(f64::NEG_INFINITY, f64::max);
    assert!(most > 0.1, "{most}");
    assert!((shelf.nut.front_x - most).abs() < 1e-12);
    for s in &shelf.nut.strings {
        assert!((s.b - (shelf.nut.front_x + s.setback)).abs() < 1e-12 && s.b >= 0.0);
    }
    nut.front = Front::Straight;
    let straight = together(&survey, &nut).unwrap();
    for (s, c) in straight.nut.strings.iter().zip(&straight.nut.compensation.strings) {
        assert!((s.setback - straight.nut.compensation.shift).abs() < 1e-12);
        assert_eq!(s.b, 0.0);
        // The saddle follows.
        let saddle = straight.saddle.strings.iter().find(|p| p.number == s.number).unwrap();
        assert!(
            (saddle.setback_wanted - c.straight.saddle).abs() < 0.02,
            "{} {}",
            saddle.setback_wanted,
            c.straight.saddle
        );
    }
    let all = &shelf.nut.compensation;
    let (none, shift, own) = (all.rms(|s| s.none), all.rms(|s| s.straight), all.rms(|s| s.shelf));
    assert!(own <= shift && shift <= none, "{own} {shift} {none}");
    // No other straight shift is better.
    assert!(all.strings.iter().any(|s| s.shelf.nut < all.shift) && all.strings.iter().any(|s| s.shelf.nut > all.shift));
}

/// A setback of the nut is worth its share of the length: the open string rises by 1200 log2(L/(L - s)).
#[test]
fn the_open_string_rises_by_the_length_rule() {
    let nut = nut_survey();
    let done = together(&with_nut(&nut), &nut).unwrap();
    for s in &done.nut.compensation.strings {
        let length = 610.0 + s.none.saddle;
        let want = -s.shelf.nut / length * 1200.0 / std::f64::consts::LN_2;
        assert!((s.open_rise - want).abs() < 0.01, "{} {want}", s.open_rise);
        assert!(s.finger.iter().all(|c| *c > 0.0));
    }
}

#[test]
fn a_thou_of_floor_shows_at_fret_1_and_by_half_at_12() {
    let nut = nut_survey();
    let done = together(&with_nut(&nut), &nut).unwrap();
    for (s, line) in done.saddle.strings.iter().zip(&done.nut.lines) {
        let standing = PresentString::planned(line);
        let (as_is, filed) = (standing.lowered(0.0), standing.lowered(0.0254));
        assert!((as_is.clearance - s.action_1).abs() < 1e-12 && (as_is.action_12 - s.action_12).abs() < 1e-12);
        let (one, twelve) = (as_is.clearance - filed.clearance, as_is.action_12 - filed.action_12);
        // X_1 is 0.0561 L: by similar triangles 0.944 of it and about half of it.
        assert!((one / 0.0254 - 0.944).abs() < 0.002 && (twelve / 0.0254 - 0.5).abs() < 0.005);
        assert!(filed.cents_1 < as_is.cents_1);
    }
}

#[test]
fn a_slot_is_brought_to_its_gap_as_read() {
    let nut = nut_survey();
    let done = together(&with_nut(&nut), &nut).unwrap();
    let s = &done.saddle.strings[2];
    let brought = |clearance: f64, action: f64| {
        let read = PresentString::read(&done.nut.lines[2], s.action_1 + clearance, s.action_12 + action);
        read.lowered(read.lowering_to(s.action_1))
    };
    let then = brought(0.1, 0.05);
    assert!((then.clearance - s.action_1).abs() < 1e-12 && then.by > 0.1 && then.by < 0.11);
    assert!((then.action_12 - (s.action_12 + 0.05 - 0.5 * then.by)).abs() < 0.001);
    let then = brought(-0.1, 0.0);
    assert!(then.by < -0.1 && then.action_12 > s.action_12);
}

#[test]
fn posts_fan_the_slots() {
    let mut nut = nut_survey();
    // Three posts a side, 60 to 140 mm back.
    let post = |back, across| Post {
        back,
        across,
        below: Some(12.0),
    };
    nut.headstock.posts = Some(vec![
        post(60.0, -22.0),
        post(100.0, -24.0),
        post(140.0, -26.0),
        post(140.0, 26.0),
        post(100.0, 24.0),
        post(60.0, 22.0),
    ]);
    let done = together(&with_nut(&nut), &nut).unwrap();
    let s = done.nut.strings[3];
    assert!((s.fan.tan() - (26.0 - s.y) / (140.0 + done.saddle.strings[3].nut.x)).abs() < 1e-12);
    assert!((s.back_y - s.y - s.fan.tan() * (5.0 - s.b)).abs() < 1e-12);
    // Half of the least bend: 12 mm and the floor's height over 140 mm.
    assert!(
        (done.nut.fall.to_degrees() - 2.5).abs() < 0.1,
        "{}",
        done.nut.fall.to_degrees()
    );
    nut.headstock.posts.as_mut().unwrap()[2].across = -60.0;
    let bent = together(&with_nut(&nut), &nut).unwrap();
    assert!(
        bent.nut.flags.iter().any(|f| matches!(f, Flag::Bend { string: 4, .. })),
        "{:?}",
        bent.nut.flags
    );
}

#[test]
fn planted_faults_are_flagged() {
    let flags = |change: &dyn Fn(&mut NutSurvey)| {
        let mut nut = nut_survey();
        change(&mut nut);
        together(&with_nut(&nut), &nut).unwrap().nut.flags
    };
    assert!(matches!(
        flags(&|n| n.shows = -1.0)[..],
        [Flag::Deep { string: 6, .. }, ..]
    ));
    assert!(matches!(flags(&|n| n.shows = 1.0)[..], [Flag::NoSlot { .. }, ..]));
    assert!(matches!(
        flags(&|n| n.fall = Some(0.0))[..],
        [Flag::Bearing { string: 6, .. }, ..]
    ));
    assert!(matches!(
        flags(&|n| n.fall = Some(0.5))[..],
        [Flag::EdgeOnly { string: 6, .. }, ..]
    ));
    assert!(matches!(
        flags(&|n| n.headstock.angle = 0.0)[..],
        [Flag::Bearing { string: 6, .. }, ..]
    ));
    assert!(matches!(
        flags(&|n| n.outer = Outer::ToSide([0.8, 3.0]))[..],
        [Flag::Edge { string: 6, .. }]
    ));
    assert!(matches!(
        flags(&|n| n.outer = Outer::ToSide([3.0, 0.8]))[..],
        [Flag::Edge { string: 1, .. }]
    ));
    assert!(matches!(flags(&|n| n.blank.height = 4.0)[..], [Flag::Low(_)]));
    assert!(matches!(flags(&|n| n.blank.length = 44.0)[..], [Flag::Short(by)] if (by - 0.5).abs() < 1e-9));
    assert!(matches!(
        flags(&|n| n.outer = Outer::Spread(6.0))[..],
        [Flag::ThinWall { .. }, ..]
    ));
    let pairs = flags(&|n| {
        n.courses = Courses {
            sizes: vec![2; 3],
            pair: PairSpacing::Gap(0.3),
        };
        n.outer = Outer::Spread(30.0);
    });
    assert_eq!(
        pairs.iter().filter(|f| matches!(f, Flag::ThinWall { .. })).count(),
        3,
        "{pairs:?}"
    );
    let low = flags(&|n| n.fret_height = 0.05);
    assert_eq!(low, [], "a floor over fret 0 is over the board");
}

#[test]
fn what_cannot_be_is_refused() {
    let error = |change: &dyn Fn(&mut NutSurvey, &mut SaddleSurvey)| {
        let mut nut = nut_survey();
        let mut survey = with_nut(&nut);
        change(&mut nut, &mut survey);
        together(&survey, &nut).unwrap_err()
    };
    assert!(matches!(
        error(&|n, _| n.wound = vec![true]),
        NutError::Count {
            given: 1,
            strings: 6,
            ..
        }
    ));
    assert!(matches!(
        error(&|n, _| n.headstock.posts = Some(vec![])),
        NutError::Count { given: 0, .. }
    ));
    assert!(matches!(
        error(&|n, _| n.fret_height = f64::NAN),
        NutError::Measure { .. }
    ));
    assert!(matches!(
        error(&|n, _| n.outer = Outer::Spread(3.0)),
        NutError::Spacing(_)
    ));
    assert_eq!(error(&|n, _| n.top = TopShape::Arc(10.0)), NutError::Top);
    assert_eq!(error(&|n, _| n.seat_depth = 0.5), NutError::SeatOverBoard { string: 6 });
    assert_eq!(error(&|n, _| n.fall = Some(0.8)), NutError::NoBody { string: 6 });
    let octave = error(&|n, s| {
        n.front = Front::Shelf;
        s.strings[0].criterion = Criterion::Octave;
    });
    assert_eq!(octave, NutError::NoSetback);
    assert!(matches!(
        error(&|_, s| s.strings[1].new_gap = None),
        NutError::Saddle(_)
    ));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    /// Treble and bass exchanged, with everything that lies at a side: the same heights, mirrored places.
    #[test]
    fn mirrored(bass in 2.0..3.5f64, treble in 2.0..3.5f64, straight: bool) {
        let mut nut = nut_survey();
        nut.outer = Outer::ToSide([bass, treble]);
        nut.front = if straight { Front::Straight } else { Front::Shelf };
        let given = with_nut(&nut);
        let done = together(&given, &nut).unwrap();
        let mut back = given;
        back.strings.reverse();
        for s in &mut back.strings {
            s.run = StringRun { nut: -s.run.nut, slope: -s.run.slope };
        }
        if let SlotSurvey::Straightedge(ends) = &mut back.slot {
            ends.reverse();
        }
        let mut other = nut;
        other.outer = Outer::ToSide([treble, bass]);
        other.wound.reverse();
        let mirrored = together(&back, &other).unwrap();
        prop_assert!((done.nut.compensation.shift - mirrored.nut.compensation.shift).abs() < 1e-6);
        for (a, b) in done.nut.strings.iter().zip(mirrored.nut.strings.iter().rev()) {
            for (x, y) in [(a.floor, b.floor), (a.stack, b.stack), (a.y, -b.y), (a.u, 48.0 - b.u), (a.b, b.b), (a.fan, -b.fan), (a.top, b.top)] {
                prop_assert!((x - y).abs() < 1e-6, "{a:?} {b:?}");
            }
        }
    }
}

/// A cents reading counts the same however the setback is made: the strings are told as calibrated, and their stretch as found.
#[test]
fn a_straight_shift_keeps_the_calibration() {
    let nut = nut_survey();
    let made = together(&with_nut(&nut), &nut).unwrap();
    let read = &made.saddle.strings[2];
    let calibrated = |front: Front| {
        let mut nut = nut_survey();
        nut.front = front;
        let mut survey = with_nut(&nut);
        survey.strings[2].present_nut = Some(NutReading::Open {
            clearance: read.action_1,
            action_12: read.action_12,
        });
        survey.strings[2].measured = Some(CentsReading {
            cents_12: read.cents[11] + 1.0,
            contact_from_fret_12: read.position.x - survey.board.fret_x(12, &StringRun::CENTRE),
            action_12: read.action_12,
        });
        let survey = survey.by(&survey.evidence(&Uncertainty::default()).unwrap());
        let done = together(&survey, &nut).unwrap();
        let found: Vec<bool> = done.survey.strings.iter().map(|s| s.stretch_found).collect();
        assert_eq!(found, [false, false, true, false, false, false]);
        done.saddle
            .strings
            .iter()
            .map(|s| (s.calibration, s.stretch_found))
            .collect::<Vec<_>>()
    };
    let (shelf, straight) = (calibrated(Front::Shelf), calibrated(Front::Straight));
    let factor = shelf[2].0.unwrap();
    assert!((factor - 1.0).abs() > 1e-4, "{factor}");
    assert!((straight[2].0.unwrap() - factor).abs() < 1e-9, "{straight:?} {factor}");
    assert!(straight[2].1 && straight.iter().filter(|s| s.1).count() == 1);
}

/// Every string also a tone lower, and with an action wished at fret 5 beside that at 12.
fn wished(mut survey: SaddleSurvey) -> SaddleSurvey {
    for s in &mut survey.strings {
        s.action_at = Some(ActionWish {
            fret: 5,
            action: 0.55 * s.target_action,
            weight: 0.7,
        });
        s.also.push(AlsoString {
            name: "down a tone".to_owned(),
            weight: 2.0,
            note: s.note.clone(),
            frequency: s.frequency * (-2.0f64 / 12.0).exp2(),
            model: None,
        });
    }
    survey
}

/// The shelf is where saddle and nut stand for all tunings, the straight shift leaves the least of all of them, and neither moves the
/// gap over fret 1 or the height over fret 12 that serves both wishes.
#[test]
fn both_ends_serve_every_tuning() {
    for front in [Front::Shelf, Front::Straight] {
        let mut nut = nut_survey();
        nut.front = front;
        let survey = wished(with_nut(&nut));
        let board = survey.board;
        let first = saddle::plan(&survey).unwrap();
        let done = together(&survey, &nut).unwrap();
        let compensation = &done.nut.compensation;
        for (i, (from, s)) in survey.strings.iter().zip(&done.saddle.strings).enumerate() {
            assert!((s.action_1 - from.new_gap.unwrap().mm()).abs() < 1e-9);
            assert!((s.action_12 - from.action_12(&board)).abs() < 1e-9);
            assert!(
                (s.action_12 - from.target_action).abs() > 1e-3,
                "the wish at fret 5 counts"
            );
            let shelf = compensation.strings[i].shelf;
            assert!((shelf.nut - first.strings[i].nut_setback).abs() < 1e-6);
            assert!((shelf.saddle - first.strings[i].setback_wanted).abs() < 1e-6);
            if front == Front::Straight {
                assert!((s.nut.x + compensation.shift).abs() < 1e-12);
            }
        }
        let squares = |shift: f64| -> f64 {
            let of = |(from, s): (&StringSurvey, &StringPlan)| {
                let path = NutPath {
                    from: s.nut_path.at(shift),
                    ..s.nut_path
                };
                let height = SaddleHeight::Through(Point {
                    x: board.fret_x(12, &from.run),
                    z: s.line.z(board.fret_x(12, &from.run)),
                });
                let all = from.shared(&s.string);
                let found = shared_setback(&all, path, height, Criterion::BestFit).unwrap();
                let saddle = height.contact(path.from, s.string.scale_end() + found.saddle);
                let square =
                    |(string, weight): &(FrettedString, f64)| weight * rms(&string.cents(path.from, saddle)).powi(2);
                all.iter().map(square).sum::<f64>()
            };
            survey.strings.iter().zip(&first.strings).map(of).sum()
        };
        let [less, here, more] = [-0.01, 0.0, 0.01].map(|by| squares(compensation.shift + by));
        assert!(here < less && here < more);
        assert!((0.5 * (more - less) / (more - 2.0 * here + less)).abs() < 1e-2);
        // And each tuning is told against what it would have alone.
        let told = Wishes::of(&survey, &done.survey, &done.saddle).unwrap();
        assert_eq!((told.actions.len(), told.tunings.len()), (survey.strings.len(), 2));
        for tuning in &told.tunings {
            assert!(tuning.strings.iter().all(|s| s.loses > -1e-6), "{tuning:?}");
        }
    }
}
