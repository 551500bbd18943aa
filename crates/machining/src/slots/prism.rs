//! The nut as its outline leaves it: the same height from front to back.

use crate::{Setup, SetupKind, Stock, SurfaceError};
use nut::NutPlan;

/// Stock and blank are the same thickness within this, mm; a caliper reads 0.02.
const SAME_THICKNESS: f64 = 0.05;
/// The finished nut may stand out of the stock by no more than this, mm.
const FITS: f64 = 1e-6;
/// Places along the top at which its crest is looked for.
const CREST_STEPS: u32 = 400;

/// The nut between its finished ends, as high from front to back as its top is at the front; what falls back from there is
/// filed. It lies in the stock of its setup.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    top: nut::Top,
    /// What the top stands higher at the front face than at its bearing edges.
    lift: f64,
    /// Ends of the finished nut, u.
    ends: [f64; 2],
    /// u of the strings, where the top may bend.
    strings: Vec<f64>,
    /// X = origin + hand * u.
    origin: f64,
    hand: f64,
    crest: f64,
}

impl Prism {
    /// The nut of `plan` in the stock of `setup`.
    ///
    /// # Errors
    /// [`SurfaceError`] if the stock does not hold the nut.
    pub fn new(plan: &NutPlan, setup: &Setup) -> Result<Self, SurfaceError> {
        let stock = &setup.stock;
        for (size, what) in [
            (stock.thickness, "stock's thickness"),
            (stock.height, "stock's height"),
            (stock.length, "stock's length"),
            (plan.blank.thickness, "blank's thickness"),
            (plan.board_width, "nut's length"),
        ] {
            if !(size.is_finite() && size > 0.0) {
                return Err(SurfaceError::Size { what });
            }
        }
        if !stock.bass_margin.is_finite() {
            return Err(SurfaceError::Size { what: "margin" });
        }
        if (plan.blank.thickness - stock.thickness).abs() > SAME_THICKNESS {
            return Err(SurfaceError::Thickness {
                have: stock.thickness,
                need: plan.blank.thickness,
            });
        }
        let long = plan.ends[1] - plan.ends[0];
        let (from, to) = (stock.bass_margin, stock.bass_margin + long);
        if from < -FITS || to > stock.length + FITS {
            return Err(SurfaceError::Short {
                from,
                to,
                length: stock.length,
            });
        }
        let (origin, hand) = if plan.left_handed {
            (stock.length - stock.bass_margin + plan.ends[0], -1.0)
        } else {
            (stock.bass_margin - plan.ends[0], 1.0)
        };
        let behind = plan.strings.iter().map(|s| s.b).fold(0.0, f64::max);
        let mut prism = Self {
            top: plan.top.clone(),
            lift: (behind * plan.fall.tan()).max(-plan.blank.thickness * plan.fall.tan()),
            ends: plan.ends,
            strings: plan.strings.iter().map(|s| s.u).collect(),
            origin,
            hand,
            crest: 0.0,
        };
        let share = |i: u32| f64::from(i) / f64::from(CREST_STEPS);
        let places = (0..=CREST_STEPS).map(|i| plan.ends[0] + long * share(i));
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
        self.origin + self.hand * u
    }

    /// X of the finished ends, the lower first, mm.
    #[must_use]
    pub fn ends_x(&self) -> (f64, f64) {
        let (a, z) = (self.x(self.ends[0]), self.x(self.ends[1]));
        (a.min(z), a.max(z))
    }

    /// X where the top may bend, mm.
    pub(crate) fn kinks_x(&self) -> impl Iterator<Item = f64> + '_ {
        self.strings.iter().map(|u| self.x(*u))
    }

    /// Height over the seat at X, mm.
    #[must_use]
    pub fn height(&self, x: f64) -> f64 {
        self.top.height(self.hand * (x - self.origin)) + self.lift
    }

    /// Greatest height over the seat, mm.
    #[must_use]
    pub fn crest(&self) -> f64 {
        self.crest
    }
}

/// The setup of a nut whose outline was cut: its stock is the nut itself, as high as its crest. A flat setup stays as it is.
///
/// # Errors
/// [`SurfaceError`] if the stock does not hold the nut.
pub fn outlined(plan: &NutPlan, setup: &Setup) -> Result<Setup, SurfaceError> {
    let mut setup = setup.clone();
    if setup.kind == SetupKind::Flat {
        return Ok(setup);
    }
    let prism = Prism::new(plan, &setup)?;
    setup.stock = Stock {
        height: prism.crest(),
        length: plan.board_width,
        bass_margin: 0.0,
        ..setup.stock
    };
    Ok(setup)
}
