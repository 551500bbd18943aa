//! The nut as its outline leaves it: the same height from front to back.

use crate::lie::{FITS, Lie};
use crate::{Setup, SurfaceError};
use numerics::math;
use nut::NutPlan;

/// Places along the top at which its crest is looked for.
const CREST_STEPS: u32 = 400;

/// The nut between its finished ends, as high from front to back as its top is at the front; what falls back from there is
/// filed. It lies in the stock of its setup.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    top: nut::Top,
    /// What the top stands higher at the front face than at its bearing edges.
    lift: f64,
    /// u of the strings, where the top may bend.
    strings: Vec<f64>,
    lie: Lie,
    crest: f64,
}

impl Prism {
    /// The nut of `plan` in the stock of `setup`.
    ///
    /// # Errors
    /// [`SurfaceError`] if the stock does not hold the nut.
    pub fn new(plan: &NutPlan, setup: &Setup) -> Result<Self, SurfaceError> {
        let stock = &setup.stock;
        let ends = (plan.ends[0], plan.ends[1]);
        let lie = Lie::new(stock, plan.blank.thickness, ends, plan.left_handed)?;
        let behind = plan.strings.iter().map(|s| s.b).fold(0.0, f64::max);
        let mut prism = Self {
            top: plan.top.clone(),
            lift: (behind * math::tan(plan.fall)).max(-plan.blank.thickness * math::tan(plan.fall)),
            strings: plan.strings.iter().map(|s| s.u).collect(),
            lie,
            crest: 0.0,
        };
        let share = |i: u32| f64::from(i) / f64::from(CREST_STEPS);
        let places = (0..=CREST_STEPS).map(|i| ends.0 + (ends.1 - ends.0) * share(i));
        prism.crest = places
            .chain(prism.strings.iter().copied())
            .map(|u| prism.top.height(u) + prism.lift)
            .fold(f64::NEG_INFINITY, f64::max);
        if prism.crest > stock.height + FITS {
            return Err(SurfaceError::Low {
                have: stock.height,
                need: prism.crest,
            });
        }
        Ok(prism)
    }

    /// X of a place u along the blank, mm.
    #[must_use]
    pub fn x(&self, u: f64) -> f64 {
        self.lie.x(u)
    }

    /// X of the finished ends, the lower first, mm.
    #[must_use]
    pub fn ends_x(&self) -> (f64, f64) {
        self.lie.ends_x()
    }

    /// X where the top may bend, mm.
    pub(crate) fn kinks_x(&self) -> impl Iterator<Item = f64> + '_ {
        self.strings.iter().map(|u| self.x(*u))
    }

    /// Height over the seat at X, mm.
    #[must_use]
    pub fn height(&self, x: f64) -> f64 {
        self.top.height(self.lie.u(x)) + self.lift
    }

    /// Greatest height over the seat, mm.
    #[must_use]
    pub fn crest(&self) -> f64 {
        self.crest
    }
}
