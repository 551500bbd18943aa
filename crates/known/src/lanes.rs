//! Derivatives run side by side in lanes: those of the whole instrument first, then those of one string.

use crate::Figure;

/// Lanes of a number that carries its derivatives.
pub const LANES: usize = 37;

/// Where the reading of a lane's figure stands in the state, for one string on one visit.
pub type Lanes = [Option<u16>; LANES];

pub(crate) const STRETCH: usize = 0;
pub(crate) const RELIEF: usize = 1;
pub(crate) const RADIUS_AT_NUT: usize = 2;
pub(crate) const RADIUS_AT_12: usize = 3;
pub(crate) const LEAN: usize = 4;
pub(crate) const PLACE: [usize; 2] = [5, 6];
pub(crate) const HEIGHT: [usize; 2] = [7, 8];
pub(crate) const THIRD: [usize; 2] = [9, 10];
pub(crate) const DEPTH: [usize; 2] = [11, 12];
pub(crate) const BOW: usize = 13;
pub(crate) const SEAT: [usize; 2] = [14, 15];
pub(crate) const STRAIGHTEDGE: usize = 16;
pub(crate) const ENDS: usize = 17;
pub(crate) const STAND_OFF: usize = 18;
pub(crate) const NECK_DRIFT: usize = 19;
pub(crate) const TOP_DRIFT: usize = 20;
/// The outer strings, by which a saddle of known size places the slot.
pub(crate) const OUTER_NUT: [usize; 2] = [21, 22];
pub(crate) const OUTER_ACTION: [usize; 2] = [23, 24];
pub(crate) const NUT: usize = 25;
pub(crate) const ACTION: usize = 26;
pub(crate) const CONTACT: usize = 27;
pub(crate) const AXIAL: usize = 28;
pub(crate) const BENDING: usize = 29;
pub(crate) const MASS: usize = 30;
pub(crate) const RISEN: usize = 31;
pub(crate) const MADE_SEAT: [usize; 2] = [32, 33];
pub(crate) const MADE_HEIGHT: usize = 34;
pub(crate) const MADE_BACK: usize = 35;
pub(crate) const NEW_SLOT: usize = 36;

/// The figure of each lane, for one string of so many on one visit.
pub(crate) fn figures(string: usize, strings: usize, visit: u32) -> [Option<Figure>; LANES] {
    use Figure as F;
    let last = strings.saturating_sub(1);
    let mut lanes = [None; LANES];
    let mut put = |lane: usize, figure| lanes[lane] = Some(figure);
    put(STRETCH, F::Stretch);
    put(RELIEF, F::Relief);
    put(RADIUS_AT_NUT, F::RadiusAtNut);
    put(RADIUS_AT_12, F::RadiusAt12);
    put(LEAN, F::Lean);
    for (end, outer) in [0, last].into_iter().enumerate() {
        // Under one string both ends are one place.
        let place = end.min(last);
        put(PLACE[end], F::SlotPlace(place));
        put(HEIGHT[end], F::SlotHeight(place));
        put(THIRD[end], F::SlotThird(place));
        put(DEPTH[end], F::ReferenceDepth(place));
        put(SEAT[end], F::OldSeat(place));
        put(MADE_SEAT[end], F::MadeSeat(place));
        put(OUTER_NUT[end], F::Nut(outer));
        put(OUTER_ACTION[end], F::Action(outer));
    }
    put(BOW, F::FloorBow);
    put(STRAIGHTEDGE, F::Straightedge);
    put(ENDS, F::Ends);
    put(STAND_OFF, F::StandOff);
    put(NECK_DRIFT, F::NeckDrift(visit));
    put(TOP_DRIFT, F::TopDrift(visit));
    put(NUT, F::Nut(string));
    put(ACTION, F::Action(string));
    put(CONTACT, F::Contact(string));
    put(AXIAL, F::Axial(string));
    put(BENDING, F::Bending(string));
    put(MASS, F::Mass(string));
    put(RISEN, F::Risen);
    put(MADE_HEIGHT, F::MadeHeight(string));
    put(MADE_BACK, F::MadeBack(string));
    put(NEW_SLOT, F::NewSlot(string));
    lanes
}
