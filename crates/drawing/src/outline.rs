//! The part in outline: from the front, from above, and along its ridge.
//!
//! Outlines are as the sheets show the part: seen from the front (from the nut), so a right-handed saddle has its treble
//! end at the left ([`from_front`]). A body made from the plan keeps u instead ([`along`]). Both mirror a left-handed
//! plan, by one and the same sign.

use numerics::math;
use saddle::{BlankKind, Plan};
use thiserror::Error;

/// Largest distance of a drawn chord from the curve that it stands for, mm.
pub const CHORD_TOLERANCE: f64 = 0.002;
/// Least height of the crown over the bottom edge that makes a part, mm.
pub(crate) const LEAST_HEIGHT: f64 = 0.01;

/// Least length and thickness of a blank that is drawn, mm.
pub(crate) const LEAST_SIZE: f64 = 0.1;

/// First spacing of the places along the blank, mm, before halving; less than the room between strings.
const FIRST_SPACING: f64 = 1.0;
/// Most of those first places, whatever length is asked for.
const MOST_FIRST: f64 = 2000.0;
/// Times that a first spacing may be halved; reaches about 0.001 mm.
const HALVINGS: u32 = 10;
/// Two places along the blank nearer than this are one, mm.
const SAME_PLACE: f64 = 1e-4;

/// Why a plan has no shape to draw.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ShapeError {
    /// The size of the blank is not a number, or under `LEAST_SIZE`.
    #[error("the blank is {length:.2} mm long and {thickness:.2} mm thick; both must be at least 0.1 mm")]
    Size {
        /// Length, mm.
        length: f64,
        /// Thickness, mm.
        thickness: f64,
    },
    /// A drop-in blank with rounded ends must be longer than it is thick.
    #[error(
        "a drop-in blank has round ends, so its length ({length:.2} mm) must exceed its thickness ({thickness:.2} mm)"
    )]
    TooShort {
        /// Length, mm.
        length: f64,
        /// Thickness, mm.
        thickness: f64,
    },
    /// The crown comes down to the bottom edge.
    #[error(
        "the crown would stand only {v:.2} mm over the bottom edge, {from_end:.1} mm from the bass end: there is no blank left; check slot depth, action and falls"
    )]
    CrownTooLow {
        /// Distance from the bass end, mm.
        from_end: f64,
        /// Height there, mm; may be negative, or not a number.
        v: f64,
    },
}

/// A string's place on the part, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationMark {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Along the blank as seen from the front, to the right.
    pub x: f64,
    /// Back from the front face.
    pub b: f64,
    /// Up from the bottom edge.
    pub v: f64,
}

/// The part in outline, mm. `x` runs to the right as seen from the front.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlines {
    /// `(x, v)`, closed without repeating its first point, anticlockwise with v up, from the left end of the bottom edge.
    /// Its top is the highest point of the crown at each place.
    pub front: Vec<[f64; 2]>,
    /// `(x, b)`, closed without repeating its first point, anticlockwise with b up, from the left end of the front face.
    /// The ends of a drop-in blank are rounded, half circles as wide as the blank unless it says otherwise.
    pub top: Vec<[f64; 2]>,
    /// `(x, b, v)` of the line that strings touch, from left to right, through every contact. It stops where it would
    /// leave the rounded end of a drop-in blank, or where the ends are blended.
    pub ridge: Vec<[f64; 3]>,
    /// Strings, bass to treble.
    pub stations: Vec<StationMark>,
}

/// Sign of u in a part as made: a left-handed instrument gets the mirror image.
fn hand(plan: &Plan) -> f64 {
    if plan.left_handed { -1.0 } else { 1.0 }
}

/// Place along the part as made, mm: u, or its mirror image for a left-handed instrument.
#[must_use]
pub fn along(plan: &Plan, u: f64) -> f64 {
    hand(plan) * u
}

/// Place along the part as seen from the front, mm to the right: a right-handed saddle has its treble end at the left.
/// Its own inverse.
#[must_use]
pub fn from_front(plan: &Plan, u: f64) -> f64 {
    -hand(plan) * u
}

