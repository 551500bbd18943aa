//! Nut setbacks: one for each string, or one straight shift for all, against a nut at fret 0.

use crate::OpenString;
use numerics::{find_root, math};
use serde::Serialize;
use strings::{
    Criterion, FRETS, FrettedString, NutPath, Point, SaddleHeight, SetbackError, nut_setback, rms, shared_setback,
};

/// Frets near the nut, 1 to this, at which a setback is felt most and is shown.
pub const PLAYED_FRETS: usize = 5;
/// How much further behind the fret a finger may press, mm (3/8 in): about a third of the first fret's space. A measure of what
/// playing does beside a setback (common practice, no source).
pub(crate) const FINGER_BACK: f64 = 9.525;

/// One way to set the nut of one string, with the saddle in its best place for it (least squares over frets 1 to 12), or where a
/// saddle stays.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Case {
    /// Setback of the nut, mm; negative is toward the bridge.
    pub nut: f64,
    /// Setback of the saddle, mm.
    pub saddle: f64,
    /// Error at frets 1 to 12, cents.
    pub cents: [f64; FRETS],
    /// Root mean square of those, cents.
    pub rms: f64,
}

/// One string three ways.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StringCompensation {
    /// String number.
    #[serde(skip)]
    pub number: u32,
    /// Nut at fret 0.
    pub none: Case,
    /// One straight shift for all strings.
    pub straight: Case,
    /// This string's own best setback.
    pub shelf: Case,
    /// How much the open string rises by the shelf alone before it is tuned again, cents; by length only.
    pub open_rise: f64,
    /// By how much frets 1 to 5 change when the finger presses `FINGER_BACK` further behind the fret, cents, nut at fret 0.
    #[serde(skip)]
    pub finger: [f64; PLAYED_FRETS],
}

/// What nut setbacks would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Compensation {
    /// The one straight shift that leaves the least error over all strings and frets 1 to 12, mm; negative is toward the bridge.
    pub shift: f64,
    /// Strings, bass to treble.
    pub strings: Vec<StringCompensation>,
}

/// Tolerance of the search for the straight shift, mm.
const SHIFT_TOLERANCE: f64 = 1e-9;
/// Half-step of the difference that tells how the error changes with the shift, mm.
const DIFFERENCE: f64 = 1e-3;

/// What the saddle does when the nut moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OtherEnd {
    /// It goes to its best place, on the line through the action at fret 12.
    Made,
    /// It stays.
    Stays,
}

impl Compensation {
    /// What setbacks would do to these strings. `shared`: of each, itself and the strings that take turns with it, with their weights.
    ///
    /// # Errors
    /// [`SetbackError`] if a string has no best place.
    pub(crate) fn of(strings: &[OpenString], shared: &[Shared], end: OtherEnd) -> Result<Self, SetbackError> {
        let strings: Vec<(&OpenString, &Shared)> = strings.iter().zip(shared).collect();
        let shelves: Vec<Case> = strings.iter().map(|s| case(*s, end, None)).collect::<Result<_, _>>()?;
        let shift = straight(&strings, end, &shelves)?;
        let each = strings.iter().zip(&shelves).map(|(all, shelf)| {
            let (s, _) = *all;
            let none = case(*all, end, Some(0.0))?;
            let length = s.string.scale + none.saddle;
            let pressed = |press: f64| {
                let mut string = s.string;
                string.press = press;
                string.cents(s.path.at(0.0), contact(s, end, 0.0, none.saddle))
            };
            let (at, back) = (pressed(0.0), pressed(FINGER_BACK));
            Ok(StringCompensation {
                number: s.number,
                none,
                straight: case(*all, end, Some(shift))?,
                shelf: *shelf,
                open_rise: 1200.0 * math::log2(length / (length + shelf.nut)),
                finger: std::array::from_fn(|i| back[i] - at[i]),
            })
        });
        Ok(Self {
            shift,
            strings: each.collect::<Result<_, _>>()?,
        })
    }

    /// Root mean square over all strings and frets 1 to 12 of one way, cents.
    #[must_use]
    pub fn rms(&self, way: impl Fn(&StringCompensation) -> Case) -> f64 {
        let squares: f64 = self.strings.iter().map(|s| math::powi(way(s).rms, 2)).sum();
        let count = u32::try_from(self.strings.len().max(1)).unwrap_or(u32::MAX);
        (squares / f64::from(count)).sqrt()
    }
}

/// A string and those that take turns with it, with the weights of their errors.
pub(crate) type Shared = Vec<(FrettedString, f64)>;

/// On the line through the action at fret 12.
fn height(s: &OpenString) -> SaddleHeight {
    let [.., twelve] = s.string.crowns;
    SaddleHeight::Through(Point {
        x: twelve.x,
        z: s.line().z(twelve.x),
    })
}

/// Saddle contact for setbacks of both ends.
fn contact(s: &OpenString, end: OtherEnd, at_nut: f64, saddle: f64) -> Point {
    match end {
        OtherEnd::Made => height(s).contact(s.path.at(at_nut), s.string.scale_end() + saddle),
        OtherEnd::Stays => s.saddle,
    }
}

/// One string with its nut at a setback, or at its own best one.
fn case((s, shared): (&OpenString, &Shared), end: OtherEnd, at_nut: Option<f64>) -> Result<Case, SetbackError> {
    let (at_nut, saddle) = match end {
        OtherEnd::Stays => {
            let own = || nut_setback(&s.string, s.path, s.saddle);
            (at_nut.map_or_else(own, Ok)?, s.saddle.x - s.string.scale_end())
        }
        OtherEnd::Made => {
            let from = |n: f64| NutPath {
                from: s.path.at(n),
                ..s.path
            };
            let (start, criterion) = match at_nut {
                Some(n) => (from(n), Criterion::BestFit),
                None => (from(0.0), Criterion::BestFitWithNut),
            };
            let found = shared_setback(shared, start, height(s), criterion)?;
            (found.nut, found.saddle)
        }
    };
    // Nought has no sign.
    let at_nut = at_nut + 0.0;
    let cents = s.string.cents(s.path.at(at_nut), contact(s, end, at_nut, saddle));
    Ok(Case {
        nut: at_nut,
        saddle,
        cents,
        rms: rms(&cents),
    })
}

/// The shift at which the sum of squares over all strings is least; it lies between the strings' own setbacks.
fn straight(strings: &[(&OpenString, &Shared)], end: OtherEnd, own: &[Case]) -> Result<f64, SetbackError> {
    let squares = |n: f64| -> Result<f64, SetbackError> {
        let of = |all: &(&OpenString, &Shared)| -> Result<f64, SetbackError> {
            let (s, shared) = *all;
            let at = case(*all, end, Some(n))?;
            let (nut, saddle) = (s.path.at(at.nut), contact(s, end, at.nut, at.saddle));
            let square =
                |(string, weight): &(FrettedString, f64)| weight * math::powi(rms(&string.cents(nut, saddle)), 2);
            Ok(shared.iter().map(square).sum())
        };
        strings.iter().map(of).sum()
    };
    let low = own.iter().map(|c| c.nut).fold(f64::INFINITY, f64::min);
    let high = own.iter().map(|c| c.nut).fold(f64::NEG_INFINITY, f64::max);
    if high - low < SHIFT_TOLERANCE {
        return Ok(low);
    }
    let slope = |n: f64| match (squares(n + DIFFERENCE), squares(n - DIFFERENCE)) {
        (Ok(more), Ok(less)) => more - less,
        _ => f64::NAN,
    };
    find_root(low, high, SHIFT_TOLERANCE, slope).map_err(|_| SetbackError::NoBestFit)
}
