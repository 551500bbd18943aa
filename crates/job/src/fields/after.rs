//! `[filing]` and `[strung]`: the crown before the file touches it, and readings after stringing up.

use super::build::*;
use super::shared::*;
use super::when::{FACET, ROUNDED};

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("filing.crown", &[("planned", "as the plan has it"), ("flat", "a square flat top"), ("facet", "one plane"), ("rounded", "a radius front to back")])
        .value("`\"planned\"`, `\"flat\"` (square flat top), `\"facet\"` (one plane) or `\"rounded\"`; one for all, or a list bass to treble").otherwise("planned").all_or_each()
        .set(At::Crown, "Crown", "As it is now.").when(SADDLE_MADE),
    angle("filing.fall").from(-45.0, 70.0).usual(-20.0, 45.0).hint("It is how steeply the facet falls toward the front face, measured in the blank; negative where it falls back.").sparse()
        .value("angle; required where a crown is a facet").page("how steeply it falls toward the front, in the blank; negative where it falls back")
        .set(At::Crown, "Fall of the facet", "Degrees toward the front, in the blank; minus where it falls back.").when(FACET),
    length("filing.radius", RadiusGauge).from(0.05, 200.0).usual(0.2, 30.0).hint("It is the radius of the rounded crown from front to back.").sparse()
        .value("length; required where a crown is rounded").page("radius gauge over the crown, front to back")
        .set(At::Crown, "Radius of the crown", "Radius gauge over the crown, front to back.").when(ROUNDED),
    length("filing.contact_back", Rule).from(0.0, 12.0).usual(0.0, 7.0).hint("Measure from the front face of the saddle to where the string rests.").sparse()
        .page("front face to where the string rests").otherwise("the planned contact, on a flat top its highest edge")
        .set(At::Crown, "Contact as it stands", "Rule, front face to where the string rests.").when(SADDLE_MADE),
    length("filing.action_12", Rule).is(ACTION_12).sparse().page("the action as it stands").otherwise("the target")
        .set(At::Crown, "Action as it stands", "At fret 12. Left empty: what is wished.").when(SADDLE_MADE),
    length("filing.floor_12", Rule).is(ACTION_12).sparse()
        .page("action that must not be gone under; `fit` leaves a low string that stands over it").otherwise("the target less `tolerance.action`")
        .set(At::Crown, "Action never to go under", "At fret 12. Left empty: what is wished less what counts as good.").when(SADDLE_MADE),
    field("filing.at_height", Kind::YesNo)
        .page("`true`: the saddle is at its height and can no longer be left proud").default("no")
        .set(At::Crown, "At its height", "Yes: it can no longer be left proud.").when(SADDLE_MADE),
    field("strung.with", Kind::Other)
        .value("name of a tool, or a list of names").page("what was read with; each reads what it can, the first named before the others")
        .otherwise("the tool that is usual for each reading, which is as sure as `[uncertainty]` says"),
    length("strung.action_12", Rule).is(ACTION_12).listed()
        .value("length; required, for the outer strings at least").page("as in `[present]`"),
    length("strung.first_fret_clearance", Feeler).is(FIRST_FRET_CLEARANCE).listed()
        .page("feeler over the crown of fret 1, string open"),
    cents("strung.cents_12").is(CENTS_12).listed()
        .page("tuner: fretted note at 12 against the open string's octave, sharp positive"),
    number("strung.humidity", "per cent").from(1.0, 100.0).usual(15.0, 90.0).hint("Read the hygrometer where the instrument lay when it was read: 45 is 45 %.")
        .page("relative humidity where the instrument lay when it was read again; the owner's sheet after the work has it").otherwise("not known"),
    field("strung.cents_at", Kind::Other)
        .value("list of tables").page("the same at other frets, to see whether a reading can be believed"),
    whole("strung.cents_at:fret").from(1.0, 11.0).hint("Give a fret from 1 to 11; fret 12 is cents_12.").needed()
        .value("1 to 11").page("the fret"),
    cents("strung.cents_at:cents").is(CENTS_12).listed().needed().page("against that fret's note over the open string"),
];
