//! Plucks of one string, repeated until they agree with themselves.

use listen::{Heard, Sure, cents};
use numerics::math;

/// No more of the plucks of a string are looked at than the last ones.
pub const MOST_PLUCKS: usize = 8;
/// The fewest in a row that agree, and the most that count.
const IN_A_ROW: (usize, usize) = (2, 3);
/// Two plucks of one string may differ by this, cents: it moves in two ways, a few tenths of a cent apart, and a hand starts now more of the one,
/// now of the other.
const TWO_WAYS: f64 = 0.3;

/// What one pluck says of a string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeardPluck {
    /// Pitch of the series, Hz.
    pub pitch: Sure,
    /// B of the open string; `None` where no core is heard, and of a fretted string.
    pub inharmonicity: Option<Sure>,
}

impl HeardPluck {
    /// What counts of what was heard at a fret, 0 open.
    #[must_use]
    pub fn of(heard: &Heard, fret: u32) -> Self {
        Self {
            pitch: heard.pitch,
            inharmonicity: (fret == 0 && heard.core_is_heard()).then_some(heard.inharmonicity),
        }
    }
}

/// Whether plucks of one string agree with themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Agreement {
    /// There are too few to tell.
    More,
    /// The last two lie so many cents apart in pitch, more than both are sure to.
    PitchApart(f64),
    /// The last two differ by this share in B, more than both are sure to.
    StiffnessApart(f64),
    /// A core is heard in one of the last two alone.
    CoreOnce,
    /// The last ones agree: their mean, and how many they are.
    Agreed(HeardPluck, usize),
}

/// Whether the last plucks of a string at one fret agree, the first first: the last two within what both are sure to, 19 times in 20, in pitch
/// and B, and a third before them where it agrees with both. What lies before does not count: a string that settles takes its first plucks with it.
#[must_use]
pub fn agreed(plucks: &[HeardPluck]) -> Agreement {
    let [.., before, last] = plucks else {
        return Agreement::More;
    };
    if let Some(apart) = apart(before, last) {
        return apart;
    }
    let agree = |run: &[HeardPluck]| {
        let pairs = run.iter().enumerate();
        pairs
            .flat_map(|(at, one)| run.iter().skip(at + 1).map(move |other| (one, other)))
            .all(|(one, other)| apart(one, other).is_none())
    };
    let run = (IN_A_ROW.0..=IN_A_ROW.1).rev().find_map(|count| {
        let run = plucks.get(plucks.len().checked_sub(count)?..)?;
        agree(run).then_some(run)
    });
    let Some(run) = run else { return Agreement::More };
    let pitches: Vec<Sure> = run.iter().map(|pluck| pluck.pitch).collect();
    let stiffnesses: Vec<Sure> = run.iter().filter_map(|pluck| pluck.inharmonicity).collect();
    let mean = HeardPluck {
        pitch: mean(&pitches).unwrap_or(last.pitch),
        inharmonicity: mean(&stiffnesses),
    };
    Agreement::Agreed(mean, run.len())
}

/// In what two plucks do not agree, if they do not.
fn apart(one: &HeardPluck, other: &HeardPluck) -> Option<Agreement> {
    let told = |one: Sure, other: Sure| Sure::NINETEEN_IN_TWENTY * math::hypot(one.share(), other.share());
    let off = cents(one.pitch.value, other.pitch.value).abs();
    let allowed = math::hypot(cents(1.0 + told(one.pitch, other.pitch), 1.0), TWO_WAYS);
    // What is no number agrees with nothing.
    if off.is_nan() || allowed.is_nan() || off > allowed {
        return Some(Agreement::PitchApart(off));
    }
    match (one.inharmonicity, other.inharmonicity) {
        (Some(one), Some(other)) => {
            let share = math::ln(one.value / other.value).abs();
            let beyond = share.is_nan() || share > told(one, other);
            beyond.then_some(Agreement::StiffnessApart(share))
        }
        (None, None) => None,
        _ => Some(Agreement::CoreOnce),
    }
}

/// The mean by how sure each is. It is told no surer than the surest of them, since what a body does to one pluck it does to the next, and less
/// sure by as much as they scatter more than they tell.
fn mean(readings: &[Sure]) -> Option<Sure> {
    let weight = |one: &Sure| math::powi(one.sure_to, -2);
    let weights: f64 = readings.iter().map(weight).sum();
    let value = readings.iter().map(|one| one.value * weight(one)).sum::<f64>() / weights;
    let surest = readings.iter().map(|one| one.sure_to).min_by(f64::total_cmp)?;
    let scatter: f64 = readings
        .iter()
        .map(|one| math::powi((one.value - value) / one.sure_to, 2))
        .sum();
    let free = u32::try_from(readings.len().saturating_sub(1).max(1)).map_or(1.0, f64::from);
    Some(Sure {
        value,
        sure_to: surest * (scatter / free).sqrt().max(1.0),
    })
}

