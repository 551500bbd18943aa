//! The series that partials agree on: pitch, B, and the body's mass, fitted together and robustly.

use nalgebra::{DMatrix, DVector, Matrix3, Vector3};
use numerics::math;

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
        stiff(self.b, n) + self.pull[0] / math::powi(n, 2) + self.pull[1] / math::powi(n, 4)
    }
}

/// Cents of partial n over n times the pitch for stiffness alone.
pub(crate) fn stiff(b: f64, n: f64) -> f64 {
    600.0 * math::log2((1.0 + b * n * n).max(0.1))
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
    // A partial with its number's square, and what it is passed by.
    let first: Vec<(&Stands, f64, f64)> = all
        .iter()
        .filter(|stands| stands.n >= TRIED_FROM)
        .map(|stands| {
            (
                stands,
                math::powi(f64::from(stands.n), 2),
                math::hypot(PASSES, stands.sure_to),
            )
        })
        .collect();
    let most = count(&first);
    let mut best = (f64::NEG_INFINITY, Line::of(usual));
    for (i, (one, n, _)) in first.iter().enumerate() {
        for (other, m, _) in first.iter().skip(i + 1) {
            let b = (other.cents - one.cents) / (PER_B * (m - n));
            if !(0.0..=LARGEST).contains(&b) {
                continue;
            }
            let unlike = 0.5 * math::powi((b - usual) / (UNLIKE * usual), 2);
            // Not even with all of them would it be the best.
            if most - unlike <= best.0 {
                continue;
            }
            let line = Line::of(b);
            let at = one.cents - line.place(f64::from(one.n));
            let agrees = |(stands, _, passes): &(&Stands, f64, f64)| {
                let off = (stands.cents - at - line.place(f64::from(stands.n))) / passes;
                (1.0 - off * off).max(0.0)
            };
            let score = first.iter().map(agrees).sum::<f64>() - unlike;
            if score > best.0 {
                best = (score, line);
            }
        }
    }
    best.1
}

/// What is the same of one partial in all stretches.
struct Number {
    n: u32,
    /// Its square, and `1/n^2` and `1/n^4`.
    square: f64,
    pulled: [f64; 2],
    /// In how many stretches it stands: what it has in all of them is not lessened by their number.
    shared: f64,
    /// How much it counts, 0 to 1.
    counts: f64,
    /// Where the line has it, cents, and what a millionth of B does to that.
    place: f64,
    by_b: f64,
}

/// All that is fitted, as it is reweighted.
struct Fit<'a> {
    all: &'a [Stands],
    numbers: Vec<Number>,
    /// Which of the numbers each has.
    which: Vec<usize>,
    scatter: f64,
    line: Line,
    stretches: Vec<f64>,
}

/// The normal equations: what all stretches share, and each stretch by itself, for no partial stands in two.
struct Normal {
    shared: Matrix3<f64>,
    right: Vector3<f64>,
    /// Of each stretch: its weight, its weight with what is shared, and its right side.
    stretches: Vec<(f64, Vector3<f64>, f64)>,
}

impl Normal {
    /// Covariance of what is shared.
    fn inverse(&self) -> Option<Matrix3<f64>> {
        let each = self
            .stretches
            .iter()
            .map(|(own, with, _)| with * with.transpose() / *own);
        // What is known of something is positive. (`try_inverse` would bring a page of code for four by four into the build.)
        Some((self.shared - each.sum::<Matrix3<f64>>()).cholesky()?.inverse())
    }

    /// The step to the least squares, of what is shared and of each stretch.
    fn solved(&self) -> Option<(Vector3<f64>, impl Iterator<Item = f64>)> {
        let each = self.stretches.iter().map(|(own, with, right)| with * (*right / *own));
        let by = self.inverse()? * (self.right - each.sum::<Vector3<f64>>());
        let stretches = self.stretches.iter();
        Some((
            by,
            stretches.map(move |(own, with, right)| (right - with.dot(&by)) / own),
        ))
    }

