//! The pitch of a fretted string against equal temperament.

use crate::{Ends, Stiffness};
use numerics::{Real, math};
use serde::Serialize;
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
pub struct Point<R = f64> {
    /// From fret 0 toward the bridge.
    pub x: R,
    /// Above the fret plane.
    pub z: R,
}

impl<R: Real> Point<R> {
    #[inline]
    fn distance(self, other: Self) -> R {
        // hypot() guards against overflow at several times the cost; these are millimetres.
        let (x, z) = (self.x - other.x, self.z - other.z);
        (x * x + z * z).sqrt()
    }
}

/// A string as the model sees it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(bound(serialize = "R: Serialize + Copy"))]
pub struct StringModel<R = f64> {
    /// Outer diameter, mm.
    pub outer_diameter: f64,
    /// Linear density, g/m.
    pub linear_density: R,
    /// Stretch and bending stiffness.
    pub stiffness: Stiffness<R>,
}

impl<R: Real> StringModel<R> {
    /// `sqrt(E I / T)` at `length` mm and `frequency` Hz, mm: by so much a clamped end makes a stiff string sound as if it were shorter.
    #[must_use]
    pub fn clamped_length(&self, length: R, frequency: f64) -> R {
        match self.stiffness {
            Stiffness::Elastic { bending, .. } => (bending / self.tension(length, frequency)).sqrt(),
            Stiffness::Measured { kappa, bending } => (kappa * bending).sqrt() * 0.25 * self.outer_diameter,
        }
    }

    /// Tension in N at `length` mm and `frequency` Hz: `T = 4 mu L^2 f^2`.
    #[must_use]
    pub fn tension(&self, length: R, frequency: f64) -> R {
        // g/m is 1e-3 kg/m and mm2 is 1e-6 m2.
        let speed = length * frequency;
        self.linear_density * 4e-9 * (speed * speed)
    }
}

/// A string tuned to its open pitch over a row of frets. All lengths are taken in side view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrettedString<R = f64> {
    /// The string.
    pub model: StringModel<R>,
    /// Pitch of the open string, Hz.
    pub frequency: f64,
    /// x of fret 0, mm.
    pub fret_0: R,
    /// Scale length, mm.
    pub scale: R,
    /// Crowns under the string, fret 1 first.
    pub crowns: [Point<R>; FRETS],
    /// Distance of the finger from the crown toward the nut, mm; 0 for a press at the fret.
    pub press: f64,
    /// How its ends are held; [`Ends::PUBLISHED`] if nothing else is known.
    pub ends: Ends<R>,
}

/// An open string between nut and saddle contact: what all frets share.
struct Open<R> {
    length: R,
    kappa: R,
    b0: R,
    shape: R,
}

/// `s(B) = 1 + c B + (c^2 + pi^2/2) B^2`: rise of the fundamental of a stiff string of which c ends are clamped and the others pinned.
///
/// With c = 1 as in the paper; c = 2 is the textbook's string clamped at both ends, c = 0 pinned at both (H. Fletcher, "Normal vibration
/// frequencies of a stiff piano string", J. Acoust. Soc. Am. 36, 203 (1964), to second order; from memory).
#[inline]
fn stiff_rise<R: Real>(b: R, clamped: R) -> R {
    b * (clamped + (clamped * clamped + 0.5 * PI * PI) * b) + 1.0
}

impl<R: Real> FrettedString<R> {
    /// x where it would end by the scale length alone, mm.
    #[inline]
    #[must_use]
    pub fn scale_end(&self) -> R {
        self.fret_0 + self.scale
    }

    /// Tension of the open string in N between nut and saddle contact.
    #[must_use]
    pub fn tension(&self, nut: Point<R>, saddle: Point<R>) -> R {
        self.model.tension(nut.distance(saddle), self.frequency)
    }

    fn open(&self, nut: Point<R>, saddle: Point<R>) -> Open<R> {
        let length = nut.distance(saddle);
        let (kappa, b0) = match self.model.stiffness {
            Stiffness::Elastic { axial, bending } => {
                let tension = self.model.tension(length, self.frequency);
                (axial / tension, (bending / tension).sqrt() / length)
            }
            // A measured string keeps its values at the scale length.
            Stiffness::Measured { kappa, bending } => (
                kappa,
                (kappa * bending).sqrt() * 0.5 * self.model.outer_diameter / (self.scale * 2.0),
            ),
        };
        Open {
            length,
            kappa,
            b0,
            shape: stiff_rise(b0, self.ends.open()),
        }
    }

