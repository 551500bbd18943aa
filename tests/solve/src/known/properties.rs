//! What must hold of all that is known of an instrument, whatever was read of it.

use fixtures::{Chance, KINDS, Kind, PARLOUR, Surveyed, further_readings, survey_of};
use instrument::{At, Between, Of, Paired, Readings, SlotSurvey, StringRun, Taken, Uncertainty};
use known::{Evidence, Figure, Known, What};
use proptest::prelude::*;
use strings::Criterion;

/// A search that goes no lower ends within 1e-5 of a standard uncertainty.
const SETTLED: f64 = 2e-5;

/// A figure by its name: tools are counted in the order in which they were used, and so are told by their own names.
fn named(known: &Known, figure: Figure) -> String {
    match figure {
        Figure::Tool(tool, of) => format!("{} {of:?}", known.tools[tool]),
        figure => format!("{figure:?}"),
    }
}

/// Every figure with how far it is off and how sure it is, in order of their names; those that readings share over what was known of them
/// beforehand, which is told of the first reading.
fn all(known: &Known, turned: impl Fn(Figure) -> Figure) -> Vec<(String, f64, f64)> {
    let figures = known.figures.iter().enumerate();
    let mut all: Vec<(String, f64, f64)> = figures
        .map(|(at, figure)| {
            let estimate = &known.estimate;
            let before = known.rows.iter().find(|row| row.what == What::Before(*figure));
            let unit = match figure {
                Figure::Tool(..) | Figure::Pull(_) => before.unwrap().sure_to,
                _ => 1.0,
            };
            let (off, sure_to) = (estimate.state[at], estimate.sure_to(at));
            (named(known, turned(*figure)), off / unit, sure_to / unit)
        })
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

fn same(one: &[(String, f64, f64)], other: &[(String, f64, f64)]) -> Result<(), TestCaseError> {
    prop_assert_eq!(one.len(), other.len());
    for (a, b) in one.iter().zip(other) {
        prop_assert_eq!(&a.0, &b.0);
        prop_assert!((a.1 - b.1).abs() <= SETTLED * a.2, "{:?} {:?}", a, b);
        prop_assert!((a.2 / b.2 - 1.0).abs() <= SETTLED, "{:?} {:?}", a, b);
    }
    Ok(())
}

/// The same survey with other further readings.
fn again(of: &Evidence, taken: Vec<Taken>) -> Evidence {
    let readings = Readings {
        taken,
        ..of.readings.clone()
    };
    Evidence::of(of.instrument.clone(), of.slot, readings, of.unsure).unwrap()
}

/// Further readings off what is expected by errors of their own size.
fn with_errors(of: &Evidence, chance: &mut Chance) -> Vec<Taken> {
    let read = |taken: &Taken| Taken {
        value: taken.value + 0.7 * chance.normal() * taken.unsure.total(),
        ..taken.clone()
    };
    of.readings.taken.iter().map(read).collect()
}

/// The same instrument and survey of the other hand. Frets stand square.
fn mirrored(of: &Surveyed) -> Surveyed {
    let mut other = of.clone();
    let turn = |run: StringRun| StringRun {
        nut: -run.nut,
        slope: -run.slope,
    };
    other.survey.strings.reverse();
    other.survey.strings.iter_mut().for_each(|s| s.run = turn(s.run));
    other.instrument.strings.reverse();
    other.instrument.strings.iter_mut().for_each(|s| s.run = turn(s.run));
    match &mut other.survey.slot {
        SlotSurvey::Straightedge(ends) => ends.reverse(),
        SlotSurvey::Reference(ends) => ends.reverse(),
    }
    other.survey.under_tension.bridge_top.reverse();
    if let Some(ends) = &mut other.survey.exit {
        ends.reverse();
    }
    other.between.outer.reverse();
    other
}

fn mirrored_figure(figure: Figure, strings: usize) -> Figure {
    use Figure as F;
    let (end, string) = (|e: usize| 1 - e, |i: usize| strings - 1 - i);
    match figure {
        F::SlotPlace(e) => F::SlotPlace(end(e)),
        F::SlotHeight(e) => F::SlotHeight(end(e)),
        F::SlotThird(e) => F::SlotThird(end(e)),
        F::ReferenceDepth(e) => F::ReferenceDepth(end(e)),
        F::OldSeat(e) => F::OldSeat(end(e)),
        F::Nut(i) => F::Nut(string(i)),
        F::Action(i) => F::Action(string(i)),
        F::Contact(i) => F::Contact(string(i)),
        F::Axial(i) => F::Axial(string(i)),
        F::Bending(i) => F::Bending(string(i)),
        F::Mass(i) => F::Mass(string(i)),
        F::Pull(i) => F::Pull(string(i)),
        other => other,
    }
}

fn kinds() -> impl Strategy<Value = Kind> {
    (0..KINDS.len()).prop_map(|i| KINDS[i])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Repeats with one tool sharpen what each has to itself: two are sure to `s sqrt((1 + rho) / 2)`, without anything in common to
    /// `s / sqrt 2`, and n to `s sqrt((1 + (n - 1) rho) / n)`.
    #[test]
    fn repeats_sharpen_their_own_part(s in 0.01..0.1f64, rho in prop_oneof![Just(0.0), 0.0..0.95f64], times in 2usize..6) {
        let survey = PARLOUR.survey(Criterion::Octave);
        let relief = Taken {
            of: Of::Relief,
            at: At::Whole,
            value: 0.2,
            unsure: Paired::correlated(s, rho),
            tool: "feelers".to_owned(),
            visit: 1,
            doubted: false,
        };
        let readings = Readings {
            taken: vec![relief; times],
            struck: vec![(Of::Relief, At::Whole)],
            assumed: Vec::new(),
            between: Between::default(),
        };
        let evidence = Evidence::of(survey.instrument(), Some(survey.slot_seen()), readings, Uncertainty::default()).unwrap();
        let known = &evidence.known;
        let found = known.estimate.sure_to(known.at(Figure::Relief).unwrap());
        let n = times as f64;
        let want = s * ((1.0 + (n - 1.0) * rho) / n).sqrt();
        prop_assert!((found / want - 1.0).abs() < 1e-9, "{} {}", found, want);
        prop_assert!((known.off(Figure::Relief) - (0.2 - PARLOUR.relief)).abs() < 1e-9);
    }

    /// In whatever order readings are written.
    #[test]
    fn the_order_of_readings_does_not_matter(kind in kinds(), seed in any::<u64>()) {
        let mut chance = Chance::new(seed);
        let (_, evidence) = survey_of(kind, &mut chance);
        let taken = with_errors(&evidence, &mut chance);
        let mut turned = taken.clone();
        for i in (1..turned.len()).rev() {
            turned.swap(i, chance.one_of(i + 1));
        }
        let (one, other) = (again(&evidence, taken), again(&evidence, turned));
        same(&all(&one.known, |figure| figure), &all(&other.known, |figure| figure))?;
    }

    /// Bass for treble and treble for bass, the same is known of each.
    #[test]
    fn the_other_hand_is_known_as_well(kind in kinds().prop_filter("square frets", |kind| *kind != Kind::Fanned), seed in any::<u64>()) {
        let mut chance = Chance::new(seed);
        let surveyed = kind.some(&mut chance);
        let strings = surveyed.instrument.strings.len();
        let also = further_readings(&surveyed, &mut chance);
        let evidence = surveyed.read(&also);
        let taken = with_errors(&evidence, &mut chance);
        let turned = taken.iter().map(|taken| Taken {
            at: match taken.at {
                At::Whole => At::Whole,
                At::End(e) => At::End(1 - e),
                At::String(i) => At::String(strings - 1 - i),
            },
            ..taken.clone()
        });
        let other = again(&mirrored(&surveyed).read(&[]), turned.collect());
        let one = again(&evidence, taken);
        same(&all(&one.known, |figure| mirrored_figure(figure, strings)), &all(&other.known, |figure| figure))?;
    }

    /// At one state, a further reading makes nothing less sure.
    #[test]
    fn a_further_reading_makes_nothing_less_sure(kind in kinds(), seed in any::<u64>()) {
        let mut chance = Chance::new(seed);
        let surveyed = kind.some(&mut chance);
        let mut also = further_readings(&surveyed, &mut chance);
        prop_assume!(!also.is_empty());
        let further = also.remove(chance.one_of(also.len()));
        let less = surveyed.read(&also);
        also.push(further);
        let more = surveyed.read(&also);
        let after = all(&more.known, |figure| figure);
        for (name, _, sure) in all(&less.known, |figure| figure) {
            let found = after.iter().find(|other| other.0 == name);
            let (_, _, then) = found.unwrap();
            prop_assert!(*then <= sure * (1.0 + 1e-9), "{} {} {}", name, sure, then);
        }
    }
}
