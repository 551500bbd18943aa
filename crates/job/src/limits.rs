//! What is allowed and what is usual for each reading, in one place. Outside `least` to `most` is an error; outside `usual`
//! a warning. Lengths in mm, angles in degrees.
//!
//! Unless a line names a source these are `common practice, no source`: they stop slips of the pen, the unit and the
//! decimal point, and judge no instrument.

use saddle::tolerance;

/// Range of one kind of reading.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limit {
    /// Least that is read.
    pub(crate) least: f64,
    /// Most that is read.
    pub(crate) most: f64,
    /// Range without a warning.
    pub(crate) usual: (f64, f64),
    /// How to mend it.
    pub(crate) hint: &'static str,
}

const fn limit(least: f64, most: f64, usual: (f64, f64), hint: &'static str) -> Limit {
    Limit {
        least,
        most,
        usual,
        hint,
    }
}

/// Scale length: from a small ukulele's 330 mm to a bass guitar's 900 mm.
pub(crate) const SCALE: Limit = limit(
    150.0,
    1200.0,
    (320.0, 920.0),
    "Measure from the front of the nut to fret 12 and double it; if you wrote that half length, use nut_to_12.",
);
/// Nut to fret 12: half of the above.
pub(crate) const NUT_TO_12: Limit = limit(
    75.0,
    600.0,
    (160.0, 460.0),
    "Measure from the front of the nut to the middle of fret 12's crown; if you wrote the whole scale length, use scale.",
);
/// Fret at the body joint, a count.
pub(crate) const JOINT_FRET: Limit = limit(
    2.0,
    36.0,
    (10.0, 22.0),
    "Count the frets from the nut to where the neck meets the body.",
);
/// Relief at mid-span. Over 0.38 mm is called too much by makers' setup pages; over 0.6 mm is taken for a slip, and with over 1.5 mm a
/// neck is no neck to plan a saddle on (common practice, no source).
pub(crate) const RELIEF: Limit = limit(
    -1.5,
    1.5,
    (0.0, 0.6),
    "A negative relief is a back-bow, measured over the hump; most necks have 0 to 0.4 mm. Put the neck right first if you can.",
);
/// Fret number of a reading.
pub(crate) const FRET: Limit = limit(
    2.0,
    35.0,
    (2.0, 35.0),
    "Give the number of the fret where the gap was read.",
);
/// Fingerboard radius: 184 mm (7 1/4 in) to 508 mm (20 in) and flatter.
pub(crate) const BOARD_RADIUS: Limit = limit(
    30.0,
    9000.0,
    (140.0, 1300.0),
    "Read it with a radius gauge on the board; for a board without camber write \"flat\".",
);
/// Pitch of A4 in Hz: 415 and 466 are played, 440 is ISO 16.
pub(crate) const A4: Limit = limit(300.0, 600.0, (390.0, 470.0), "Concert pitch is 440.");
/// Centre to centre of the outer strings.
pub(crate) const SPREAD: Limit = limit(
    5.0,
    120.0,
    (18.0, 90.0),
    "Measure from the centre of the bass-most to the centre of the treble-most string.",
);
/// Centre to centre within a pair.
pub(crate) const PAIR: Limit = limit(
    0.8,
    8.0,
    (1.4, 4.5),
    "Measure from centre to centre of the two strings of a pair.",
);
/// Finger behind the fret crown.
pub(crate) const PRESS: Limit = limit(0.0, 15.0, (0.0, 12.0), "Write \"0 mm\" if you did not measure it.");
/// Outer diameter of a string.
pub(crate) const GAUGE: Limit = limit(
    0.12,
    4.0,
    (0.19, 2.8),
    "A gauge of 0.012 is in inches: write \"0.012 in\" or \"12 thou\".",
);
/// Core size of a wound string.
pub(crate) const CORE: Limit = limit(
    0.1,
    2.0,
    (0.2, 1.3),
    "Measure the bare core at the ball end or beyond the tuner.",
);
/// Grams per metre.
pub(crate) const LINEAR_DENSITY: Limit = limit(
    0.05,
    60.0,
    (0.2, 30.0),
    "Weigh a measured length: grams divided by metres.",
);
/// R = dln f / dln L. Published for a nylon set: 22.5 to 28.8 (J. Acoust. Soc. Am. 156(1), 683, 2024); steel runs to about 170.
pub(crate) const STRETCH_RESPONSE: Limit = limit(
    3.0,
    500.0,
    (12.0, 250.0),
    "Nylon strings have about 20 to 30, steel strings about 50 to 170.",
);
/// Open gap over fret 1. Makers' pages give 0.25 to 0.51 mm.
pub(crate) const FIRST_FRET_CLEARANCE: Limit = limit(
    0.0,
    2.5,
    (0.05, 1.1),
    "Read the gap between the crown of fret 1 and the underside of the open string with feelers.",
);
/// Gap over fret 1 with the string held at fret 3. Makers' pages give 0.05 to 0.30 mm.
pub(crate) const HELD_AT_3: Limit = limit(
    0.0,
    1.5,
    (0.0, 0.45),
    "Hold the string down at fret 3 and read the gap over the crown of fret 1 with feelers.",
);
/// Width of the board at the nut: from a mandolin's 28 mm to a classical guitar's 54 mm; 12-string and wider boards beyond.
pub(crate) const BOARD_WIDTH: Limit = limit(
    15.0,
    120.0,
    (26.0, 75.0),
    "Measure across the board just in front of the nut.",
);
/// Margin at the nut. Pages give 3.0 to 3.5 mm on guitars, 1.6 mm on a mandolin.
pub(crate) const MARGIN: Limit = limit(
    0.0,
    15.0,
    (1.3, 6.0),
    "It is from the edge of the board to the outer string; say with margin_to whether to its centre or its side.",
);
/// Height of a fret over the board. A new one is about 0.9 mm high.
pub(crate) const FRET_HEIGHT: Limit = limit(
    0.2,
    2.5,
    (0.5, 1.7),
    "Lay a straightedge over frets 1 and 2 and find the feelers that fill the gap to the board between them.",
);
/// From the board's surface down to the nut's seat.
pub(crate) const NUT_SEAT: Limit = limit(
    0.0,
    12.0,
    (1.0, 8.0),
    "Measure with a depth rod from the board's surface on the centre line down to where the nut stands.",
);
/// Thickness of a nut blank. 3.2 to 6.4 mm are common.
pub(crate) const NUT_THICKNESS: Limit = limit(
    1.5,
    15.0,
    (2.8, 8.0),
    "Measure the blank with a caliper, front to back.",
);
/// Height of a raw nut blank.
pub(crate) const NUT_HEIGHT: Limit = limit(
    2.0,
    30.0,
    (4.0, 14.0),
    "Measure the blank from its bottom to its raw top.",
);
/// Angle of the headstock, degrees. 10 to 17 are common; some run level.
pub(crate) const HEADSTOCK: Limit = limit(
    0.0,
    45.0,
    (0.0, 20.0),
    "It is how far the headstock falls back from the fret plane; 0 where it runs level.",
);
/// Fall of the slot floors, degrees.
pub(crate) const SLOT_FALL: Limit = limit(
    0.0,
    45.0,
    (1.0, 15.0),
    "It is how steeply the slot floors fall toward the tuners, against the fret plane.",
);
/// From fret 0 back to a post.
pub(crate) const POST_BACK: Limit = limit(
    10.0,
    300.0,
    (20.0, 220.0),
    "Measure from the front of the nut along the middle of the headstock.",
);
/// From the centre line across to a post.
pub(crate) const POST_ACROSS: Limit = limit(
    -80.0,
    80.0,
    (-45.0, 45.0),
    "Negative on the bass side of the centre line, positive on the treble side.",
);
/// From the fret plane down to where a string leaves its post.
pub(crate) const POST_BELOW: Limit = limit(
    -5.0,
    60.0,
    (1.0, 40.0),
    "Lay a straightedge on the frets, out over the headstock, and measure down to where the string leaves the post.",
);
/// Slot width over the gauge. Pages give 0.03 to 0.13 mm.
pub(crate) const ALLOWANCE: Limit = limit(
    0.0,
    0.6,
    (0.02, 0.2),
    "It is how much wider the slot is than the string; 0.05 mm for plain and 0.08 mm for wound strings are the defaults.",
);
/// Share of each string above the top.
pub(crate) const SHOWS: Limit = limit(
    -1.0,
    0.9,
    (0.0, 0.7),
    "0.5: half of each string shows; 0: it lies level with the top.",
);
/// Depth left to the final stroke.
pub(crate) const PROUD: Limit = limit(
    0.0,
    0.6,
    (0.0, 0.25),
    "It is what is left above the floor until the string has bedded in; 0.05 mm is the default.",
);
/// Nut contact behind fret 0. Moved forward by up to 2.5 mm on makers' pages.
pub(crate) const NUT_SETBACK: Limit = limit(
    -15.0,
    8.0,
    (-5.0, 3.0),
    "Negative is toward the bridge. Compare nut to fret 12 with fret 12 to the octave's place.",
);
/// Action at fret 12: 1.3 mm (mandolin) to 5 mm (nylon); read as high as 6 mm on a ukulele.
pub(crate) const ACTION_12: Limit = limit(
    0.2,
    15.0,
    (0.8, 6.0),
    "It is the gap between the crown of fret 12 and the underside of the open string.",
);
/// Target action over which a saddle for steel strings is doubtful.
pub(crate) const STEEL_ACTION_USUAL: f64 = 4.0;
/// Cents read at fret 12.
pub(crate) const CENTS_12: Limit = limit(
    -100.0,
    100.0,
    (-30.0, 30.0),
    "It is the fretted note at 12 against the open string's octave, in cents, sharp positive.",
);
/// Saddle setback of one string.
pub(crate) const OFFSETS: Limit = limit(
    -15.0,
    30.0,
    (-1.0, 10.0),
    "It is how far the contact lies beyond the scale length.",
);
/// Reading along the string from fret 12 to the saddle, before it is compared with the scale length.
pub(crate) const FROM_FRET_12: Limit = limit(
    60.0,
    650.0,
    (60.0, 650.0),
    "Measure along the string from the middle of fret 12's crown.",
);
/// How far the front of the slot, the present contact or a reference contact may lie from the scale length.
pub(crate) const SETBACK_REACH: Limit = limit(
    -8.0,
    25.0,
    (-5.0, 9.0),
    "Look at the unit, at the scale length (was nut to fret 12 written for it?) and at the reading from fret 12.",
);
/// Bridge top against the straightedge.
pub(crate) const BRIDGE_TOP: Limit = limit(
    -15.0,
    15.0,
    (-6.0, 7.0),
    "Positive where the bridge top stands above the straightedge laid on frets 1 and the joint fret, negative below.",
);
/// Depth of the slot.
pub(crate) const SLOT_DEPTH: Limit = limit(0.5, 20.0, (2.0, 11.0), "Measure down the front wall with a depth rod.");
/// Lean of the front wall, degrees. Slots are cut up to about 8 degrees either way; a worn one or a split bridge leans more.
pub(crate) const LEAN: Limit = limit(
    -45.0,
    45.0,
    (-2.0, 15.0),
    "Positive leans toward the nut, as most do that lean; negative leans back. Read it with a bevel or as offset over height; look whether the slot is worn or the bridge split.",
);
/// Width of the slot: 2.4 and 3.2 mm are common, 5 mm and more are cut.
pub(crate) const SLOT_WIDTH: Limit = limit(
    1.0,
    15.0,
    (1.8, 7.0),
    "Measure with caliper jaws at both ends and the middle.",
);
/// Length of a slot, or of a blank.
pub(crate) const LENGTH: Limit = limit(15.0, 250.0, (25.0, 160.0), "Measure along the slot from end to end.");
/// Shim or pickup under the saddle.
pub(crate) const UNDER: Limit = limit(
    0.0,
    6.0,
    (0.0, 3.0),
    "Measure what lies under the saddle, or write \"0 mm\".",
);
/// What tension adds to the bridge top.
pub(crate) const TENSION_BRIDGE_TOP: Limit = limit(
    -3.0,
    5.0,
    (-0.3, 2.0),
    "It is by how much the bridge top rises against the straightedge from slack to pitch.",
);
/// What tension adds to the lean, degrees. One to two degrees of bridge rotation is common.
pub(crate) const TENSION_LEAN: Limit = limit(
    -5.0,
    10.0,
    (-0.5, 4.0),
    "It is by how much the bridge tips toward the nut from slack to pitch.",
);
/// Caliper height of a reference saddle at its contact.
pub(crate) const REFERENCE_HEIGHT: Limit = limit(
    2.0,
    40.0,
    (4.0, 20.0),
    "Measure the reference saddle with a caliper from bottom edge to ridge.",
);
/// Contact of a reference saddle back from its front face.
pub(crate) const REFERENCE_BACK: Limit = limit(
    0.0,
    15.0,
    (0.0, 6.0),
    "Measure from the front face of the reference saddle to its ridge.",
);
/// From the slot's front edge back to where the strings leave the bridge. Pins often stand 9.5 mm behind the slot.
pub(crate) const BEHIND_SLOT: Limit = limit(
    2.0,
    80.0,
    (5.0, 35.0),
    "Measure from the front edge of the slot back to the front of the hole.",
);
/// Height of that place over the bridge top.
pub(crate) const ABOVE_BRIDGE_TOP: Limit = limit(
    -12.0,
    12.0,
    (-6.0, 5.0),
    "Positive above the bridge top, negative below.",
);
/// Thickness of the blank.
pub(crate) const BLANK_THICKNESS: Limit = limit(
    1.0,
    12.0,
    (1.8, 7.0),
    "Measure the blank with a caliper; do not trust its name.",
);
/// Height of the raw blank.
pub(crate) const BLANK_HEIGHT: Limit = limit(3.0, 40.0, (5.0, 22.0), "Measure the blank from bottom edge to raw top.");
/// Bass end of the blank to the bass string.
pub(crate) const BASS_END: Limit = limit(
    0.0,
    100.0,
    (2.0, 60.0),
    "Measure from the bass end of the blank to the bass string.",
);
/// Land.
pub(crate) const LAND: Limit = limit(
    0.0,
    5.0,
    (0.2, 2.0),
    "It is the least material left between ridge and a face; 0.5 mm is the default.",
);
/// Radius of the rounding along the ridge.
pub(crate) const ROUNDING: Limit = limit(
    0.0,
    5.0,
    (0.1, 2.0),
    "It is the radius of the rounding along the ridge; 0.5 mm is the default.",
);
/// Fall of the top, degrees.
pub(crate) const FALL: Limit = limit(
    -20.0,
    70.0,
    (0.0, 45.0),
    "It is how steeply the top falls away from the ridge, measured in the blank; leave it out to let the plan choose.",
);
/// Factor on a string's stretch stiffness: the range in which a pitch reading is believed.
pub(crate) const STRETCH_FACTOR: Limit = limit(
    0.3,
    3.0,
    (0.5, 2.0),
    "It is what the fit after stringing up found; 1 leaves the string as it is described.",
);
/// Fall of a facet toward the front, degrees.
pub(crate) const FACET_FALL: Limit = limit(
    -45.0,
    70.0,
    (-20.0, 45.0),
    "It is how steeply the facet falls toward the front face, measured in the blank; negative where it falls back.",
);
/// Radius of a rounded crown.
pub(crate) const CROWN_RADIUS: Limit = limit(
    0.05,
    200.0,
    (0.2, 30.0),
    "It is the radius of the rounded crown from front to back.",
);
/// Present contact back from the front face.
pub(crate) const CONTACT_BACK: Limit = limit(
    0.0,
    12.0,
    (0.0, 7.0),
    "Measure from the front face of the saddle to where the string rests.",
);
/// Fret of a pitch reading besides fret 12.
pub(crate) const CENTS_FRET: Limit = limit(1.0, 11.0, (1.0, 11.0), "Give a fret from 1 to 11; fret 12 is cents_12.");
/// Band of action that counts as good.
pub(crate) const BAND_ACTION: Limit = limit(
    0.005,
    2.0,
    (0.03, 0.5),
    "It is how far the action at fret 12 may lie from the target and still be good; 0.1 mm is the default.",
);
/// Band of pitch that counts as good.
pub(crate) const BAND_CENTS: Limit = limit(
    0.1,
    50.0,
    (0.5, 10.0),
    "It is how far fret 12 may lie from the plan and still be good; 3 cents is the default.",
);
/// Confidence of the height to leave proud, no unit.
pub(crate) const CONFIDENCE: Limit = limit(
    *tolerance::CONFIDENCE.start(),
    *tolerance::CONFIDENCE.end(),
    (0.8, 0.999),
    "Write 0.95 for 95 in 100; that is the default.",
);
/// Instruments that are tried.
pub(crate) const SAMPLES: Limit = limit(
    tolerance::LEAST_SAMPLES as f64,
    tolerance::MOST_SAMPLES as f64,
    (1000.0, 2_000_000.0),
    "It is how many instruments are tried; 20000 is the default.",
);
/// Seed of the random numbers.
pub(crate) const SEED: Limit = limit(
    0.0,
    u32::MAX as f64,
    (0.0, u32::MAX as f64),
    "Any whole number from 0 up; the same one gives the same result.",
);
/// Standard uncertainty of a height or a thickness.
pub(crate) const UNSURE_HEIGHT: Limit = limit(
    0.0,
    2.0,
    (0.0, 0.4),
    "Two readings in three lie within it. A feeler or a caliper is sure to about 0.02 mm, a rule to about 0.1 mm; 0 leaves it out.",
);
/// Standard uncertainty of a length along the string or across the blank.
pub(crate) const UNSURE_PLACE: Limit = limit(
    0.0,
    5.0,
    (0.0, 1.0),
    "Two readings in three lie within it. A rule is sure to about 0.3 mm; 0 leaves it out.",
);
/// Standard uncertainty as a share.
pub(crate) const UNSURE_SHARE: Limit = limit(
    0.0,
    0.6,
    (0.0, 0.35),
    "It is a share of the value: 0.05 is 5 in 100; 0 leaves it out.",
);
/// Standard uncertainty of the lean, degrees. By eye about 1 degree.
pub(crate) const UNSURE_LEAN: Limit = limit(
    0.0,
    10.0,
    (0.0, 3.0),
    "Two readings in three lie within it. By eye it is about 1 degree, by a gauge less; 0 leaves it out.",
);
/// Correlation of readings taken with one tool.
pub(crate) const CORRELATION: Limit = limit(
    0.0,
    1.0,
    (0.0, 1.0),
    "0: each reading errs by itself; 1: all err alike; 0.5 is the default.",
);
/// Length of a ramp from a hole toward the saddle.
pub(crate) const RAMP_LENGTH: Limit = limit(
    0.0,
    20.0,
    (0.0, 10.0),
    "Measure from the front of the hole forward to where the ramp meets the bridge top.",
);
/// Depth of that ramp at the hole.
pub(crate) const RAMP_DEPTH: Limit = limit(
    0.0,
    10.0,
    (0.0, 5.0),
    "Measure down from the bridge top at the front of the hole.",
);
/// Thickness of a bridge. Published for steel strings: 6.4 to 7.9 mm.
pub(crate) const BRIDGE_THICKNESS: Limit = limit(
    2.0,
    30.0,
    (4.0, 13.0),
    "Depth rod over the edge of the bridge, beside the slot.",
);
/// Wood under the slot.
pub(crate) const WOOD_UNDER: Limit = limit(
    0.0,
    20.0,
    (0.5, 8.0),
    "Thickness of the bridge less the depth of the slot.",
);
/// Wood in front of the slot.
pub(crate) const FRONT_WALL: Limit = limit(
    0.5,
    60.0,
    (2.0, 25.0),
    "Measure on the bridge top from the slot's front edge forward to the front of the bridge.",
);
/// Height of a heel.
pub(crate) const HEEL_HEIGHT: Limit = limit(
    10.0,
    200.0,
    (40.0, 125.0),
    "Measure from the top edge of the body down to the lowest point of the heel.",
);
/// Fretboard with its frets over the body.
pub(crate) const BOARD_THICKNESS: Limit = limit(
    0.0,
    25.0,
    (3.0, 12.0),
    "Measure from the crowns of the frets at the body joint down to the top of the body.",
);
/// Number of the last fret.
pub(crate) const LAST_FRET: Limit = limit(5.0, 40.0, (12.0, 25.0), "Count the frets up to the end of the board.");
/// Relative humidity, per cent.
pub(crate) const HUMIDITY: Limit = limit(
    1.0,
    100.0,
    (15.0, 90.0),
    "Read the hygrometer where the instrument lay for a day: 45 is 45 %.",
);
/// A limit of exposure.
pub(crate) const EXPOSURE_LIMIT: Limit = limit(0.0, 20.0, (0.3, 10.0), "About 3.2 mm is usual.");
/// A limit given as a share.
pub(crate) const SHARE_LIMIT: Limit = limit(0.0, 1.0, (0.05, 1.0), "A half is 0.5.");
/// A limit of wood left standing.
pub(crate) const WOOD_LIMIT: Limit = limit(0.0, 20.0, (0.5, 10.0), "Common practice has 1.5 to 3 mm.");
/// A limit of clearance.
pub(crate) const CLEARANCE_LIMIT: Limit = limit(0.0, 2.0, (0.0, 0.5), "A blank slides in without play.");
/// A limit of break angle, degrees.
pub(crate) const BREAK_LIMIT: Limit = limit(0.0, 90.0, (3.0, 75.0), "About 12 degrees is the usual worry line.");
/// A limit of relief.
pub(crate) const RELIEF_LIMIT: Limit = limit(-2.0, 4.0, (-0.2, 1.0), "Published settings have 0 to 0.38 mm.");
/// A limit of cents.
pub(crate) const CENTS_LIMIT: Limit = limit(0.0, 50.0, (0.5, 15.0), "3 is the default.");
/// Tension of one string, N.
pub(crate) const TENSION: Limit = limit(
    5.0,
    400.0,
    (15.0, 220.0),
    "Look at the note and its octave, the gauge and its unit, the core and the scale length.",
);

