//! Rotating cutters and the shape of their ends.

use thiserror::Error;

/// Shape of a cutter's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CutterShape {
    /// Flat end, square corner.
    Flat,
    /// Flat end with a rounded corner.
    Corner {
        /// Corner radius, mm, more than 0 and less than the cutter's radius.
        radius: f64,
    },
    /// Hemisphere of the cutter's diameter.
    Ball,
    /// Ball at the tip, then a cone up to the cutter's diameter.
    TaperedBall {
        /// Radius of the ball, mm.
        radius: f64,
        /// Angle of the cone's side to the axis, radians, more than 0.
        half_angle: f64,
    },
    /// Cone, with a small flat at its tip or none.
    Vee {
        /// Diameter of the flat at the tip, mm, 0 or more.
        tip: f64,
        /// Angle of the side to the axis, radians, more than 0.
        half_angle: f64,
    },
    /// Disc on an arbor: teeth round its rim, as thick as its cutting length, for slots beside the axis.
    Saw,
}

/// Why a cutter is impossible.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("cutter {name}: {what}")]
pub struct CutterError {
    /// Name of the cutter.
    pub name: String,
    /// What is wrong, in plain words.
    pub what: &'static str,
}

/// A cutter in its holder.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutter {
    /// Name, for sheets and comments.
    pub name: String,
    /// Number in the program (T word), 1 to 99.
    pub number: u32,
    /// Shape of the end.
    pub shape: CutterShape,
    /// Cutting diameter, mm.
    pub diameter: f64,
    /// Cutting edges.
    pub flutes: u32,
    /// Length of the cutting edges from the tip, mm.
    pub cutting_length: f64,
    /// From the tip to the collet's face, mm.
    pub stick_out: f64,
    /// Diameter of the shank above the edges, mm.
    pub shank_diameter: f64,
    /// Diameter of collet and nut, mm.
    pub collet_diameter: f64,
}

impl Cutter {
    /// # Errors
    /// [`CutterError`] for sizes that no cutter has.
    pub fn check(&self) -> Result<(), CutterError> {
        let fail = |what| {
            Err(CutterError {
                name: self.name.clone(),
                what,
            })
        };
        let sizes = [
            self.diameter,
            self.cutting_length,
            self.stick_out,
            self.shank_diameter,
            self.collet_diameter,
        ];
        if !sizes.iter().all(|s| s.is_finite() && *s > 0.0) {
            return fail("a size is not a positive length");
        }
        if self.flutes == 0 {
            return fail("it has no cutting edge");
        }
        if self.stick_out < self.cutting_length {
            return fail("its edges are longer than it sticks out");
        }
        let angle = |a: f64| a > 0.0 && a < std::f64::consts::FRAC_PI_2;
        match self.shape {
            CutterShape::Corner { radius } if !(radius > 0.0 && radius < self.radius()) => {
                fail("its corner radius does not fit its diameter")
            }
            CutterShape::TaperedBall { radius, half_angle }
                if !(radius > 0.0 && radius < self.radius() && angle(half_angle)) =>
            {
                fail("its ball or cone does not fit its diameter")
            }
            CutterShape::Saw if self.shank_diameter >= self.diameter => fail("its arbor is as wide as its blade"),
            CutterShape::Vee { tip, half_angle } if !(tip >= 0.0 && tip < self.diameter && angle(half_angle)) => {
                fail("its tip or cone does not fit its diameter")
            }
            _ => Ok(()),
        }
    }

    /// Half the cutting diameter, mm.
    #[must_use]
    pub fn radius(&self) -> f64 {
        0.5 * self.diameter
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cutter(shape: CutterShape) -> Cutter {
        Cutter {
            name: "test".into(),
            number: 1,
            shape,
            diameter: 3.0,
            flutes: 2,
            cutting_length: 10.0,
            stick_out: 20.0,
            shank_diameter: 3.0,
            collet_diameter: 18.0,
        }
    }

    const SHAPES: [CutterShape; 5] = [
        CutterShape::Flat,
        CutterShape::Corner { radius: 0.4 },
        CutterShape::Ball,
        CutterShape::TaperedBall {
            radius: 0.5,
            half_angle: 0.15,
        },
        CutterShape::Vee {
            tip: 0.2,
            half_angle: 0.5,
        },
    ];

    #[test]
    fn known_heights() {
        assert_eq!(cutter(CutterShape::Flat).profile(1.5), 0.0);
        assert!((cutter(CutterShape::Ball).profile(1.5) - 1.5).abs() < 1e-12);
        // The corner is steep at its rim: a rounding error across is a thousandfold one up.
        assert!((cutter(CutterShape::Corner { radius: 0.4 }).profile(1.5) - 0.4).abs() < 1e-6);
        let right_angle = CutterShape::Vee {
            tip: 0.0,
            half_angle: std::f64::consts::FRAC_PI_4,
        };
        assert!((cutter(right_angle).profile(1.0) - 1.0).abs() < 1e-12);
        assert!(
            SHAPES
                .iter()
                .all(|s| cutter(*s).check().is_ok() && cutter(*s).profile(1.6).is_infinite())
        );
    }

    #[test]
    fn refuses_the_impossible() {
        assert!(cutter(CutterShape::Corner { radius: 1.5 }).check().is_err());
        assert!(
            cutter(CutterShape::Vee {
                tip: 4.0,
                half_angle: 0.5
            })
            .check()
            .is_err()
        );
        assert!(
            Cutter {
                stick_out: 5.0,
                ..cutter(CutterShape::Flat)
            }
            .check()
            .is_err()
        );
        assert!(
            Cutter {
                flutes: 0,
                ..cutter(CutterShape::Flat)
            }
            .check()
            .is_err()
        );
        assert!(
            Cutter {
                diameter: f64::NAN,
                ..cutter(CutterShape::Flat)
            }
            .check()
            .is_err()
        );
    }
}
