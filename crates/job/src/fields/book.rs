//! `[book]`: what the bench's book has of a job. No geometry depends on it, and no program for a machine has it.

use super::build::*;

/// In the order in which they are asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    field("book.asked", Kind::Text).value("one line of text").page("what was asked for, in the customer's words; the owner's sheet has it").otherwise("none")
        .folded().ask(At::Book, "In the customer's words", "What was asked for, as it was said. The owner's sheet has it.").optional(),
    field("book.instrument", Kind::Text).value("one line of text").page("the instrument, as the book has it; the owner's sheet has it").otherwise("none")
        .folded().ask(At::Book, "Instrument", "Maker, model and year, as far as they are known. The owner's sheet has it.").optional(),
    field("book.serial", Kind::Text).value("text").page("its serial number; the owner's sheet has it").otherwise("none")
        .folded().ask(At::Book, "Serial number", "As it stands on the label or the headstock; none is one too.").optional(),
    field("book.came", Kind::Text).value("text, such as `\"3 May 2031\"`").page("the day on which it came").otherwise("none")
        .folded().ask(At::Book, "Came on", "The day on which it came, as you write it.").optional(),
    field("book.left", Kind::Text).value("text, such as `\"17 May 2031\"`").page("the day on which it was handed back").otherwise("none")
        .folded().ask(At::Book, "Handed back on", "The day on which it was handed back, as you write it.").optional(),
    number("book.humidity_in", "per cent").from(1.0, 100.0).usual(15.0, 90.0).hint("Read the hygrometer of the room: 45 is 45 %.")
        .page("relative humidity of the room when it came; `assess` takes it where `[assess]` has none").otherwise("not known")
        .folded().ask(At::Book, "Humidity when it came, per cent", "Hygrometer of the room: 45 is 45 %. It counts where no other was read.").optional(),
    number("book.humidity_out", "per cent").from(1.0, 100.0).usual(15.0, 90.0).hint("Read the hygrometer of the room: 45 is 45 %.")
        .page("relative humidity of the room when it was handed back").otherwise("not known")
        .folded().ask(At::Book, "Humidity when it left, per cent", "Hygrometer of the room: 45 is 45 %. For the book alone.").optional(),
    field("book.photos", Kind::Text).value("names of files, with commas between them").page("where the photos are; they are not opened").otherwise("none")
        .folded().ask(At::Book, "Photos", "Names of the files, with commas between them. They are not opened.").optional(),
];
