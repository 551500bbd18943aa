//! Where the strings lie across the board: spread, spacing rule and courses.

use thiserror::Error;

/// What is equal between neighbouring courses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpacingRule {
    /// The clear gap between the sides of the strings.
    EqualGaps,
    /// The distance between the centres of the courses.
    EqualCentres,
}

/// Distance between the two strings of a pair, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PairSpacing {
    /// Centre to centre.
    Centres(f64),
    /// Clear gap between the sides.
    Gap(f64),
}

/// How strings are grouped, bass to treble: 1 for a single string, 2 for a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct Courses {
    /// Strings in each course, bass to treble; each 1 or 2.
    pub sizes: Vec<usize>,
    /// Spacing within a pair; not used if every course is single.
    pub pair: PairSpacing,
}

impl Courses {
    /// `count` single strings.
    #[must_use]
    pub fn single(count: usize) -> Self {
        Self {
            sizes: vec![1; count],
            pair: PairSpacing::Centres(0.0),
        }
    }
}

/// Why strings cannot be placed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SpacingError {
    /// Courses and strings do not add up.
    #[error("the courses hold {courses} strings, but there are {strings}")]
    Count {
        /// Strings in all courses.
        courses: usize,
        /// Strings given.
        strings: usize,
    },
    /// A course is neither a single string nor a pair.
    #[error("a course holds 1 or 2 strings, not {0}")]
    Course(usize),
    /// The line on which they lie slants by more than it is long; mm.
    #[error("strings {along:.2} mm apart cannot lie on a line whose ends stand {ahead:.2} mm one behind the other")]
    Slant {
        /// Centre to centre of the outer strings, along the line.
        along: f64,
        /// How far its ends stand one behind the other.
        ahead: f64,
    },
    /// The strings do not fit into the spread; the clear gap in mm that would be left, or the distance of neighbours.
    #[error("the strings do not fit into the spread: {0:.2} mm would be left between neighbours")]
    TooTight(f64),
}

