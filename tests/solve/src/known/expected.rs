//! What every reading would be at a state.

use fixtures::PARLOUR;
use instrument::{Readings, Uncertainty};
use known::{Evidence, Row};
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
