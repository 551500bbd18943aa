//! Conditions that the rows share.

use super::row::When::{self, All, Any, Is};

/// The answer to "which set" that asks for every string instead.
pub const SPELLED_OUT: &str = "spelled out";
/// A saddle is to be made, with or without a nut.
pub const SADDLE_MADE: When = When::Any(&[When::Is("ask.part", "saddle"), When::Is("ask.part", "both")]);
/// A nut is to be made, with or without a saddle.
pub const NUT_MADE: When = When::Any(&[When::Is("ask.part", "nut"), When::Is("ask.part", "both")]);
/// A nut alone is to be made: the saddle stays.
pub const SADDLE_STAYS: When = When::Is("ask.part", "nut");

/// More is read than a plan needs, so that it is surer.
pub(super) const MORE: When = Is("ask.more", "yes");
/// The same of the saddle that comes out.
pub(super) const MORE_OF_SADDLE: When = All(&[MORE, SADDLE_MADE]);
/// Cents were read, which tell something only with the nut and the contacts that they were read on.
pub(super) const CENTS: When = When::Given("present.cents_12");
pub(super) const STRAIGHTEDGE: When = Is("slot.read_by", "straightedge");
pub(super) const REFERENCE: When = Is("slot.read_by", "reference saddle");
pub(super) const SLACK: When = Is("slot.taken", "slack");
pub(super) const EXIT: When = When::Given("bridge.string_exit");
/// A new nut shall give a gap of its own.
pub(super) const NEW: When = Any(&[Is("ask.nut", "new"), NUT_MADE]);
pub(super) const NEW_HELD: When = Is("ask.new_nut_reading", "held at 3");
/// Whether the present nut has to be read: a nut that stays, and one on which something else is read.
pub(super) const NUT_NEEDED: When = Any(&[
    Is("ask.nut", "kept"),
    All(&[NEW, Any(&[CENTS, REFERENCE])]),
    SADDLE_STAYS,
]);
/// The strings rest on a zero fret.
pub(super) const ZERO_FRET: When = Is("ask.nut", "zero fret");
/// They rest on a nut, which stays or is made.
pub(super) const ON_NUT: When = Any(&[Is("ask.nut", "kept"), NEW]);
pub(super) const OPEN: When = Any(&[Is("ask.nut_reading", "open"), Is("ask.zero_reading", "open")]);
pub(super) const HELD: When = Any(&[Is("ask.nut_reading", "held at 3"), Is("ask.zero_reading", "held at 3")]);
pub(super) const ASSESSED: When = Is("ask.assess", "yes");
/// The crown to be filed is one plane, or a radius.
pub(super) const FACET: When = All(&[SADDLE_MADE, Is("filing.crown", "facet")]);
pub(super) const ROUNDED: When = All(&[SADDLE_MADE, Is("filing.crown", "rounded")]);
pub(super) const TWO_SCALES: When = Is("ask.scale", "two scales");
pub(super) const MARGIN: When = Is("ask.nut_places", "margin");
pub(super) const POSTS: When = Is("ask.posts", "yes");
const BUILT_STRING: When = Is("ask.string.data", "build");
pub(super) const MEASURED_STRING: When = Is("ask.string.data", "measured");
pub(super) const PLAIN_BUILT: When = All(&[Is("string.kind", "plain"), BUILT_STRING]);
pub(super) const WOUND_BUILT: When = All(&[Is("string.kind", "wound"), BUILT_STRING]);

/// The two ways to read a nut, or to say what it shall give.
pub(super) const READ_BY: &[(&str, &str)] = &[
    ("open", "gap over fret 1, string open"),
    ("held at 3", "gap over fret 1, string held down at fret 3"),
];

pub(super) const SPACING: &[(&str, &str)] = &[
    ("equal gaps", "the same clear space between neighbours"),
    ("equal centres", "the same distance from centre to centre"),
];