/// Cents of a string fretted at 12 against twice its open pitch, series against series, sharp positive.
#[must_use]
pub fn cents_at_12(fretted: Sure, open: Sure) -> Sure {
    let sure = |of: Sure| cents(1.0 + of.share(), 1.0);
    Sure {
        value: cents(fretted.value, 2.0 * open.value),
        sure_to: math::hypot(sure(fretted), sure(open)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const E2: f64 = 82.407;

    /// A pluck of the low E so many cents sharp, sure to `sure` cents, with B in millionths and its share of sureness.
    fn pluck((cents, sure): (f64, f64), b: Option<(f64, f64)>) -> HeardPluck {
        let value = E2 * math::exp2(cents / 1200.0);
        HeardPluck {
            pitch: Sure {
                value,
                sure_to: value * (math::exp2(sure / 1200.0) - 1.0),
            },
            inharmonicity: b.map(|(b, share)| Sure {
                value: 1e-6 * b,
                sure_to: 1e-6 * b * share,
            }),
        }
    }

    /// What a master would say of plucks in a row: pitches in cents, B in millionths; a letter for what becomes of it, and how many agree.
    #[test]
    fn plucks_in_a_row() {
        type Row<'a> = (&'a [(f64, Option<(f64, f64)>)], (&'a str, usize));
        let b = |b| Some((b, 0.01));
        let rows: &[Row] = &[
            (&[], ("more", 0)),
            (&[(0.0, b(80.0))], ("more", 0)),
            // The same twice; within both; beyond both.
            (&[(0.0, b(80.0)), (0.0, b(80.0))], ("agreed", 2)),
            (&[(0.0, b(80.0)), (0.2, b(82.0))], ("agreed", 2)),
            (&[(0.0, b(80.0)), (0.0, b(83.0))], ("stiffness", 0)),
            (&[(0.0, b(80.0)), (0.6, b(80.0))], ("pitch", 0)),
            // Both ways of moving, further than each is sure to.
            (&[(0.0, b(80.0)), (0.39, b(80.0))], ("agreed", 2)),
            // A third agrees with both, or with one alone.
            (&[(0.0, b(80.0)), (0.1, b(81.0)), (0.2, b(80.5))], ("agreed", 3)),
            (&[(-0.3, b(80.0)), (0.0, b(80.0)), (0.2, b(80.0))], ("agreed", 2)),
            // No more than three; what settles first does not count, and the last word is that of the last two.
            (&[(0.0, b(80.0)); 5], ("agreed", 3)),
            (&[(9.0, b(80.0)), (0.0, b(80.0)), (0.1, b(80.0))], ("agreed", 2)),
            (&[(0.0, b(80.0)), (0.1, b(80.0)), (9.0, b(80.0))], ("pitch", 0)),
            // Floss has no B, and one that is heard once is not heard.
            (&[(0.0, None), (0.1, None)], ("agreed", 2)),
            (&[(0.0, None), (0.1, b(80.0))], ("core", 0)),
        ];
        for (plucks, want) in rows {
            let made: Vec<HeardPluck> = plucks.iter().map(|(cents, b)| pluck((*cents, 0.12), *b)).collect();
            let told = match agreed(&made) {
                Agreement::More => ("more", 0),
                Agreement::PitchApart(_) => ("pitch", 0),
                Agreement::StiffnessApart(_) => ("stiffness", 0),
                Agreement::CoreOnce => ("core", 0),
                Agreement::Agreed(_, count) => ("agreed", count),
            };
            assert_eq!(told, *want, "{plucks:?}");
        }
    }

    /// The surer one counts more; none makes the mean surer than itself, and what scatters makes it less sure.
    #[test]
    fn the_mean_is_no_surer_than_the_surest() {
        let of = |value, sure_to| Sure { value, sure_to };
        let told = mean(&[of(1.0, 1.0), of(4.0, 2.0)]).unwrap();
        assert!((told.value - 1.6).abs() < 1e-12, "{told:?}");
        // (0.6)^2 + (1.2)^2 = 1.8 of one degree of freedom.
        assert!((told.sure_to - 1.8f64.sqrt()).abs() < 1e-12, "{told:?}");
        let same = mean(&[of(3.0, 0.5), of(3.0, 0.5), of(3.0, 0.5)]).unwrap();
        assert_eq!((same.value, same.sure_to), (3.0, 0.5));
        assert_eq!(mean(&[]), None);
    }

    #[test]
    fn what_is_no_number_never_agrees() {
        let none = pluck((f64::NAN, 0.1), None);
        assert!(matches!(agreed(&[none, none]), Agreement::PitchApart(_)));
        let no_b = pluck((0.0, 0.1), Some((f64::NAN, 0.01)));
        assert!(matches!(agreed(&[no_b, no_b]), Agreement::StiffnessApart(_)));
    }

    #[test]
    fn cents_at_12_are_those_over_the_octave() {
        let sharp = Sure {
            value: 2.0 * E2 * math::exp2(3.0f64 / 1200.0),
            sure_to: 0.0,
        };
        let open = Sure {
            value: E2,
            sure_to: E2 * 1e-4,
        };
        let told = cents_at_12(sharp, open);
        assert!((told.value - 3.0).abs() < 1e-9 && (told.sure_to - cents(1.0001, 1.0)).abs() < 1e-9);
    }
}
