//! Finishing on edge: a ball along the ridge, from both faces toward it.

use super::follow::follow;
use super::way::{GAP, Way};
use super::{PassError, Toolpath};
use crate::end::End;
use crate::feeds::feeds_within;
use crate::{Cutter, Locator, Material, Setup, Surface};
use numerics::math;

/// The axis goes on this far past the place from which the ball has touched all of an end, mm.
const PAST: f64 = 0.2;
/// Kept in reserve of the deepest step, mm.
const SPARE: f64 = 0.02;
/// Share of the scallop that passes aim at beside the ramps of a stepped ridge.
const BY_RAMPS: f64 = 0.4;
/// More than this in an inner corner is worth a remark, mm.
const UNREACHED: f64 = 0.005;

/// Where the ball touches a section.
#[derive(Debug, Clone, Copy)]
enum Touch {
    /// Share of the way from the front face to the rounding.
    Front(f64),
    /// Angle of the rounding's normal, radians, positive back.
    Rounding(f64),
    /// Share of the way from the back face to the rounding.
    Back(f64),
}

/// Step between passes on a plane that leaves ridges of `scallop`: `2 sqrt(2 R h - h^2)`.
pub(crate) fn step_over(radius: f64, scallop: f64) -> f64 {
    2.0 * (2.0 * radius * scallop - scallop * scallop).max(0.0).sqrt()
}

/// Angle between passes over a rounding of radius `rho` that leaves ridges of `scallop`: with the ball's centres on a circle of
/// `rho + R`, the triangle of the rounding's centre, a ball's centre and the ridge's crest has the sides rho + R, R, rho + h.
pub(crate) fn step_round(radius: f64, rho: f64, scallop: f64) -> f64 {
    let (far, near) = (rho + radius, rho + scallop);
    2.0 * math::acos(((near * near + far * far - radius * radius) / (2.0 * near * far)).clamp(-1.0, 1.0))
}

/// About how many passes a ball takes over a crown of this thickness, mm, from face to face, where `left` mm stand to be taken and
/// ridges of `scallop` mm may stay. None for an end without a ball.
#[must_use]
pub fn finishing_passes(cutter: &Cutter, material: &Material, thickness: f64, left: f64, scallop: f64) -> Option<f64> {
    let radius = End::of(cutter).ball()?;
    let lanes = thickness / step_over(radius, scallop.min(radius));
    let goes = (left / (material.step_down * cutter.diameter)).max(1.0);
    Some((lanes.max(1.0) * goes).ceil())
}

fn count(long: f64, step: f64) -> u32 {
    let mut n = 1u32;
    while long / f64::from(n) > step && n < 5000 {
        n += 1;
    }
    n
}

/// Finishing of what roughing left, at most `left` mm high: in one go, or lifted first where that is too much for the ball.
pub(super) fn path(
    surface: &Surface,
    setup: &Setup,
    left: f64,
    notes: &mut Vec<String>,
) -> Result<Toolpath, PassError> {
    let cutter = &setup.finisher;
    let Some(radius) = End::of(cutter).ball() else {
        return Err(PassError::Finisher {
            cutter: cutter.name.clone(),
        });
    };
    let depth = setup.rough_allowance + setup.scallop;
    let widest = cuts_within(cutter, radius, depth, surface.steepest());
    let feeds = feeds_within(cutter, &setup.material, &setup.machine, setup.spindle, depth, widest)?;
    // Chords of the passes take a little of the scallop.
    let scallop = (setup.scallop - super::way::CHORD).max(0.5 * setup.scallop).min(radius);
    // Beside the ramps of a stepped ridge passes lie at a slant and further apart.
    let corner = surface.inner_corner(radius);
    let scallop = if surface.stepped() { BY_RAMPS * scallop } else { scallop };
    if corner > UNREACHED {
        notes.push(format!(
            "{}: the inner corners of steps and wings keep up to {corner:.3} mm that its ball does not reach. A ball half as wide leaves half.",
            cutter.name
        ));
    }
    let (front, both, back) = touches(
        surface,
        radius,
        scallop,
        matches!(setup.ends, crate::Ends::Winged { .. }),
    );
    let mut way = Way::new(setup, &feeds);
    let mut locator = Locator::new(cutter, surface);
    let runouts = [false, true].map(|far| surface.runout(far, radius));
    let (from, to) = (
        runouts[0].x - runouts[0].past - PAST,
        runouts[1].x + runouts[1].past + PAST,
    );
    // Past an end, and along a rounded end's wall, the ball would drop.
    let floor = |x: f64| {
        if x < runouts[0].x + runouts[0].inside {
            runouts[0].floor
        } else if x > runouts[1].x - runouts[1].inside {
            runouts[1].floor
        } else {
            f64::NEG_INFINITY
        }
    };
    let kinks: Vec<f64> = surface.kinks.iter().map(|u| surface.x(*u)).collect();
    let kinked = |low: f64, high: f64| kinks.iter().any(|x| *x > low - radius && *x < high + radius);
    let goes = count(left + SPARE, setup.material.step_down * cutter.diameter);
    let lift = left / f64::from(goes);
    let passes = (front.len() + both.len() + back.len()) as f64 * f64::from(goes);
    if passes > super::error::MOST_PASSES {
        return Err(PassError::Passes {
            cutter: cutter.name.clone(),
            passes,
        });
    }
    if goes > 1 {
        notes.push(format!(
            "{}: what roughing leaves is too much for it at once; it goes over the crown {goes} times.",
            cutter.name
        ));
    }
    let mut forward = true;
    for (lanes, up) in (0..goes)
        .rev()
        .flat_map(|go| [&front, &back, &both].map(|lanes| (lanes, lift * f64::from(go))))
    {
        for (i, touch) in lanes.iter().enumerate() {
            let place = |x: f64| {
                let y = axis_y(surface, *touch, radius, x.clamp(runouts[0].x, runouts[1].x));
                [x, y, locator.z(x, y).max(floor(x)) + up]
            };
            let (a, z) = if forward { (from, to) } else { (to, from) };
            let points = follow(a, z, kinked, place);
            let Some(start) = points.first().copied() else { continue };
            match way.at().filter(|_| i > 0) {
                Some(at) => {
                    // Sideways beside the end, over whatever stands between.
                    let over = follow(
                        0.0,
                        (start[1] - at[1]).abs().max(1e-9),
                        |_, _| false,
                        |t| {
                            let share = t / (start[1] - at[1]).abs().max(1e-9);
                            let (y, flat) = (at[1] + share * (start[1] - at[1]), at[2] + share * (start[2] - at[2]));
                            [a, y, (locator.z(a, y).max(floor(a)) + up).max(flat)]
                        },
                    );
                    over.iter().skip(1).for_each(|p| way.cut(*p));
                    way.cut(start);
                }
                None => way.enter(start, start[2] + left + GAP),
            }
            points.iter().skip(1).for_each(|p| way.cut(*p));
            forward = !forward;
        }
    }
    Ok(way.finish("finish the crown", cutter))
}

