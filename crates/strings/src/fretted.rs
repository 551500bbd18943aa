//! The pitch of a fretted string against equal temperament.

use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};
use std::f64::consts::PI;

/// Frets over which intonation is judged: 1 to 12.
pub const FRETS: usize = 12;

/// 2^(-n/12) for fret n = index + 1.
const TEMPERED: [f64; FRETS] = [
    0.943_874_312_681_693_5,
    0.890_898_718_140_339_3,
    0.840_896_415_253_714_6,
    0.793_700_525_984_099_7,
    0.749_153_538_438_340_8,
    0.707_106_781_186_547_5,
    0.667_419_927_085_017_2,
    0.629_960_524_947_436_6,
    0.594_603_557_501_360_5,
    0.561_231_024_154_686_5,
    0.529_731_547_179_647_6,
    0.5,
];

/// A point in side view, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// From fret 0 toward the bridge.
    pub x: f64,
    /// Above the fret plane.
    pub z: f64,
}

impl Point {
    #[inline]
    fn distance(self, other: Self) -> f64 {
        // hypot() guards against overflow at several times the cost; these are millimetres.
        ((self.x - other.x).powi(2) + (self.z - other.z).powi(2)).sqrt()
    }
}

/// How a string resists stretching and bending.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stiffness {
    /// By the stiffness of what carries the load: all of a plain string, the core of a wound one.
    Elastic {
        /// Axial stiffness E A, N.
        axial: f64,
        /// Bending stiffness E I, N mm2.
        bending: f64,
    },
    /// As measured by stretching: `kappa = 2 R + 1` with R = dln f / dln L; no unit. See [`Stiffness::from_response`].
    Measured {
        /// Stretch stiffness, no unit; about 50 for nylon.
        kappa: f64,
    },
}

impl Serialize for Stiffness {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (by, axial, bending, kappa) = match *self {
            Self::Elastic { axial, bending } => ("construction", Some(axial), Some(bending), None),
            Self::Measured { kappa } => ("stretch-response", None, None, Some(kappa)),
        };
        let mut out = serializer.serialize_struct("Stiffness", 4)?;
        out.serialize_field("by", by)?;
        out.serialize_field("axial", &axial)?;
        out.serialize_field("bending", &bending)?;
        out.serialize_field("kappa", &kappa)?;
        out.end()
    }
}

impl Stiffness {
    /// From a measured stretch response R = dln f / dln L (no unit, positive), as the paper measured it for nylon.
    #[must_use]
    pub fn from_response(response: f64) -> Self {
        Self::Measured {
            kappa: 2.0 * response + 1.0,
        }
    }

    /// Stretch stiffness times `c`, bending term B0 times the root of `c`.
    #[must_use]
    pub fn scaled(self, c: f64) -> Self {
        match self {
            Self::Elastic { axial, bending } => Self::Elastic {
                axial: c * axial,
                bending: c * bending,
            },
            Self::Measured { kappa } => Self::Measured { kappa: c * kappa },
        }
    }
}

/// A string as the model sees it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringModel {
    /// Outer diameter, mm.
    pub outer_diameter: f64,
    /// Linear density, g/m.
    pub linear_density: f64,
    /// Stretch and bending stiffness.
    pub stiffness: Stiffness,
}

impl StringModel {
    /// Tension in N at `length` mm and `frequency` Hz: `T = 4 mu L^2 f^2`.
    #[must_use]
    pub fn tension(&self, length: f64, frequency: f64) -> f64 {
        // g/m is 1e-3 kg/m and mm2 is 1e-6 m2.
        4e-9 * self.linear_density * (length * frequency).powi(2)
    }
}

/// A string tuned to its open pitch over a row of frets. All lengths are taken in side view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrettedString {
    /// The string.
    pub model: StringModel,
    /// Pitch of the open string, Hz.
    pub frequency: f64,
    /// Scale length, mm.
    pub scale: f64,
    /// Crowns under the string, fret 1 first.
    pub crowns: [Point; FRETS],
    /// Distance of the finger from the crown toward the nut, mm; 0 for a press at the fret.
    pub press: f64,
}

/// An open string between nut and saddle contact: what all frets share.
struct Open {
    length: f64,
    kappa: f64,
    b0: f64,
    shape: f64,
}

/// `s(B) = 1 + B + (1 + pi^2/2) B^2`: rise of the fundamental of a stiff string, pinned at one end, clamped at the other.
fn stiff_rise(b: f64) -> f64 {
    1.0 + b * (1.0 + (1.0 + 0.5 * PI * PI) * b)
}

impl FrettedString {
    /// Tension of the open string in N between nut and saddle contact.
    #[must_use]
    pub fn tension(&self, nut: Point, saddle: Point) -> f64 {
        self.model.tension(nut.distance(saddle), self.frequency)
    }

