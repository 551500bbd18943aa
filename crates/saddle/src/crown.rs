//! The top of the blank: a ridge line, rounded, with a fall in front and one behind.

use crate::{PlanError, Ridge};
use instrument::BlankPoint;
use numerics::{NotSettled, Pchip, Round, UNCHANGED, math, settle};
use serde::Serialize;

/// Width of the ramp between two steps of a stepped ridge, mm: about the edge of a fine file.
const RAMP: f64 = 0.5;
/// The contact angle and the ridge's slope need each other; rounds until they agree to double precision.
const ROUNDS: usize = 12;

/// The crown of a blank: at each place u a section of two falls that touch a rounding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Crown {
    /// Radius of the rounding along the ridge, mm.
    pub rounding: f64,
    /// Fall in front of the ridge, radians, positive downward toward the front face.
    pub front_fall: f64,
    /// Fall behind the ridge, radians, positive downward toward the back.
    pub back_fall: f64,
    /// Thickness of the blank, mm.
    #[serde(skip)]
    pub thickness: f64,
    #[serde(skip)]
    front: Fall,
    #[serde(skip)]
    back: Fall,
    #[serde(skip)]
    centre_b: Line,
    #[serde(skip)]
    centre_v: Pchip,
    #[serde(skip)]
    angle: Pchip,
}

/// b of the rounding's centre along u.
#[derive(Debug, Clone, PartialEq)]
enum Line {
    Smooth(Pchip),
    Stepped { middles: Vec<f64>, b: Vec<f64>, ramp: f64 },
}

impl Line {
    fn new(ridge: Ridge, u: &[f64], b: &[f64]) -> Result<Self, PlanError> {
        Ok(match ridge {
            Ridge::Smooth => Self::Smooth(Pchip::new(u, b).map_err(|_| PlanError::RidgeOrder)?.with_level_ends()),
            Ridge::Stepped => {
                let room = u.windows(2).map(|w| w[1] - w[0]).fold(f64::INFINITY, f64::min);
                Self::Stepped {
                    middles: u.windows(2).map(|w| 0.5 * (w[0] + w[1])).collect(),
                    b: b.to_vec(),
                    ramp: RAMP.min(0.5 * room),
                }
            }
        })
    }

    /// Value and slope at `u`.
    fn at(&self, u: f64) -> (f64, f64) {
        match self {
            Self::Smooth(curve) => (curve.value(u), curve.slope(u)),
            Self::Stepped { middles, b, ramp } => {
                let i = middles.partition_point(|m| m + 0.5 * ramp <= u);
                match middles.get(i) {
                    Some(m) if u > m - 0.5 * ramp => {
                        let slope = (b[i + 1] - b[i]) / ramp;
                        (b[i] + slope * (u - (m - 0.5 * ramp)), slope)
                    }
                    _ => (b[i], 0.0),
                }
            }
        }
    }
}

/// A fall with its sine, cosine and tangent, which every place of a section needs.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Fall {
    sin: f64,
    cos: f64,
    tan: f64,
}

impl Fall {
    fn new(angle: f64) -> Self {
        let (sin, cos) = math::sin_cos(angle);
        Self {
            sin,
            cos,
            tan: sin / cos,
        }
    }
}

/// A cut through the crown square to the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// b of the rounding's centre, mm.
    pub centre_b: f64,
    /// v of the rounding's centre, mm.
    pub centre_v: f64,
    /// Radius of the rounding, mm.
    pub rounding: f64,
    /// Fall in front, radians.
    pub front_fall: f64,
    /// Fall behind, radians.
    pub back_fall: f64,
    /// Thickness of the blank, mm.
    pub thickness: f64,
    front: Fall,
    back: Fall,
}

impl Section {
    /// Where the front fall touches the rounding, `(b, v)` in mm.
    #[must_use]
    pub fn front_tangent(&self) -> (f64, f64) {
        (
            self.centre_b - self.rounding * self.front.sin,
            self.centre_v + self.rounding * self.front.cos,
        )
    }

    /// Where the back fall touches the rounding, `(b, v)` in mm.
    #[must_use]
    pub fn back_tangent(&self) -> (f64, f64) {
        (
            self.centre_b + self.rounding * self.back.sin,
            self.centre_v + self.rounding * self.back.cos,
        )
    }

    /// Point of the rounding whose outward normal leans back by `angle` radians, `(b, v)` in mm.
    #[must_use]
    pub fn on_rounding(&self, angle: f64) -> (f64, f64) {
        let (sin, cos) = math::sin_cos(angle);
        (self.centre_b + self.rounding * sin, self.centre_v + self.rounding * cos)
    }

    /// Height v of the crown at `b`, mm.
    #[must_use]
    pub fn height(&self, b: f64) -> f64 {
        let (front, back) = (self.front_tangent(), self.back_tangent());
        if b <= front.0 {
            front.1 - (front.0 - b) * self.front.tan
        } else if b >= back.0 {
            back.1 - (b - back.0) * self.back.tan
        } else {
            let across = b - self.centre_b;
            self.centre_v + (self.rounding * self.rounding - across * across).max(0.0).sqrt()
        }
    }

