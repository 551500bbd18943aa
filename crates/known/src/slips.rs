//! Which rows do not fit the others, and how large a slip would hide.

use crate::kinds::{Named, listed, named};
use crate::{Known, KnownError, Row, Seen, What};
use evidence::{Estimate, Test};
use instrument::Of;
use numerics::math;

/// Chance that a survey without a slip is accused of one.
pub const FALSE_ALARM: f64 = 0.01;
/// A reading of which others reveal less of a slip than this share is as good as unchecked. After W. Förstner's classes of controllability
/// (1987, from memory).
pub const LEAST_CHECKED: f64 = 0.01;
/// Rows that explain what does not fit nearly as well as the best are accused with it: by how much less the sum of squares may fall, the
/// chi-square of one figure with 1 % (6.635, handbook table).
const NEARLY: f64 = 6.635;
/// As [`NEARLY`], for rows whose tests go with that of the best by this much at least; less, and they are another's matter.
const KIN: f64 = 0.5;
/// Rows whose sums of squares differ by less than this explain alike.
const ALIKE: f64 = 1.0;
/// So do rows that explain this share of what the best explains: where something is far off, what bends on the way is as much. Our own
/// choice.
const AS_MUCH: f64 = 0.95;

/// A suspect that would have to be further off than this many times the likeliest one, each in its own standard uncertainties, is hardly
/// the one. Our own choice.
const FAR_FETCHED: f64 = 10.0;
/// How many times further off a reading may be than what is known beforehand, each in its own standard uncertainties, to be as likely the
/// one. Our own choice.
const SLIPS_OFTENER: f64 = 3.0;
/// Rows that are tried of those furthest off.
const TRIED: usize = 8;
/// The same of lists.
const LISTS_TRIED: usize = 2;

/// How a reading stands among the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Which of [`Known::rows`].
    pub row: usize,
    /// How much of a slip in it the others would reveal, 0 to 1.
    pub checked_share: f64,
    /// The largest slip in it that would go unnoticed one time in five, in its own unit; infinite where nothing checks it. Of a radius and
    /// of inharmonicity upward: downward less hides, the same times its value that it takes upward.
    pub hidden: f64,
}

impl Standing {
    /// Whether nothing that was read would reveal a slip in it.
    #[must_use]
    pub fn is_unchecked(&self) -> bool {
        self.checked_share < LEAST_CHECKED
    }
}

/// A row that would explain what does not fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Which of [`Known::rows`].
    pub row: usize,
    /// By how much its value is more than the others allow, in its own unit.
    pub over: f64,
    /// Standard uncertainty of that.
    pub sure_to: f64,
    /// How much of a slip in it the others would reveal, 0 to 1.
    pub checked_share: f64,
}

impl Suspect {
    /// How far off it is, in its own standard uncertainties.
    #[must_use]
    pub fn stretch(&self) -> f64 {
        self.over.abs() / (self.sure_to * self.checked_share.sqrt())
    }
}

/// Something that does not fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The row that explains it best, and those that cannot be told from it; the likeliest first.
    pub suspects: Vec<Suspect>,
    /// The slip of a kind that explains it as well.
    pub named: Option<Named>,
}

/// All that does not fit, the furthest off first.
#[derive(Debug, Clone, PartialEq)]
pub struct Slips {
    /// Each taken without those before it.
    pub doubts: Vec<Doubt>,
    /// The instrument without the first suspect of each, on the same figures; a list as its slip would have it meant. `None` where the
    /// others settle on none.
    pub without: Option<Known>,
}

impl Known {
    /// How each reading stands, in the order of [`Known::rows`]; what is known beforehand is left out.
    #[must_use]
    pub fn standings(&self) -> Vec<Standing> {
        let estimate = &self.estimate;
        let limit = estimate.limit(FALSE_ALARM);
        let tests = estimate.tests();
        let stands = |(row, test): (usize, &Test)| Standing {
            row,
            checked_share: test.checked_share,
            hidden: self.rows[row].hidden(estimate.hidden_slip(row, test, limit)),
        };
        let readings = tests.iter().enumerate().map(stands);
        readings
            .filter(|standing| self.rows[standing.row].is_reading())
            .collect()
    }

