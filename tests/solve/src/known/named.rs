//! Slips that hands make, planted in readings that else agree.

use fixtures::{PARLOUR, read_also};
use instrument::{At, Of, Uncertainty};
use known::{Doubt, Evidence, Figure, Kind, Row, What};

const ACTION: Of = Of::Action { fret: 12 };
const CENTS: Of = Of::Cents { fret: 12 };

/// The parlour guitar read again by these kinds of readings on every string.
fn parlour(kinds: &[Of]) -> Evidence {
    let also: Vec<(Of, At, u32)> = kinds
        .iter()
        .flat_map(|of| (0..6).map(|i| (*of, At::String(i), 1)))
        .collect();
    read_also(&PARLOUR, &Uncertainty::default(), &also)
}

/// Rows of its own instrument, read without an error, but for these.
fn but(evidence: &Evidence, slip: impl Fn(&Row) -> Option<f64>) -> Vec<Doubt> {
    let known = &evidence.known;
    let nominal = vec![0.0; known.figures.len()];
    let expected = known.expected(&evidence.seen(), &nominal).unwrap();
    let rows = known.rows.iter().zip(expected).map(|(row, value)| {
        let value = if row.is_reading() { value } else { row.value };
        let read = Row { value, ..row.clone() };
        Row {
            value: slip(&read).unwrap_or(value),
            ..read
        }
    });
    let found = known.again(&evidence.seen(), rows.collect()).unwrap();
    found.slips(&evidence.seen()).doubts
}

fn whats(evidence: &Evidence, doubt: &Doubt) -> Vec<What> {
    let rows = doubt.suspects.iter();
    rows.map(|suspect| evidence.known.rows[suspect.row].what).collect()
}

/// Gap over fret 1, action at two frets, heights and backs of the saddle.
fn well_read() -> Evidence {
    parlour(&[
        Of::HeldAtThree,
        Of::Action { fret: 5 },
        Of::SaddleHeight,
        Of::SaddleBack,
        Of::OverBridge,
    ])
}

#[test]
fn readings_that_agree_are_not_doubted() {
    assert_eq!(but(&well_read(), |_| None), []);
}

/// The gap over fret 1 of one string is 0.3 mm too much: the gap is named, and not its action.
#[test]
fn a_wrong_gap_over_fret_1_is_not_blamed_on_the_action() {
    let evidence = well_read();
    let gap = What::Read(Of::Clearance, At::String(1));
    let doubts = but(&evidence, |row| {
        (row.what == gap && row.taken.is_none()).then_some(row.value + 0.3)
    });
    assert_eq!(doubts.len(), 1);
    let accused = whats(&evidence, &doubts[0]);
    assert_eq!(accused[0], gap);
    assert!(!accused.contains(&What::Read(ACTION, At::String(1))), "{accused:?}");
    assert!((doubts[0].suspects[0].over - 0.3).abs() < 0.02, "{:?}", doubts[0]);
}

/// One string's cents ask for 2.9 times its stretch, the others' for what is known of them: what is doubted is that reading, or that the
/// string is the one of the set.
#[test]
fn a_stretch_far_from_the_others_doubts_that_string_alone() {
    let evidence = parlour(&[CENTS]);
    let known = &evidence.known;
    let mut stretched = vec![0.0; known.figures.len()];
    stretched[known.at(Figure::Axial(4)).unwrap()] = 2.9f64.ln();
    stretched[known.at(Figure::Bending(4)).unwrap()] = 2.9f64.ln();
    let read = known.expected(&evidence.seen(), &stretched).unwrap();
    let cents = What::Read(CENTS, At::String(4));
    let place = known.rows.iter().position(|row| row.what == cents).unwrap();
    let doubts = but(&evidence, |row| (row.what == cents).then_some(read[place]));
    assert_eq!(doubts.len(), 1);
    let accused = whats(&evidence, &doubts[0]);
    assert!(accused.contains(&cents), "{accused:?}");
    assert!(accused.contains(&What::Before(Figure::Axial(4))), "{accused:?}");
    let of_another = |what: &What| matches!(what, What::Read(_, At::String(i)) if *i != 4);
    assert!(!accused.iter().any(of_another), "{accused:?}");
}

fn kind(evidence: &Evidence, slip: impl Fn(&Row) -> Option<f64>) -> (Kind, usize) {
    let doubts = but(evidence, slip);
    let named = doubts[0].named.clone().unwrap_or_else(|| panic!("{doubts:?}"));
    (named.kind, named.rows.len())
}

fn at(row: &Row, of: Of) -> Option<usize> {
    match row.what {
        What::Read(read, At::String(i)) if read == of && row.taken.is_some() => Some(i),
        _ => None,
    }
}

#[test]
fn slips_that_hands_make_are_named() {
    let evidence = well_read();
    let known = &evidence.known;
    let nominal = known
        .expected(&evidence.seen(), &vec![0.0; known.figures.len()])
        .unwrap();
    let of = |wanted: Of, string: usize| {
        let place = known.rows.iter().position(|row| at(row, wanted) == Some(string));
        nominal[place.unwrap()]
    };
    // A list from the wrong end.
    let heights = |row: &Row| at(row, Of::SaddleHeight).map(|i| of(Of::SaddleHeight, 5 - i));
    assert_eq!(kind(&evidence, heights), (Kind::Reversed, 6));
    // A 64th too much on a rule.
    let action = |row: &Row| (row.what == What::Read(ACTION, At::String(2))).then_some(row.value + 25.4 / 64.0 * 2.0);
    assert_eq!(kind(&evidence, action), (Kind::Division(0.794), 1));
    // Bridge top on the other side of the straightedge.
    let top = |row: &Row| (row.what == What::Read(Of::BridgeTop, At::End(0))).then_some(-row.value);
    assert_eq!(kind(&evidence, top), (Kind::Sign, 1));
    // Hundredths of a millimetre written as thou.
    let gap = |row: &Row| (at(row, Of::HeldAtThree) == Some(3)).then_some(row.value * 2.54);
    assert_eq!(kind(&evidence, gap), (Kind::Unit(2.54), 1));
    // A semitone.
    let evidence = parlour(&[CENTS, Of::SaddleBack]);
    let cents = |row: &Row| (at(row, CENTS) == Some(4)).then_some(row.value + 100.0);
    assert_eq!(kind(&evidence, cents), (Kind::Semitones(100.0), 1));
}

/// Bass and treble of a pair swapped; a size that no slip of a kind has stays without a name.
#[test]
fn pairs_are_swapped_and_odd_sizes_have_no_name() {
    let kinds = [Of::SaddleHeight, Of::OverBridge, Of::Exposure];
    let both = [0, 5].map(|i| kinds.map(|of| (of, At::String(i), 1)));
    let evidence = read_also(&PARLOUR, &Uncertainty::default(), &both.concat());
    let known = &evidence.known;
    let nominal = known
        .expected(&evidence.seen(), &vec![0.0; known.figures.len()])
        .unwrap();
    let over = |string: usize| {
        let place = known
            .rows
            .iter()
            .position(|row| at(row, Of::OverBridge) == Some(string));
        nominal[place.unwrap()]
    };
    let swapped = |row: &Row| at(row, Of::OverBridge).map(|i| over(5 - i));
    assert_eq!(kind(&evidence, swapped), (Kind::Swapped, 2));
    let evidence = well_read();
    let odd = |row: &Row| (at(row, Of::SaddleHeight) == Some(2)).then_some(row.value + 0.65);
    let doubts = but(&evidence, odd);
    assert_eq!(doubts.len(), 1);
    assert_eq!(doubts[0].named, None);
}
