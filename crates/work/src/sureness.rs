//! How sure a plan is, and what to do about it.

use nut::NutPlan;
use nut::tolerance::SlotSpread;
use saddle::Plan;
use saddle::tolerance::{Band, Sampling, Share, Tolerance, ToleranceError, first_order, tolerance};

use crate::{Planned, SaddleWork};

/// A plan's sureness with what it was worked out for.
#[derive(Debug, Clone)]
pub struct Sureness<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// What counted as in tolerance.
    pub band: Band,
    /// How it was sampled.
    pub sampling: Sampling,
    /// What came of it.
    pub tolerance: Tolerance,
    /// Other tunings or sets share the contacts; all of this is of the main one.
    pub shared: bool,
}

/// What to do about a plan's sureness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SureAdvice<'a> {
    /// Make it as planned: it is as sure as wanted.
    MakeIt,
    /// Better this reading first, if there is one to better; then leave the whole saddle so much proud, mm, if it need be.
    First {
        /// The reading that can be taken again and makes most of the spread.
        again: Option<&'a Share>,
        /// Height to leave proud, mm; 0 where height is safe as planned.
        proud: f64,
    },
}

/// A reading with less of the spread than this is not worth a word, share of the variance. Our own choice.
pub const WORTH: f64 = 0.05;

impl Sureness<'_> {
    /// What to do about it.
    #[must_use]
    pub fn advice(&self) -> SureAdvice<'_> {
        let tolerance = &self.tolerance;
        if tolerance.all_within >= self.sampling.confidence {
            return SureAdvice::MakeIt;
        }
        // What can be read again, before what is only made.
        let again = tolerance
            .first_order
            .shares
            .iter()
            .find(|share| share.reading.is_read());
        SureAdvice::First {
            again: again.filter(|share| share.of_all >= WORTH),
            proud: tolerance.proud,
        }
    }
}

impl<'a> SaddleWork<'a> {
    /// How sure the plan is. `progress` is told the number of samples of each finished block, from any thread.
    ///
    /// # Errors
    /// [`ToleranceError`].
    pub fn sureness(
        &self,
        sampling: Sampling,
        progress: &(dyn Fn(usize) + Sync),
    ) -> Result<Sureness<'a>, ToleranceError> {
        let (plan, band) = (self.plan, self.job.tolerance.band);
        Ok(Sureness {
            plan,
            band,
            sampling,
            shared: self.survey.strings.iter().any(|s| !s.also.is_empty()),
            tolerance: tolerance(self.evidence, self.survey, plan, band, sampling, progress)?,
        })
    }
}

/// How sure the slots of a nut are.
#[derive(Debug, Clone, PartialEq)]
pub struct NutSureness<'a> {
    /// The nut.
    pub nut: &'a NutPlan,
    /// Its slots, bass to treble.
    pub slots: Vec<SlotSpread>,
    /// How sure the height left proud is, within [`saddle::tolerance::CONFIDENCE`].
    pub confidence: f64,
    /// Height to leave proud that serves every slot, mm.
    pub leave_proud: f64,
}

impl NutSureness<'_> {
    /// Whether the height that the job leaves proud is enough.
    #[must_use]
    pub fn is_enough(&self) -> bool {
        self.leave_proud <= self.nut.proud
    }
}

impl Planned {
    /// How sure each slot of the nut is, to first order; `None` without a planned nut.
    #[must_use]
    pub fn nut_sureness(&self, confidence: f64) -> Option<NutSureness<'_>> {
        let nut = self.nut()?.plan;
        let (job, unsure) = (&self.job, &self.job.uncertainty);
        let band = job.tolerance.band;
        // The action errs by the saddle that is made, or by the readings of the one that stays.
        let action = if job.saddle_stays() {
            nut::action_spread(&job.instrument, unsure)
        } else {
            let mut action = Vec::new();
            for one in self.saddles() {
                let saddle = one.saddle()?;
                let limits = (band.action, band.cents);
                action.extend(first_order(saddle.evidence, saddle.survey, saddle.plan, limits)?.action);
            }
            action
        };
        let slots = nut::tolerance::tolerance(nut, unsure, &action, confidence);
        Some(NutSureness {
            nut,
            leave_proud: slots.iter().map(|s| s.proud).fold(0.0, f64::max),
            slots,
            confidence,
        })
    }
}