    /// What does not fit; `seen` is what this was made of. Nothing is changed by it.
    #[must_use]
    pub fn slips(&self, seen: &Seen) -> Slips {
        self.search(seen, Some(self.clone()))
    }

    /// What does not fit where the readings contradict each other so much that [`Known::of`] finds no instrument, beside the rows that it
    /// tells of, as if every one went on from the survey as it goes there.
    ///
    /// # Errors
    /// [`KnownError`] where no slip is the reason.
    pub fn contradicted(seen: &Seen) -> Result<(Self, Slips), KnownError> {
        let straight = Self::straight_of(seen)?;
        let slips = straight.search(seen, None);
        Ok((straight, slips))
    }

    /// Looks for slips one after the other; `settled` is the instrument by all rows, where there is one.
    fn search(&self, seen: &Seen, mut settled: Option<Self>) -> Slips {
        let mut doubts = Vec::new();
        let mut rows = self.rows.clone();
        // Which of this one's rows each row is.
        let mut places: Vec<usize> = (0..rows.len()).collect();
        while doubts.len() < self.estimate.redundancy() {
            if settled.as_ref().is_some_and(|known| known.fits()) {
                break;
            }
            let Some(state) = self.without_worst(seen, &rows, settled.as_ref()) else {
                break;
            };
            let Ok(there) = self.straight(seen, rows.clone(), &state) else {
                break;
            };
            // What only bends the state is told where it was bent to.
            let bent = || settled.as_ref()?.worst(seen);
            let Some(found) = there.worst(seen).or_else(bent) else {
                break;
            };
            let Some(first) = found.suspects.first().copied() else {
                break;
            };
            let told = |row: usize| places[row];
            let list = found.named.as_ref().filter(|named| named.rows.len() > 1);
            if let Some(list) = list {
                // The others are then read as the slip would have it.
                for (row, meant) in &list.rows {
                    rows[*row].value = *meant;
                }
            } else {
                rows.remove(first.row);
            }
            let listed = list.is_some();
            let suspect = |suspect: &Suspect| Suspect {
                row: told(suspect.row),
                ..*suspect
            };
            doubts.push(Doubt {
                suspects: found.suspects.iter().map(suspect).collect(),
                named: found.named.map(|named| named.told(told)),
            });
            if !listed {
                places.remove(first.row);
            }
            settled = self.from(seen, rows.clone(), &state).ok();
        }
        Slips {
            doubts,
            without: settled,
        }
    }

    /// Whether nothing is over the limit.
    fn fits(&self) -> bool {
        let limit = self.estimate.limit(FALSE_ALARM);
        let tests = self.estimate.tests();
        tests.iter().all(|test| test.off.is_none_or(|off| off.abs() < limit))
    }

    /// The state by all but the row without which these rows fit best, or with a list as a slip of a kind would have it. A slip bends
    /// the state so far that what it bends is accused in its place; without it the state is where the others have it.
    fn without_worst(&self, seen: &Seen, rows: &[Row], settled: Option<&Self>) -> Option<Vec<f64>> {
        let survey = vec![0.0; self.figures.len()];
        let straight = self.straight(seen, rows.to_vec(), &survey).ok();
        let mut worst: Vec<usize> = Vec::new();
        for known in settled.into_iter().chain(&straight) {
            let tests = known.estimate.tests();
            let off = |row: usize| tests[row].off.map_or(0.0, f64::abs);
            let mut order: Vec<usize> = (0..tests.len()).collect();
            order.sort_by(|a, b| off(*b).total_cmp(&off(*a)));
            worst.extend(order.into_iter().take(TRIED));
        }
        worst.sort_unstable();
        worst.dedup();
        let without = worst.into_iter().map(|row| {
            let mut rows = rows.to_vec();
            rows.remove(row);
            rows
        });
        let lists = straight
            .as_ref()
            .map_or_else(Vec::new, |known| listed(known, seen, LISTS_TRIED));
        let turned = lists.into_iter().map(|named| {
            let mut rows = rows.to_vec();
            for (row, meant) in named.rows {
                rows[row].value = meant;
            }
            rows
        });
        let fitted = without
            .chain(turned)
            .filter_map(|rows| self.from(seen, rows, &survey).ok());
        let best = fitted.min_by(|a, b| a.estimate.squares().total_cmp(&b.estimate.squares()))?;
        Some(best.estimate.state.as_slice().to_vec())
    }

