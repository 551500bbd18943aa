//! Which readings to take, one step after the other.

use super::LEAST_WORTH;
use evidence::Prospect;
use saddle::tolerance::Endings;

/// Where the search starts.
pub(super) struct Search<'a> {
    pub(super) endings: &'a Endings,
    pub(super) prospect: &'a Prospect,
}

impl Search<'_> {
    /// The steps to take, each one of `options` (which are readings by number) with the chance after it: that which gains most, or the
    /// better of two that gain more together than it does twice; until what is wished is reached, nothing gains or there are `most`.
    /// `sparing`: a step that turns out not to be needed is left out.
    pub(super) fn steps(&self, options: &[Vec<usize>], wished: f64, most: usize, sparing: bool) -> Vec<(usize, f64)> {
        let mut chosen: Vec<usize> = Vec::new();
        let mut prospect = self.prospect.clone();
        let reached = |prospect: &Prospect| self.endings.together(&prospect.covariance()) >= wished;
        while chosen.len() < most && !reached(&prospect) {
            let room = most - chosen.len();
            let best = self.best(&prospect, options, &chosen, room);
            if best.is_empty() {
                break;
            }
            for option in best {
                if !reached(&prospect) {
                    take(&mut prospect, &options[option]);
                    chosen.push(option);
                }
            }
        }
        if sparing && reached(&prospect) {
            self.spare(options, wished, &mut chosen);
        }
        let mut prospect = self.prospect.clone();
        let steps = chosen.into_iter().map(|option| {
            take(&mut prospect, &options[option]);
            (option, self.endings.together(&prospect.covariance()))
        });
        steps.collect()
    }

    /// The option that gains most, or two; none where nothing gains.
    fn best(&self, prospect: &Prospect, options: &[Vec<usize>], chosen: &[usize], room: usize) -> Vec<usize> {
        let now = self.endings.singly(&prospect.variances_with(&[]));
        let gain = |readings: &[usize]| self.endings.singly(&prospect.variances_with(readings)) - now;
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
            let mut prospect = self.prospect.clone();
            let others = chosen.iter().enumerate().filter(|(i, _)| *i != at);
            others.for_each(|(_, &option)| take(&mut prospect, &options[option]));
            if self.endings.together(&prospect.covariance()) >= wished {
                chosen.remove(at);
            } else {
                at += 1;
            }
        }
    }
}

/// Gains that differ by less than this share of themselves are alike.
const SAME: f64 = 1e-9;

fn take(prospect: &mut Prospect, readings: &[usize]) {
    readings.iter().for_each(|&reading| prospect.take(reading));
}
