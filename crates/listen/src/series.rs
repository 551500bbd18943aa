//! The series that partials agree on: pitch, B, and the body's mass, fitted together and robustly.

use nalgebra::{DMatrix, DVector};

/// Cents per unit of B at n = 1 and small B, `600/ln 2`.
const PER_B: f64 = 865.617_024_533_378_2;
/// How far the body is thought to pull partial 1 above its resonances, cents: a mass at the end of a low string pulls by 9. What resonances
/// just below add goes as `1/n^4`, and is as large at most.
const PULL: [f64; 2] = [9.0, 9.0];
/// How far B is thought to be from nought before any partial is seen: hardly anything is known.
const BEFORE: f64 = 2e-3;
/// How far from what it should be about, as a share of that, B of a series that is tried may lie.
const UNLIKE: f64 = 1.5;
/// Figures that all stretches share: B and both terms of the body's pull.
const SHARED: usize = 3;
/// Tukey's cut, in standard deviations: 95 % as sharp as least squares where nothing is wrong. P. J. Huber, Robust Statistics (1981).
const CUT: f64 = 4.685;
/// Median of an absolute normal deviate.
const MEDIAN: f64 = 0.674_489_750_196_081_7;
/// Rounds of reweighting.
const ROUNDS: usize = 30;
/// Partials are not believed to stand nearer to one series than this, cents: two polarisations, the foot of a neighbour.
const NEAREST: f64 = 0.03;
/// A series that is tried passes a partial by this, cents, where it agrees with it.
const PASSES: f64 = 0.7;
/// The lowest partials, which the body pulls most, start no trial.
const TRIED_FROM: u32 = 3;
/// Largest B of any string.
const LARGEST: f64 = 0.02;
/// Fewest partials of a series, and how many must count in the end.
pub(crate) const FEWEST: usize = 5;
const LEAST_COUNT: f64 = 3.5;

/// Where a partial stands in one stretch of the sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stands {
    /// Its number.
    pub(crate) n: u32,
    /// The stretch.
    pub(crate) stretch: usize,
    /// Cents over n times the pitch that all are held against.
    pub(crate) cents: f64,
    /// Its standard uncertainty by the noise about it, cents.
    pub(crate) sure_to: f64,
}

/// A series: B and what the body adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    /// B.
    pub(crate) b: f64,
    /// Cents at n = 1, of `1/n^2` and of `1/n^4`.
    pub(crate) pull: [f64; 2],
}

impl Line {
    /// Of a string on a body that holds.
    pub(crate) fn of(b: f64) -> Self {
        Self { b, pull: [0.0, 0.0] }
    }

    /// Cents of partial n over n times the pitch.
    pub(crate) fn place(&self, n: f64) -> f64 {
        stiff(self.b, n) + self.pull[0] / n.powi(2) + self.pull[1] / n.powi(4)
    }
}

/// Cents of partial n over n times the pitch for stiffness alone.
pub(crate) fn stiff(b: f64, n: f64) -> f64 {
    600.0 * (1.0 + b * n * n).max(0.1).log2()
}

/// What partials agree on.
#[derive(Debug, Clone)]
pub(crate) struct Agreed {
    /// The series.
    pub(crate) line: Line,
    /// Standard uncertainty of B.
    pub(crate) b_sure_to: f64,
    /// Stretches in which partials were seen.
    pub(crate) seen_in: Vec<usize>,
    /// Pitch of each of these over the pitch that all are held against, cents.
    pub(crate) stretches: Vec<f64>,
    /// Their covariance, cents squared.
    pub(crate) covariance: DMatrix<f64>,
    /// Scatter of the partials about the series, cents.
    pub(crate) scatter: f64,
    /// Partials by number, and how much each counts, 0 to 1.
    pub(crate) partials: Vec<(u32, f64)>,
}