    /// What fits worst, if it is over the limit.
    fn worst(&self, seen: &Seen) -> Option<Doubt> {
        let estimate = &self.estimate;
        let tests = estimate.tests();
        let off = |row: usize| tests[row].off.map_or(0.0, f64::abs);
        let best = (0..tests.len()).max_by(|a, b| off(*a).total_cmp(&off(*b)))?;
        let limit = estimate.limit(FALSE_ALARM);
        if off(best) < limit {
            return None;
        }
        let group = self.accused(&tests, best);
        let mut suspects: Vec<Suspect> = group.iter().filter_map(|row| suspect(estimate, &tests, *row)).collect();
        let near = nearest(&suspects) * FAR_FETCHED;
        let likely = suspects.iter().filter(|suspect| suspect.stretch() <= near);
        let likely: Vec<usize> = likely.map(|suspect| suspect.row).collect();
        let named = named(self, seen, &likely, off(best), limit);
        if let Some(named) = &named {
            // What a slip of a kind explains is doubted first.
            let listed = |row: usize| named.rows.iter().any(|(of, _)| *of == row);
            suspects.retain(|suspect| !listed(suspect.row));
            let first = named.rows.iter();
            let first = first.filter_map(|(row, _)| suspect(estimate, &tests, *row));
            suspects.splice(0..0, first);
        }
        Some(Doubt { suspects, named })
    }

    /// A row and all that cannot be told from it, the likeliest first.
    fn accused(&self, tests: &[Test], best: usize) -> Vec<usize> {
        let off = |row: usize| tests[row].off.map_or(0.0, |off| off * off);
        let worse = |row: usize| off(best) - off(row);
        let mut group = self.estimate.group(tests, best);
        let nearly = (0..tests.len()).filter(|row| {
            let kin = self.estimate.together(tests, best, *row);
            worse(*row) < NEARLY && kin.is_some_and(|r| (KIN..evidence::TOGETHER).contains(&r.abs()))
        });
        group.extend(nearly);
        // Of those that explain alike, the one that has to be off by least, in its own standard uncertainties: of what is known beforehand
        // that has to be much less than of a reading, in which slips are made.
        let stretch = |row: usize| {
            let slips = if self.rows[row].is_reading() {
                SLIPS_OFTENER
            } else {
                1.0
            };
            (off(row) / tests[row].checked_share).sqrt() / slips
        };
        group.sort_by(|a, b| {
            let class = |row: usize| worse(row) >= ALIKE && off(row) < AS_MUCH * off(best);
            class(*a).cmp(&class(*b)).then_with(|| {
                if class(*a) {
                    off(*b).total_cmp(&off(*a))
                } else {
                    stretch(*a).total_cmp(&stretch(*b))
                }
            })
        });
        group
    }
}

/// How far off the likeliest of these is, in its own standard uncertainties.
fn nearest(suspects: &[Suspect]) -> f64 {
    suspects.iter().map(Suspect::stretch).fold(f64::INFINITY, f64::min)
}

impl Doubt {
    /// Whether this suspect would have to be off by so much that it is hardly the one.
    #[must_use]
    pub fn is_far_fetched(&self, suspect: &Suspect) -> bool {
        suspect.stretch() > FAR_FETCHED * nearest(&self.suspects)
    }
}

fn suspect(estimate: &Estimate, tests: &[Test], row: usize) -> Option<Suspect> {
    let test = tests[row];
    test.off?;
    let checked_share = test.checked_share;
    let own = estimate.uncertainty(row);
    Some(Suspect {
        row,
        over: estimate.residual(row) / checked_share,
        sure_to: own / checked_share.sqrt(),
        checked_share,
    })
}

impl Row {
    /// Whether it was read, and is not known beforehand.
    #[must_use]
    pub fn is_reading(&self) -> bool {
        matches!(self.what, What::Read(..) | What::Strung(..))
    }

    /// The largest slip that hides in it, where one of `size` would if the state went with it in a straight line. A figure that is off by a
    /// factor goes with the logarithm of what is read of it, so that more hides upward.
    fn hidden(&self, size: f64) -> f64 {
        match self.what {
            What::Read(Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity, _) if self.value > 0.0 => {
                self.value * math::exp_m1(size / self.value)
            }
            _ => size,
        }
    }
}
