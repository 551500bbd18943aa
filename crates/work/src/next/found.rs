//! The readings that would make a saddle surest.

use instrument::{Of, Taken};
use saddle::tolerance::{Endings, ToleranceError};

use super::offered::{Offered, offered};
use super::search::Search;
use super::told::{Next, NextAsk, NextStep, Shop};
use crate::SaddleWork;

/// How sure a reading is, as [`NextStep::sure_to`] tells it.
fn sure_to_of(taken: &Taken) -> f64 {
    let total = taken.unsure.total();
    match taken.of {
        Of::RadiusAtNut | Of::RadiusAt12 | Of::Inharmonicity if taken.value != 0.0 => total / taken.value.abs(),
        _ => total,
    }
}

impl SaddleWork<'_> {
    /// What to read next, with the tools of a shop: at one linearisation, nothing is solved again.
    ///
    /// # Errors
    /// [`ToleranceError`].
    pub fn next(&self, shop: &Shop, ask: &NextAsk) -> Result<Next, ToleranceError> {
        let band = self.job.tolerance.band;
        let endings = Endings::of(self.evidence, self.survey, self.plan, band)?;
        let Offered {
            readings,
            kinds,
            ahead,
            no_nut,
        } = offered(self.evidence, shop);
        let further = ahead.further(&endings.slopes);
        let search = Search {
            endings: &endings,
            further: &further.map_err(|_| ToleranceError::NotPositive)?,
        };
        let step = |(of, places, chance): (usize, Vec<usize>, f64)| NextStep {
            of: readings[of].taken.of,
            places: places.iter().map(|&i| readings[i].taken.at).collect(),
            tool: readings[of].taken.tool.clone(),
            sure_to: places
                .iter()
                .map(|&i| sure_to_of(&readings[i].taken))
                .fold(0.0, f64::max),
            again: places.iter().any(|&i| readings[i].again),
            chance,
        };
        let steps = |options: &[Vec<usize>], most: usize, sparing: bool| {
            let found = search.steps(options, ask.wished, most, sparing);
            let found = found.into_iter().filter_map(|(option, chance)| {
                let places = options.get(option)?.clone();
                Some((*places.first()?, places, chance))
            });
            found.map(step).collect()
        };
        let each: Vec<Vec<usize>> = (0..readings.len()).map(|i| vec![i]).collect();
        Ok(Next {
            band,
            wished: ask.wished,
            now: search.chance(search.further),
            kinds: steps(&kinds, ask.kinds, true),
            singles: steps(&each, ask.singles, false),
            visit: shop.visit,
            no_nut,
            shared: self.survey.strings.iter().any(|s| !s.also.is_empty()),
        })
    }
}