/// Twice the greatest distance from the axis at which a ball of `radius` cuts that goes `depth` deep over a surface of slope `steep`,
/// mm: the contact lies at the angle of the slope from the axis, and the cut reaches on by kappa with cos(kappa) = 1 - depth/R
/// (geometry). The cone of a tapered ball is taken to cut with all of it.
fn cuts_within(cutter: &Cutter, radius: f64, depth: f64, steep: f64) -> f64 {
    let reach = math::atan(steep) + math::acos((1.0 - depth / radius).clamp(-1.0, 1.0));
    if radius < cutter.radius() || reach >= std::f64::consts::FRAC_PI_2 {
        return cutter.diameter;
    }
    2.0 * radius * math::sin(reach)
}

/// Lanes up the front fall, over the rounding and up the back fall, each from its face.
fn touches(surface: &Surface, radius: f64, scallop: f64, winged: bool) -> (Vec<Touch>, Vec<Touch>, Vec<Touch>) {
    let rho = surface.rounding;
    let mut widest = (0.0f64, 0.0f64);
    let steps = 500;
    for i in 0..=steps {
        let u = surface.span.0 + (surface.span.1 - surface.span.0) * f64::from(i) / f64::from(steps);
        let place = surface.cut(u).place;
        widest.0 = widest.0.max((place.b - rho * surface.front.sin) / surface.front.cos);
        widest.1 = widest
            .1
            .max((surface.thickness - place.b - rho * surface.back.sin) / surface.back.cos);
    }
    let step = step_over(radius, scallop);
    let shares = |n: u32| (0..=n).map(move |i| f64::from(i) / f64::from(n));
    let front = shares(count(widest.0, step)).map(Touch::Front).collect();
    let back = shares(count(widest.1, step)).map(Touch::Back).collect();
    let mut turn = step_round(radius, rho, scallop);
    if winged {
        // Over the level of a wing the same lanes lie on a plane.
        turn = turn.min(step / (rho + radius));
    }
    let (first, last) = (-math::asin(surface.front.sin), math::asin(surface.back.sin));
    let n = count(last - first, turn);
    let both = (1..n)
        .map(|i| Touch::Rounding(first + (last - first) * f64::from(i) / f64::from(n)))
        .collect();
    (front, both, back)
}

/// Y of the axis that touches the section at `x` there.
fn axis_y(surface: &Surface, touch: Touch, radius: f64, x: f64) -> f64 {
    let place = surface.cut(surface.u(x)).place;
    let rho = surface.rounding;
    let b = match touch {
        Touch::Front(share) => {
            let tangent = (place.b - rho * surface.front.sin).max(0.0);
            share * tangent - radius * surface.front.sin
        }
        Touch::Rounding(angle) => place.b + (rho + radius) * math::sin(angle),
        Touch::Back(share) => {
            let wide = (surface.thickness - place.b - rho * surface.back.sin).max(0.0);
            surface.thickness - share * wide + radius * surface.back.sin
        }
    };
    -b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scallops_by_the_closed_form() {
        let (r, h) = (1.5f64, 0.005);
        let s = step_over(r, h);
        assert!((r - (r * r - 0.25 * s * s).sqrt() - h).abs() < 1e-12);
        // Over a rounding that is nearly flat the step is the plane's.
        let rho = 1e5;
        assert!((step_round(r, rho, h) * rho / s - 1.0).abs() < 1e-3);
        // Crest between two balls over a rounding, from the circles.
        let (rho, turn) = (0.5f64, step_round(r, 0.5, h));
        let (x, z) = ((rho + r) * math::sin(0.5 * turn), (rho + r) * math::cos(0.5 * turn));
        let crest = z - (r * r - x * x).sqrt();
        assert!((crest - rho - h).abs() < 1e-9);
    }
}
