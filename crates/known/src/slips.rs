//! Which rows do not fit the others, and how large a slip would hide.

use crate::kinds::{Named, named};
use crate::{Known, Row, Seen, What};
use evidence::{Estimate, Test};

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

/// How a reading stands among the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Which of [`Known::rows`].
    pub row: usize,
    /// How much of a slip in it the others would reveal, 0 to 1.
    pub checked_share: f64,
    /// The largest slip in it that would go unnoticed one time in five, in its own unit; infinite where nothing checks it.
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
            hidden: estimate.hidden_slip(row, test, limit),
        };
        let readings = tests.iter().enumerate().map(stands);
        readings
            .filter(|standing| self.rows[standing.row].is_reading())
            .collect()
    }

    /// What does not fit; `seen` is what this was made of. Nothing is changed by it.
    #[must_use]
    pub fn slips(&self, seen: &Seen) -> Slips {
        let mut doubts = Vec::new();
        let mut now = self.clone();
        // Which of this one's rows each row is.
        let mut places: Vec<usize> = (0..self.rows.len()).collect();
        while let Some(found) = now.worst(seen) {
            let told = |row: usize| places[row];
            let mut rows = now.rows.clone();
            match &found.named {
                // The others are then read as the slip would have it.
                Some(named) if named.rows.len() > 1 => {
                    for (row, meant) in &named.rows {
                        rows[*row].value = *meant;
                    }
                }
                _ => {
                    let Some(first) = found.suspects.first() else { break };
                    rows.remove(first.row);
                }
            }
            let left_out = (rows.len() < now.rows.len())
                .then(|| found.suspects.first().map(|first| first.row))
                .flatten();
            doubts.push(Doubt {
                suspects: found
                    .suspects
                    .iter()
                    .map(|suspect| Suspect {
                        row: told(suspect.row),
                        ..*suspect
                    })
                    .collect(),
                named: found.named.map(|named| named.told(told)),
            });
            if let Some(left_out) = left_out {
                places.remove(left_out);
            }
            if doubts.len() >= self.estimate.redundancy() {
                break;
            }
            let Ok(without) = now.again(seen, rows) else { break };
            now = without;
        }
        Slips { doubts }
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
        let mut group = self.accused(&tests, best);
        let named = named(self, seen, &group, off(best), limit);
        if let Some(named) = &named
            && named.rows.len() > 1
        {
            // A list that explains it is what is doubted first.
            let listed = |row: &usize| named.rows.iter().any(|(of, _)| of == row);
            group.retain(|row| !listed(row));
            group.splice(0..0, named.rows.iter().map(|(row, _)| *row));
        }
        let suspects = group.iter().filter_map(|row| suspect(estimate, &tests, *row)).collect();
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
        // Of those that explain alike, the one that has to be off by least.
        group.sort_by(|a, b| {
            let class = |row: usize| worse(row) >= ALIKE;
            class(*a).cmp(&class(*b)).then_with(|| {
                if class(*a) {
                    off(*b).total_cmp(&off(*a))
                } else {
                    tests[*b].checked_share.total_cmp(&tests[*a].checked_share)
                }
            })
        });
        group
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
        matches!(self.what, What::Read(..))
    }
}
