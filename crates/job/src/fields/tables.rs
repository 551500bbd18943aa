//! The tables of the job file, in the order in which it has them, and the tables within values.

use super::build::*;
use super::shared::*;

/// The tables at the top of the file.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    field("instrument", Kind::Table), field("strings", Kind::Table), field("string", Kind::Table), field("nut", Kind::Table),
    field("nut_blank", Kind::Table), field("present", Kind::Table), field("target", Kind::Table), field("slot", Kind::Table),
    field("bridge", Kind::Table), field("blank", Kind::Table), field("crown", Kind::Table), field("filing", Kind::Table),
    field("strung", Kind::Table), field("tolerance", Kind::Table), field("uncertainty", Kind::Table), field("neck", Kind::Table),
    field("assess", Kind::Table), field("cut", Kind::Table), field("nut_cut", Kind::Table),
    field("also", Kind::Table),
];

/// Keys of values that many fields have: both ends, and an uncertainty with its correlation. Their own reader knows their range.
#[rustfmt::skip]
pub(super) const WITHIN: &[Field] = &[
    field("ends.bass", Kind::Other).needed().value("as the field's").page("the value at the bass-most string"),
    field("ends.treble", Kind::Other).needed().value("as the field's").page("the value at the treble-most string"),
    length("paired.total", Fine).is(UNSURE_PLACE).needed().page("uncertainty of one reading"),
    number("paired.correlation", "").from(0.0, 1.0).hint("0: each reading errs by itself; 1: all err alike; 0.5 is the default.")
        .page("0 (each errs by itself) to 1 (all err alike)").default("0.5"),
    length("wing.inward", Caliper).from(0.0, 60.0).usual(0.0, 30.0).hint("It counts inward from the blank's end."),
    length("wing.height", Caliper).from(0.5, 40.0).usual(2.0, 15.0).hint("It counts up from the slot's floor."),
    whole("readings.format").needed(), choice("readings.unit", &[("mm", ""), ("in", ""), ("thou", "")]), choice("readings.decimal", &[(".", ""), (",", "")]), field("readings.strung", Kind::Table).needed(),
];
