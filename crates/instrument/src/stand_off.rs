//! How far a stiff string passes over the ridge that it bends at.

use numerics::math;
use strings::StringModel;

/// Bend of a string over its ridge where it was not read where it leaves the bridge, radians (17 degrees). Common practice, no source.
pub const USUAL_BEND: f64 = 0.3;

/// By how much a string's straight line passes over its ridge by elastic theory, mm: half its bend there (radians) times `sqrt(E I / T)` at
/// `length` mm and `frequency` Hz. A string that took a set shows less. Derived here, no source.
#[must_use]
pub fn elastic_stand_off(model: &StringModel, length: f64, frequency: f64, bend: f64) -> f64 {
    0.5 * bend * model.clamped_length(length, frequency)
}

/// Bend of a string of this slope dz/dx that comes to `contact` and leaves for `exit` (both x, z in mm), radians, positive downward.
#[must_use]
pub fn bend(slope: f64, contact: (f64, f64), exit: (f64, f64)) -> f64 {
    math::atan(slope) + math::atan((contact.1 - exit.1) / (exit.0 - contact.0))
}
