//! Sums and tops of many samples, eight side by side: the processor works on several at once where their order is left open.

/// Sum of the products of two rows, as far as the shorter goes.
pub(crate) fn product(one: &[f64], other: &[f64]) -> f64 {
    let both = one.len().min(other.len());
    let (ones, one_rest) = one[..both].as_chunks::<8>();
    let (others, other_rest) = other[..both].as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (a, b) in ones.iter().zip(others) {
        for ((sum, a), b) in sums.iter_mut().zip(a).zip(b) {
            *sum += a * b;
        }
    }
    let rest: f64 = one_rest.iter().zip(other_rest).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}

/// The lowest and the highest; nought where there is nothing on that side.
pub(crate) fn ends(of: &[f64]) -> (f64, f64) {
    let (each, rest) = of.as_chunks::<8>();
    let (mut low, mut high) = ([0.0f64; 8], [0.0f64; 8]);
    for eight in each {
        for ((low, high), v) in low.iter_mut().zip(&mut high).zip(eight) {
            *low = if *v < *low { *v } else { *low };
            *high = if *v > *high { *v } else { *high };
        }
    }
    (
        low.iter().chain(rest).copied().fold(0.0, f64::min),
        high.iter().chain(rest).copied().fold(0.0, f64::max),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn side_by_side_is_the_same_as_one_by_one() {
        let one: Vec<f64> = (0..37).map(|i| f64::from(i * 7 % 13) - 6.0).collect();
        let other: Vec<f64> = (0..29).map(|i| f64::from(i * 5 % 11) - 5.0).collect();
        for from in 0..29 {
            let want: f64 = one[from..].iter().zip(&other[from..]).map(|(a, b)| a * b).sum();
            assert_eq!(product(&one[from..], &other[from..]), want);
            let least = one[from..].iter().copied().fold(0.0, f64::min);
            let most = one[from..].iter().copied().fold(0.0, f64::max);
            assert_eq!(ends(&one[from..]), (least, most));
        }
        assert_eq!((product(&[], &[]), ends(&[])), (0.0, (0.0, 0.0)));
    }
}
