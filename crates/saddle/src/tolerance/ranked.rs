//! One order statistic of a stream of values, exact, without keeping the stream.

/// Margin about a wanted rank, in standard deviations of the count of values below a quantile: outside lie less than 1e-14 of all
/// streams. For those the stream is read again with a wider one.
pub(super) const MARGIN: f64 = 8.0;
/// Counts to add to that standard deviation: of a few values it is itself not well known.
const FEW: f64 = 2.0;

/// Keys between which every value lies.
const EVERY: (i64, i64) = (i64::MIN, i64::MAX);

/// The value that a share of a stream does not exceed, by nearest rank.
///
/// The stream comes in parts. Of each only those values are kept that lie between two values, low and high, of what came
/// before, so far apart that the wanted one surely lies between them; the others are counted. What is kept grows with the square root of
/// the stream. Low and high depend on nothing but the values and how they are parted. Values are compared as [`key`] has them.
#[derive(Debug)]
pub(super) struct Ranked {
    share: f64,
    margin: f64,
    count: usize,
    /// Keys of low and high; high is the same as low, or more.
    ends: (i64, i64),
    /// How many values are less than low.
    less: usize,
    /// How many are low.
    low: usize,
    /// Keys of the values between low and high.
    between: Vec<i64>,
    /// How many are high, where that is more than low.
    high: usize,
}

/// A whole number that orders as [`f64::total_cmp`] does.
#[inline]
pub(super) fn key(value: f64) -> i64 {
    flipped(value.to_bits().cast_signed())
}

/// Turns the order of the negative ones round, which their bits have the other way; done twice, it undoes itself.
#[inline]
fn flipped(bits: i64) -> i64 {
    if bits < 0 { bits ^ i64::MAX } else { bits }
}

impl Ranked {
    /// Of a stream that has not begun: the value that `share` of it, 0 to 1, does not exceed. `margin` is [`MARGIN`], or more where
    /// that was too little.
    pub(super) fn new(share: f64, margin: f64) -> Self {
        Self {
            share,
            margin,
            count: 0,
            ends: EVERY,
            less: 0,
            low: 0,
            between: Vec::new(),
            high: 0,
        }
    }

    /// Takes up the next part of the stream, as keys in any order, which it may change; `more` where others follow.
    pub(super) fn take(&mut self, part: &mut [i64], more: bool) {
        self.count += part.len();
        if self.count == part.len() && !more && !part.is_empty() {
            // The whole stream at once: nothing need be kept of it but the one value.
            self.less = self.rank();
            self.between = vec![*part.select_nth_unstable(self.less).1];
            return;
        }
        self.put_all(part);
        if more {
            self.narrow();
        }
    }

    fn put_all(&mut self, keys: &[i64]) {
        let (low, high) = self.ends;
        if (low, high) == EVERY {
            self.between.extend_from_slice(keys);
            return;
        }
        let mut less = 0;
        for &key in keys {
            if key < low {
                less += 1;
            } else if key <= high {
                self.put(key, 1);
            }
        }
        self.less += less;
    }

    fn put(&mut self, key: i64, count: usize) {
        let (low, high) = self.ends;
        if key < low {
            self.less += count;
        } else if key == low {
            self.low += count;
        } else if key < high {
            self.between.extend(std::iter::repeat_n(key, count));
        } else if key == high {
            self.high += count;
        }
    }

    /// Brings low and high as near to the wanted rank as what came so far allows.
    fn narrow(&mut self) {
        let count = self.count as f64;
        let margin = self.margin * ((count * self.share * (1.0 - self.share)).sqrt() + FEW);
        let (from, to) = (self.share * count - margin, self.share * count + margin);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // not under 0; a cast saturates
        let mut at = |rank: f64| (rank >= 0.0).then(|| self.at(rank as usize)).flatten();
        // Beyond the first and the last of what came there may be others yet.
        let (low, high) = (at(from), at(to.ceil()));
        let ends = (low.unwrap_or(self.ends.0), high.unwrap_or(self.ends.1));
        let next = Self {
            ends,
            less: self.less,
            ..Self::new(self.share, self.margin)
        };
        let before = std::mem::replace(self, next);
        self.count = before.count;
        self.put(before.ends.0, before.low);
        self.put_all(&before.between);
        self.put(before.ends.1, before.high);
    }

