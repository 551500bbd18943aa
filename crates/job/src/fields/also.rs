//! `[[also]]`: other tunings and other sets that the same contacts shall serve.

use super::build::*;
use super::shared::*;

/// None of them is asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    field("also.tuning", Kind::Notes)
        .value("list of note names, bass to treble; required unless `set` is given").page("the strings of the job, tuned otherwise").otherwise("that of `[strings]`")
        .ask(At::Unasked, "Tuning, bass to treble", "Such as D2 A2 D3 G3 A3 D4. Left empty: that of the job."),
    name("also.set", Sets).page("other strings, of as many; what `[[string]]` says is not laid over them").otherwise("the strings of the job")
        .ask(At::Unasked, "String set", "Other strings on the same saddle."),
    number("also.weight", "").is(WEIGHT).default("1").value("number").page("weight of its errors beside those of the main tuning, which have 1")
        .ask(At::Unasked, "Weight", "Of its errors; those of the job's own tuning have 1. 0 only shows what becomes of it. Left empty: 1."),
    field("also.name", Kind::Text)
        .value("one line of text, at most 40 characters").page("for tables").otherwise("the set's name, or its place in the file, `tuning 2` for the first")
        .ask(At::Unasked, "Name", "For the tables. Left empty: the set's, or its number."),
];
