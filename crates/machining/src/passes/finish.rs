//! Finishing on edge: a ball along the ridge, from both faces toward it.

use super::follow::follow;
use super::{GAP, PassError, Toolpath, Way};
use crate::{CutterShape, Locator, Setup, Surface, feeds};

/// The axis goes this far past the ends, mm, so that they are covered.
const PAST: f64 = 0.2;
/// Past an end a ball would drop along it; it stays within this of the lowest place before, mm.
const DROP: f64 = 0.1;

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
    2.0 * ((near * near + far * far - radius * radius) / (2.0 * near * far))
        .clamp(-1.0, 1.0)
        .acos()
}

fn count(long: f64, step: f64) -> u32 {
    let mut n = 1u32;
    while long / f64::from(n) > step && n < 5000 {
        n += 1;
    }
    n
}

pub(super) fn path(surface: &Surface, setup: &Setup) -> Result<Toolpath, PassError> {
    let cutter = &setup.finisher;
    let radius = match cutter.shape {
        CutterShape::Ball => cutter.radius(),
        CutterShape::TaperedBall { radius, .. } => radius,
        _ => {
            return Err(PassError::Finisher {
                cutter: cutter.name.clone(),
            });
        }
    };
    let depth = setup.rough_allowance + setup.scallop;
    let feeds = feeds(cutter, &setup.material, &setup.machine, setup.spindle, depth)?;
    // Chords of the passes take a little of the scallop.
    let scallop = (setup.scallop - super::CHORD).max(0.5 * setup.scallop).min(radius);
    let (front, both, back) = touches(
        surface,
        radius,
        scallop,
        matches!(setup.ends, crate::Ends::Winged { .. }),
    );
    let mut way = Way::new(setup, &feeds);
    let mut locator = Locator::new(cutter, surface);
    let stock = surface.stock_length();
    let (from, to) = if surface.round_ends() {
        surface.ends_x()
    } else {
        (0.0, stock)
    };
    let (from, to) = (from - PAST, to + PAST);
    let mut forward = true;
    for lanes in [&front, &back, &both] {
        for (i, touch) in lanes.iter().enumerate() {
            let mut place = |x: f64, inside: f64| {
                let y = axis_y(surface, *touch, radius, x.clamp(from + PAST, to - PAST));
                [x, y, locator.z(x, y).max(inside)]
            };
            let floor = [from + PAST, to - PAST]
                .map(|x| place(x, f64::NEG_INFINITY)[2])
                .map(|z| z - DROP);
            let low = |x: f64| if x < 0.5 * (from + to) { floor[0] } else { floor[1] };
            let beyond = |x: f64| {
                if x < from + PAST || x > to - PAST {
                    low(x)
                } else {
                    f64::NEG_INFINITY
                }
            };
            let (a, z) = if forward { (from, to) } else { (to, from) };
            let points = follow(a, z, |x| place(x, beyond(x)));
            let Some(start) = points.first().copied() else { continue };
            match way.at().filter(|_| i > 0) {
                Some(at) => {
                    // Sideways beside the end, over whatever stands between.
                    let over = follow(0.0, (start[1] - at[1]).abs().max(1e-9), |t| {
                        let share = t / (start[1] - at[1]).abs().max(1e-9);
                        let (y, flat) = (at[1] + share * (start[1] - at[1]), at[2] + share * (start[2] - at[2]));
                        [a, y, locator.z(a, y).max(flat)]
                    });
                    over.iter().skip(1).for_each(|p| way.cut(*p));
                    way.cut(start);
                }
                None => way.enter(start, start[2] + depth + GAP),
            }
            points.iter().skip(1).for_each(|p| way.cut(*p));
            forward = !forward;
        }
    }
    Ok(way.finish("finish the crown", cutter))
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
    let (first, last) = (-surface.front.sin.asin(), surface.back.sin.asin());
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
        Touch::Rounding(angle) => place.b + (rho + radius) * angle.sin(),
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
        let (x, z) = ((rho + r) * (0.5 * turn).sin(), (rho + r) * (0.5 * turn).cos());
        let crest = z - (r * r - x * x).sqrt();
        assert!((crest - rho - h).abs() < 1e-9);
    }
}
