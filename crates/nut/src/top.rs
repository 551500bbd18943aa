//! The top of the nut across the strings.

use crate::TopShape;
use numerics::Pchip;

/// Height of the top over the seat along the nut, at the front face. mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Top {
    /// A smooth line through a height over every string; beyond the outer ones it runs on straight, no steeper than a board's
    /// edge.
    Through {
        /// The line.
        curve: Pchip,
        /// u of the outer strings.
        outer: [f64; 2],
    },
    /// An arc.
    Arc {
        /// u of its highest place.
        middle: f64,
        /// Height there.
        crest: f64,
        /// Radius.
        radius: f64,
    },
}

impl Top {
    /// The top that stands `wanted` high at each u (both mm, bass to treble); an arc has its crest at `middle` and stands at
    /// least so high. `None` if the places do not rise, or if the radius does not span them.
    #[must_use]
    pub fn over(shape: TopShape, u: &[f64], wanted: &[f64], middle: f64) -> Option<Self> {
        match shape {
            TopShape::Follow => Some(Self::Through {
                outer: [*u.first()?, *u.last()?],
                curve: Pchip::new(u, wanted).ok()?,
            }),
            TopShape::Arc(radius) => {
                let needs = u.iter().zip(wanted).map(|(u, v)| v + sagitta(radius, u - middle));
                let crest = needs.fold(f64::NEG_INFINITY, f64::max);
                // A sagitta beyond the radius is not a number, which max() would hide.
                let spans = u.iter().all(|u| (u - middle).abs() < radius);
                (spans && crest.is_finite()).then_some(Self::Arc { middle, crest, radius })
            }
        }
    }

    /// Height at `u`, mm.
    #[must_use]
    pub fn height(&self, u: f64) -> f64 {
        match self {
            Self::Through {
                curve,
                outer: [first, last],
            } => {
                let held = u.clamp(*first, *last);
                let slope = curve.slope(held).clamp(-STEEPEST, STEEPEST);
                curve.value(held) + slope * (u - held)
            }
            Self::Arc { middle, crest, radius } => {
                // Beyond its half circle an arc has no height; hold it there.
                let from = (u - middle).clamp(-radius, *radius);
                crest - sagitta(*radius, from)
            }
        }
    }
}

/// Steepest slope of the top beyond the outer strings, no unit: the camber of a board 44 mm wide with the least usual radius.
const STEEPEST: f64 = 0.16;

fn sagitta(radius: f64, from: f64) -> f64 {
    from * from / (radius + (radius * radius - from * from).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_is_as_low_as_may_be() {
        let (u, v) = ([3.0, 20.0, 40.0], [7.0, 7.6, 7.2]);
        let top = Top::over(TopShape::Arc(300.0), &u, &v, 21.5).unwrap();
        let over: Vec<f64> = u.iter().zip(v).map(|(u, v)| top.height(*u) - v).collect();
        assert!(over.iter().all(|o| *o > -1e-12), "{over:?}");
        assert!(over.iter().any(|o| o.abs() < 1e-12), "{over:?}");
        assert_eq!(Top::over(TopShape::Arc(10.0), &u, &v, 21.5), None);
    }

    #[test]
    fn beyond_the_outer_strings_the_top_falls_gently() {
        let top = Top::over(TopShape::Follow, &[20.0, 21.0], &[5.0, 7.0], 21.5).unwrap();
        assert!((top.height(0.0) - (5.0 - 20.0 * STEEPEST)).abs() < 1e-12);
        assert!((top.height(31.0) - (7.0 + 10.0 * STEEPEST)).abs() < 1e-12);
    }

    #[test]
    fn a_top_that_follows_goes_through_every_height() {
        let (u, v) = ([3.0, 20.0, 40.0], [7.0, 7.6, 7.2]);
        let top = Top::over(TopShape::Follow, &u, &v, 21.5).unwrap();
        for (u, v) in u.iter().zip(v) {
            assert!((top.height(*u) - v).abs() < 1e-12);
        }
        assert_eq!(Top::over(TopShape::Follow, &[3.0, 3.0], &[1.0, 1.0], 0.0), None);
    }
}
