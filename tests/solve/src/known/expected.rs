//! What every reading would be at a state.

use fixtures::{Chance, KINDS, Kind, PARLOUR, planted};
use instrument::{At, NutReading, Of, Paired, Readings, SlotSurvey, Taken, Uncertainty};
use known::{Evidence, Figure, Row, What};
use strings::Criterion;

fn parlour() -> Evidence {
    let survey = PARLOUR.survey(Criterion::Octave);
    let slot = Some(survey.slot_seen());
    Evidence::of(survey.instrument(), slot, Readings::default(), Uncertainty::default()).unwrap()
}

/// What is left of a row is what was read less what is expected; readings of another state, taken without an error, lead to that state.
#[test]
fn readings_of_a_state_lead_back_to_it() {
    let evidence = parlour();
    let (known, seen) = (&evidence.known, evidence.seen());
    let state = known.estimate.state.as_slice();
    for (i, (row, expected)) in known.rows.iter().zip(known.expected(&seen, state).unwrap()).enumerate() {
        assert!(
            (row.value - expected - known.estimate.residual(i)).abs() < 1e-9,
            "{row:?}"
        );
    }
    // Half a standard uncertainty this way and that.
    let planted: Vec<f64> = (0..state.len())
        .map(|i| 0.5 * known.estimate.sure_to(i) * if i % 2 == 0 { 1.0 } else { -1.0 })
        .collect();
    let read = known.expected(&seen, &planted).unwrap();
    let rows = known
        .rows
        .iter()
        .zip(read)
        .map(|(row, value)| Row { value, ..row.clone() });
    let found = known.again(&seen, rows.collect()).unwrap();
    for (i, planted) in planted.iter().enumerate() {
        let off = (found.estimate.state[i] - planted) / known.estimate.sure_to(i);
        assert!(off.abs() < 1e-6, "{:?}: {off}", known.figures[i]);
    }
    assert!(known.expected(&seen, &planted[1..]).is_none());
}

/// Where the outer strings meet a saddle by which the slot was read does not hang on how far back on it that is: it is the slot that lies
/// elsewhere then.
#[test]
fn outer_strings_end_where_the_saddle_of_known_size_was_read() {
    let surveyed = Kind::Nylon.some(&mut Chance::new(1));
    let cents = Of::Cents { fret: 12 };
    let also = [0, 5].map(|i| [(cents, At::String(i), 1), (Of::Contact, At::String(i), 2)]);
    let evidence = surveyed.read(&also.concat());
    let (known, seen) = (&evidence.known, evidence.seen());
    let nominal = vec![0.0; known.figures.len()];
    let mut further_back = nominal.clone();
    for end in [0, 1] {
        further_back[known.at(Figure::SlotThird(end)).unwrap()] = 0.2;
    }
    let before = known.expected(&seen, &nominal).unwrap();
    let after = known.expected(&seen, &further_back).unwrap();
    let read = known.rows.iter().zip(before.iter().zip(after));
    let mut held = 0;
    for (row, (before, after)) in read.filter(|(row, _)| row.taken.is_some()) {
        // The slot turns by what its ends differ in height.
        assert!((before - after).abs() < 1e-3, "{:?}: {before} {after}", row.what);
        held += 1;
    }
    assert_eq!(held, 4);
}

/// On a later visit to an instrument that did not move, what the survey reads is read again: its own figures are not another instrument's
/// than that from which every other reading is worked out.
#[test]
fn a_visit_on_which_nothing_moved_finds_the_same() {
    let mut chance = Chance::new(4);
    for kind in KINDS {
        let mut surveyed = kind.some(&mut chance);
        surveyed.also.clear();
        let strings = surveyed.instrument.strings.len();
        let of_strings = [
            Of::Clearance,
            Of::HeldAtThree,
            Of::ZeroFret,
            Of::Action { fret: 12 },
            Of::Contact,
            Of::SaddleHeight,
            Of::SaddleBack,
            Of::Exposure,
            Of::OverBridge,
            Of::Cents { fret: 12 },
        ];
        let nut = surveyed.instrument.strings[0].present_nut;
        let can = |of: &Of| match of {
            Of::ZeroFret => matches!(nut, Some(NutReading::ZeroFret { .. })),
            _ => nut.is_some(),
        };
        let on_strings = of_strings.into_iter().filter(can);
        let places = on_strings.flat_map(|of| (0..strings).map(move |i| (of, At::String(i))));
        let ends = [Of::SlotEdge, Of::BridgeTop, Of::SlotDepth];
        let ends = ends.into_iter().flat_map(|of| [0, 1].map(|e| (of, At::End(e))));
        let whole = [Of::NutTo12, Of::Relief, Of::Lean].map(|of| (of, At::Whole));
        let places: Vec<(Of, At)> = places.chain(ends).chain(whole).collect();
        let both: Vec<(Of, At, u32)> = places.iter().flat_map(|&(of, at)| [(of, at, 1), (of, at, 2)]).collect();
        let evidence = surveyed.read(&both);
        let known = &evidence.known;
        let (mut state, _) = planted(&evidence, &mut chance);
        for drift in [Figure::NeckDrift(2), Figure::TopDrift(2)] {
            state[known.at(drift).unwrap()] = 0.0;
        }
        // What is off by nothing beforehand is off here too.
        for (off, figure) in state.iter_mut().zip(&known.figures) {
            let small = matches!(
                figure,
                Figure::Stretch | Figure::RadiusAtNut | Figure::RadiusAt12 | Figure::Lean
            );
            if *off == 0.0 && !matches!(figure, Figure::NeckDrift(_) | Figure::TopDrift(_)) {
                *off = chance.normal() * if small { 1e-3 } else { 0.05 };
            }
        }
        let expected = known.expected(&evidence.seen(), &state).unwrap();
        let rows = known.rows.iter().zip(expected).filter(|(row, _)| row.taken.is_some());
        let rows: Vec<_> = rows.collect();
        assert!(rows.len() >= 12, "{kind:?}");
        for pair in rows.chunks_exact(2) {
            let [(first, one), (second, other)] = [&pair[0], &pair[1]];
            assert_eq!((first.what, first.visit, second.visit), (second.what, 1, 2));
            assert!((one - other).abs() < 1e-8, "{kind:?} {:?}: {one} {other}", first.what);
        }
    }
}