/// Front and back of the blank, `(b, b)` in mm, at `u`: narrower in the rounded ends of a drop-in blank.
#[must_use]
pub fn span(plan: &Plan, u: f64) -> (f64, f64) {
    let thickness = plan.blank.thickness;
    match plan.blank.end_radius() {
        None => (0.0, thickness),
        Some(radius) => {
            let from_end = (u - plan.ends.0).min(plan.ends.1 - u).max(0.0);
            let short = (radius - from_end).max(0.0);
            // As a product: exactly zero at the very end.
            let half = ((radius - short) * (radius + short)).sqrt();
            (radius - half, thickness - radius + half)
        }
    }
}

/// Length of the flat of each end of a drop-in blank, seen from above, mm: none where it is round from face to face.
fn end_flat(plan: &Plan) -> f64 {
    let radius = plan.blank.end_radius();
    radius.map_or(0.0, |radius| plan.blank.thickness - 2.0 * radius)
}

/// Highest point of the part at `u` as seen from the front, mm; inside rounded or blended ends, of what is left there.
#[must_use]
pub fn silhouette(plan: &Plan, u: f64) -> f64 {
    let section = plan.crown.section(u);
    let (low, high) = span(plan, u);
    // The section bulges upward everywhere, so its top is where it is level or else at one end.
    let level = section.centre_b.max(low).min(high);
    let crown = [low, level, high].map(|b| section.height(b));
    crown.into_iter().fold(f64::NEG_INFINITY, f64::max).min(plan.cap(u))
}

/// Outlines of the part.
///
/// # Errors
/// [`ShapeError`] if the plan leaves no part to draw.
pub fn outlines(plan: &Plan) -> Result<Outlines, ShapeError> {
    let mut places = places(plan)?;
    if !plan.left_handed {
        // From left to right, as seen from the front.
        places.reverse();
    }
    let x = |u: f64| from_front(plan, u);
    let (left, right) = if plan.left_handed {
        plan.ends
    } else {
        (plan.ends.1, plan.ends.0)
    };
    let back = plan.blank.thickness;
    let edge = [left, right].map(|u| [x(u), 0.0]).into_iter();
    let front = edge
        .clone()
        .chain(places.iter().rev().map(|&u| [x(u), silhouette(plan, u)]));
    let spans = || places.iter().map(|&u| (u, span(plan, u)));
    let top: Vec<[f64; 2]> = match plan.blank.kind {
        BlankKind::Through => edge.chain([right, left].map(|u| [x(u), back])).collect(),
        BlankKind::DropIn => {
            let ahead = spans().map(|(u, (low, _))| [x(u), low]);
            // Tips belong to both sides.
            let tips = usize::from(end_flat(plan) < SAME_PLACE);
            let behind = spans().rev().skip(tips).map(|(u, (_, high))| [x(u), high]);
            ahead
                .chain(behind.take(places.len().saturating_sub(2 * tips)))
                .collect()
        }
    };
    let ridge = spans().filter_map(|(u, (low, high))| {
        let (b, v) = plan.crown.ridge(u);
        (b >= low && b <= high && v <= plan.cap(u)).then(|| [x(u), b, v])
    });
    let stations = plan.strings.iter().map(|s| StationMark {
        number: s.number,
        x: x(s.contact.u),
        b: s.contact.b,
        v: s.contact.v,
    });
    Ok(Outlines {
        front: front.collect(),
        top,
        ridge: ridge.collect(),
        stations: stations.collect(),
    })
}

