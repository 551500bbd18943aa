//! A plan with what every view needs of it.

use super::callouts::{Callout, Row};
use crate::figures::Figures;
use crate::outline::{Outlines, ShapeError, from_front, outlines};
use saddle::{Hold, Plan, StringPlan};

/// Room at each end of a view for words and dimensions, mm.
const SIDE: f64 = 19.0;

/// Least width of a view, mm, for its heading.
const LEAST_WIDTH: f64 = 100.0;

/// A plan with what every view needs of it.
pub(crate) struct Scene<'a> {
    pub plan: &'a Plan,
    /// The finished part.
    pub shape: Outlines,
    /// The part before its ends are blended; as finished, if they are not.
    pub proud: Outlines,
    pub figures: Figures,
}

/// Places along the part on the sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Along {
    /// x where u is 0, mm.
    pub zero: f64,
    /// Sign of u on the sheet: -1 with the treble to the left.
    pub sign: f64,
    /// -1 as seen from behind.
    flip: f64,
}

impl Along {
    /// x where u is `u`, mm.
    pub fn x(self, u: f64) -> f64 {
        self.zero + self.sign * u
    }

    /// A piece of the part between two places, its left edge at `left` mm.
    pub fn from_left(left: f64, sign: f64, [one, other]: [f64; 2]) -> Self {
        Self {
            zero: left - (sign * one).min(sign * other),
            sign,
            flip: 1.0,
        }
    }

    /// x of a place of [`Outlines`], mm.
    pub fn part(self, x: f64) -> f64 {
        self.zero + self.flip * x
    }
}

impl<'a> Scene<'a> {
    pub fn new(plan: &'a Plan, figures: Figures) -> Result<Self, ShapeError> {
        let shape = outlines(plan)?;
        let proud = match plan.blank.blended() {
            None => shape.clone(),
            Some(_) => {
                let mut plan = plan.clone();
                plan.blank.wings = None;
                outlines(&plan)?
            }
        };
        Ok(Self {
            plan,
            shape,
            proud,
            figures,
        })
    }

    /// The part in the middle of a view.
    pub fn along(&self, from_behind: bool) -> Along {
        let left = 0.5 * (self.width() - self.length());
        let flip = if from_behind { -1.0 } else { 1.0 };
        let sign = flip * from_front(self.plan, 1.0);
        let (start, end) = self.plan.ends;
        Along {
            zero: left - (sign * start).min(sign * end),
            sign,
            flip,
        }
    }

    /// Length of the blank, mm.
    pub fn length(&self) -> f64 {
        self.plan.ends.1 - self.plan.ends.0
    }

    /// Highest v of the part, before its ends are blended, mm.
    pub fn crest(&self) -> f64 {
        self.proud.front.iter().map(|p| p[1]).fold(0.0, f64::max)
    }

    /// Width of a view with the room at its ends, mm.
    pub fn width(&self) -> f64 {
        (self.length() + 2.0 * SIDE).max(LEAST_WIDTH)
    }

    /// A callout for every string, `lines` telling its figures.
    pub fn row(&self, along: Along, held: bool, lines: impl Fn(&StringPlan) -> Vec<String>) -> Row {
        let callouts = self.plan.strings.iter().map(|s| Callout {
            x: along.x(s.contact.u),
            number: s.number,
            lines: lines(s),
            held: held && s.hold != Hold::Free,
        });
        Row::new(callouts.collect(), 0.0, self.width())
    }
}

/// v of the bridge top at the front wall at `u`, mm.
pub(crate) fn mouth(plan: &Plan, u: f64) -> Option<f64> {
    let [bass, treble] = plan.mouth?.map(|p| plan.frame.to_blank(p));
    (treble.u != bass.u).then(|| bass.v + (u - bass.u) / (treble.u - bass.u) * (treble.v - bass.v))
}
