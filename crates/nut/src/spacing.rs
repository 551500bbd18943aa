//! Where the strings lie across the nut.
//!
//! Margins of unlike size, or margins to the sides of strings of unlike gauge, put the set off the centre line: with equal
//! margins to the sides, by a quarter of the difference of the outer gauges, toward the thinner one. The fret frame allows
//! that: a `StringRun` starts at any y.

use instrument::{Courses, SpacingError, SpacingRule, across, places};
use numerics::{NotSettled, Round, settle};
use serde::Serialize;

/// The cosine of a slant is found to this, no unit.
const SLANT_SETTLED: f64 = 1e-14;
/// Most rounds for it; only margins to the sides of strings need more than two.
const SLANT_ROUNDS: usize = 20;

/// How the outer strings are placed. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outer {
    /// By the distance of their centres; the set lies on the centre line.
    Spread(f64),
    /// By the distance of their centres from the board's edges, bass and treble.
    ToCentre([f64; 2]),
    /// By the distance of their outer sides from the board's edges, bass and treble.
    ToSide([f64; 2]),
}

impl Outer {
    /// y of the outer strings' centres, bass and treble, mm, on a board `width` mm wide with outer gauges in mm.
    #[must_use]
    pub fn ends(self, width: f64, gauges: [f64; 2]) -> [f64; 2] {
        let half = 0.5 * width;
        match self {
            Self::Spread(spread) => [-0.5 * spread, 0.5 * spread],
            Self::ToCentre([bass, treble]) => [bass - half, half - treble],
            Self::ToSide([bass, treble]) => [bass + 0.5 * gauges[0] - half, half - treble - 0.5 * gauges[1]],
        }
    }
}

/// y of every string at the nut, mm, bass to treble. `gauges` in mm; one string alone lies on the centre line.
///
/// # Errors
/// [`SpacingError`], as [`places`].
pub fn centres(
    outer: Outer,
    width: f64,
    rule: SpacingRule,
    gauges: &[f64],
    courses: &Courses,
) -> Result<Vec<f64>, SpacingError> {
    let (Some(first), Some(last)) = (gauges.first(), gauges.last()) else {
        return places(0.0, rule, gauges, courses);
    };
    let [bass, treble] = outer.ends(width, [*first, *last]);
    let mut y = places(treble - bass, rule, gauges, courses)?;
    if gauges.len() > 1 {
        let middle = 0.5 * (bass + treble);
        y.iter_mut().for_each(|y| *y += middle);
    }
    Ok(y)
}

/// As [`centres`] for strings that cross a slanting nut or saddle, whose treble end stands `ahead` mm further toward the bridge than its
/// bass end: spread, margins, width and pairs are read along it, and the clear gaps hold square to the strings. What it gives is
/// across, square to the centre line.
///
/// # Errors
/// [`SpacingError`], as [`places`], or if it slants by more than its length.
pub fn slanting(
    outer: Outer,
    width: f64,
    rule: SpacingRule,
    gauges: &[f64],
    courses: &Courses,
    ahead: f64,
) -> Result<Vec<f64>, SpacingError> {
    let round = |cos: f64| {
        // A string takes up more of a line that it crosses aslant.
        let gauges: Vec<f64> = gauges.iter().map(|gauge| gauge / cos).collect();
        let mut y = centres(outer, width, rule, &gauges, courses)?;
        let along = y.last().zip(y.first()).map_or(0.0, |(last, first)| last - first);
        let wide = across(along, ahead).ok_or(SpacingError::Slant {
            along,
            ahead: ahead.abs(),
        })?;
        let next = if along > 0.0 { wide / along } else { 1.0 };
        y.iter_mut().for_each(|y| *y *= next);
        Ok(Round {
            found: y,
            next,
            off: (next - cos).abs(),
        })
    };
    settle(1.0, SLANT_SETTLED, SLANT_ROUNDS, round).map(|found| found.unwrap_or_else(NotSettled::last))
}

/// Clear gaps between the sides of neighbours, mm, bass to treble.
#[must_use]
pub fn gaps(y: &[f64], gauges: &[f64]) -> Vec<f64> {
    let steps = y.windows(2).zip(gauges.windows(2));
    steps.map(|(y, g)| y[1] - y[0] - 0.5 * (g[0] + g[1])).collect()
}

