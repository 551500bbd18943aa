//! What is stated before a saddle is made, against what happens: planted instruments, readings of them with their errors, the plan by what these
//! say together, the saddle made with its own errors.

use fixtures::{Chance, KINDS, Kind, planted, read_also, survey_of};
use instrument::{At, Of, Paired, Uncertainty};
use known::Evidence;
use rayon::prelude::*;
use saddle::SaddleSurvey;
use saddle::tolerance::{Band, Endings, shown};
use strings::Criterion;

/// One world: the chance that was stated, whether it happened, and every action's error over what it was sure to.
struct Outcome {
    stated: f64,
    happened: bool,
    action: Vec<f64>,
    cents: Vec<f64>,
}

/// `None` where these readings make no instrument or no plan.
fn outcome(of: &Evidence, survey: &SaddleSurvey, chance: &mut Chance) -> Option<Outcome> {
    let (truth, rows) = planted(of, chance);
    let mut found = of.clone();
    found.known = of.known.again(&of.seen(), rows).ok()?;
    let known_survey = survey.by(&found);
    let plan = saddle::plan(&known_survey).ok()?;
    let band = Band::default();
    let endings = Endings::of(&found, &known_survey, &plan, band).ok()?;
    let covariance = &endings.slopes * &found.known.estimate.covariance * endings.slopes.transpose();
    let stated = endings.together(covariance.as_view());
    let variances = endings.variances(covariance.as_view());
    let ends = shown(&found, &known_survey, &plan, &truth, || chance.normal())?;
    let off = |i: usize| {
        let (s, plan) = (&ends[i], &plan.strings[i]);
        [
            (s.action - plan.action_12) / band.action,
            (s.cents - plan.cents[11]) / band.cents,
        ]
    };
    let each: Vec<[f64; 2]> = (0..ends.len()).map(off).collect();
    Some(Outcome {
        stated,
        happened: each.iter().flatten().all(|off| off.abs() <= 1.0),
        action: each
            .iter()
            .enumerate()
            .map(|(i, off)| off[0] / variances[2 * i].sqrt())
            .collect(),
        cents: each
            .iter()
            .enumerate()
            .map(|(i, off)| off[1] / variances[2 * i + 1].sqrt())
            .collect(),
    })
}

/// What became of many worlds.
#[derive(Default)]
struct Tally {
    worlds: usize,
    lost: usize,
    tenths: [(usize, f64, usize); 10],
    action: Vec<f64>,
    cents: Vec<f64>,
}

impl Tally {
    fn take(&mut self, outcome: Option<Outcome>) {
        let Some(found) = outcome else {
            self.lost += 1;
            return;
        };
        self.worlds += 1;
        let (count, stated, happened) = &mut self.tenths[((10.0 * found.stated) as usize).min(9)];
        *count += 1;
        *stated += found.stated;
        *happened += usize::from(found.happened);
        self.action.extend(found.action);
        self.cents.extend(found.cents);
    }

    fn with(mut self, other: Self) -> Self {
        self.worlds += other.worlds;
        self.lost += other.lost;
        for (sum, tenth) in self.tenths.iter_mut().zip(other.tenths) {
            sum.0 += tenth.0;
            sum.1 += tenth.1;
            sum.2 += tenth.2;
        }
        self.action.extend(other.action);
        self.cents.extend(other.cents);
        self
    }

    fn stated(&self) -> (f64, f64) {
        let sum = |of: fn(&(usize, f64, usize)) -> f64| self.tenths.iter().map(of).sum::<f64>() / self.worlds as f64;
        (sum(|t| t.1), sum(|t| t.2 as f64))
    }

    /// Share of errors within 1.96 of what they are sure to, and their root mean square over that.
    fn spread(errors: &[f64]) -> (f64, f64) {
        let n = errors.len() as f64;
        let inside = errors.iter().filter(|z| z.abs() <= 1.96).count() as f64 / n;
        (inside, (errors.iter().map(|z| z * z).sum::<f64>() / n).sqrt())
    }

