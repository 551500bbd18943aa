//! The line of the rounding's centre as cubics, for speed: the same curve as the plan's crown.

use saddle::Plan;

/// Where the rounding's centre lies at one u, and its slopes along u.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) b: f64,
    pub(crate) v: f64,
    pub(crate) db: f64,
    pub(crate) dv: f64,
}

/// From `from` on, both coordinates as cubics in (u - from).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    from: f64,
    to: f64,
    b: [f64; 4],
    v: [f64; 4],
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Track {
    pieces: Vec<Piece>,
}

/// Cubic with the given values and slopes at the ends of `width`.
fn hermite(width: f64, (a, da): (f64, f64), (z, dz): (f64, f64)) -> [f64; 4] {
    let rise = (z - a) / width;
    [
        a,
        da,
        (3.0 * rise - 2.0 * da - dz) / width,
        (da + dz - 2.0 * rise) / (width * width),
    ]
}

impl Track {
    /// The track of `plan`'s crown, left so much proud in mm, and the places where it has a kink.
    pub(crate) fn new(plan: &Plan, proud: f64) -> (Self, Vec<f64>) {
        let crown = &plan.crown;
        let contacts: Vec<f64> = plan.strings.iter().map(|s| s.contact.u).collect();
        let mut knots = contacts.clone();
        let mut kinks = Vec::new();
        // The crown does not say whether its ridge is stepped, but shows it: level beside the strings and steep half way.
        for pair in contacts.windows(2) {
            let (gap, middle) = (pair[1] - pair[0], 0.5 * (pair[0] + pair[1]));
            let rise = crown.section(pair[1]).centre_b - crown.section(pair[0]).centre_b;
            let level = [0.05, 0.1, 0.9]
                .iter()
                .all(|s| crown.slopes(pair[0] + s * gap).0 == 0.0);
            let steep = crown.slopes(middle).0;
            if level && steep != 0.0 {
                let ramp = rise / steep;
                kinks.extend([middle - 0.5 * ramp, middle + 0.5 * ramp]);
            }
        }
        knots.extend(&kinks);
        knots.sort_by(f64::total_cmp);
        let stepped = !kinks.is_empty();
        let at = |u: f64| {
            let (section, slopes) = (crown.section(u), crown.slopes(u));
            ((section.centre_b, slopes.0), (section.centre_v + proud, slopes.1))
        };
        let mut pieces = Vec::new();
        let (first, last) = (knots.first().copied(), knots.last().copied());
        if let (Some(first), Some(last)) = (first, last) {
            // Outside the outer strings: straight across, and on with the last slope of the height.
            let straight = |u: f64, from: f64, to: f64| {
                let ((b, _), (v, dv)) = at(u);
                Piece {
                    from,
                    to,
                    b: [b, 0.0, 0.0, 0.0],
                    v: [v + dv * (from - u), dv, 0.0, 0.0],
                }
            };
            const FAR: f64 = 1e4;
            pieces.push(straight(first, first - FAR, first));
            for pair in knots.windows(2) {
                let (from, to) = (pair[0], pair[1]);
                let (start, end) = (at(from), at(to));
                let b = if stepped {
                    [start.0.0, (end.0.0 - start.0.0) / (to - from), 0.0, 0.0]
                } else {
                    hermite(to - from, start.0, end.0)
                };
                pieces.push(Piece {
                    from,
                    to,
                    b,
                    v: hermite(to - from, start.1, end.1),
                });
            }
            pieces.push(straight(last, last, last + FAR));
        }
        (Self { pieces }, kinks)
    }

    /// The place at `u`; `hint` is the piece of the last call.
    #[inline]
    pub(crate) fn at(&self, u: f64, hint: &mut usize) -> Place {
        let piece = match self.pieces.get(*hint) {
            Some(piece) if u >= piece.from && u < piece.to => piece,
            _ => {
                *hint = self.pieces.partition_point(|p| p.from <= u).saturating_sub(1);
                &self.pieces[*hint]
            }
        };
        let t = u - piece.from;
        let value = |c: &[f64; 4]| c[0] + t * (c[1] + t * (c[2] + t * c[3]));
        let slope = |c: &[f64; 4]| c[1] + t * (2.0 * c[2] + t * 3.0 * c[3]);
        Place {
            b: value(&piece.b),
            v: value(&piece.v),
            db: slope(&piece.b),
            dv: slope(&piece.v),
        }
    }

    /// Largest slope and bend along u of a crown whose falls are no steeper than `steep`.
    pub(crate) fn gentle(&self, steep: f64) -> (f64, f64) {
        let mut most = (0.0f64, 0.0f64);
        for piece in &self.pieces {
            let width = piece.to - piece.from;
            let bend = |c: &[f64; 4]| (2.0 * c[2]).abs().max((2.0 * c[2] + 6.0 * c[3] * width).abs());
            let slope = |c: &[f64; 4]| {
                let at = |t: f64| (c[1] + t * (2.0 * c[2] + t * 3.0 * c[3])).abs();
                let turn = (-c[2] / (3.0 * c[3])).clamp(0.0, width);
                at(0.0).max(at(width)).max(if turn.is_nan() { 0.0 } else { at(turn) })
            };
            most.0 = most.0.max(slope(&piece.v) + steep * slope(&piece.b));
            most.1 = most.1.max(bend(&piece.v) + steep * bend(&piece.b));
        }
        most
    }
}