    /// The crown from front face to back face as `(b, v)` points, the rounding in `steps` chords.
    #[must_use]
    pub fn outline(&self, steps: u32) -> Vec<(f64, f64)> {
        let inside = |p: &(f64, f64)| p.0 > 0.0 && p.0 < self.thickness;
        let turn = self.front_fall + self.back_fall;
        let rounding = (0..=steps)
            .map(|i| self.on_rounding(-self.front_fall + turn * f64::from(i) / f64::from(steps.max(1))))
            .filter(inside);
        std::iter::once((0.0, self.height(0.0)))
            .chain(rounding)
            .chain(std::iter::once((self.thickness, self.height(self.thickness))))
            .collect()
    }
}

/// Contact of one string with the crown, for placing the rounding.
pub(crate) struct Station {
    /// Planned contact.
    pub contact: BlankPoint,
    /// Direction of the string in the blank frame.
    pub direction: BlankPoint,
}

impl Station {
    /// How far the crown's normal at the contact leans back from e_v, radians, for a ridge that runs along with slopes
    /// `db` and `dv` (per unit of u): the string's direction lies in the tangent plane. `lean - a` without skew and slopes.
    fn angle(&self, db: f64, dv: f64) -> f64 {
        let d = &self.direction;
        math::atan2(dv * d.u - d.v, d.b - db * d.u)
    }
}

impl Crown {
    /// Ridge through the contacts, bass to treble, with its rounding placed so that each string is tangent to it at its contact.
    ///
    /// `falls` receives the least and the largest contact angle (radians) and answers the front and back fall.
    pub(crate) fn through(
        stations: &[Station],
        ridge: Ridge,
        rounding: f64,
        thickness: f64,
        falls: impl FnOnce(&[f64]) -> Result<(f64, f64), Vec<PlanError>>,
    ) -> Result<Self, Vec<PlanError>> {
        let one = |e| vec![e];
        let order = |_| vec![PlanError::RidgeOrder];
        let u: Vec<f64> = stations.iter().map(|s| s.contact.u).collect();
        let straight: Vec<f64> = stations.iter().map(|s| s.angle(0.0, 0.0)).collect();
        let round = |angles: Vec<f64>| {
            let centres = stations.iter().zip(&angles).map(|(s, a)| {
                (
                    s.contact.b - rounding * math::sin(*a),
                    s.contact.v - rounding * math::cos(*a),
                )
            });
            let (b, v): (Vec<f64>, Vec<f64>) = centres.unzip();
            let line = Line::new(ridge, &u, &b).map_err(one)?;
            let height = Pchip::new(&u, &v).map_err(order)?;
            let next: Vec<f64> = stations
                .iter()
                .map(|s| s.angle(line.at(s.contact.u).1, height.slope(s.contact.u)))
                .collect();
            let off = next.iter().zip(&angles).map(|(next, now)| (next - now).abs());
            let off = off.fold(0.0, f64::max);
            let found = (angles, line, height);
            Ok::<_, Vec<PlanError>>(Round { found, next, off })
        };
        let settled = settle(straight, UNCHANGED, ROUNDS, round)?;
        // The last bit may go on to and fro.
        let (angles, centre_b, centre_v) = settled.unwrap_or_else(NotSettled::last);
        let (front_fall, back_fall) = falls(&angles)?;
        let angle = Pchip::new(&u, &angles).map_err(order)?;
        Ok(Self {
            rounding,
            front_fall,
            back_fall,
            thickness,
            front: Fall::new(front_fall),
            back: Fall::new(back_fall),
            centre_b,
            centre_v,
            angle,
        })
    }

    /// Section at `u` mm along the blank. Beyond the outer strings the ridge runs on straight across, at the last
    /// string's place, and the height with its last slope.
    #[must_use]
    pub fn section(&self, u: f64) -> Section {
        Section {
            centre_b: self.centre_b.at(u).0,
            centre_v: self.centre_v.value(u),
            rounding: self.rounding,
            front_fall: self.front_fall,
            back_fall: self.back_fall,
            thickness: self.thickness,
            front: self.front,
            back: self.back,
        }
    }

    /// The ridge at `u`: `(b, v)` in mm of the line that strings touch; passes through every planned contact.
    #[must_use]
    pub fn ridge(&self, u: f64) -> (f64, f64) {
        self.section(u).on_rounding(self.angle.value(u))
    }

    /// Highest point of the crown at `u`, as seen from the front, mm.
    #[must_use]
    pub fn silhouette(&self, u: f64) -> f64 {
        let section = self.section(u);
        // The normal nearest to e_v that the rounding has.
        section.on_rounding(0.0f64.max(-self.front_fall).min(self.back_fall)).1
    }

    /// Slopes of the ridge's centre line at `u`: db/du and dv/du, no unit.
    #[must_use]
    pub fn slopes(&self, u: f64) -> (f64, f64) {
        (self.centre_b.at(u).1, self.centre_v.slope(u))
    }
}