/// Both rules side by side. mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rules {
    /// y of the strings with equal clear gaps, bass to treble.
    pub equal_gaps: Vec<f64>,
    /// y of the strings with equal centres.
    pub equal_centres: Vec<f64>,
    /// Largest distance of one slot between the two.
    pub largest_shift: f64,
    /// How much the clear gaps between courses differ when the centres are equal: largest less least.
    pub gap_range: f64,
}

impl Rules {
    /// Both rules for the same outer strings.
    ///
    /// # Errors
    /// [`SpacingError`] if the strings fit by neither rule; where one rule alone fails, its places are the other's.
    pub fn new(outer: Outer, width: f64, gauges: &[f64], courses: &Courses) -> Result<Self, SpacingError> {
        let by = |rule| centres(outer, width, rule, gauges, courses);
        let (equal_gaps, equal_centres) = match (by(SpacingRule::EqualGaps), by(SpacingRule::EqualCentres)) {
            (Ok(gaps), Ok(centres)) => (gaps, centres),
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => (one.clone(), one),
            (Err(error), Err(_)) => return Err(error),
        };
        let shifts = equal_gaps.iter().zip(&equal_centres).map(|(a, b)| (a - b).abs());
        let largest_shift = shifts.fold(0.0, f64::max);
        let within = inside_pairs(courses);
        let between = gaps(&equal_centres, gauges)
            .into_iter()
            .zip(within)
            .filter(|(_, pair)| !pair)
            .map(|(gap, _)| gap);
        let (low, high) = between.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), gap| {
            (low.min(gap), high.max(gap))
        });
        Ok(Self {
            equal_gaps,
            equal_centres,
            largest_shift,
            gap_range: (high - low).max(0.0),
        })
    }
}

