//! Which readings to take, one step after the other.

use super::LEAST_WORTH;
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
        let mut chosen: Vec<usize> = Vec::new();
        let mut taken = self.further.clone();
        while chosen.len() < most && self.chance(&taken) < wished {
            let best = self.best(&taken, options, &chosen, most - chosen.len());
            if best.is_empty() {
                break;
            }
            for option in best {
                if self.chance(&taken) < wished {
                    take(&mut taken, &options[option]);
                    chosen.push(option);
                }
            }
        }
        if sparing && self.chance(&taken) >= wished {
            self.spare(options, wished, &mut chosen);
        }
        let mut taken = self.further.clone();
        let steps = chosen.into_iter().map(|option| {
            take(&mut taken, &options[option]);
            (option, self.chance(&taken))
        });
        steps.collect()
    }

    /// The option that gains most, or two; none where nothing gains.
    fn best(&self, taken: &Further, options: &[Vec<usize>], chosen: &[usize], room: usize) -> Vec<usize> {
        let now = self.endings.singly(taken.variances());
        let gain = |readings: &[usize]| match *readings {
            [one] => taken
                .variances_with(one)
                .map_or(0.0, |after| self.endings.singly(after) - now),
            _ => taken
                .variances_with_all(readings)
                .map_or(0.0, |after| self.endings.singly(after.into_iter()) - now),
        };
        let open: Vec<usize> = (0..options.len()).filter(|option| !chosen.contains(option)).collect();
        let alone: Vec<f64> = open.iter().map(|&option| gain(&options[option])).collect();
        let Some(first) = (0..open.len()).reduce(|best, i| if alone[i] > alone[best] { i } else { best }) else {
            return Vec::new();
        };
        let (mut most, mut best) = (alone[first], vec![open[first]]);
        let mut both = Vec::new();
        for (i, &one) in open.iter().enumerate().filter(|_| room > 1) {
            for (j, &other) in open.iter().enumerate().skip(i + 1) {
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

    /// Leaves out what is not needed, the earliest first: later steps may have made it needless.
    fn spare(&self, options: &[Vec<usize>], wished: f64, chosen: &mut Vec<usize>) {
        let mut at = 0;
        while at < chosen.len() {
            let mut taken = self.further.clone();
            let others = chosen.iter().enumerate().filter(|(i, _)| *i != at);
            others.for_each(|(_, &option)| take(&mut taken, &options[option]));
            if self.chance(&taken) >= wished {
                chosen.remove(at);
            } else {
                at += 1;
            }
        }
    }
}

/// Gains that differ by less than this share of themselves are alike.
const SAME: f64 = 1e-9;

fn take(taken: &mut Further, readings: &[usize]) {
    for &reading in readings {
        // One that is not there changes nothing.
        let _ = taken.take(reading);
    }
}