/// Places u along the blank, end to end, close enough that chords between them keep half of [`CHORD_TOLERANCE`]: ends,
/// strings, points round the rounded ends, and whatever the curves need between. Checks the shape first.
pub(crate) fn places(plan: &Plan) -> Result<Vec<f64>, ShapeError> {
    check_size(plan)?;
    let (start, end) = plan.ends;
    let length = end - start;
    let count = (length / FIRST_SPACING).ceil().clamp(1.0, MOST_FIRST);
    let mut knots = vec![start, end];
    let mut i = 1.0;
    while i < count {
        knots.push(start + length * (i / count));
        i += 1.0;
    }
    knots.extend(
        plan.strings
            .iter()
            .map(|s| s.contact.u)
            .filter(|u| *u > start && *u < end),
    );
    if let Some(wings) = plan.blank.blended() {
        knots.extend(wings.kinks(plan.ends).filter(|u| *u > start && *u < end));
        knots.extend(plan.wing_ends().into_iter().flatten().map(|met| met.u));
        knots.retain(|u| (start..=end).contains(u));
    }
    if let Some(radius) = plan.blank.end_radius().filter(|radius| *radius > 0.0) {
        let steps = chords(radius, 0.5 * std::f64::consts::PI);
        for k in 1..=steps {
            let in_from_end = radius * (1.0 - math::cos(0.5 * std::f64::consts::PI * f64::from(k) / f64::from(steps)));
            knots.extend([start + in_from_end, end - in_from_end]);
        }
    }
    knots.sort_by(f64::total_cmp);
    knots.dedup_by(|later, kept| *later - *kept < SAME_PLACE);
    // The last end may have been swallowed by a knot just before it.
    if let Some(last) = knots.last_mut() {
        *last = end;
    }
    let mut places = vec![start];
    for pair in knots.windows(2) {
        halve(plan, pair[0], pair[1], HALVINGS, &mut places);
    }
    check_height(plan, &places)?;
    Ok(places)
}

/// Chords that an arc of `turn` radians needs to keep half of [`CHORD_TOLERANCE`]; at least one.
pub(crate) fn chords(radius: f64, turn: f64) -> u32 {
    let step = 2.0 * math::acos((1.0 - 0.5 * CHORD_TOLERANCE / radius).clamp(-1.0, 1.0));
    let wanted = (turn / step).ceil();
    // At most a few hundred for any radius that is a saddle's.
    let mut count = 1;
    while f64::from(count) < wanted && count < 1000 {
        count += 1;
    }
    count
}

fn check_size(plan: &Plan) -> Result<(), ShapeError> {
    let (length, thickness) = (plan.ends.1 - plan.ends.0, plan.blank.thickness);
    let sound = |v: f64| v.is_finite() && v >= LEAST_SIZE;
    if !sound(length) || !sound(thickness) {
        return Err(ShapeError::Size { length, thickness });
    }
    if plan.blank.kind == BlankKind::DropIn && length <= thickness {
        return Err(ShapeError::TooShort { length, thickness });
    }
    Ok(())
}

/// A section bulges upward, so it is lowest at one of its ends.
fn check_height(plan: &Plan, places: &[f64]) -> Result<(), ShapeError> {
    for &u in places {
        let section = plan.crown.section(u);
        let (low, high) = span(plan, u);
        for v in [low, high].map(|b| section.height(b).min(plan.cap(u))) {
            if !(v >= LEAST_HEIGHT && v.is_finite()) {
                let from_end = u - plan.ends.0;
                return Err(ShapeError::CrownTooLow { from_end, v });
            }
        }
    }
    Ok(())
}

/// Everything along the blank that is drawn with chords.
fn curves(plan: &Plan, u: f64) -> [f64; 7] {
    let section = plan.crown.section(u);
    let (ridge_b, ridge_v) = plan.crown.ridge(u);
    // Where no end is blended the faces bend as the centre does.
    let faces = plan.blank.blended().map_or([0.0; 2], |_| {
        [0.0, plan.blank.thickness].map(|b| section.height(b).min(plan.cap(u)))
    });
    [
        section.centre_b,
        section.centre_v,
        ridge_b,
        ridge_v,
        silhouette(plan, u),
        faces[0],
        faces[1],
    ]
}

/// Adds `to`, and before it the places between `from` and `to` that chords need.
fn halve(plan: &Plan, from: f64, to: f64, halvings: u32, places: &mut Vec<f64>) {
    let (a, b) = (curves(plan, from), curves(plan, to));
    let straight = [0.25, 0.5, 0.75].iter().all(|t| {
        let exact = curves(plan, from + t * (to - from));
        exact
            .iter()
            .zip(a.iter().zip(&b))
            .all(|(curve, (a, b))| (curve - (a + t * (b - a))).abs() <= 0.5 * CHORD_TOLERANCE)
    });
    if halvings > 0 && !straight {
        let middle = 0.5 * (from + to);
        halve(plan, from, middle, halvings - 1, places);
        halve(plan, middle, to, halvings - 1, places);
    } else {
        places.push(to);
    }
}
