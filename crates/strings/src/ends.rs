//! How firmly the ends of a stiff string are held.

use numerics::Real;

/// How firmly each end of the sounding string is held against bending, as a share of a clamp: 0 pinned, 1 clamped; no unit.
///
/// A clamped end makes a stiff string sound as if it were shorter by `sqrt(E I / T)`, a pinned one by nothing. A string that runs on
/// over an edge lies between the two, at 0.5 to 0.6 (two-span beam with tails of 60 to 8 mm; derived here, no source).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends<R = f64> {
    /// The open string's end at the nut.
    pub nut: R,
    /// The fretted string's end at the fret.
    pub fret: R,
    /// The end at the saddle, of both.
    pub saddle: R,
}

impl Ends {
    /// Clamped at nut or fret, pinned at the saddle: M. B. Anderson and R. G. Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024).
    pub const PUBLISHED: Self = Self {
        nut: 1.0,
        fret: 1.0,
        saddle: 0.0,
    };
}

impl<R: Real> Ends<R> {
    /// `2 c_fret + c_saddle - c_nut`: what the ends count for in the setback that tunes the octave, in lengths `sqrt(E I / T)` of the
    /// open string. 1 as published; -1 to 3 at the limits.
    #[must_use]
    pub fn sum(self) -> R {
        self.fret * 2.0 + self.saddle - self.nut
    }

    /// Ends of a given [`Ends::sum`], any number. At the octave nothing but the sum is felt, so the open string is left as published and
    /// the fret takes up the rest; its share is then what it counts for, and may pass 1.
    #[must_use]
    pub fn of_sum(sum: R) -> Self {
        let Ends { nut, saddle, .. } = Ends::PUBLISHED;
        Self {
            nut: R::from(nut),
            fret: (sum + nut - saddle) * 0.5,
            saddle: R::from(saddle),
        }
    }

    /// Clamped ends of the open string, counted by their shares.
    #[inline]
    pub(crate) fn open(self) -> R {
        self.nut + self.saddle
    }

    /// Clamped ends of the fretted string, counted by their shares.
    #[inline]
    pub(crate) fn fretted(self) -> R {
        self.fret + self.saddle
    }
}

impl Default for Ends {
    fn default() -> Self {
        Self::PUBLISHED
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_ends_sum_to_one_and_come_back_from_it() {
        assert_eq!(Ends::PUBLISHED.sum(), 1.0);
        assert_eq!(Ends::of_sum(1.0), Ends::PUBLISHED);
        for sum in [0.5, 1.1, 2.0, 2.5f64] {
            assert!((Ends::of_sum(sum).sum() - sum).abs() < 1e-15);
        }
    }
}
