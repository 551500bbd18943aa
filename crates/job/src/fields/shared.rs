//! Ranges that more than one field has.
//!
//! Unless a line names a source these, and those in the rows themselves, are `common practice, no source`: they stop slips of the pen, the
//! unit and the decimal point, and judge no instrument.

use super::build::range;
use super::row::Range;

/// Fingerboard radius: 184 mm (7 1/4 in) to 508 mm (20 in) and flatter.
#[rustfmt::skip]
pub(super) const BOARD_RADIUS: Range = range(30.0, 9000.0).usual(140.0, 1300.0).hint("Read it with a radius gauge on the board; for a board without camber write \"flat\".");
/// Scale length: 343 mm (soprano ukulele) to 864 mm (bass) and a little further.
#[rustfmt::skip]
pub(super) const SCALE: Range = range(150.0, 1200.0).usual(320.0, 920.0).hint("Measure from the front of the nut to fret 12 and double it; if you wrote that half length, use nut_to_12.");
/// Relief at mid-span. Over 0.38 mm is called too much by makers' setup pages; over 0.6 mm is taken for a slip, and with over 1.5 mm a
/// neck is no neck to plan a saddle on (common practice, no source).
#[rustfmt::skip]
pub(super) const RELIEF: Range = range(-1.5, 1.5).usual(0.0, 0.6).hint("A negative relief is a back-bow, measured over the hump; most necks have {0 mm} to {0.4 mm}. Put the neck right first if you can.");
/// Centre to centre of the outer strings.
#[rustfmt::skip]
pub(super) const SPREAD: Range = range(5.0, 120.0).usual(18.0, 90.0).hint("Measure from the centre of the bass-most to the centre of the treble-most string.");
/// Centre to centre within a pair.
#[rustfmt::skip]
pub(super) const PAIR: Range = range(0.8, 8.0).usual(1.4, 4.5).hint("Measure from centre to centre of the two strings of a pair.");
/// Action at fret 12: 1.3 mm (mandolin) to 5 mm (nylon); read as high as 6 mm on a ukulele.
#[rustfmt::skip]
pub(super) const ACTION_12: Range = range(0.2, 15.0).usual(0.8, 6.0).hint("It is the gap between the crown of fret 12 and the underside of the open string.");
/// Action at another fret than 12: over fret 1 it is the open gap there.
#[rustfmt::skip]
pub(super) const ACTION_AT: Range = range(0.02, 15.0).usual(0.2, 6.0).hint("It is the gap between the crown of that fret and the underside of the open string.");
/// Weight of a wish beside another that has 1.
#[rustfmt::skip]
pub(super) const WEIGHT: Range = range(0.0, 1000.0).usual(0.05, 20.0).hint("1 counts as much as the main one, 2 twice as much; 0 moves nothing, and only shows what becomes of it.");
/// Open gap over fret 1. Makers' pages give 0.25 to 0.51 mm.
#[rustfmt::skip]
pub(super) const FIRST_FRET_CLEARANCE: Range = range(0.0, 2.5).usual(0.05, 1.1).hint("Read the gap between the crown of fret 1 and the underside of the open string with feelers.");
/// Gap over fret 1 with the string held at fret 3. Makers' pages give 0.05 to 0.30 mm.
#[rustfmt::skip]
pub(super) const HELD_AT_3: Range = range(0.0, 1.5).usual(0.0, 0.45).hint("Hold the string down at fret 3 and read the gap over the crown of fret 1 with feelers.");
/// Height of a zero fret's crown over the plane of the others. Wire of one height is level; wire a size higher stands 0.1 to 0.3 mm above.
#[rustfmt::skip]
pub(super) const ZERO_FRET_ABOVE: Range = range(-0.6, 1.0).usual(-0.15, 0.4).hint("Lay a short straightedge on the crowns of frets 1 and 2: a gap over the zero fret is negative.");
/// What is filed off a zero fret. Fret wire stands 0.8 to 1.5 mm high.
#[rustfmt::skip]
pub(super) const DRESSED: Range = range(0.0, 0.9).usual(0.0, 0.4).hint("It is how much comes off its crown, and never negative.");
/// New wire at fret 0 over the old.
#[rustfmt::skip]
pub(super) const NEW_WIRE: Range = range(-0.9, 1.2).usual(-0.4, 0.6).hint("It is the difference of the two crowns over the board, not the height of the wire.");
/// Cents read at fret 12.
#[rustfmt::skip]
pub(super) const CENTS_12: Range = range(-100.0, 100.0).usual(-30.0, 30.0).hint("It is the fretted note at 12 against the open string's octave, in cents, sharp positive.");
/// Reading along the string from fret 12 to the saddle, before it is compared with the scale length.
#[rustfmt::skip]
pub(super) const FROM_FRET_12: Range = range(60.0, 650.0).hint("Measure along the string from the middle of fret 12's crown.");
/// Length of a slot, or of a blank.
#[rustfmt::skip]
pub(crate) const LENGTH: Range = range(15.0, 250.0).usual(25.0, 160.0).hint("Measure along the slot from end to end.");
/// The same of one of several saddles.
pub(crate) const LENGTH_OF_SEVERAL: Range = range(6.0, 250.0).usual(9.0, 160.0).hint(LENGTH.hint);
/// Slot width over the gauge. Pages give 0.03 to 0.13 mm.
#[rustfmt::skip]
pub(super) const ALLOWANCE: Range = range(0.0, 0.6).usual(0.02, 0.2).hint("It is how much wider the slot is than the string; {0.05 mm} for plain and {0.08 mm} for wound strings are the defaults.");
/// Thickness of the blank.
#[rustfmt::skip]
pub(super) const BLANK_THICKNESS: Range = range(1.0, 12.0).usual(1.8, 7.0).hint("Measure the blank with a caliper; do not trust its name.");
/// Fall of the top, degrees.
#[rustfmt::skip]
pub(super) const FALL: Range = range(-20.0, 70.0).usual(0.0, 45.0).hint("It is how steeply the top falls away from the ridge, measured in the blank; leave it out to let the plan choose.");
/// Standard uncertainty of a height or a thickness.
#[rustfmt::skip]
pub(super) const UNSURE_HEIGHT: Range = range(0.0, 2.0).usual(0.0, 0.4).hint("Two readings in three lie within it. A feeler or a caliper is sure to about {0.02 mm}, a rule to about {0.1 mm}; 0 leaves it out.");
/// Standard uncertainty as a share.
#[rustfmt::skip]
pub(super) const UNSURE_SHARE: Range = range(0.0, 0.6).usual(0.0, 0.35).hint("It is a share of the value: 0.05 is 5 in 100; 0 leaves it out.");
/// Standard uncertainty of a length along the string or across the blank.
#[rustfmt::skip]
pub(super) const UNSURE_PLACE: Range = range(0.0, 5.0).usual(0.0, 1.0).hint("Two readings in three lie within it. A rule is sure to about {0.3 mm}; 0 leaves it out.");
/// A limit of exposure.
#[rustfmt::skip]
pub(super) const EXPOSURE_LIMIT: Range = range(0.0, 20.0).usual(0.3, 10.0).hint("About {3.2 mm} is usual.");
/// A limit given as a share.
#[rustfmt::skip]
pub(super) const SHARE_LIMIT: Range = range(0.0, 1.0).usual(0.05, 1.0).hint("A half is 0.5.");
/// A limit of wood left standing.
#[rustfmt::skip]
pub(super) const WOOD_LIMIT: Range = range(0.0, 20.0).usual(0.5, 10.0).hint("Common practice has {1.5 mm} to {3 mm}.");
/// A limit of break angle, degrees.
#[rustfmt::skip]
pub(super) const BREAK_LIMIT: Range = range(0.0, 90.0).usual(3.0, 75.0).hint("About 12 degrees is the usual worry line.");
/// A limit of relief.
#[rustfmt::skip]
pub(super) const RELIEF_LIMIT: Range = range(-2.0, 4.0).usual(-0.2, 1.0).hint("Published settings have {0 mm} to {0.38 mm}.");
/// Wanted spindle speed, rev/min.
#[rustfmt::skip]
pub(super) const SPINDLE: Range = range(100.0, 100_000.0).usual(2_000.0, 40_000.0).hint("It is in turns per minute, such as 12000.");
/// Left on by roughing.
#[rustfmt::skip]
pub(super) const ROUGH_ALLOWANCE: Range = range(0.0, 2.0).usual(0.05, 0.5).hint("{0.1 mm} to {0.2 mm} is usual.");
/// Height of rapid moves over everything.
#[rustfmt::skip]
pub(super) const CUT_CLEARANCE: Range = range(0.5, 50.0).usual(2.0, 20.0).hint("{5 mm} is the default.");
/// Place along X of a jaw's end.
#[rustfmt::skip]
pub(super) const JAW_X: Range = range(-300.0, 600.0).usual(-150.0, 300.0).hint("It counts from the stock's end at X 0.");
/// Half a scale length.
#[rustfmt::skip]
pub(super) const NUT_TO_12: Range = range(75.0, 600.0).usual(160.0, 460.0).hint("Measure from the front of the nut to the middle of fret 12's crown; if you wrote the whole scale length, use scale.");
/// Bridge top above the straightedge.
#[rustfmt::skip]
pub(super) const BRIDGE_TOP: Range = range(-15.0, 15.0).usual(-6.0, 7.0).hint("Positive where the bridge top stands above the straightedge laid on frets 1 and the joint fret, negative below.");
/// Depth of the slot.
#[rustfmt::skip]
pub(super) const SLOT_DEPTH: Range = range(0.5, 20.0).usual(2.0, 11.0).hint("Measure down the front wall with a depth rod.");
/// Lean of the front wall, degrees.
#[rustfmt::skip]
pub(super) const LEAN: Range = range(-45.0, 45.0).usual(-2.0, 15.0).hint("Positive leans toward the nut, as most do that lean; negative leans back. Read it with a bevel or as offset over height; look whether the slot is worn or the bridge split.");
/// Height of a saddle that stands in the slot.
#[rustfmt::skip]
pub(super) const SADDLE_HEIGHT: Range = range(2.0, 40.0).usual(4.0, 20.0).hint("Measure the reference saddle with a caliper from bottom edge to ridge.");
/// Its contact back from its front face.
#[rustfmt::skip]
pub(super) const SADDLE_BACK: Range = range(0.0, 15.0).usual(0.0, 6.0).hint("Measure from the front face of the reference saddle to its ridge.");
/// Exposure. Makers' pages have 0.8 to 4.8 mm.
#[rustfmt::skip]
pub(super) const EXPOSURE: Range = range(0.0, 20.0).usual(0.3, 11.0).hint("Measure up the saddle's front face, from the bridge top to the ridge under that string.");
/// String over the bridge top: a little more than the exposure under a string that rises.
#[rustfmt::skip]
pub(super) const OVER_BRIDGE: Range = range(0.1, 20.0).usual(0.3, 12.0).hint("Measure square up from the bridge top at the slot's front edge to the underside of the string.");
