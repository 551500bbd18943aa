//! Surveys, some with a slip in them, and what a master would say of them first; half of them are sound.

use instrument::{At, Of, Paired, Readings, Taken, Uncertainty};
use job::{Job, Profiles};
use known::{Evidence, Kind};
use work::{Place, Planned, ReadAt, Remark, Severity, SoundsLike, Wrong, planned};

const ACTION: Of = Of::Action { fret: 12 };
const CENTS: Of = Of::Cents { fret: 12 };

fn read(name: &str, edits: &[(&str, &str)]) -> Job {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut text = std::fs::read_to_string(path).unwrap();
    for (old, new) in edits {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    job::read(&text, &Profiles::built_in()).unwrap().job
}

/// What further readings of a job's own instrument come to, on these visits.
fn further(job: &Job, kinds: &[(Of, u32)]) -> Vec<Taken> {
    let last = job.instrument.strings.len() - 1;
    let places = |of: Of| -> Vec<At> {
        match of {
            Of::SlotEdge | Of::BridgeTop | Of::SlotDepth => vec![At::End(0), At::End(1)],
            Of::NutTo12 | Of::Relief | Of::RadiusAtNut | Of::RadiusAt12 | Of::Lean => vec![At::Whole],
            _ => (0..=last).map(At::String).collect(),
        }
    };
    let all = kinds
        .iter()
        .flat_map(|(of, visit)| places(*of).into_iter().map(move |at| (*of, at, *visit)));
    let taken = |(of, at, visit): (Of, At, u32), value: f64| Taken {
        of,
        at,
        value,
        unsure: Uncertainty::default().taken(of, value),
        tool: of.usual_tool().to_owned(),
        visit,
        doubted: false,
    };
    let readings = Readings {
        taken: all.map(|one| taken(one, 1.0)).collect(),
        ..job.readings.clone()
    };
    let slot = job.saddle.as_ref().map(|made| made.survey.slot_seen());
    // Read as 1, they say little of the instrument but what they would be.
    let rough = Evidence::of(job.instrument.clone(), slot, readings, Uncertainty::default()).unwrap();
    let expected = rough
        .known
        .expected(&rough.seen(), &vec![0.0; rough.known.figures.len()])
        .unwrap();
    let rows = rough.known.rows.iter().zip(expected);
    let values = rows.filter_map(|(row, value)| Some((&rough.readings.taken[row.taken?], value)));
    values
        .map(|(of, value)| taken((of.of, of.at, of.visit), value))
        .collect()
}

/// A survey: the example, what is changed in its text, what is read besides, and what is wrong with that.
struct Survey {
    from: &'static str,
    edits: &'static [(&'static str, &'static str)],
    also: &'static [(Of, u32)],
    wrong: fn(&mut [Taken]),
}

impl Survey {
    fn planned(&self) -> Planned {
        let mut taken = further(&read(self.from, &[]), self.also);
        (self.wrong)(&mut taken);
        let mut job = read(self.from, self.edits);
        job.readings.taken = taken;
        let done = planned(job);
        assert_eq!(done.refusals, [], "{}", self.from);
        done
    }
}

const NONE: fn(&mut [Taken]) = |_| {};
/// Enough to check nearly everything of a straightedge survey.
const MUCH: &[(Of, u32)] = &[
    (Of::HeldAtThree, 1),
    (ACTION, 1),
    (Of::Action { fret: 5 }, 1),
    (Of::SaddleHeight, 1),
    (Of::SaddleBack, 1),
    (Of::OverBridge, 1),
    (Of::Exposure, 1),
];

/// Common practice, no source: what agrees within what its tools can tell is not doubted.
#[test]
fn a_sound_survey_is_not_accused() {
    let sound = |from, edits, also, wrong| Survey {
        from,
        edits,
        also,
        wrong,
    };
    let half_off: fn(&mut [Taken]) = |taken| {
        for (i, one) in taken.iter_mut().enumerate() {
            one.value += 0.7 * one.unsure.each * if i % 2 == 0 { 1.0 } else { -1.0 };
        }
    };
    let surveys = [
        sound("sound", &[], &[], NONE),
        sound("parlour", &[], &[], NONE),
        sound("nut-only", &[], &[], NONE),
        sound("sound", &[], MUCH, NONE),
        sound("sound", &[], MUCH, half_off),
        sound("parlour", &[], &[(ACTION, 1), (Of::Clearance, 1)], half_off),
        sound("nylon-drop-in", &[], &[(CENTS, 1), (Of::SaddleBack, 1)], half_off),
        // The bridge top came up a little between two visits, as it does.
        sound("sound", &[], &[(Of::BridgeTop, 2), (ACTION, 2)], |taken| {
            taken
                .iter_mut()
                .filter(|one| one.of == Of::BridgeTop)
                .for_each(|one| one.value += 0.08);
        }),
    ];
    for survey in surveys {
        let done = survey.planned();
        assert_eq!(done.doubted, [], "{}", survey.from);
        let remarks = done
            .saddles()
            .filter_map(Planned::saddle)
            .flat_map(|saddle| saddle.remarks());
        assert!(!remarks.into_iter().any(|remark| matches!(remark, Remark::Doubted(_))));
    }
}

fn on(taken: &mut [Taken], of: Of, string: usize, by: f64) {
    let found = taken
        .iter_mut()
        .find(|one| one.of == of && one.at == At::String(string));
    found.unwrap().value += by;
}

/// Whether this is the reading.
fn is(wrong: &Wrong, of: Of, place: Place) -> bool {
    matches!(wrong, Wrong::Reading(ReadAt { of: read, place: at, .. }) if *read == of && *at == place)
}

/// Common practice, no source: what is off by more than its tool can tell is read again before anything is cut.
#[test]
fn a_slip_is_found_and_comes_first() {
    struct Slip {
        survey: Survey,
        /// Holds of one of those accused.
        accused: fn(&Wrong) -> bool,
        /// Holds of none of them.
        spared: fn(&Wrong) -> bool,
        kind: Option<Kind>,
    }
    let much = |edits, wrong| Survey {
        from: "sound",
        edits,
        also: MUCH,
        wrong,
    };
    let slips = [
        Slip {
            survey: much(&[], |taken| on(taken, Of::SaddleHeight, 2, 0.65)),
            accused: |wrong| is(wrong, Of::SaddleHeight, Place::String(4)),
            spared: |wrong| matches!(wrong, Wrong::Reading(read) if read.of != Of::SaddleHeight),
            kind: None,
        },
        Slip {
            survey: much(
                &[(
                    "first_fret_clearance = { bass = 0.5",
                    "first_fret_clearance = { bass = 0.85",
                )],
                NONE,
            ),
            accused: |wrong| is(wrong, Of::Clearance, Place::String(6)),
            spared: |wrong| is(wrong, ACTION, Place::String(6)),
            kind: None,
        },
        Slip {
            survey: much(&[], |taken| {
                let heights = |one: &&mut Taken| one.of == Of::SaddleHeight;
                let mut values: Vec<f64> = taken.iter_mut().filter(heights).map(|one| one.value).collect();
                for one in taken.iter_mut().filter(heights) {
                    one.value = values.pop().unwrap();
                }
            }),
            accused: |wrong| is(wrong, Of::SaddleHeight, Place::String(6)),
            spared: |wrong| matches!(wrong, Wrong::Pull(_)),
            kind: Some(Kind::Reversed),
        },
        Slip {
            survey: much(
                &[(
                    "bridge_top = { bass = 0.3, treble = 0.3 }",
                    "bridge_top = { bass = 1.3, treble = 0.3 }",
                )],
                NONE,
            ),
            accused: |wrong| is(wrong, Of::BridgeTop, Place::End(0)),
            spared: |wrong| is(wrong, Of::BridgeTop, Place::End(1)),
            kind: Some(Kind::Division(1.0)),
        },
        Slip {
            survey: Survey {
                from: "sound",
                edits: &[],
                also: &[(CENTS, 1), (Of::SaddleBack, 1)],
                wrong: |taken| on(taken, CENTS, 4, 30.0),
            },
            accused: |wrong| *wrong == Wrong::NotTheSet(2),
            spared: |wrong| matches!(wrong, Wrong::Reading(read) if matches!(read.place, Place::String(n) if n != 2)),
            kind: None,
        },
        // One tool starts late: all it reads is off alike.
        Slip {
            survey: much(&[], |taken| {
                taken
                    .iter_mut()
                    .filter(|one| one.of == Of::SaddleHeight)
                    .for_each(|one| one.value += 0.8);
            }),
            accused: |wrong| matches!(wrong, Wrong::Tool(_, Of::SaddleHeight)),
            spared: |wrong| matches!(wrong, Wrong::NotTheSet(_)),
            kind: None,
        },
        Slip {
            survey: Survey {
                from: "sound",
                edits: &[],
                also: &[(Of::BridgeTop, 2), (Of::BridgeTop, 2)],
                wrong: |taken| taken.iter_mut().for_each(|one| one.value += 0.9),
            },
            accused: |wrong| *wrong == Wrong::Moved(2),
            spared: |wrong| is(wrong, Of::Relief, Place::Whole),
            kind: None,
        },
        Slip {
            survey: Survey {
                from: "nut-only",
                edits: &[],
                also: &[(Of::Clearance, 1), (ACTION, 1)],
                wrong: |taken| on(taken, Of::Clearance, 0, 0.3),
            },
            accused: |wrong| is(wrong, Of::Clearance, Place::String(6)),
            spared: |wrong| is(wrong, ACTION, Place::String(6)),
            kind: None,
        },
    ];
    for (i, slip) in slips.iter().enumerate() {
        let done = slip.survey.planned();
        assert_eq!(done.doubted.len(), 1, "{i}: {:#?}", done.doubted);
        let found = &done.doubted[0];
        let accused: Vec<&Wrong> = found.charges.iter().map(|charge| &charge.what).collect();
        assert!(accused.iter().any(|wrong| (slip.accused)(wrong)), "{i}: {found:#?}");
        assert!(!accused.iter().any(|wrong| (slip.spared)(wrong)), "{i}: {found:#?}");
        if slip.kind.is_some() {
            assert_eq!(found.slip.as_ref().map(|named| named.kind), slip.kind, "{i}");
        }
        if let Some(saddle) = done.saddle() {
            let remarks = saddle.remarks();
            let first = remarks.iter().find(|remark| !remark.stops()).unwrap();
            assert_eq!(*first, Remark::Doubted(found.clone()), "{i}");
            assert_eq!(first.severity(), Severity::Mind);
        } else {
            assert_eq!(done.nut().unwrap().doubted, done.doubted, "{i}");
        }
    }
}

/// A survey that says each thing once tells no hidden slips; one that says things twice does.
#[test]
fn what_nothing_checks_is_told_of_surveys_with_further_readings_alone() {
    let survey = |also| Survey {
        from: "sound",
        edits: &[],
        also,
        wrong: NONE,
    };
    assert_eq!(survey(&[]).planned().stands(), []);
    let stands = survey(&[(Of::Clearance, 1)]).planned().stands();
    let of = |of: Of| stands.iter().filter(move |stands| stands.reading.of == of);
    assert!(of(Of::Lean).all(|stands| stands.is_unchecked && stands.hidden == f64::INFINITY));
    assert!(of(Of::Clearance).all(|stands| !stands.is_unchecked && (0.05..0.3).contains(&stands.hidden)));
    // Outer strings of the survey, and all again.
    assert_eq!(of(Of::Clearance).count(), 2 + 6);
}

/// A doubt that leaves nothing which tells a figure is refused by its name, with what would settle it.
#[test]
fn what_is_not_told_is_named_with_what_would_settle_it() {
    let told = |doubt: &'static str| {
        let done = planned(read("sound", &[("[neck]", doubt)]));
        let told: Vec<String> = done.refusals.iter().map(ToString::to_string).collect();
        told.join("\n")
    };
    assert_eq!(
        told("[doubt]\nlean = true\n\n[neck]"),
        "what was read and is not doubted does not tell the lean (read again the lean). Add a round of [[readings]], or take a doubt back"
    );
    let nut = told("[doubt]\nfirst_fret_clearance = \"bass\"\n\n[neck]");
    let string_6 =
        "where string 6 lies in the nut (read again the gap over fret 1, or the gap over fret 1, held at fret 3)";
    assert!(nut.contains(string_6), "{nut}");
}

