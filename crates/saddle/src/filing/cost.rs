//! What it costs to move a contact by filing, in closed form.

use instrument::{Frame, StringLine, StringRun, Vec3};
use numerics::math;
use serde::Serialize;

/// What a move of one contact does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FilingCost {
    /// The contact's move along x, mm, positive toward the nut.
    pub forward: f64,
    /// How far the contact drops square to the fret plane, mm, positive down.
    pub drop: f64,
    /// Loss of action at fret 12, mm, positive for a lower string.
    pub action_loss: f64,
}

/// Drop of a contact in mm that is moved forward by `forward` mm along x on a plane facet of the crown.
///
/// * `fall`: fall of the facet toward the front in the blank, radians; 0 for a flat top.
/// * `slopes`: db/du and dv/du of the ridge, no unit; zero for a facet that runs straight along.
///
/// At zero skew and slopes this is `forward tan(lean + fall)`; with skew psi, a level floor and no fall
/// `forward cos(psi) tan(lean)`.
#[must_use]
pub(crate) fn facet_drop(frame: &Frame, run: &StringRun, forward: f64, fall: f64, slopes: (f64, f64)) -> f64 {
    // The facet through the contact holds all steps D of the blank with D.v - dv D.u = tan(fall) (D.b - db D.u).
    let across = |d: Vec3| {
        let d = frame.direction_to_blank(d);
        (d.v - slopes.1 * d.u) - math::tan(fall) * (d.b - slopes.0 * d.u)
    };
    let along = across(Vec3::new(-forward, -forward * run.slope, 0.0));
    // along + drop * across(-z) = 0
    along / across(Vec3::z())
}

/// Loss of action at fret 12 in mm when the contact of a string moves `forward` and `drop`s (mm), the nut kept.
///
/// With the nut at x = 0 this is `(drop - forward tan a) X_12 / (x_S - forward)`, a the slope of the string.
#[must_use]
pub fn action_loss(line: &StringLine, nut_x: f64, saddle_x: f64, fret_12_x: f64, forward: f64, drop: f64) -> f64 {
    let nut = (nut_x, line.z(nut_x));
    let moved = StringLine::through(nut, (saddle_x - forward, line.z(saddle_x) - drop));
    line.z(fret_12_x) - moved.z(fret_12_x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn frame(lean_deg: f64, skew_deg: f64) -> Frame {
        let (sin, cos) = math::sin_cos(skew_deg.to_radians());
        Frame::leaning(Vec3::zeros(), Vec3::new(-sin, cos, 0.0), lean_deg.to_radians()).unwrap()
    }

    const STRAIGHT: StringRun = StringRun { nut: 0.0, slope: 0.0 };

    /// Common practice, no source: 1/32 in forward on a saddle that leans about 18 degrees lowers the contact about 0.010 in.
    #[test]
    fn a_thirty_second_forward_at_eighteen_degrees_costs_ten_thou() {
        let drop = facet_drop(&frame(18.0, 0.0), &STRAIGHT, 25.4 / 32.0, 0.0, (0.0, 0.0));
        assert!((drop / 0.0254 - 10.0).abs() < 0.5, "{} thou", drop / 0.0254);
    }

    /// Common practice, no source: a change at the saddle shows as half at fret 12.
    #[test]
    fn a_change_at_the_saddle_shows_as_half_at_twelve() {
        let line = StringLine::through((0.0, 0.5), (652.0, 4.5));
        let loss = action_loss(&line, 0.0, 652.0, 325.0, 0.0, 0.4);
        assert!((loss / 0.4 - 0.5).abs() < 0.01, "{loss}");
    }

    proptest! {
        #[test]
        fn closed_forms(lean in -20.0..25.0f64, skew in -5.0..5.0f64, fall in -5.0..20.0f64, s in -1.0..1.0f64) {
            let flat = facet_drop(&frame(lean, 0.0), &STRAIGHT, s, fall.to_radians(), (0.0, 0.0));
            prop_assert!((flat - s * math::tan((lean + fall).to_radians())).abs() < 1e-12);
            let skewed = facet_drop(&frame(lean, skew), &STRAIGHT, s, 0.0, (0.0, 0.0));
            prop_assert!((skewed - s * math::cos(skew.to_radians()) * math::tan(lean.to_radians())).abs() < 1e-12);
        }

        #[test]
        fn action_follows_the_closed_form(s in -1.0..1.0f64, d in -0.3..0.3f64, rise in 2.0..6.0f64) {
            let (x_s, x_12) = (614.0, 305.0);
            let line = StringLine::through((0.0, 0.2), (x_s, 0.2 + rise));
            let want = (d - s * line.slope) * x_12 / (x_s - s);
            prop_assert!((action_loss(&line, 0.0, x_s, x_12, s, d) - want).abs() < 1e-12);
        }

        #[test]
        fn more_lean_never_raises_a_contact_moved_forward(lean in -20.0..20.0f64, more in 0.0..10.0f64, skew in -5.0..5.0f64, fall in 0.0..15.0f64, s in 0.0..1.5f64) {
            let drop = |lean| facet_drop(&frame(lean, skew), &STRAIGHT, s, fall.to_radians(), (0.0, 0.0));
            prop_assert!(drop(lean + more) >= drop(lean) - 1e-12);
        }
    }
}