/// For each step from string to string, whether it lies inside a pair.
#[must_use]
pub(crate) fn inside_pairs(courses: &Courses) -> Vec<bool> {
    let mut steps: Vec<bool> = courses
        .sizes
        .iter()
        .flat_map(|&size| (0..size).map(move |i| i + 1 < size))
        .collect();
    steps.pop();
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use instrument::PairSpacing;
    use numerics::math;
    use proptest::prelude::*;

    const THOU: f64 = 0.0254;

    /// A spacing page for nut makers: outer side to outer side less all diameters, over five: (36.63 - 3.76)/5 = 6.57 mm
    /// (published; the page is a web page on nut spacing, read by the project's notes on the trade).
    #[test]
    fn the_published_example() {
        // Any set whose diameters sum to 3.76 mm does; the outer two decide the spread of the centres.
        let gauges = [1.17, 0.91, 0.66, 0.43, 0.33, 0.26];
        assert!((gauges.iter().sum::<f64>() - 3.76).abs() < 1e-12);
        let spread = 36.63 - 0.5 * (gauges[0] + gauges[5]);
        let y = centres(
            Outer::Spread(spread),
            43.0,
            SpacingRule::EqualGaps,
            &gauges,
            &Courses::single(6),
        )
        .unwrap();
        for gap in gaps(&y, &gauges) {
            assert!((gap - 6.57).abs() < 0.005, "{gap}");
            assert!((gap - (36.63 - 3.76) / 5.0).abs() < 1e-9);
        }
    }

    /// By hand, for 0.012 to 0.053 in on 36.5 mm: centres 6.91, 7.06, 7.27, 7.50, 7.76 from the treble; equal centres 7.30; largest
    /// shift of one slot 0.66; the gaps of equal centres differ by 0.85 mm.
    #[test]
    fn a_light_set_by_both_rules() {
        let gauges = [53.0, 42.0, 32.0, 24.0, 16.0, 12.0].map(|g| g * THOU);
        let rules = Rules::new(Outer::Spread(36.5), 43.0, &gauges, &Courses::single(6)).unwrap();
        let steps: Vec<f64> = rules.equal_gaps.windows(2).rev().map(|y| y[1] - y[0]).collect();
        for (step, want) in steps.iter().zip([6.91, 7.06, 7.27, 7.50, 7.76]) {
            assert!((step - want).abs() < 0.006, "{step} {want}");
        }
        for y in rules.equal_centres.windows(2) {
            assert!((y[1] - y[0] - 7.30).abs() < 1e-9);
        }
        assert!((rules.largest_shift - 0.66).abs() < 0.006, "{}", rules.largest_shift);
        assert!((rules.gap_range - 0.85).abs() < 0.006, "{}", rules.gap_range);
    }

    #[test]
    fn margins_to_the_sides_put_the_set_off_by_a_quarter_of_the_difference() {
        let gauges = [1.4, 1.0, 0.3];
        let y = centres(
            Outer::ToSide([3.0; 2]),
            43.0,
            SpacingRule::EqualGaps,
            &gauges,
            &Courses::single(3),
        )
        .unwrap();
        assert!((0.5 * (y[0] + y[2]) - 0.25 * (1.4 - 0.3)).abs() < 1e-12);
        assert!((y[0] - 0.7 + 21.5 - 3.0).abs() < 1e-12);
        assert!((21.5 - (y[2] + 0.15) - 3.0).abs() < 1e-12);
        let y = centres(
            Outer::ToCentre([3.5, 3.2]),
            43.0,
            SpacingRule::EqualGaps,
            &gauges,
            &Courses::single(3),
        )
        .unwrap();
        assert!((y[0] + 18.0).abs() < 1e-12 && (y[2] - 18.3).abs() < 1e-12);
    }

    proptest! {
        /// On a slant, margins and spread close along it and the gaps are equal square to the strings; without one nothing changes.
        #[test]
        fn a_slant(gauges in prop::collection::vec(0.2..1.2f64, 7), margin in 2.0..4.0f64, ahead in -20.0..20.0f64, to_sides: bool) {
            let outer = if to_sides { Outer::ToSide([margin; 2]) } else { Outer::Spread(48.0) };
            let single = Courses::single(7);
            let y = slanting(outer, 52.0, SpacingRule::EqualGaps, &gauges, &single, ahead).unwrap();
            let along = math::hypot(y[6] - y[0], ahead);
            let cos = (y[6] - y[0]) / along;
            let sides = 0.5 * (gauges[0] + gauges[6]) / cos;
            let wanted = if to_sides { 52.0 - 2.0 * margin - sides } else { 48.0 };
            prop_assert!((along - wanted).abs() < 1e-9);
            let between = gaps(&y, &gauges);
            prop_assert!(between.iter().all(|gap| (gap - between[0]).abs() < 1e-9));
            let level = slanting(outer, 52.0, SpacingRule::EqualGaps, &gauges, &single, 0.0).unwrap();
            prop_assert_eq!(level, centres(outer, 52.0, SpacingRule::EqualGaps, &gauges, &single).unwrap());
        }

        #[test]
        fn gaps_and_gauges_close_on_the_spread(gauges in prop::collection::vec(0.2..1.5f64, 2..12), spread in 34.0..60.0f64) {
            let courses = Courses::single(gauges.len());
            prop_assume!(gauges.iter().sum::<f64>() < spread);
            let y = centres(Outer::Spread(spread), 70.0, SpacingRule::EqualGaps, &gauges, &courses).unwrap();
            let n = gauges.len();
            let sides = gaps(&y, &gauges).iter().sum::<f64>() + gauges.iter().sum::<f64>() - 0.5 * (gauges[0] + gauges[n - 1]);
            prop_assert!((sides - spread).abs() < 1e-9);
        }

        #[test]
        fn margins_pairs_and_gauges_close_on_the_board(gauges in prop::collection::vec(0.2..1.2f64, 8), margin in 1.5..4.0f64, pair in 1.5..2.4f64, equal_gaps: bool) {
            let courses = Courses { sizes: vec![2; 4], pair: PairSpacing::Centres(pair) };
            let rule = if equal_gaps { SpacingRule::EqualGaps } else { SpacingRule::EqualCentres };
            let y = centres(Outer::ToSide([margin; 2]), 34.0, rule, &gauges, &courses).unwrap();
            let all = 2.0 * margin + gauges.iter().sum::<f64>() + gaps(&y, &gauges).iter().sum::<f64>();
            prop_assert!((all - 34.0).abs() < 1e-9);
        }

        /// The mirrored instrument has mirrored places.
        #[test]
        fn mirrored(gauges in prop::collection::vec(0.2..1.2f64, 6), bass in 2.0..4.0f64, treble in 2.0..4.0f64) {
            let single = Courses::single(6);
            let back: Vec<f64> = gauges.iter().rev().copied().collect();
            let y = centres(Outer::ToSide([bass, treble]), 45.0, SpacingRule::EqualGaps, &gauges, &single).unwrap();
            let m = centres(Outer::ToSide([treble, bass]), 45.0, SpacingRule::EqualGaps, &back, &single).unwrap();
            for (a, b) in y.iter().zip(m.iter().rev()) {
                prop_assert!((a + b).abs() < 1e-9);
            }
        }
    }
}
