//! `[neck]` and `[assess]`: what is asked of the whole instrument, and limits of the job's own.

use super::build::*;
use super::shared::*;
use super::when::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    length("neck.heel_height", Rule).from(10.0, 200.0).usual(40.0, 125.0).hint("Measure from the top edge of the body down to the lowest point of the heel.")
        .page("from the top edge of the body down to the lowest point of the heel; gives the wood to take off in a neck set")
        .ask(At::Remedy, "Height of the heel", "Rule, top edge of the body down to the lowest point of the heel. To 1 mm.").when(ASSESSED).optional(),
    length("neck.board_thickness", DepthRod).from(0.0, 25.0).usual(3.0, 12.0).hint("Measure from the crowns of the frets at the body joint down to the top of the body.")
        .page("from the crowns of the frets at the body joint down to the top of the body").default("7 mm")
        .set(At::Limits, "Fretboard at the body", "Crowns of the frets at the joint down to the top of the body."),
    whole("neck.last_fret").from(5.0, 40.0).usual(12.0, 25.0).hint("Count the frets up to the end of the board.")
        .page("the last fret on the board; gives the wedge under its end")
        .ask(At::Remedy, "Last fret on the board", "Count the frets up to the end of the board.").when(ASSESSED).optional(),
    number("assess.humidity", "per cent").from(1.0, 100.0).usual(15.0, 90.0).hint("Read the hygrometer where the instrument lay for a day: 45 is 45 %.")
        .page("relative humidity where the instrument lay before it was read").otherwise("not known")
        .ask(At::Remedy, "Humidity, per cent", "Hygrometer where the instrument lay for a day: 45 is 45 %.").when(ASSESSED).optional(),
    number("assess.least_humidity", "per cent").from(1.0, 99.0).usual(20.0, 50.0).hint("It is the driest air that leaves a reading of the instrument as it is.")
        .page("air drier than this moves the neck: humidity first").default("40")
        .set(At::Limits, "Driest air", "Per cent; drier air moves the neck: humidity first."),
    number("assess.most_humidity", "per cent").from(2.0, 100.0).usual(45.0, 75.0).hint("It is the dampest air that leaves a reading of the instrument as it is.")
        .page("air damper than this swells the top: humidity first").default("55")
        .set(At::Limits, "Dampest air", "Per cent; damper air swells the top: humidity first."),
    field("assess.accept", Kind::Several(&[("front wall", "more pressure than the wood bears"), ("slot", "too little of the saddle in the slot")]))
        .value("list of what is accepted although it is unsafe: `\"front wall\"` (more pressure than the wood bears), `\"slot\"` (too little of the saddle in the slot)").otherwise("`[]`")
        .set(At::Limits, "Accepted although unsafe", "Say it only where you stand for it."),
    length("assess.wanted_exposure", Caliper).is(EXPOSURE_LIMIT).page("mean exposure that a neck set aims at").default("3.2 mm")
        .set(At::Limits, "Exposure wanted", "Saddle over the bridge, mean, that a neck set aims at."),
    length("assess.least_exposure", Caliper).is(EXPOSURE_LIMIT).value("length, under any string").default("1.6 mm")
        .set(At::Limits, "Least exposure", "Saddle over the bridge, under any string."),
    length("assess.most_exposure", Caliper).is(EXPOSURE_LIMIT).value("length, as the mean").default("4.8 mm")
        .set(At::Limits, "Most exposure", "Saddle over the bridge, as the mean."),
    number("assess.least_in_slot", "").is(SHARE_LIMIT)
        .value("share of the saddle's height that stands in the slot").default("0.5")
        .set(At::Limits, "Least in the slot", "Share of the saddle's height that stands in the slot."),
    length("assess.least_wood_under", Caliper).is(WOOD_LIMIT).value("length, under the slot").default("1.5 mm")
        .set(At::Limits, "Least wood under the slot", "Between the slot's floor and the bridge's underside."),
    length("assess.most_clearance", Caliper).from(0.0, 2.0).usual(0.0, 0.5).hint("A blank slides in without play.")
        .page("play of the blank in the slot").default("0.15 mm")
        .set(At::Limits, "Most play in the slot", "Of the blank, front to back."),
    angle("assess.least_break_angle").is(BREAK_LIMIT).default("12 deg")
        .set(At::Limits, "Least break angle", "Degrees, string over the saddle."),
    angle("assess.most_break_angle").is(BREAK_LIMIT).default("45 deg")
        .set(At::Limits, "Most break angle", "Degrees, string over the saddle."),
    length("assess.least_relief", Caliper).is(RELIEF_LIMIT).value("length at mid-span").default("0 mm")
        .set(At::Limits, "Least relief", "At mid-span."),
    length("assess.most_relief", Caliper).is(RELIEF_LIMIT).value("length at mid-span").default("0.38 mm")
        .set(At::Limits, "Most relief", "At mid-span."),
    length("assess.least_first_fret", Caliper).is(FIRST_FRET_CLEARANCE).page("open gap over fret 1").default("0.1 mm")
        .set(At::Limits, "Least gap over fret 1", "String open."),
    length("assess.most_first_fret", Caliper).is(FIRST_FRET_CLEARANCE)
        .page("open gap over fret 1").otherwise("0.65 mm; nylon and gut 0.9 mm")
        .set(At::Limits, "Most gap over fret 1", "String open. Left empty: 0.65 mm, nylon and gut 0.9 mm."),
    cents("assess.most_cents").from(0.0, 50.0).usual(0.5, 15.0).hint("3 is the default.")
        .value("cents at fret 12 that the slot may leave").default("3")
        .set(At::Limits, "Cents that the slot may leave", "At fret 12."),
    number("assess.most_pressure", "").is(SHARE_LIMIT).value("share of the wood's compression across the grain").default("0.5")
        .set(At::Limits, "Most pressure on the wood", "Share of what it bears across the grain."),
    length("assess.least_front_wall", Caliper).is(WOOD_LIMIT).page("wood in front of the slot").default("3 mm")
        .set(At::Limits, "Least wood before the slot", "Front wall of the slot."),
    length("assess.least_to_holes", Caliper).is(WOOD_LIMIT).page("wood between slot and holes").default("3 mm")
        .set(At::Limits, "Least wood to the holes", "Between slot and holes."),
];