/// The middle of some numbers; 0 of none.
pub(crate) fn median(mut of: Vec<f64>) -> f64 {
    if of.is_empty() {
        return 0.0;
    }
    let middle = of.len() / 2;
    *of.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// The series through two partials that most others of one stretch agree with; B should be about `usual`.
pub(crate) fn tried(all: &[Stands], usual: f64) -> Line {
    let first: Vec<&Stands> = all.iter().filter(|stands| stands.n >= TRIED_FROM).collect();
    let mut best = (f64::NEG_INFINITY, Line::of(usual));
    for (i, one) in first.iter().enumerate() {
        for other in first.iter().skip(i + 1) {
            let [n, m] = [one.n, other.n].map(|n| f64::from(n).powi(2));
            let b = (other.cents - one.cents) / (PER_B * (m - n));
            let line = Line::of(b);
            if !(0.0..=LARGEST).contains(&b) {
                continue;
            }
            let at = one.cents - line.place(f64::from(one.n));
            let agrees = |stands: &&Stands| {
                let off = (stands.cents - at - line.place(f64::from(stands.n))) / PASSES.hypot(stands.sure_to);
                (1.0 - off * off).max(0.0)
            };
            let unlike = 0.5 * ((b - usual) / (UNLIKE * usual)).powi(2);
            let score = first.iter().map(agrees).sum::<f64>() - unlike;
            if score > best.0 {
                best = (score, line);
            }
        }
    }
    best.1
}

/// All that is fitted, as it is reweighted.
struct Fit<'a> {
    all: &'a [Stands],
    numbers: Vec<u32>,
    /// In how many stretches each partial stands: what it has in all of them is not lessened by their number.
    shared: Vec<f64>,
    counts: Vec<f64>,
    scatter: f64,
    line: Line,
    stretches: Vec<f64>,
}

impl Fit<'_> {
    fn of(&self, n: u32) -> usize {
        self.numbers.binary_search(&n).unwrap_or(0)
    }

    /// What a change of each figure does to a partial, with the figure's place. B by the millionth, so that all are of one size.
    fn row(&self, stands: &Stands) -> [(usize, f64); SHARED + 1] {
        let n = f64::from(stands.n);
        let by_b = PER_B * n * n / (1.0 + self.line.b * n * n).max(0.1);
        [
            (0, 1e-6 * by_b),
            (1, n.powi(-2)),
            (2, n.powi(-4)),
            (SHARED + stands.stretch, 1.0),
        ]
    }

    fn left(&self, stands: &Stands) -> f64 {
        stands.cents - self.line.place(f64::from(stands.n)) - self.stretches.get(stands.stretch).copied().unwrap_or(0.0)
    }

    fn weight(&self, stands: &Stands) -> f64 {
        let i = self.of(stands.n);
        self.counts[i] / (stands.sure_to.powi(2) + self.shared[i] * self.scatter * self.scatter)
    }

    /// Each partial's own way off the series over all stretches, with its variance by noise.
    fn off(&self) -> Vec<(f64, f64)> {
        let mut off = vec![(0.0, 0.0); self.numbers.len()];
        for stands in self.all {
            let weight = stands.sure_to.powi(-2);
            let (sum, total) = &mut off[self.of(stands.n)];
            *sum += weight * self.left(stands);
            *total += weight;
        }
        off.into_iter()
            .map(|(sum, total)| (sum / total, total.recip()))
            .collect()
    }

    /// One step to the least squares; the inverse of the normal matrix.
    fn step(&mut self) -> Option<DMatrix<f64>> {
        let size = SHARED + self.stretches.len();
        let mut normal = DMatrix::<f64>::zeros(size, size);
        let mut right = DVector::<f64>::zeros(size);
        let before = [
            (-1e6 * self.line.b, 1e6 * BEFORE),
            (-self.line.pull[0], PULL[0]),
            (-self.line.pull[1], PULL[1]),
        ];
        for (i, (off, sure_to)) in before.into_iter().enumerate() {
            normal[(i, i)] += sure_to.powi(-2);
            right[i] += off / (sure_to * sure_to);
        }
        for stands in self.all {
            let (weight, left, row) = (self.weight(stands), self.left(stands), self.row(stands));
            for (i, x) in row {
                right[i] += weight * x * left;
                for (j, y) in row {
                    normal[(i, j)] += weight * x * y;
                }
            }
        }
        // A stretch without partials stays where it is.
        for i in 0..size {
            if normal[(i, i)] == 0.0 {
                normal[(i, i)] = 1.0;
            }
        }
        let inverse = normal.try_inverse()?;
        let by = &inverse * right;
        self.line.b = (self.line.b + 1e-6 * by[0]).clamp(-LARGEST, LARGEST);
        self.line.pull[0] += by[1];
        self.line.pull[1] += by[2];
        self.stretches
            .iter_mut()
            .zip(by.iter().skip(SHARED))
            .for_each(|(at, by)| *at += by);
        Some(inverse)
    }

    /// Weighs the partials anew; whether that changed little.
    fn reweigh(&mut self, scatter: Option<f64>) -> bool {
        let off = self.off();
        let spread = median(off.iter().map(|(left, _)| left.abs()).collect()) / MEDIAN;
        let noise = median(off.iter().map(|(_, own)| *own).collect());
        self.scatter = scatter.unwrap_or_else(|| (spread * spread - noise).max(0.0).sqrt().max(NEAREST));
        let next = off.iter().map(|(left, own)| {
            let z = left / (CUT * (self.scatter * self.scatter + own).sqrt());
            if z.abs() < 1.0 { (1.0 - z * z).powi(2) } else { 0.0 }
        });
        let next: Vec<f64> = next.collect();
        let still = next.iter().zip(&self.counts).all(|(a, b)| (a - b).abs() < 1e-4);
        self.counts = next;
        still
    }

    /// What the partials themselves say of how sure it is: each one's misfits belong together.
    fn said(&self, inverse: &DMatrix<f64>) -> DMatrix<f64> {
        let size = SHARED + self.stretches.len();
        let mut meat = DMatrix::<f64>::zeros(size, size);
        let mut scores = vec![DVector::<f64>::zeros(size); self.numbers.len()];
        for stands in self.all {
            let by = self.weight(stands) * self.left(stands);
            let score = &mut scores[self.of(stands.n)];
            for (i, x) in self.row(stands) {
                score[i] += by * x;
            }
        }
        for score in scores {
            meat += &score * score.transpose();
        }
        let effective: f64 = self.counts.iter().sum();
        inverse * meat * inverse * (effective / (effective - 3.0).max(0.5))
    }
}