/// B of a string that is not the one described: what is said first, whether the survey is doubted or only the string looked at. A wound
/// string's B is known to a third where its set's name is all that is known, a plain wire's to four in a hundred.
#[test]
fn a_string_that_does_not_sound_like_it_is_told() {
    #[derive(Debug, PartialEq)]
    enum Told {
        Nothing,
        Look(SoundsLike),
        Doubt,
        DoubtAs(SoundsLike),
    }
    use Told::{Doubt, DoubtAs, Look, Nothing};
    // B as described, strings 5 and 2, and how the job comes to it.
    let (wound, plain) = (7.936e-5, 7.706e-5);
    let table = [
        ("parlour", 5, wound, 1.0, Nothing),
        ("parlour", 5, wound, 1.6, Nothing),
        ("parlour", 5, wound, 2.0, Nothing),
        ("parlour", 5, wound, 0.5, Nothing),
        // Another set: told to look, not yet so far off that all the readings together accuse it.
        ("parlour", 5, wound, 2.6, Look(SoundsLike::Another)),
        ("parlour", 5, wound, 0.4, Look(SoundsLike::Another)),
        ("parlour", 5, wound, 6.0, Doubt),
        ("parlour", 5, wound, 0.15, Doubt),
        ("parlour", 2, plain, 1.0, Nothing),
        ("parlour", 2, plain, 1.05, Nothing),
        ("parlour", 2, plain, 0.90, Look(SoundsLike::Another)),
        ("parlour", 2, plain, 0.4, DoubtAs(SoundsLike::Wound)),
        ("parlour", 2, plain, 2.0, Doubt),
        // The wound third, and a plain one in its place.
        ("parlour", 3, 3.377e-5, 5.0, DoubtAs(SoundsLike::Plain)),
    ];
    for (from, number, b, times, want) in table {
        let mut job = read(from, &[]);
        let at = job.instrument.strings.iter().position(|s| s.number == number).unwrap();
        let value = b * times;
        job.readings.taken.push(Taken {
            of: Of::Inharmonicity,
            at: At::String(at),
            value,
            unsure: Paired {
                shared: 0.0,
                each: 0.01 * value,
            },
            tool: "recording".to_owned(),
            visit: 1,
            doubted: false,
        });
        let done = planned(job.clone());
        let [one] = &done.saddles().filter_map(Planned::saddle).collect::<Vec<_>>()[..] else {
            panic!("{from}: {:?}", done.refusals)
        };
        let first = one
            .remarks()
            .into_iter()
            .find(|remark| !matches!(remark, Remark::NotYet(_)));
        let found = match first {
            Some(Remark::NotTheString(told)) => {
                assert_eq!((told.len(), told[0].number), (1, number));
                assert!((told[0].over_described / times - 1.0).abs() < 1e-3, "{told:?}");
                Look(told[0].like)
            }
            Some(Remark::Doubted(doubted)) => {
                let of_string = |charge: &work::Charge| match &charge.what {
                    Wrong::NotTheSet(n) => *n == number,
                    Wrong::Reading(reading) => {
                        reading.of == Of::Inharmonicity && reading.place == Place::String(number)
                    }
                    _ => false,
                };
                assert!(doubted.charges.iter().any(of_string), "{doubted:?}");
                done.not_it.first().map_or(Doubt, |one| DoubtAs(one.like))
            }
            _ => Nothing,
        };
        assert_eq!(found, want, "{from}, string {number}, {times} times");
        // Struck out, it says nothing.
        job.readings.taken.iter_mut().for_each(|taken| taken.doubted = true);
        let done = planned(job);
        assert!(done.not_it.is_empty() && done.doubted.is_empty());
    }
}
