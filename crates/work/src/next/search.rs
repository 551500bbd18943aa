//! Which readings to take, one step after the other.

use super::told::LEAST_WORTH;
use evidence::Further;
use saddle::tolerance::Endings;

/// Where the search starts.
pub(super) struct Search<'a> {
    pub(super) endings: &'a Endings,
    pub(super) further: &'a Further,
}

impl Search<'_> {
    /// Chance that all strings end in tolerance after what was taken.
    pub(super) fn chance(&self, taken: &Further) -> f64 {
        self.endings.together(taken.covariance())
    }

    /// The steps to take, each one of `options` (which are readings by number) with the chance after it: that which gains most, or the
    /// better of two that gain more together than it does twice; until what is wished is reached, nothing gains or there are `most`.
    /// `sparing`: a step that turns out not to be needed is left out.
    pub(super) fn steps(&self, options: &[Vec<usize>], wished: f64, most: usize, sparing: bool) -> Vec<(usize, f64)> {
        let mut steps: Vec<(usize, f64)> = Vec::new();
        let mut taken = self.further.clone();
        let mut chance = self.chance(&taken);
        while chance < wished && steps.len() < most {
            let chosen: Vec<usize> = steps.iter().map(|(option, _)| *option).collect();
            let best = self.best(&taken, options, &chosen, most - steps.len());
            if best.is_empty() {
                break;
            }
            for option in best {
                if chance < wished {
                    take(&mut taken, &options[option]);
                    chance = self.chance(&taken);
                    steps.push((option, chance));
                }
            }
        }
        if sparing && chance >= wished && self.spare(options, wished, &mut steps) {
            let mut taken = self.further.clone();
            for (option, chance) in &mut steps {
                take(&mut taken, &options[*option]);
                *chance = self.chance(&taken);
            }
        }
        steps
    }

    /// The option that gains most, or two; none where nothing gains.
    fn best(&self, taken: &Further, options: &[Vec<usize>], chosen: &[usize], room: usize) -> Vec<usize> {
        let score = |readings: &[usize]| {
            let after = taken.variances_with_all(readings);
            after.map_or(f64::NEG_INFINITY, |after| self.endings.singly(&after))
        };
        let now = score(&[]);
        let gain = |readings: &[usize]| score(readings) - now;
        let open: Vec<usize> = (0..options.len()).filter(|option| !chosen.contains(option)).collect();
        let alone: Vec<f64> = open.iter().map(|&option| gain(&options[option])).collect();
        let Some(first) = (0..open.len()).reduce(|best, i| if alone[i] > alone[best] { i } else { best }) else {
            return Vec::new();
        };
        let (mut most, mut best) = (alone[first], vec![open[first]]);
        let apart = |one: &[usize], other: &[usize]| match (one, other) {
            ([one], [other]) => taken.correlation(*one, *other).is_ok_and(|r| r.abs() < TOGETHER),
            _ => false,
        };
        let mut both = Vec::new();
        for (i, &one) in open.iter().enumerate().filter(|_| room > 1) {
            for (j, &other) in open.iter().enumerate().skip(i + 1) {
                if apart(&options[one], &options[other]) {
                    continue;
                }
                both.clear();
                both.extend_from_slice(&options[one]);
                both.extend_from_slice(&options[other]);
                let each = 0.5 * gain(&both);
                if each > most * (1.0 + SAME) {
                    most = each;
                    best = if alone[j] > alone[i] {
                        vec![other, one]
                    } else {
                        vec![one, other]
                    };
                }
            }
        }
        if most > LEAST_WORTH { best } else { Vec::new() }
    }

    /// Leaves out what is not needed, the earliest first: later steps may have made it needless. Whether any was left out; the chances told of
    /// the others are then those of before.
    fn spare(&self, options: &[Vec<usize>], wished: f64, steps: &mut Vec<(usize, f64)>) -> bool {
        let before = steps.len();
        let mut at = 0;
        while at < steps.len() {
            let mut taken = self.further.clone();
            let others = steps.iter().enumerate().filter(|(i, _)| *i != at);
            others.for_each(|(_, (option, _))| take(&mut taken, &options[*option]));
            if self.chance(&taken) >= wished {
                steps.remove(at);
            } else {
                at += 1;
            }
        }
        steps.len() < before
    }
}

/// Two single readings that go together by less than this gain no more together than one after the other: they are not tried as a pair.
/// Our own choice: a string's action and the height under it go together by 0.4 and more.
const TOGETHER: f64 = 0.2;
/// Gains that differ by less than this share of themselves are alike.
const SAME: f64 = 1e-9;

fn take(taken: &mut Further, readings: &[usize]) {
    for &reading in readings {
        // One that is not there changes nothing.
        let _ = taken.take(reading);
    }
}