/// Fits pitch of each of so many stretches, B and the body's pull, robustly, beginning with a series. `None` with too few partials.
pub(crate) fn agreed(all: &[Stands], stretches: usize, from: Line) -> Option<Agreed> {
    let mut numbers: Vec<u32> = all.iter().map(|stands| stands.n).collect();
    numbers.sort_unstable();
    numbers.dedup();
    if numbers.len() < FEWEST || stretches == 0 {
        return None;
    }
    let at = |stretch: usize| {
        let own = all.iter().filter(|stands| stands.stretch == stretch);
        median(
            own.map(|stands| stands.cents - from.place(f64::from(stands.n)))
                .collect(),
        )
    };
    let mut fit = Fit {
        all,
        shared: numbers
            .iter()
            .map(|n| count(all.iter().filter(|stands| stands.n == *n)))
            .collect(),
        counts: vec![1.0; numbers.len()],
        numbers,
        scatter: PASSES,
        line: from,
        stretches: (0..stretches).map(at).collect(),
    };
    // Where the series begins it is believed to PASSES.
    fit.reweigh(Some(PASSES));
    let mut inverse = fit.step()?;
    for _ in 0..ROUNDS {
        let still = fit.reweigh(None);
        inverse = fit.step()?;
        if still {
            break;
        }
    }
    if fit.counts.iter().sum::<f64>() < LEAST_COUNT {
        return None;
    }
    let said = fit.said(&inverse);
    // Where few partials happen to lie well, the weights' own covariance is the surer word.
    let wider = |i: usize| (said[(i, i)] / inverse[(i, i)]).max(1.0).sqrt();
    let seen_in: Vec<usize> = (0..stretches)
        .filter(|at| all.iter().any(|stands| stands.stretch == *at))
        .collect();
    let covariance = DMatrix::from_fn(seen_in.len(), seen_in.len(), |i, j| {
        let (i, j) = (SHARED + seen_in[i], SHARED + seen_in[j]);
        inverse[(i, j)] * wider(i) * wider(j)
    });
    Some(Agreed {
        line: fit.line,
        b_sure_to: 1e-6 * inverse[(0, 0)].sqrt() * wider(0),
        covariance,
        scatter: fit.scatter,
        partials: fit.numbers.iter().copied().zip(fit.counts).collect(),
        stretches: seen_in.iter().map(|at| fit.stretches[*at]).collect(),
        seen_in,
    })
}

#[allow(clippy::cast_precision_loss)] // a few
fn count(of: impl Iterator) -> f64 {
    of.count() as f64
}
