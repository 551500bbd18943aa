//! Strings of an instrument whose saddle is split, known for each saddle by itself.

use fixtures::PARLOUR;
use instrument::{Between, Paired, Readings, Uncertainty};
use known::{Evidence, Figure};
use strings::Criterion;

/// Of six strings the outer ones were read: an inner one is no surer for being the outer one of its saddle.
#[test]
fn a_string_put_between_stays_as_unsure_on_a_saddle_of_its_own() {
    let survey = PARLOUR.survey(Criterion::Octave);
    let unsure = Uncertainty {
        present_action: Paired {
            shared: 0.0,
            each: 0.02,
        },
        clearance: Paired {
            shared: 0.0,
            each: 0.005,
        },
        ..Uncertainty::default()
    };
    let readings = Readings {
        between: Between {
            nut: true,
            action_12: true,
            ..Between::default()
        },
        ..Readings::default()
    };
    let whole = survey.instrument();
    let sure = |strings: std::ops::Range<usize>, string: usize, of: fn(usize) -> Figure| {
        let mut instrument = whole.clone();
        instrument.strings = whole.strings[strings.clone()].to_vec();
        let own = readings.of_strings(strings, 6, false);
        let slot = Some(survey.slot_seen());
        let known = Evidence::of(instrument, slot, own, unsure).unwrap().known;
        known.estimate.sure_to(known.at(of(string)).unwrap())
    };
    for of in [Figure::Action, Figure::Nut] {
        // The treble string was read, whichever saddle carries it.
        let (read, there) = (sure(0..6, 5, of), sure(4..6, 1, of));
        assert!((there / read - 1.0).abs() < 1e-9, "{read} {there}");
        let (put, there) = (sure(0..6, 4, of), sure(4..6, 0, of));
        // What it was put between is taken as unsure as one reading, where it is the mean of two.
        assert!((1.0..1.1).contains(&(there / put)), "{put} {there}");
        let (put, there) = (sure(0..6, 3, of), sure(0..4, 3, of));
        assert!((1.0..1.1).contains(&(there / put)), "{put} {there}");
    }
}
