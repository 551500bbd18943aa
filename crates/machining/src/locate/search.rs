//! The best contact along the blank.

use super::locator::{Locator, PLACE};
use super::section::{self, Best};
use crate::end::End;
use numerics::math;

/// Steps of the slope condition; each leaves about a twentieth of the error on a smooth crown, and no more than half over a
/// steep ramp.
const STEPS: u32 = 80;
/// How far from a kink a piece is taken to end, mm.
const KINK: f64 = 1e-9;
/// Parts of a flat end's turn in which a change of sign is looked for.
const CHORDS: u32 = 6;
/// A flat end is taken as level with the surface where it rises less than this for a radian, mm: the height then
/// errs by far less than 1e-8 mm.
const LEVEL: f64 = 1e-6;
/// Samples of one smooth piece.
const SAMPLES: u32 = 10;
/// Narrowing a bracket by the golden section to below 1e-9 mm.
const NARROWINGS: u32 = 44;
const GOLDEN: f64 = 0.618_033_988_749_894_9;

impl Locator<'_> {
    /// Best contact of a ball between `from` and `to`, where `tip` is concave in u: slide to where the ball's slope along
    /// the blank is the surface's.
    pub(super) fn slide(&mut self, u: f64, b: f64, from: f64, to: f64) -> Best {
        let surface = self.surface;
        let radius = self.end.radius();
        // A kink belongs to the piece after it; the slope before it is needed here.
        let (from, to) = (from + KINK, (to - KINK).max(from + KINK));
        let mut at = u.clamp(from, to);
        let mut before: Option<(f64, f64)> = None;
        let (mut low, mut high) = (from, to);
        let mut best = Best::NONE;
        for _ in 0..STEPS {
            let cut = surface.cut_near(at, &mut self.hint);
            let d = at - u;
            let (tip, contact) = section::ball(surface, &cut, radius * radius - d * d, radius, b);
            if tip == f64::NEG_INFINITY {
                // Over the edge of the ball at this end of the piece: nearer to the axis there is more of it.
                break;
            }
            best = best.or(Best { tip, u: at, b: contact });
            let slope = cut.place.dv - surface.crown(contact - cut.place.b).1 * cut.place.db;
            // Height of the ball's centre over the contact.
            let over = tip + radius - surface.section(&cut, contact);
            let wanted = u + over * slope;
            let wrong = wanted - at;
            if wrong.abs() < PLACE {
                break;
            }
            // The slope of the tip along u has the sign of `wrong`.
            if wrong > 0.0 {
                low = at;
            } else {
                high = at;
            }
            // The condition itself first; then a secant; halving where neither brings it on, as over a steep ramp.
            let next = match before {
                None => wanted,
                Some((_, last)) if wrong.abs() > 0.5 * last.abs() => 0.5 * (low + high),
                Some((place, last)) => at - wrong * (at - place) / (wrong - last),
            };
            // At a bound of the piece the answer may be the bound itself.
            let next = if next >= low && next <= high {
                next
            } else if before.is_none() || next < from || next > to {
                next.clamp(low, high)
            } else {
                0.5 * (low + high)
            };
            if next == at || high - low < KINK {
                break;
            }
            before = Some((at, wrong));
            at = next;
        }
        best
    }

    /// Best contact of a flat end between `from` and `to`, where the surface has neither kinks nor ends. Taken by the angle
    /// about the axis, what the best of a chord rises along the blank is known in closed form; its changes of sign are
    /// bracketed by samples and narrowed.
    pub(super) fn roll(&mut self, u: f64, b: f64, from: f64, to: f64) -> Best {
        let surface = self.surface;
        let radius = self.end.radius();
        // Beside a face only part of the end is over the blank.
        let beside = (-b).max(b - surface.thickness).max(0.0);
        let reach = (radius * radius - beside * beside).max(0.0).sqrt();
        let (from, to) = ((from + KINK).max(u - reach), (to - KINK).min(u + reach));
        if from > to {
            return Best::NONE;
        }
        let angle = |d: f64| math::asin((d / radius).clamp(-1.0, 1.0));
        let (start, end) = (angle(from - u), angle(to - u));
        let hint = &mut self.hint;
        // Tip, and what it rises by the angle.
        let mut at = |angle: f64| {
            let (sin, cos) = math::sin_cos(angle);
            let place = (u + radius * sin).clamp(from, to);
            let cut = surface.cut_near(place, hint);
            let (low, high) = (b - radius * cos, b + radius * cos);
            let apex = surface.apex(&cut);
            let (on, sides) = if apex < low {
                (low, radius * sin)
            } else if apex > high {
                (high, -radius * sin)
            } else {
                (apex, 0.0)
            };
            // The apex lies between the faces, so only rounding puts a chord's end past them.
            let on = on.clamp(cut.low, cut.high);
            let (over, slope) = surface.crown(on - cut.place.b);
            let rise = radius * cos * (cut.place.dv - slope * cut.place.db) + slope * sides;
            let tip = cut.place.v + over;
            (Best { tip, u: place, b: on }, rise)
        };
        let step = (end - start) / f64::from(CHORDS);
        let mut last = (start, at(start));
        let mut best = last.1.0;
        for i in 1..=CHORDS {
            let next = start + step * f64::from(i);
            let now = at(next);
            best = best.or(now.0);
            if last.1.1 > 0.0 && now.1 < 0.0 {
                let (mut low, mut high) = ((last.0, last.1.1), (next, now.1));
                let mut side = 0;
                for _ in 0..STEPS {
                    // False position, the bound that stays halved (Illinois); in the middle when it would not move.
                    let place = (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1);
                    let place = if place > low.0 && place < high.0 {
                        place
                    } else {
                        0.5 * (low.0 + high.0)
                    };
                    let (found, rise) = at(place);
                    best = best.or(found);
                    if rise.abs() < LEVEL || high.0 - low.0 < KINK {
                        break;
                    }
                    if rise > 0.0 {
                        low = (place, rise);
                        if side == 1 {
                            high.1 *= 0.5;
                        }
                        side = 1;
                    } else {
                        high = (place, rise);
                        if side == -1 {
                            low.1 *= 0.5;
                        }
                        side = -1;
                    }
                }
            }
            last = (next, now);
        }
        best
    }

    /// Best contact of any end between `from` and `to`, a piece without kinks of its own: samples, then golden section
    /// about the best of them.
    pub(super) fn scan(&mut self, u: f64, b: f64, from: f64, to: f64) -> Best {
        let surface = self.surface;
        let radius = self.end.radius();
        // By the angle about the axis, so that the rim, where the cutter's chord shrinks fast, is seen as finely.
        let angle = |d: f64| math::asin((d / radius).clamp(-1.0, 1.0));
        let (start, end) = (angle(from - u), angle(to - u));
        let (shape, hint): (&End, &mut usize) = (&self.end, &mut self.hint);
        let mut tip = |angle: f64| {
            let place = (u + radius * math::sin(angle)).clamp(from, to);
            let cut = surface.cut_near(place, hint);
            let (tip, b) = section::best(shape, surface, &cut, place - u, b);
            Best { tip, u: place, b }
        };
        let step = (end - start) / f64::from(SAMPLES);
        if step <= 0.0 {
            return tip(start);
        }
        let mut best = Best::NONE;
        let mut middle = start;
        for i in 0..=SAMPLES {
            let place = start + step * f64::from(i);
            let one = tip(place);
            if one.tip > best.tip {
                best = one;
                middle = place;
            }
        }
        let (mut low, mut high) = ((middle - step).max(start), (middle + step).min(end));
        let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut at_left, mut at_right) = (tip(left), tip(right));
        for _ in 0..NARROWINGS {
            if at_left.tip > at_right.tip {
                high = right;
                (right, at_right) = (left, at_left);
                left = high - GOLDEN * (high - low);
                at_left = tip(left);
            } else {
                low = left;
                (left, at_left) = (right, at_right);
                right = low + GOLDEN * (high - low);
                at_right = tip(right);
            }
        }
        best.or(at_left).or(at_right)
    }
}