    #[allow(clippy::print_stdout)] // figures that are looked at, not only held
    fn print(&self, name: &str) {
        let (stated, happened) = self.stated();
        println!(
            "{name}: {} worlds ({} lost), stated {stated:.3}, happened {happened:.3}",
            self.worlds, self.lost
        );
        for (i, (count, stated, happened)) in self.tenths.iter().enumerate().filter(|(_, t)| t.0 > 0) {
            let n = *count as f64;
            println!(
                "  {}-{} %: {count} worlds, stated {:.3}, happened {:.3}",
                10 * i,
                10 * i + 10,
                stated / n,
                *happened as f64 / n
            );
        }
        for (name, errors) in [("action", &self.action), ("cents", &self.cents)] {
            let (inside, rms) = Self::spread(errors);
            println!("  {name}: {inside:.4} inside 95 %, RMS {rms:.3} of what is told");
        }
    }
}

/// So many surveys of a kind, so many worlds of each.
fn some(kind: Kind, surveys: u64, worlds: usize, seed: u64) -> Tally {
    let each = (0..surveys).into_par_iter().map(|i| {
        let mut chance = Chance::new(seed.wrapping_mul(1_000_003).wrapping_add(i));
        let mut tally = Tally::default();
        let (survey, evidence) = survey_of(kind, &mut chance);
        for _ in 0..worlds {
            tally.take(outcome(&evidence, &survey, &mut chance));
        }
        tally
    });
    each.collect::<Vec<Tally>>()
        .into_iter()
        .fold(Tally::default(), Tally::with)
}

/// Surveys of every kind with readings at random: the chance that is stated is the chance that happens.
#[test]
fn what_is_stated_happens() {
    let mut all = Tally::default();
    for kind in KINDS {
        let tally = some(kind, 6, 10, 11);
        tally.print(&format!("{kind:?}"));
        assert!(20 * tally.lost <= tally.worlds, "{kind:?}: {} lost", tally.lost);
        all = all.with(tally);
    }
    all.print("any survey");
    let (stated, happened) = all.stated();
    // Three standard deviations of 720 worlds, some more for those of one survey going together.
    assert!((stated - happened).abs() < 0.06, "stated {stated}, happened {happened}");
    for errors in [&all.action, &all.cents] {
        let (inside, rms) = Tally::spread(errors);
        assert!(
            (0.92..0.975).contains(&inside) && (0.9..1.1).contains(&rms),
            "{inside} {rms}"
        );
    }
}

/// The figures over some 2,000 surveys, 30 worlds each.
#[test]
#[ignore = "minutes"]
fn stated_and_happened_over_many() {
    let mut all = Tally::default();
    for (kind, seed) in KINDS.into_iter().zip(100..) {
        let tally = some(kind, 167, 30, seed);
        tally.print(&format!("{kind:?}"));
        all = all.with(tally);
    }
    all.print("any survey");
    for (count, stated, happened) in all.tenths.iter().filter(|tenth| tenth.0 >= 3000) {
        let n = *count as f64;
        let apart = (stated - *happened as f64) / n;
        assert!(
            apart.abs() < 0.02,
            "of {count} stated {}, happened {happened}",
            stated / n
        );
    }
    for errors in [&all.action, &all.cents] {
        let (inside, rms) = Tally::spread(errors);
        assert!(
            (0.94..0.96).contains(&inside) && (0.95..1.05).contains(&rms),
            "{inside} {rms}"
        );
    }
}

/// The parlour guitar with 24 further readings of four kinds: present action, heights and backs of the present saddle, cents.
fn with_four_kinds(cents: f64) -> Tally {
    let mut also = Vec::new();
    for of in [
        Of::Action { fret: 12 },
        Of::SaddleHeight,
        Of::SaddleBack,
        Of::Cents { fret: 12 },
    ] {
        also.extend((0..6).map(|i| (of, At::String(i), 1)));
    }
    let unsure = Uncertainty {
        cents: Paired::correlated(cents, 0.8),
        // Feelers.
        present_action: Paired::correlated(0.025, 0.5),
        ..Uncertainty::default()
    };
    let evidence = read_also(&fixtures::PARLOUR, &unsure, &also);
    let survey = fixtures::PARLOUR.survey(Criterion::Octave);
    let (mut chance, mut tally) = (Chance::new(3), Tally::default());
    for _ in 0..600 {
        tally.take(outcome(&evidence, &survey, &mut chance));
    }
    tally
}

/// 24 further readings of four kinds make the saddle right the first time, as sure as is stated.
#[test]
fn four_kinds_of_readings_make_it_right() {
    for cents in [1.5, 1.0] {
        let tally = with_four_kinds(cents);
        tally.print(&format!("four kinds, cents sure to {cents}"));
        let (stated, happened) = tally.stated();
        assert!((stated - happened).abs() < 0.04, "stated {stated}, happened {happened}");
    }
}
