//! `[[readings]]` and `[doubt]`: what is read besides the survey, and what of the survey is not believed.

use super::build::*;
use super::shared::*;

/// A stiff string's B. Steel strings of two recorded guitars have 1.6e-5 to 1.0e-4; short and thick plain ones more (derived here).
#[rustfmt::skip]
const INHARMONICITY: Range = range(1e-6, 0.02).usual(3e-6, 2e-3).hint("It is B, by which partial n stands at n f sqrt(1 + B n^2): steel strings have about 0.00002 to 0.0001.");

const DOUBT_STRINGS: &str = "`true`, `\"bass\"`, `\"treble\"`, or a list of string numbers";
const DOUBT_ENDS: &str = "`true`, `\"bass\"` or `\"treble\"`";
const DOUBT_WHOLE: &str = "`true`";

/// A key of `[doubt]`, which names a reading of the survey.
const fn doubt(key: &'static str, value: &'static str, reading: &'static str) -> Field {
    field(key, Kind::Other).value(value).page(reading)
}

/// Keys of `[[readings]]`.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    name("readings.with", Tools).page("what this round was read with").otherwise("the tool that is usual for each reading, which is as sure as `[uncertainty]` says")
        .ask(At::Unasked, "Read with", "The tool of this round; each kind of reading has a usual one."),
    whole("readings.visit").from(1.0, 9.0).hint("Number the sittings with the instrument from 1; the survey is of the first.")
        .value("1 to 9").page("one sitting with the instrument, in one climate").default("1")
        .ask(At::Unasked, "Sitting", "1 is that of the survey; number a later day, in other air, 2, 3 and so on. Left empty: 1."),
    field("readings.doubt", Kind::YesNo).page("`true` strikes the round out: it is kept and not counted").default("no")
        .ask(At::Unasked, "Struck out", "Yes: it is kept and does not count."),
    field("readings.sure_to", Kind::Other).value("length, angle, cents, or a share of what is read for radius and inharmonicity")
        .page("standard uncertainty of every reading of this round, which are then of one kind of unit").otherwise("the tool's")
        .ask(At::Unasked, "Sure to", "How sure each reading of this round is, with its unit: two in three lie within it. Left empty: as the tool is."),
    length("readings.nut_to_12", Rule).is(NUT_TO_12).hint("Measure from the front of the nut to the middle of fret 12's crown.")
        .page("as in `[instrument]`"),
    length("readings.relief", Feeler).is(RELIEF).value("length at mid-span, or a table").page("as in `[instrument]`"),
    length("readings.relief:gap", Feeler).is(RELIEF).needed().page("the gap read"),
    whole("readings.relief:fret").from(2.0, 35.0).hint("Give the number of the fret where the gap was read.").needed().page("the fret over which it was read"),
    length("readings.radius_at_nut", RadiusGauge).is(BOARD_RADIUS).page("radius of the board near the nut")
        .ask(At::Unasked, "Radius of the board at the nut", "Radius gauges near the nut."),
    length("readings.radius_at_12", RadiusGauge).is(BOARD_RADIUS).page("radius of the board at fret 12")
        .ask(At::Unasked, "Radius of the board at fret 12", "Radius gauges at fret 12."),
    length("readings.first_fret_clearance", Feeler).is(FIRST_FRET_CLEARANCE).listed().value("strings, length").page("feeler over the crown of fret 1, string open"),
    length("readings.held_at_3", Feeler).is(HELD_AT_3).listed().value("strings, length").page("string held down at fret 3, feeler over fret 1"),
    length("readings.zero_fret_above", Feeler).is(ZERO_FRET_ABOVE).listed().value("strings, length").page("as in `[nut]`, with a zero fret only"),
    length("readings.action_12", Rule).is(ACTION_12).listed().value("strings, length").page("crown of fret 12 to the underside of the open string"),
    field("readings.action_at", Kind::Other).value("list of tables").page("the same at other frets")
        .ask(At::Unasked, "Action at another fret", "Crown of that fret to the underside of the open string."),
    whole("readings.action_at:fret").from(2.0, 24.0).hint("Give a fret from 2 to 24; fret 1 is first_fret_clearance, fret 12 action_12.").needed()
        .value("2 to 24, not 12").page("the fret"),
    length("readings.action_at:action", Rule).is(ACTION_AT).listed().needed().value("strings, length").page("gap of the open string over its crown"),
    length("readings.edge_from_fret_12", Rule).is(FROM_FRET_12).ends().page("as in `[slot]`"),
    length("readings.bridge_top", Feeler).is(BRIDGE_TOP).ends()
        .page("as in `[slot]`, above the straightedge's line (+) or below it (-)"),
    length("readings.depth", DepthRod).is(SLOT_DEPTH).ends().page("as in `[slot]`"),
    angle("readings.lean").is(LEAN).page("as in `[slot]`"),
    length("readings.contact_from_fret_12", Rule).is(FROM_FRET_12).listed().value("strings, length").page("rule along the string: middle of fret 12's crown to the present contact"),
    length("readings.saddle_height", Caliper).is(SADDLE_HEIGHT).hint("Measure the present saddle with a caliper from bottom edge to ridge.").listed().value("strings, length").page("caliper on the present saddle at the contact, bottom edge to ridge"),
    length("readings.saddle_back", Caliper).is(SADDLE_BACK).hint("Measure from the front face of the present saddle to its ridge.").listed()
        .value("strings, length").page("caliper on it: front face to ridge at the contact"),
    length("readings.exposure", DepthRod).is(EXPOSURE).listed().value("strings, length").page("up its front face, from the bridge top to the ridge"),
    length("readings.over_bridge", Caliper).is(OVER_BRIDGE).listed().value("strings, length").page("from the bridge top at the slot's front edge square up to the underside of the string"),
    cents("readings.cents_12").is(CENTS_12).listed().value("strings, cents").page("fretted note at 12 against the open string's octave, sharp positive")
        .ask(At::Unasked, "Cents at fret 12", "Tuner: fretted at 12 against the harmonic, sharp is +."),
    field("readings.cents_at", Kind::Other).value("list of tables").page("the same at other frets")
        .ask(At::Unasked, "Cents at another fret", "Tuner: that fret's note against the open string's, sharp is +."),
    whole("readings.cents_at:fret").from(1.0, 11.0).hint("Give a fret from 1 to 11; fret 12 is cents_12.").needed().value("1 to 11").page("the fret"),
    cents("readings.cents_at:cents").is(CENTS_12).listed().needed().value("strings, cents").page("against that fret's note over the open string"),
    number("readings.inharmonicity", "").is(INHARMONICITY).listed().value("strings, number").page("B of the open string, from its partials: partial n stands at `n f sqrt(1 + B n^2)`")
        .ask(At::Unasked, "Stiffness B of the open string", "Best heard: “Listen to the strings” finds and keeps it."),
];

