//! How a finished part lies in its stock: u of the plan and X of the program.

use crate::{Stock, SurfaceError};

/// Stock and blank are the same thickness within this, mm; a caliper reads 0.02.
const SAME_THICKNESS: f64 = 0.05;
/// The finished part may stand out of the stock by no more than this, mm.
pub(crate) const FITS: f64 = 1e-6;

/// Where X counts from, and which way: X = origin + hand * u.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lie {
    origin: f64,
    hand: f64,
    /// u of the finished ends.
    ends: (f64, f64),
}

impl Lie {
    /// A part `thickness` mm from front to back between two ends, u; a left-handed one is mirrored, so that X counts from its
    /// treble end.
    ///
    /// # Errors
    /// [`SurfaceError`] for sizes that are none, for stock of another thickness, and for stock that is too short.
    pub(crate) fn new(
        stock: &Stock,
        thickness: f64,
        ends: (f64, f64),
        left_handed: bool,
    ) -> Result<Self, SurfaceError> {
        for (size, what) in [
            (stock.thickness, "stock's thickness"),
            (stock.height, "stock's height"),
            (stock.length, "stock's length"),
            (thickness, "blank's thickness"),
            (ends.1 - ends.0, "finished length"),
        ] {
            if !(size.is_finite() && size > 0.0) {
                return Err(SurfaceError::Size { what });
            }
        }
        if !stock.bass_margin.is_finite() {
            return Err(SurfaceError::Size { what: "margin" });
        }
        if (thickness - stock.thickness).abs() > SAME_THICKNESS {
            return Err(SurfaceError::Thickness {
                have: stock.thickness,
                need: thickness,
            });
        }
        let (from, to) = (stock.bass_margin, stock.bass_margin + ends.1 - ends.0);
        if from < -FITS || to > stock.length + FITS {
            return Err(SurfaceError::Short {
                from,
                to,
                length: stock.length,
            });
        }
        let (origin, hand) = if left_handed {
            (stock.length - stock.bass_margin + ends.0, -1.0)
        } else {
            (stock.bass_margin - ends.0, 1.0)
        };
        Ok(Self { origin, hand, ends })
    }

    pub(crate) fn x(&self, u: f64) -> f64 {
        self.origin + self.hand * u
    }

    pub(crate) fn u(&self, x: f64) -> f64 {
        self.hand * (x - self.origin)
    }

    /// X of the finished ends, the lower first.
    pub(crate) fn ends_x(&self) -> (f64, f64) {
        let (a, z) = (self.x(self.ends.0), self.x(self.ends.1));
        (a.min(z), a.max(z))
    }
}
