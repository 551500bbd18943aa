//! One cutter over one surface.

use crate::end::End;
use crate::{Cutter, Surface};
use numerics::math;

/// The search along the blank ends when its step is below this, mm. Height errs by the square of the place over twice the
/// height of the ball's centre over the contact: 1e-9 mm for a 1 mm radius.
pub(crate) const PLACE: f64 = 3e-5;

/// Finds locations of one cutter over one surface, quickest when each place lies near the last.
#[derive(Debug, Clone)]
pub struct Locator<'a> {
    pub(super) surface: &'a Surface,
    pub(super) end: End,
    pub(super) hint: usize,
    /// The ball's bend is far more than the crown's: one best place per smooth piece.
    pub(super) quick: bool,
    /// A flat end.
    pub(super) flat: bool,
    /// Furthest along the blank that a ball touches the plain crown from its axis, mm.
    pub(super) reach: f64,
}

impl<'a> Locator<'a> {
    /// For `cutter` over `surface`.
    #[must_use]
    pub fn new(cutter: &Cutter, surface: &'a Surface) -> Self {
        let end = End::of(cutter);
        let radius = end.radius();
        let (slope, bend) = surface.gentle;
        Self {
            surface,
            end,
            hint: 0,
            flat: matches!(end, End::Flat(_)),
            quick: matches!(end, End::Ball(_)) && bend * radius < 0.4,
            reach: radius * slope / math::hypot(slope, 1.0) + PLACE,
        }
    }
}