/// Keys of `[doubt]`.
#[rustfmt::skip]
pub(super) const DOUBT: &[Field] = &[
    doubt("doubt.nut_to_12", DOUBT_WHOLE, "`instrument.nut_to_12`"),
    doubt("doubt.relief", DOUBT_WHOLE, "`instrument.relief`"),
    doubt("doubt.board_radius", DOUBT_WHOLE, "`instrument.board_radius`, at both places"),
    doubt("doubt.first_fret_clearance", DOUBT_STRINGS, "`nut.first_fret_clearance`").listed(),
    doubt("doubt.held_at_3", DOUBT_STRINGS, "`nut.held_at_3`").listed(),
    doubt("doubt.zero_fret_above", DOUBT_STRINGS, "`nut.zero_fret_above`").listed(),
    doubt("doubt.action_12", DOUBT_STRINGS, "`present.action_12`").listed(),
    doubt("doubt.cents_12", DOUBT_STRINGS, "`present.cents_12`").listed(),
    doubt("doubt.contact_from_fret_12", DOUBT_STRINGS, "`present.contact_from_fret_12`").listed(),
    doubt("doubt.edge_from_fret_12", DOUBT_ENDS, "`slot.edge_from_fret_12`").ends(),
    doubt("doubt.bridge_top", DOUBT_ENDS, "`slot.bridge_top`").ends(),
    doubt("doubt.depth", DOUBT_ENDS, "`slot.depth`").ends(),
    doubt("doubt.lean", DOUBT_WHOLE, "`slot.lean`"),
    doubt("doubt.reference_contact", DOUBT_ENDS, "`slot.reference.contact_from_fret_12`").ends(),
    doubt("doubt.reference_height", DOUBT_ENDS, "`slot.reference.height`").ends(),
    doubt("doubt.reference_back", DOUBT_ENDS, "`slot.reference.back`").ends(),
];

/// Keys of `[assumed]`.
#[rustfmt::skip]
pub(super) const ASSUMED: &[Field] = &[
    doubt("assumed.relief", DOUBT_WHOLE, "`instrument.relief`").ask(At::Unasked, "Not read", "`instrument.relief` is what is usual, and counts no more than that."),
    doubt("assumed.board_radius", DOUBT_WHOLE, "`instrument.board_radius`, at both places").ask(At::Unasked, "Not read", "`instrument.board_radius` is what is usual, and counts no more than that."),
];