    /// Covariance of all.
    fn whole(&self) -> Option<DMatrix<f64>> {
        let shared = self.inverse()?;
        let size = SHARED + self.stretches.len();
        let mut whole = DMatrix::zeros(size, size);
        whole.view_mut((0, 0), (SHARED, SHARED)).copy_from(&shared);
        for (i, (own, with, _)) in self.stretches.iter().enumerate() {
            let across = -shared * with / *own;
            whole.view_mut((0, SHARED + i), (SHARED, 1)).copy_from(&across);
            whole
                .view_mut((SHARED + i, 0), (1, SHARED))
                .copy_from(&across.transpose());
            for (j, (other, with, _)) in self.stretches.iter().enumerate() {
                let alone = if i == j { own.recip() } else { 0.0 };
                whole[(SHARED + i, SHARED + j)] = alone - across.dot(with) / *other;
            }
        }
        Some(whole)
    }
}

impl<'a> Fit<'a> {
    /// All partials count as one, on a line.
    fn of(all: &'a [Stands], stretches: usize, line: Line) -> Self {
        let mut numbers: Vec<u32> = all.iter().map(|stands| stands.n).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let which: Vec<usize> = all
            .iter()
            .map(|stands| numbers.binary_search(&stands.n).unwrap_or(0))
            .collect();
        let number = |(i, n): (usize, &u32)| {
            let square = math::powi(f64::from(*n), 2);
            Number {
                n: *n,
                square,
                pulled: [square.recip(), math::powi(square, -2)],
                shared: count(which.iter().filter(|which| **which == i)),
                counts: 1.0,
                place: 0.0,
                by_b: 0.0,
            }
        };
        let mut fit = Self {
            all,
            numbers: numbers.iter().enumerate().map(number).collect(),
            which,
            scatter: PASSES,
            line,
            stretches: vec![0.0; stretches],
        };
        fit.place();
        let mut own = vec![Vec::new(); stretches];
        for (stands, number) in fit.each() {
            if let Some(own) = own.get_mut(stands.stretch) {
                own.push(stands.cents - number.place);
            }
        }
        fit.stretches = own.into_iter().map(median).collect();
        fit
    }

    /// Each with its number.
    fn each(&self) -> impl Iterator<Item = (&'a Stands, &Number)> {
        self.all
            .iter()
            .zip(self.which.iter().map(|which| &self.numbers[*which]))
    }

    /// Places the partials on the line.
    fn place(&mut self) {
        for number in &mut self.numbers {
            number.place = self.line.place(f64::from(number.n));
            number.by_b = 1e-6 * PER_B * number.square / (1.0 + self.line.b * number.square).max(0.1);
        }
    }

    fn left(&self, stands: &Stands, number: &Number) -> f64 {
        stands.cents - number.place - self.stretches.get(stands.stretch).copied().unwrap_or(0.0)
    }

    fn weight(&self, stands: &Stands, number: &Number) -> f64 {
        number.counts / (math::powi(stands.sure_to, 2) + number.shared * self.scatter * self.scatter)
    }

    /// Each partial's own way off the series over all stretches, with its variance by noise.
    fn off(&self) -> Vec<(f64, f64)> {
        let mut off = vec![(0.0, 0.0); self.numbers.len()];
        for ((stands, number), which) in self.each().zip(&self.which) {
            let weight = math::powi(stands.sure_to, -2);
            let (sum, total) = &mut off[*which];
            *sum += weight * self.left(stands, number);
            *total += weight;
        }
        off.into_iter()
            .map(|(sum, total)| (sum / total, total.recip()))
            .collect()
    }

    /// What all say of a change: of B by the millionth, so that all figures are of one size, of the body's pull, and of each stretch.
    fn normal(&self) -> Normal {
        let before = Vector3::new(1e6 * BEFORE, PULL[0], PULL[1]).map(|sure_to| math::powi(sure_to, -2));
        let off = Vector3::new(-1e6 * self.line.b, -self.line.pull[0], -self.line.pull[1]);
        let mut normal = Normal {
            shared: Matrix3::from_diagonal(&before),
            right: before.component_mul(&off),
            stretches: vec![(0.0, Vector3::zeros(), 0.0); self.stretches.len()],
        };
        for (stands, number) in self.each() {
            let (weight, left) = (self.weight(stands, number), self.left(stands, number));
            let row = Vector3::new(number.by_b, number.pulled[0], number.pulled[1]);
            let weighed = row * weight;
            normal.shared += weighed * row.transpose();
            normal.right += weighed * left;
            if let Some((own, with, right)) = normal.stretches.get_mut(stands.stretch) {
                *own += weight;
                *with += weighed;
                *right += weight * left;
            }
        }
        // A stretch without partials stays where it is.
        for (own, ..) in &mut normal.stretches {
            if *own == 0.0 {
                *own = 1.0;
            }
        }
        normal
    }