/// Wanted spindle speed, rev/min.
pub(crate) const SPINDLE: Limit = limit(
    100.0,
    100_000.0,
    (2_000.0, 40_000.0),
    "It is in turns per minute, such as 12000.",
);
/// Height of the stock: the blank's and what it is held by.
pub(crate) const STOCK_HEIGHT: Limit = limit(3.0, 60.0, (5.0, 30.0), "Measure it from bottom edge to raw top.");
/// Length of the stock.
pub(crate) const STOCK_LENGTH: Limit = limit(15.0, 400.0, (25.0, 200.0), "Measure it from end to end.");
/// From the stock's bass end to the blank's.
pub(crate) const BASS_MARGIN: Limit = limit(0.0, 200.0, (0.0, 40.0), "Write \"0 mm\" where they are the same.");
/// Top of the jaws over the seat.
pub(crate) const JAW_HEIGHT: Limit = limit(
    0.5,
    60.0,
    (2.0, 20.0),
    "Measure from the parallel's top, on which the blank stands, to the jaws' top.",
);
/// Thickness of one jaw.
pub(crate) const JAW_THICKNESS: Limit = limit(1.0, 100.0, (5.0, 40.0), "Measure one jaw across the blank.");
/// Place along X of a jaw's end.
pub(crate) const JAW_X: Limit = limit(-300.0, 600.0, (-150.0, 300.0), "It counts from the stock's end at X 0.");
/// Tabs in the outline.
pub(crate) const TABS: Limit = limit(0.0, 20.0, (0.0, 6.0), "Write 0 for a skin of the height tab_height.");
/// Length of a tab.
pub(crate) const TAB_LENGTH: Limit = limit(0.5, 30.0, (2.0, 10.0), "3 to 5 mm is usual.");
/// Height of a tab or skin.
pub(crate) const TAB_HEIGHT: Limit = limit(0.05, 6.0, (0.15, 2.0), "0.2 mm as a skin, 0.6 mm as tabs.");
/// Left on by roughing.
pub(crate) const ROUGH_ALLOWANCE: Limit = limit(0.0, 2.0, (0.05, 0.5), "0.1 to 0.2 mm is usual.");
/// Highest ridge between finishing passes.
pub(crate) const SCALLOP: Limit = limit(
    0.0005,
    0.1,
    (0.001, 0.02),
    "0.005 mm is the default; a file takes off the rest.",
);
/// Left above the floors of a nut's slots by grooves.
pub(crate) const SLOT_LEAVE: Limit = limit(
    0.0,
    2.0,
    (0.05, 0.5),
    "0.1 mm is the default; a gauged file takes the rest.",
);
/// Height of rapid moves over everything.
pub(crate) const CUT_CLEARANCE: Limit = limit(0.5, 50.0, (2.0, 20.0), "5 mm is the default.");
/// Distance inward from a blank's end.
pub(crate) const WING_INWARD: Limit = limit(0.0, 60.0, (0.0, 30.0), "It counts inward from the blank's end.");
/// Height of a bridge's wing over the seat.
pub(crate) const WING_HEIGHT: Limit = limit(0.5, 40.0, (2.0, 15.0), "It counts up from the slot's floor.");

/// Core of a wound string as a share of its gauge.
pub(crate) const CORE_SHARE: (f64, f64) = (0.25, 0.75);
/// Least length of blank beyond an outer string without a warning, mm.
pub(crate) const END_MARGIN: f64 = 2.0;
/// A drop-in blank shorter than its slot by more than this shows a gap, mm.
pub(crate) const SHORT_IN_SLOT: f64 = 1.0;
/// A through blank shorter than its slot by more than this lies inside the bridge, mm: a caliper reads no finer.
pub(crate) const SHORT_THROUGH: f64 = 0.02;
/// Exposure taken for the front face when only the edge of the slot is known, mm. About 3.2 is a usual exposure.
pub(crate) const USUAL_EXPOSURE: f64 = 3.0;
/// A slot skewed by more than this is doubtful, degrees. Slants of 2.5 degrees are usual.
pub(crate) const USUAL_SKEW: f64 = 8.0;
/// The treble end of a slot may lie this far behind the bass end without a warning, mm.
pub(crate) const TREBLE_BEHIND: f64 = 0.8;
