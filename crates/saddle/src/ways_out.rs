//! When the wanted ridge leaves the blank: three ways out, with figures.

use crate::solved::Solved;
use crate::{Blank, Hold};
use instrument::Frame;
use numerics::{find_root, narrowest_strip};
use serde::Serialize;

/// Three ways to bring held strings in tune, in the order of the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaysOut {
    /// Move or re-angle the slot.
    pub slot: SlotWay,
    /// A thicker blank in a wider slot.
    pub thicker: ThickerWay,
    /// A nut setback for each held string.
    pub nut: Vec<NutWay>,
}

/// Move the slot so that the middle of the blank follows the best straight line through the wanted contacts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotWay {
    /// Move of the front wall along x under the bass string, mm, positive back.
    pub bass: f64,
    /// The same under the treble string.
    pub treble: f64,
    /// Largest distance of a wanted contact from the line, along x, mm.
    pub furthest: f64,
    /// Whether the present blank then holds every contact inside its land.
    pub fits: bool,
}

/// Keep the slot's place and make it wider.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ThickerWay {
    /// Thickness of the blank that holds every contact inside its land, mm.
    pub thickness: f64,
    /// How far the front wall moves forward, mm, square to the face; 0 or more.
    pub forward: f64,
    /// How far the back wall moves back, mm, square to the face; 0 or more.
    pub back: f64,
}

/// Set the nut contact of one string so that fret 12 is in tune with the held saddle contact.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NutWay {
    /// String number.
    pub string: u32,
    /// Setback of the nut, mm; negative is toward the bridge. `None` if no place within 5 % of the scale length does it.
    pub setback: Option<f64>,
    /// Move of the slot along x for this string alone, mm, positive back.
    pub slot_move: f64,
}

/// Range of nut setbacks searched, as a share of the scale length.
const NUT_RANGE: f64 = 0.05;
/// Tolerance of that search, mm or cents.
const NUT_TOLERANCE: f64 = 1e-10;

pub(crate) fn ways_out(blank: &Blank, frame: &Frame, solved: &[Solved]) -> Option<WaysOut> {
    if solved.iter().all(|s| s.hold == Hold::Free) {
        return None;
    }
    let wanted: Vec<(f64, f64)> = solved.iter().map(|s| (s.wanted.u, s.wanted.b)).collect();
    let strip = narrowest_strip(&wanted)?;
    // Along x, a distance square to the face is longer.
    let along_x = 1.0 / frame.e_b.x;
    let shift = |u: f64| (strip.middle(u) - 0.5 * blank.thickness) * along_x;
    let slot = SlotWay {
        bass: shift(wanted.first()?.0),
        treble: shift(wanted.last()?.0),
        furthest: strip.half_width * along_x,
        fits: strip.half_width <= 0.5 * blank.thickness - blank.land,
    };
    let low = wanted.iter().map(|w| w.1).fold(f64::INFINITY, f64::min);
    let high = wanted.iter().map(|w| w.1).fold(f64::NEG_INFINITY, f64::max);
    let forward = (blank.land - low).max(0.0);
    let back = (high + blank.land - blank.thickness).max(0.0);
    let thicker = ThickerWay {
        thickness: blank.thickness + forward + back,
        forward,
        back,
    };
    let nut = solved.iter().filter(|s| s.hold != Hold::Free).map(|s| NutWay {
        string: s.number,
        setback: nut_setback(s, frame),
        slot_move: (s.wanted.b - s.contact.b) * along_x,
    });
    Some(WaysOut {
        slot,
        thicker,
        nut: nut.collect(),
    })
}

/// Nut setback that zeroes fret 12 with the contact held at its place across the blank.
fn nut_setback(s: &Solved, frame: &Frame) -> Option<f64> {
    let range = NUT_RANGE * s.string.scale;
    let error = |setback: f64| {
        let side = s.side.with_setback(setback);
        let x = side.x_at_b(frame, s.contact.b);
        s.string.cents_at_12(side.nut, side.contact(x))
    };
    find_root(-range, range, NUT_TOLERANCE, error).ok()
}