    /// One step to the least squares.
    fn step(&mut self) -> Option<()> {
        let normal = self.normal();
        let (by, stretches) = normal.solved()?;
        self.line.b = (self.line.b + 1e-6 * by[0]).clamp(-LARGEST, LARGEST);
        self.line.pull[0] += by[1];
        self.line.pull[1] += by[2];
        self.stretches.iter_mut().zip(stretches).for_each(|(at, by)| *at += by);
        self.place();
        Some(())
    }

    /// Weighs the partials anew; whether that changed little.
    fn reweigh(&mut self, scatter: Option<f64>) -> bool {
        let off = self.off();
        let spread = median(off.iter().map(|(left, _)| left.abs()).collect()) / MEDIAN;
        let noise = median(off.iter().map(|(_, own)| *own).collect());
        self.scatter = scatter.unwrap_or_else(|| (spread * spread - noise).max(0.0).sqrt().max(NEAREST));
        let mut still = true;
        for (number, (left, own)) in self.numbers.iter_mut().zip(off) {
            let z = left / (CUT * (self.scatter * self.scatter + own).sqrt());
            let counts = if z.abs() < 1.0 { math::powi(1.0 - z * z, 2) } else { 0.0 };
            still &= (counts - number.counts).abs() < 1e-4;
            number.counts = counts;
        }
        still
    }

    /// What the partials themselves say of how sure each figure is, as variances: each one's misfits belong together.
    fn said(&self, covariance: &DMatrix<f64>) -> DVector<f64> {
        let size = covariance.nrows();
        let mut scores = DMatrix::<f64>::zeros(size, self.numbers.len());
        for ((stands, number), which) in self.each().zip(&self.which) {
            let by = self.weight(stands, number) * self.left(stands, number);
            let mut score = scores.column_mut(*which);
            score[0] += by * number.by_b;
            score[1] += by * number.pulled[0];
            score[2] += by * number.pulled[1];
            score[SHARED + stands.stretch] += by;
        }
        let effective: f64 = self.numbers.iter().map(|number| number.counts).sum();
        let mut said = DVector::zeros(size);
        for score in scores.column_iter() {
            let moves = covariance * score;
            said += moves.component_mul(&moves);
        }
        said * (effective / (effective - 3.0).max(0.5))
    }
}

/// Fits pitch of each of so many stretches, B and the body's pull, robustly, beginning with a series. `None` with too few partials.
pub(crate) fn agreed(all: &[Stands], stretches: usize, from: Line) -> Option<Agreed> {
    let mut fit = Fit::of(all, stretches, from);
    if fit.numbers.len() < FEWEST || stretches == 0 {
        return None;
    }
    // Where the series begins it is believed to PASSES.
    fit.reweigh(Some(PASSES));
    fit.step()?;
    for _ in 0..ROUNDS {
        let still = fit.reweigh(None);
        fit.step()?;
        if still {
            break;
        }
    }
    if fit.numbers.iter().map(|number| number.counts).sum::<f64>() < LEAST_COUNT {
        return None;
    }
    let inverse = fit.normal().whole()?;
    let said = fit.said(&inverse);
    // Where few partials happen to lie well, the weights' own covariance is the surer word.
    let wider = |i: usize| (said[i] / inverse[(i, i)]).max(1.0).sqrt();
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
        partials: fit.numbers.iter().map(|number| (number.n, number.counts)).collect(),
        stretches: seen_in.iter().map(|at| fit.stretches[*at]).collect(),
        seen_in,
    })
}

#[allow(clippy::cast_precision_loss)] // a few
fn count(of: impl IntoIterator) -> f64 {
    of.into_iter().count() as f64
}
