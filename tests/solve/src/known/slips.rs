//! Slips in planted worlds: how often one is told where none is, and how often the right one is.

use fixtures::{Chance, some_survey, world};
use instrument::Of;
use known::{Evidence, Known, Row, Standing, What};
use rayon::prelude::*;
use std::ops::AddAssign;

/// What became of some worlds.
#[derive(Debug, Clone, Copy, Default)]
struct Counted {
    worlds: usize,
    /// So far from any instrument that the readings are refused; not among `worlds`.
    refused: usize,
    /// Told a slip.
    told: usize,
    /// The first told holds the planted row.
    right: usize,
    /// Some other than the first told holds it.
    late: usize,
    /// The first told does not hold it.
    wrong: usize,
    /// Some of those told does not hold it.
    beside: usize,
    /// Rows accused together, in all.
    accused: usize,
}

impl AddAssign for Counted {
    fn add_assign(&mut self, other: Self) {
        self.worlds += other.worlds;
        self.refused += other.refused;
        self.told += other.told;
        self.right += other.right;
        self.late += other.late;
        self.wrong += other.wrong;
        self.beside += other.beside;
        self.accused += other.accused;
    }
}

impl Counted {
    fn share(self, of: usize) -> f64 {
        of as f64 / self.worlds as f64
    }
}

/// A world of some instrument, with a slip of so many times its hidden size in one reading that the others check.
fn one(seed: u64, times: f64) -> Counted {
    let mut chance = Chance::new(seed);
    let (_, evidence) = some_survey(&mut chance);
    let mut rows = world(&evidence, &mut chance);
    let checked: Vec<Standing> = evidence
        .known
        .standings()
        .into_iter()
        .filter(|standing| !standing.is_unchecked())
        .collect();
    if checked.is_empty() {
        return Counted::default();
    }
    let planted = checked[chance.one_of(checked.len())];
    slip(&mut rows[planted.row], &planted, times, chance.is(0.5));
    match evidence.known.again(&evidence.seen(), rows) {
        Ok(known) => counted(&evidence, &known, planted.row),
        Err(_) => Counted {
            refused: 1,
            ..Counted::default()
        },
    }
}

/// A slip of so many times what hides, up or down; of what goes by a factor so many times its logarithm.
fn slip(row: &mut Row, standing: &Standing, times: f64, up: bool) {
    let sign = if up { times } else { -times };
    match row.what {
        What::Read(Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity, _) => {
            // Of the value that was read, as the size of what hides is told.
            row.value *= (sign * (standing.hidden / row.value).ln_1p()).exp();
        }
        _ => row.value += sign * standing.hidden,
    }
}

fn counted(evidence: &Evidence, known: &Known, planted: usize) -> Counted {
    let doubts = known.slips(&evidence.seen()).doubts;
    let holds = |at: usize| doubts[at].suspects.iter().any(|suspect| suspect.row == planted);
    let held: Vec<bool> = (0..doubts.len()).map(holds).collect();
    let first = held.first().copied();
    Counted {
        worlds: 1,
        told: usize::from(first.is_some()),
        right: usize::from(first == Some(true)),
        late: usize::from(first == Some(false) && held.contains(&true)),
        wrong: usize::from(first == Some(false)),
        beside: usize::from(held.contains(&false)),
        refused: 0,
        accused: doubts.first().map_or(0, |doubt| doubt.suspects.len()),
    }
}

fn run(worlds: u64, times: f64) -> Counted {
    let each = (0..worlds).into_par_iter().map(|seed| one(seed, times));
    each.reduce(Counted::default, |mut all, one| {
        all += one;
        all
    })
}

/// The bars are those of many worlds, with room for the chance of these few.
#[test]
fn slips_are_told_where_they_are_and_not_elsewhere() {
    let clean = run(200, 0.0);
    assert!(clean.share(clean.told) <= 0.03, "{clean:?}");
    let at_hidden = run(80, 1.0);
    assert!(at_hidden.share(at_hidden.told) >= 0.65, "{at_hidden:?}");
    let larger = run(80, 1.5);
    assert!(
        larger.share(larger.right) >= 0.92 && larger.share(larger.wrong) <= 0.03,
        "{larger:?}"
    );
}

#[test]
#[ignore = "takes minutes; it prints the figures over many worlds"]
fn figures_over_many_worlds() {
    let mut text = String::new();
    for (name, times) in [("clean", 0.0), ("at the hidden size", 1.0), ("at 1.5 times it", 1.5)] {
        let found = run(2000, times);
        text += &format!(
            "{name}: {} worlds, beside them refused {}, told {:.4}, right first {:.4}, right later {:.4}, wrong first {:.4}, some wrong {:.4}, accused together {:.2}\n",
            found.worlds,
            found.refused,
            found.share(found.told),
            found.share(found.right),
            found.share(found.late),
            found.share(found.wrong),
            found.share(found.beside),
            found.accused as f64 / found.told.max(1) as f64,
        );
    }
    panic!("{text}");
}