    fn open(&self, nut: Point, saddle: Point) -> Open {
        let length = nut.distance(saddle);
        let (kappa, b0) = match self.model.stiffness {
            Stiffness::Elastic { axial, bending } => {
                let tension = self.model.tension(length, self.frequency);
                (axial / tension, (bending / tension).sqrt() / length)
            }
            // A measured string keeps its values at the scale length.
            Stiffness::Measured { kappa } => (
                kappa,
                kappa.sqrt() * 0.5 * self.model.outer_diameter / (2.0 * self.scale),
            ),
        };
        Open {
            length,
            kappa,
            b0,
            shape: stiff_rise(b0),
        }
    }

    fn cents_over(&self, open: &Open, index: usize, nut: Point, saddle: Point) -> f64 {
        let crown = self.crowns[index];
        let speaking = crown.distance(saddle);
        let p = self.press;
        let behind = if p == 0.0 {
            crown.distance(nut)
        } else {
            // Straight on past the crown for p, then to the nut.
            let run = saddle.x - crown.x;
            let finger = Point {
                x: crown.x - p,
                z: crown.z - p * (saddle.z - crown.z) / run,
            };
            p * speaking / run + finger.distance(nut)
        };
        let stretch = (speaking + behind - open.length) / open.length;
        let tightening = 1.0 + open.kappa * stretch;
        let b = open.b0 * open.length / (speaking * tightening.sqrt());
        let length_ratio = TEMPERED[index] * open.length / speaking;
        let stiff_ratio = stiff_rise(b) / open.shape;
        600.0 * ((length_ratio * stiff_ratio).powi(2) * (1.0 + stretch) * tightening).log2()
    }

    /// Error against equal temperament at frets 1 to 12 in cents, sharp positive, with the open string in tune.
    #[must_use]
    pub fn cents(&self, nut: Point, saddle: Point) -> [f64; FRETS] {
        let open = self.open(nut, saddle);
        std::array::from_fn(|i| self.cents_over(&open, i, nut, saddle))
    }

    /// Error at fret 12 alone, cents.
    #[inline]
    #[must_use]
    pub fn cents_at_12(&self, nut: Point, saddle: Point) -> f64 {
        self.cents_over(&self.open(nut, saddle), FRETS - 1, nut, saddle)
    }
}

/// Root mean square of cents over frets 1 to 12.
#[must_use]
pub fn rms(cents: &[f64; FRETS]) -> f64 {
    (cents.iter().map(|c| c * c).sum::<f64>() / 12.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Material, plain};

    #[test]
    fn tempered_ratios() {
        for (i, ratio) in TEMPERED.iter().enumerate() {
            let n = i as f64 + 1.0;
            assert!((ratio - (-n / 12.0).exp2()).abs() < 1e-15);
        }
    }

    #[test]
    fn a_limp_string_flush_with_its_frets_is_in_tune() {
        let model = StringModel {
            outer_diameter: 0.0,
            linear_density: 1.0,
            stiffness: Stiffness::Measured { kappa: 0.0 },
        };
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - TEMPERED[i]),
            z: 0.0,
        });
        let string = FrettedString {
            model,
            frequency: 100.0,
            scale: 650.0,
            crowns,
            press: 0.0,
        };
        let cents = string.cents(Point { x: 0.0, z: 0.0 }, Point { x: 650.0, z: 0.0 });
        assert!(cents.iter().all(|c| c.abs() < 1e-9));
    }

    /// 1 mm of setback is worth `1200/ln 2 / L` cents at fret 12: twice that of the fretted half less that of the open string.
    #[test]
    fn a_millimetre_flattens_the_octave_by_the_length_rule() {
        let model = StringModel {
            outer_diameter: 0.0,
            linear_density: 1.0,
            stiffness: Stiffness::Measured { kappa: 0.0 },
        };
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - TEMPERED[i]),
            z: 0.0,
        });
        let string = FrettedString {
            model,
            frequency: 100.0,
            scale: 650.0,
            crowns,
            press: 0.0,
        };
        let at = |x: f64| string.cents_at_12(Point { x: 0.0, z: 0.0 }, Point { x, z: 0.0 });
        let slope = (at(650.001) - at(649.999)) / 0.002;
        assert!((slope + 1200.0 / std::f64::consts::LN_2 / 650.0).abs() < 1e-6);
    }

    #[test]
    fn a_finger_behind_the_fret_sharpens() {
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - TEMPERED[i]),
            z: 0.0,
        });
        let (nut, saddle) = (Point { x: 0.0, z: 0.5 }, Point { x: 652.0, z: 4.0 });
        let string = |press| FrettedString {
            model: plain(0.3, Material::STEEL).unwrap(),
            frequency: 329.6,
            scale: 650.0,
            crowns,
            press,
        };
        let (at, behind) = (string(0.0).cents(nut, saddle), string(5.0).cents(nut, saddle));
        assert!(behind.iter().zip(&at).all(|(b, a)| b > a));
        let barely = string(1e-9).cents(nut, saddle);
        assert!(barely.iter().zip(&at).all(|(b, a)| (b - a).abs() < 1e-6));
    }
}
