//! Nut setbacks: one for each string, or one straight shift for all, against a nut at fret 0.

use numerics::find_root;
use saddle::StringPlan;
use strings::{Criterion, FRETS, Point, SaddleHeight, SetbackError, rms, setback};

/// Frets near the nut, 1 to this, at which a setback is felt most and is shown.
pub const PLAYED_FRETS: usize = 5;
/// How much further behind the fret a finger may press, mm (3/8 in): about a third of the first fret's space. A measure of what
/// playing does beside a setback (common practice, no source).
pub const FINGER_BACK: f64 = 9.525;

/// One way to set the nut of one string, with the saddle in its best place for it (least squares over frets 1 to 12).
#[derive(Debug, Clone, Copy, PartialEq)]
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringCompensation {
    /// String number.
    pub number: u32,
    /// Nut at fret 0.
    pub none: Case,
    /// One straight shift for all strings.
    pub straight: Case,
    /// This string's own best setback.
    pub shelf: Case,
    /// How much the open string rises by the shelf alone before it is tuned again, cents; by length only.
    pub open_rise: f64,
    /// By how much frets 1 to 5 change when the finger presses [`FINGER_BACK`] further behind the fret, cents, nut at fret 0.
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

impl Compensation {
    /// What setbacks would do to the strings of a plan; `fret_12` is x of fret 12, mm. The height of each nut contact is kept.
    ///
    /// # Errors
    /// [`SetbackError`] if a string has no best place.
    pub(crate) fn of(strings: &[StringPlan], fret_12: f64) -> Result<Self, SetbackError> {
        let shelves: Vec<Case> = strings
            .iter()
            .map(|s| case(s, fret_12, None))
            .collect::<Result<_, _>>()?;
        let shift = straight(strings, fret_12, &shelves)?;
        let each = strings.iter().zip(&shelves).map(|(s, shelf)| {
            let none = case(s, fret_12, Some(0.0))?;
            let length = s.string.scale + none.saddle;
            let pressed = |press: f64| {
                let mut string = s.string;
                string.press = press;
                string.cents(Point { x: 0.0, z: s.nut.z }, contact(s, fret_12, 0.0, none.saddle))
            };
            let (at, back) = (pressed(0.0), pressed(FINGER_BACK));
            Ok(StringCompensation {
                number: s.number,
                none,
                straight: case(s, fret_12, Some(shift))?,
                shelf: *shelf,
                open_rise: 1200.0 * (length / (length + shelf.nut)).log2(),
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
        let squares: f64 = self.strings.iter().map(|s| way(s).rms.powi(2)).sum();
        let count = u32::try_from(self.strings.len().max(1)).unwrap_or(u32::MAX);
        (squares / f64::from(count)).sqrt()
    }
}

fn height(s: &StringPlan, fret_12: f64) -> SaddleHeight {
    SaddleHeight::Through(Point {
        x: fret_12,
        z: s.line.z(fret_12),
    })
}

fn contact(s: &StringPlan, fret_12: f64, nut: f64, saddle: f64) -> Point {
    let at = Point { x: -nut, z: s.nut.z };
    height(s, fret_12).contact(at, s.string.scale + saddle)
}

/// One string with its nut at a setback, or at its own best one.
fn case(s: &StringPlan, fret_12: f64, nut: Option<f64>) -> Result<Case, SetbackError> {
    let at = |n: f64| Point { x: -n, z: s.nut.z };
    let (start, criterion) = match nut {
        Some(n) => (at(n), Criterion::BestFit),
        None => (at(0.0), Criterion::BestFitWithNut),
    };
    let found = setback(&s.string, start, height(s, fret_12), criterion)?;
    // Nought has no sign.
    let nut = found.nut + 0.0;
    let cents = s.string.cents(at(nut), contact(s, fret_12, nut, found.saddle));
    Ok(Case {
        nut,
        saddle: found.saddle,
        cents,
        rms: rms(&cents),
    })
}

/// The shift at which the sum of squares over all strings is least; it lies between the strings' own setbacks.
fn straight(strings: &[StringPlan], fret_12: f64, own: &[Case]) -> Result<f64, SetbackError> {
    let squares = |n: f64| -> Result<f64, SetbackError> {
        strings.iter().map(|s| Ok(case(s, fret_12, Some(n))?.rms.powi(2))).sum()
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
