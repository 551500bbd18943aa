//! Repeating a step until it settles: fixed points.

use thiserror::Error;

/// A tolerance that is met when a round changes nothing at all: further rounds would only repeat it.
pub const UNCHANGED: f64 = f64::MIN_POSITIVE;

/// What one round came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round<T, N> {
    /// The result, should this round be the last.
    pub found: T,
    /// What the next round starts from.
    pub next: N,
    /// How far the result still is from settled: the length of a step, or what is missing. Not negative, in the tolerance's unit.
    pub off: f64,
}

/// The rounds ran out before the tolerance was reached, or a round was off by what is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("the tolerance was not reached")]
pub struct NotSettled<T> {
    /// Result of the last round.
    pub last: T,
}

impl<T> NotSettled<T> {
    /// Result of the last round, for a caller to whom it is good enough.
    #[must_use]
    pub fn last(self) -> T {
        self.last
    }
}

/// Repeats `round`, first from `start` and then each time from the last round's `next`, until it is off by less than `tolerance`.
///
/// * `tolerance`: in the unit of [`Round::off`], above nought. [`UNCHANGED`] is met by a round that is off by nought.
/// * `most_rounds`: at least one round is made.
///
/// # Errors
/// Outside: the error of a round, which ends the search. Inside: [`NotSettled`] with the last round's result.
pub fn settle<T, N, E>(
    start: N,
    tolerance: f64,
    most_rounds: usize,
    mut round: impl FnMut(N) -> Result<Round<T, N>, E>,
) -> Result<Result<T, NotSettled<T>>, E> {
    let mut from = start;
    let mut rounds = 0;
    loop {
        let Round { found, next, off } = round(from)?;
        rounds += 1;
        if off < tolerance {
            return Ok(Ok(found));
        }
        if rounds >= most_rounds || off.is_nan() {
            return Ok(Err(NotSettled { last: found }));
        }
        from = next;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math;
    use proptest::prelude::*;
    use std::convert::Infallible;

    /// x = cos x, whose solution is the Dottie number.
    fn cosine(x: f64) -> Result<Round<f64, f64>, Infallible> {
        let next = math::cos(x);
        Ok(Round {
            found: next,
            next,
            off: (next - x).abs(),
        })
    }

    #[test]
    fn settles_where_nothing_moves() {
        let Ok(found) = settle(1.0, 1e-12, 200, cosine);
        assert!((found.unwrap() - 0.739_085_133_215_160_6).abs() < 1e-12);
        let Ok(found) = settle(1.0, UNCHANGED, 200, cosine);
        let found = found.unwrap();
        assert_eq!(math::cos(found), found);
    }

    #[test]
    fn tells_that_it_did_not_settle() {
        let Ok(found) = settle(1.0, 1e-12, 3, cosine);
        assert_eq!(found.unwrap_err().last(), math::cos(math::cos(math::cos(1f64))));
        let Ok(found) = settle(1.0, 1e-12, 0, cosine);
        assert_eq!(found.unwrap_err().last(), math::cos(1f64), "one round is made");
        let mut rounds = 0;
        let Ok(found) = settle((), 1.0, 9, |()| {
            rounds += 1;
            Ok::<_, Infallible>(Round {
                found: rounds,
                next: (),
                off: f64::NAN,
            })
        });
        assert_eq!(found, Err(NotSettled { last: 1 }));
    }

    #[test]
    fn a_failed_round_ends_it() {
        let failed = settle(0, 1.0, 9, |n| {
            let round = Round {
                found: (),
                next: n + 1,
                off: 2.0,
            };
            if n == 4 { Err(n) } else { Ok(round) }
        });
        assert_eq!(failed, Err(4));
    }

    proptest! {
        #[test]
        fn a_contraction_comes_to_its_fixed_point(at in -9.0..9.0f64, share in -0.9..0.9f64, start in -99.0..99.0f64) {
            let Ok(found) = settle(start, 1e-12, 999, |x| {
                let next = at + share * (x - at);
                Ok::<_, Infallible>(Round { found: next, next, off: (next - x).abs() })
            });
            prop_assert!((found.unwrap() - at).abs() < 1e-10);
        }
    }
}