    /// The key of a rank, counted from 0; `None` if it is not between low and high.
    fn at(&mut self, rank: usize) -> Option<i64> {
        let rank = rank.checked_sub(self.less)?;
        let Some(rank) = rank.checked_sub(self.low) else {
            return Some(self.ends.0);
        };
        if rank < self.between.len() {
            return Some(*self.between.select_nth_unstable(rank).1);
        }
        (rank - self.between.len() < self.high).then_some(self.ends.1)
    }

    /// The value, of all that came; `None` where the margin was too little for this stream, or nothing came.
    pub(super) fn value(&mut self) -> Option<f64> {
        let key = self.at(self.rank())?;
        Some(f64::from_bits(flipped(key).cast_unsigned()))
    }

    /// The wanted rank of all that came, counted from 0.
    fn rank(&self) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of values, from 0 to their number
        let rank = (self.share * self.count as f64).ceil() as usize;
        rank.clamp(1, self.count.max(1)) - 1
    }

    /// How many values are kept.
    #[cfg(test)]
    pub(super) fn kept(&self) -> usize {
        self.between.capacity()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn in_parts(values: &[f64], share: f64, margin: f64, part: usize) -> Ranked {
        let mut keys: Vec<i64> = values.iter().map(|v| key(*v)).collect();
        let mut ranked = Ranked::new(share, margin);
        let count = keys.len();
        for (i, chunk) in keys.chunks_mut(part).enumerate() {
            ranked.take(chunk, (i + 1) * part < count);
        }
        ranked
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count of values
    fn sorted(values: &[f64], share: f64) -> f64 {
        let mut all = values.to_vec();
        all.sort_by(f64::total_cmp);
        all[((share * all.len() as f64).ceil() as usize).clamp(1, all.len()) - 1]
    }

    proptest! {
        /// What is told is the value by sorting, to the bit, also of values that come again and again, and of noughts of either sign; and
        /// with a margin of nothing it is that value or none.
        #[test]
        fn it_is_the_value_by_sorting(
            values in prop_oneof![
                prop::collection::vec(-1e3..1e3f64, 1..800),
                prop::collection::vec((-3..3i32).prop_map(|v| f64::from(v) * -0.5), 1..800),
                prop::collection::vec(prop_oneof![Just(0.0), Just(-0.0), Just(f64::INFINITY), Just(f64::NAN)], 1..50),
            ],
            share in prop_oneof![Just(1e-4), Just(0.025), Just(0.5), Just(0.975), 0.0..1.0f64],
            part in 1..300usize,
        ) {
            let want = sorted(&values, share).to_bits();
            // Values in any order whatever need not keep to the margin of random ones.
            let wide = in_parts(&values, share, 1e3, part).value().unwrap();
            prop_assert_eq!(wide.to_bits(), want);
            for margin in [0.0, 0.5, MARGIN] {
                if let Some(found) = in_parts(&values, share, margin, part).value() {
                    prop_assert_eq!(found.to_bits(), want, "margin {}", margin);
                }
            }
        }

        #[test]
        fn keys_order_as_values_do(a in any::<f64>(), b in any::<f64>()) {
            prop_assert_eq!(key(a).cmp(&key(b)), a.total_cmp(&b));
            prop_assert_eq!(flipped(key(a)).cast_unsigned(), a.to_bits());
        }
    }

    /// A stream that rises leaves every margin behind: that is told, not guessed.
    #[test]
    fn a_margin_too_small_is_told() {
        let rising: Vec<f64> = (0..10_000).map(f64::from).collect();
        assert_eq!(in_parts(&rising, 0.5, MARGIN, 1000).value(), None);
        assert_eq!(in_parts(&rising, 0.5, 1e3, 1000).value(), Some(4999.0));
        assert_eq!(Ranked::new(0.5, MARGIN).value(), None);
    }

    /// One value again and again is counted, not kept.
    #[test]
    fn what_repeats_is_not_kept() {
        let mut same = in_parts(&[0.25; 100_000], 0.5, MARGIN, 1000);
        assert!(same.kept() < 1000, "{}", same.kept());
        assert_eq!(same.value(), Some(0.25));
    }
}