/// y of every string, mm, bass (negative) to treble, symmetric: the outer strings' centres at minus and plus half the spread.
///
/// * `spread`: centre to centre of the outer strings, mm; ignored for one string, which lies on the centre line.
/// * `gauges`: outer diameters in mm, bass to treble.
///
/// # Errors
/// [`SpacingError`] if courses and strings do not add up or strings would touch.
pub fn places(spread: f64, rule: SpacingRule, gauges: &[f64], courses: &Courses) -> Result<Vec<f64>, SpacingError> {
    let held: usize = courses.sizes.iter().sum();
    if held != gauges.len() {
        return Err(SpacingError::Count {
            courses: held,
            strings: gauges.len(),
        });
    }
    if let Some(&size) = courses.sizes.iter().find(|size| !(1..=2).contains(*size)) {
        return Err(SpacingError::Course(size));
    }
    if gauges.len() < 2 {
        return Ok(vec![0.0; gauges.len()]);
    }
    // Distances between neighbours: those within a pair are known, those between courses share what is left.
    let mut pair_ends = Vec::with_capacity(gauges.len());
    for &size in &courses.sizes {
        pair_ends.extend((0..size).map(|i| i + 1 < size));
    }
    let mean_gauge = |i: usize| 0.5 * (gauges[i] + gauges[i + 1]);
    let within = |i: usize| match courses.pair {
        PairSpacing::Centres(distance) => distance,
        PairSpacing::Gap(gap) => gap + mean_gauge(i),
    };
    // What a step between courses holds besides the equal share.
    let fixed = |i: usize| match rule {
        SpacingRule::EqualGaps => mean_gauge(i),
        SpacingRule::EqualCentres => {
            let half_pair_before = if i > 0 && pair_ends[i - 1] {
                0.5 * within(i - 1)
            } else {
                0.0
            };
            let half_pair_after = if pair_ends[i + 1] { 0.5 * within(i + 1) } else { 0.0 };
            -half_pair_before - half_pair_after
        }
    };
    let steps = gauges.len() - 1;
    let mut left = spread;
    let mut between = 0.0;
    for (i, &in_pair) in pair_ends[..steps].iter().enumerate() {
        if in_pair {
            left -= within(i);
        } else {
            left -= fixed(i);
            between += 1.0;
        }
    }
    let share = if between > 0.0 { left / between } else { 0.0 };
    let mut y = Vec::with_capacity(gauges.len());
    let start = if between > 0.0 { -0.5 * spread } else { -0.5 * within(0) };
    y.push(start);
    for (i, &in_pair) in pair_ends[..steps].iter().enumerate() {
        let step = if in_pair { within(i) } else { share + fixed(i) };
        let clear = step - mean_gauge(i);
        if clear.is_nan() || clear <= 0.0 {
            return Err(SpacingError::TooTight(clear));
        }
        y.push(y[i] + step);
    }
    Ok(y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn equal_centres() {
        let y = places(50.0, SpacingRule::EqualCentres, &[0.5; 6], &Courses::single(6)).unwrap();
        assert_eq!(y, [-25.0, -15.0, -5.0, 5.0, 15.0, 25.0]);
    }

    #[test]
    fn equal_gaps_close() {
        let gauges = [1.35, 1.07, 0.81, 0.61, 0.41, 0.30];
        let y = places(36.5, SpacingRule::EqualGaps, &gauges, &Courses::single(6)).unwrap();
        let gaps: Vec<f64> = (0..5)
            .map(|i| y[i + 1] - y[i] - 0.5 * (gauges[i] + gauges[i + 1]))
            .collect();
        assert!(gaps.iter().all(|g| (g - gaps[0]).abs() < 1e-12));
        assert!((y[5] - 18.25).abs() < 1e-12);
    }

    #[test]
    fn one_string_and_one_pair() {
        assert_eq!(
            places(50.0, SpacingRule::EqualGaps, &[1.0], &Courses::single(1)).unwrap(),
            [0.0]
        );
        let pair = Courses {
            sizes: vec![2],
            pair: PairSpacing::Centres(2.0),
        };
        assert_eq!(
            places(50.0, SpacingRule::EqualGaps, &[1.0, 0.3], &pair).unwrap(),
            [-1.0, 1.0]
        );
    }

    #[test]
    fn refuses_what_does_not_fit() {
        let single = Courses::single(6);
        assert!(matches!(
            places(3.0, SpacingRule::EqualGaps, &[1.0; 6], &single),
            Err(SpacingError::TooTight(_))
        ));
        assert!(matches!(
            places(50.0, SpacingRule::EqualGaps, &[1.0; 5], &single),
            Err(SpacingError::Count { courses: 6, strings: 5 })
        ));
        let triple = Courses {
            sizes: vec![3],
            pair: PairSpacing::Gap(1.0),
        };
        assert_eq!(
            places(50.0, SpacingRule::EqualGaps, &[1.0; 3], &triple),
            Err(SpacingError::Course(3))
        );
    }

    proptest! {
        #[test]
        fn pairs_keep_their_spacing_and_courses_their_rule(
            gauges in prop::collection::vec(0.2..1.4f64, 8), spread in 45.0..60.0f64, distance in 1.8..2.6f64, equal_gaps: bool,
        ) {
            let rule = if equal_gaps { SpacingRule::EqualGaps } else { SpacingRule::EqualCentres };
            let courses = Courses { sizes: vec![2; 4], pair: PairSpacing::Centres(distance) };
            let y = places(spread, rule, &gauges, &courses).unwrap();
            prop_assert!((y[7] - y[0] - spread).abs() < 1e-9);
            prop_assert!((y[7] + y[0]).abs() < 1e-9);
            let mut shared = Vec::new();
            for i in 0..7 {
                let step = y[i + 1] - y[i];
                if i % 2 == 0 {
                    prop_assert!((step - distance).abs() < 1e-9);
                } else if equal_gaps {
                    shared.push(step - 0.5 * (gauges[i] + gauges[i + 1]));
                } else {
                    shared.push(0.5 * (y[i + 1] + y[i + 2] - y[i] - y[i - 1]));
                }
            }
            prop_assert!(shared.iter().all(|s| (s - shared[0]).abs() < 1e-9));
        }
    }
}
