//! The tables of the job file, in the order in which it has them, and the tables within values.

use super::build::*;
use super::shared::*;

/// The tables at the top of the file.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    field("instrument", Kind::Table), field("strings", Kind::Table), field("string", Kind::Table), field("nut", Kind::Table),
    field("nut_blank", Kind::Table), field("present", Kind::Table), field("target", Kind::Table), field("slot", Kind::Table),
    field("bridge", Kind::Table), field("blank", Kind::Table), field("crown", Kind::Table), field("filing", Kind::Table),
    field("strung", Kind::Table), field("readings", Kind::Table), field("doubt", Kind::Table), field("assumed", Kind::Table), field("tolerance", Kind::Table), field("uncertainty", Kind::Table), field("neck", Kind::Table),
    field("assess", Kind::Table), field("cut", Kind::Table), field("nut_cut", Kind::Table), field("saddle", Kind::Table),
    field("also", Kind::Table), field("book", Kind::Table),
];

/// The keys of `[[saddle]]`: one of several saddles, with what of the common tables is its own.
#[rustfmt::skip]
pub(super) const SADDLES: &[Field] = &[
    field("saddle.name", Kind::Text).needed().value("one word of letters and digits, such as `\"bass\"`; not `saddle`, `nut` or `both`").page("what pages, sheets, files and `--part` call it")
        .ask(At::Unasked, "Name", "One word: pages, sheets and files call it so."),
    field("saddle.strings", Kind::Other).needed().value("list of string numbers, such as `[6, 5, 4, 3]`").page("the strings it carries, which are neighbours; every string is carried by one saddle")
        .ask(At::Unasked, "Strings that it carries", "Their numbers, neighbours, such as 6 5 4 3. Every string is on one saddle."),
    field("saddle.slot", Kind::Table).value("table with keys of `[slot]`").page("its own slot").otherwise("each key as in `[slot]`"),
    field("saddle.bridge", Kind::Table).value("table with keys of `[bridge]`").page("the bridge around it").otherwise("each key as in `[bridge]`"),
    field("saddle.blank", Kind::Table).value("table with keys of `[blank]`").page("its own blank").otherwise("each key as in `[blank]`"),
    field("saddle.crown", Kind::Table).value("table with keys of `[crown]`").page("its own crown").otherwise("each key as in `[crown]`"),
    field("saddle.filing", Kind::Table).value("table with keys of `[filing]`").page("its crown as it stands; lists run over its own strings").otherwise("`[filing]` as a whole, whose lists run over all strings"),
    field("saddle.cut", Kind::Table).value("table with keys of `[cut]`").page("how it is cut").otherwise("each key as in `[cut]`"),
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
    length("sure_to.length", Fine).from(0.001, 5.0).usual(0.003, 1.0).hint("Two readings in three lie within it. A feeler or a caliper is sure to about {0.02 mm}, a rule to about {0.1 mm}."),
    angle("sure_to.angle").from(0.01, 10.0).usual(0.05, 3.0).hint("Two readings in three lie within it. By eye it is about 1 degree, by a gauge less."),
    cents("sure_to.cents").from(0.05, 50.0).usual(0.2, 10.0).hint("A tuner's fretted note against a harmonic is sure to about 3 cents, a recording to 1."),
    number("sure_to.share", "").from(0.001, 0.6).usual(0.005, 0.35).hint("It is a share of what is read: 0.05 is 5 in 100."),
    whole("strung_file.format").needed(), choice("strung_file.unit", &[("mm", ""), ("in", ""), ("thou", "")]), choice("strung_file.decimal", &[(".", ""), (",", "")]), field("strung_file.strung", Kind::Table).needed(),
];