    fn cents_over(&self, open: &Open<R>, index: usize, nut: Point<R>, saddle: Point<R>) -> R {
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
                z: crown.z - (saddle.z - crown.z) * p / run,
            };
            speaking * p / run + finger.distance(nut)
        };
        let stretch = (speaking + behind - open.length) / open.length;
        let tightening = open.kappa * stretch + 1.0;
        let b = open.b0 * open.length / (speaking * tightening.sqrt());
        let length_ratio = open.length * TEMPERED[index] / speaking;
        let stiff_ratio = stiff_rise(b, self.ends.fretted()) / open.shape;
        let ratio = length_ratio * stiff_ratio;
        math::log2(ratio * ratio * (stretch + 1.0) * tightening) * 600.0
    }

    /// Error against equal temperament at frets 1 to 12 in cents, sharp positive, with the open string in tune.
    #[must_use]
    pub fn cents(&self, nut: Point<R>, saddle: Point<R>) -> [R; FRETS] {
        let open = self.open(nut, saddle);
        std::array::from_fn(|i| self.cents_over(&open, i, nut, saddle))
    }

    /// Error at one fret alone, 1 to 12, cents; that at fret 12 for any other.
    #[must_use]
    pub fn cents_at(&self, fret: u32, nut: Point<R>, saddle: Point<R>) -> R {
        let index = usize::try_from(fret).ok().and_then(|fret| fret.checked_sub(1));
        let index = index.filter(|index| *index < FRETS).unwrap_or(FRETS - 1);
        self.cents_over(&self.open(nut, saddle), index, nut, saddle)
    }

    /// Inharmonicity B of the open string: partial n stands at `n f0 sqrt(1 + B n^2)`, `B = pi^2 E I / (T L^2)`; no unit. N. H. Fletcher, T. D.
    /// Rossing, The Physics of Musical Instruments, section 2.18 (from memory).
    #[must_use]
    pub fn inharmonicity(&self, nut: Point<R>, saddle: Point<R>) -> R {
        math::powi(self.open(nut, saddle).b0, 2) * PI * PI
    }

    /// Error at fret 12 alone, cents.
    #[inline]
    #[must_use]
    pub fn cents_at_12(&self, nut: Point<R>, saddle: Point<R>) -> R {
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
    use proptest::prelude::*;

    #[test]
    fn tempered_ratios() {
        for (i, ratio) in TEMPERED.iter().enumerate() {
            let n = i as f64 + 1.0;
            assert!((ratio - math::exp2(-n / 12.0)).abs() < 1e-15);
        }
    }

    #[test]
    fn a_limp_string_flush_with_its_frets_is_in_tune() {
        let model = StringModel {
            outer_diameter: 0.0,
            linear_density: 1.0,
            stiffness: Stiffness::from_response(-0.5),
        };
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - TEMPERED[i]),
            z: 0.0,
        });
        let string = FrettedString {
            model,
            frequency: 100.0,
            fret_0: 0.0,
            scale: 650.0,
            crowns,
            press: 0.0,
            ends: Ends::PUBLISHED,
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
            stiffness: Stiffness::from_response(-0.5),
        };
        let crowns = std::array::from_fn(|i| Point {
            x: 650.0 * (1.0 - TEMPERED[i]),
            z: 0.0,
        });
        let string = FrettedString {
            model,
            frequency: 100.0,
            fret_0: 0.0,
            scale: 650.0,
            crowns,
            press: 0.0,
            ends: Ends::PUBLISHED,
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
            fret_0: 0.0,
            scale: 650.0,
            crowns,
            press,
            ends: Ends::PUBLISHED,
        };
        let (at, behind) = (string(0.0).cents(nut, saddle), string(5.0).cents(nut, saddle));
        assert!(behind.iter().zip(&at).all(|(b, a)| b > a));
        let barely = string(1e-9).cents(nut, saddle);
        assert!(barely.iter().zip(&at).all(|(b, a)| (b - a).abs() < 1e-6));
    }

    /// The pitch as the paper prints it, with its own `s(B)`.
    fn published(string: &FrettedString, nut: Point, saddle: Point, index: usize) -> f64 {
        let s = |b: f64| 1.0 + b + (1.0 + PI * PI / 2.0) * b * b;
        let (l0, ln) = (nut.distance(saddle), string.crowns[index].distance(saddle));
        let Stiffness::Elastic { axial, bending } = string.model.stiffness else {
            panic!("built of parts");
        };
        let tension = string.tension(nut, saddle);
        let (kappa, b0) = (axial / tension, (bending / (tension * l0 * l0)).sqrt());
        let q = (ln + string.crowns[index].distance(nut) - l0) / l0;
        let bn = b0 * (l0 / ln) / (1.0 + kappa * q).sqrt();
        1200.0 * math::log2(l0 * TEMPERED[index] / ln)
            + 600.0 * math::log2(1.0 + q)
            + 600.0 * math::log2(1.0 + kappa * q)
            + 1200.0 * math::log2(s(bn) / s(b0))
    }

    fn steel(diameter: f64, ends: Ends) -> FrettedString {
        FrettedString {
            model: plain(diameter, Material::STEEL).unwrap(),
            frequency: 246.94,
            fret_0: 0.0,
            scale: 648.0,
            crowns: std::array::from_fn(|i| Point {
                x: 648.0 * (1.0 - TEMPERED[i]),
                z: 0.0,
            }),
            press: 0.0,
            ends,
        }
    }

    const NUT: Point = Point { x: 0.0, z: 0.5 };

    proptest! {
        #[test]
        fn a_sum_of_one_is_the_published_string(d in 0.2..0.6f64, x in 645.0..655.0f64, z in 2.0..8.0f64) {
            let saddle = Point { x, z };
            let (plain, by_sum) = (steel(d, Ends::PUBLISHED), steel(d, Ends::of_sum(1.0)));
            let cents = by_sum.cents(NUT, saddle);
            prop_assert_eq!(cents, plain.cents(NUT, saddle));
            for (i, cents) in cents.iter().enumerate() {
                prop_assert!((cents - published(&plain, NUT, saddle, i)).abs() < 1e-9);
            }
        }

        /// At the octave the ends count by their sum, each in lengths `sqrt(E I / T)`: to first order in that length over the scale.
        #[test]
        fn the_octave_feels_the_sum_of_its_ends(
            d in 0.2..0.45f64, nut in 0.0..1.0f64, fret in 0.0..1.0f64, saddle in 0.0..1.0f64,
        ) {
            let ends = Ends { nut, fret, saddle };
            let at = Point { x: 650.0, z: 4.0 };
            let shown = |ends| steel(d, ends).cents_at_12(NUT, at);
            let Stiffness::Elastic { bending, .. } = steel(d, ends).model.stiffness else {
                panic!("built of parts");
            };
            let length = (bending / steel(d, ends).tension(NUT, at)).sqrt();
            let cents_a_mm = 1200.0 / std::f64::consts::LN_2 / 648.0;
            let wanted = (ends.sum() - 1.0) * length * cents_a_mm;
            let found = shown(ends) - shown(Ends::PUBLISHED);
            // Left out: terms of the second order, `length / scale` of the first, and the length's change as the string tightens.
            prop_assert!((found - wanted).abs() < 0.05 * 3.0 * length * cents_a_mm, "{found} against {wanted}");
            prop_assert!((shown(ends) - shown(Ends::of_sum(ends.sum()))).abs() < 0.05 * 3.0 * length * cents_a_mm);
        }
    }

    /// H. Fletcher's frequencies of a stiff string, to second order, with both ends pinned: `sqrt(1 + pi^2 B^2)`; both clamped:
    /// `1 + 2 B + (4 + pi^2/2) B^2` (from memory).
    #[test]
    fn pinned_and_clamped_at_both_ends_as_in_the_textbook() {
        for b in [1e-3, 3e-3, 1e-2] {
            assert!((stiff_rise(b, 0.0) - (1.0 + math::powi(PI * b, 2)).sqrt()).abs() < 20.0 * math::powi(b, 4));
            assert!((stiff_rise(b, 2.0) - (1.0 + 2.0 * b + (4.0 + 0.5 * PI * PI) * b * b)).abs() < 1e-15);
        }
    }
}