/// A saddle that stands off its seat is so much lower by the caliper; where its ridge is, and so how much of it stands out of the slot, its
/// string tells.
#[test]
fn what_lies_under_the_saddle_is_taken_off_its_height_alone() {
    let mut surveyed = Kind::FlatTop.some(&mut Chance::new(1));
    surveyed.also.clear();
    let also = [(Of::SaddleHeight, -0.1), (Of::Exposure, 0.0), (Of::OverBridge, 0.0)];
    let evidence = surveyed.read(&also.map(|(of, _)| (of, At::String(1), 1)));
    let (known, seen) = (&evidence.known, evidence.seen());
    let nominal = vec![0.0; known.figures.len()];
    let mut lifted = nominal.clone();
    for end in [0, 1] {
        lifted[known.at(Figure::OldSeat(end)).unwrap()] = 0.1;
    }
    let before = known.expected(&seen, &nominal).unwrap();
    let after = known.expected(&seen, &lifted).unwrap();
    let taken = |row: &Row| row.taken.map(|at| also[at].1);
    for (row, (before, after)) in known.rows.iter().zip(before.iter().zip(after)) {
        if let Some(moved) = taken(row) {
            assert!(
                (after - before - moved).abs() < 1e-12,
                "{:?}: {before} {after}",
                row.what
            );
        }
    }
}

/// What readings with one tool share is to each as much as it is said to be: of a share of what is read, of each its own; of two tools that
/// err by one cause, of each its own.
#[test]
fn what_a_tool_errs_by_is_to_each_reading_its_own() {
    let surveyed = Kind::FlatTop.some(&mut Chance::new(3));
    let strings = surveyed.instrument.strings.len();
    let both = [Of::Inharmonicity, Of::Cents { fret: 12 }];
    let places = both
        .into_iter()
        .flat_map(|of| (0..strings).map(move |i| (of, At::String(i), 1)));
    let mut readings = surveyed.read(&places.collect::<Vec<_>>()).readings;
    // The series of partials on a recording hears less of the body than a tuner.
    let surer: Vec<Taken> = (readings
        .taken
        .iter()
        .filter(|taken| matches!(taken.of, Of::Cents { .. })))
    .map(|taken| Taken {
        unsure: Paired::correlated(1.0, 0.5),
        tool: "recording".to_owned(),
        ..taken.clone()
    })
    .collect();
    readings.taken.extend(surer);
    let slot = Some(surveyed.survey.slot_seen());
    let evidence = Evidence::of(surveyed.instrument, slot, readings, surveyed.unsure).unwrap();
    let (known, mut held) = (&evidence.known, 0);
    for row in &known.rows {
        let (Some(at), Some((figure, times))) = (row.taken, row.shares) else {
            continue;
        };
        let before = known.rows.iter().find(|row| row.what == What::Before(figure)).unwrap();
        let (told, shared) = (times * before.sure_to, evidence.readings.taken[at].unsure.shared);
        assert!((told / shared - 1.0).abs() < 1e-12, "{:?}: {told} {shared}", row.what);
        held += 1;
    }
    assert_eq!(held, 3 * strings);
}

/// Over a saddle of known size in a slot whose depth nobody read, one exposure is no riddle: no plan hangs on that depth.
#[test]
fn one_exposure_does_not_ask_for_the_depth() {
    let mut chance = Chance::new(0);
    let surveyed = std::iter::repeat_with(|| Kind::Nylon.some(&mut chance)).find(|of| {
        let SlotSurvey::Reference([bass, _]) = of.survey.slot else {
            return false;
        };
        bass.depth.is_none()
    });
    let surveyed = surveyed.unwrap();
    let before = surveyed.read(&[]);
    let after = surveyed.read(&[(Of::Exposure, At::String(2), 1)]);
    let sure = |of: &Evidence| of.known.estimate.sure_to(of.known.at(Figure::SlotHeight(0)).unwrap());
    assert!((sure(&after) / sure(&before) - 1.0).abs() < 1e-3);
}
