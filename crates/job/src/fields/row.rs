//! What one row says of a field.

use std::hash::{Hash, Hasher};

use units::{BenchUnit, LengthUnit, parse_length};

use super::station::Station;
use crate::same_word;

/// One field of the job file, or a question that only steers the survey (its key begins with `ask.`).
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Table, dot, key, and after a colon the field of an inline value: `slot.width`, `instrument.relief:gap`.
    pub key: &'static str,
    /// Its key's table and name, taken apart once, when this is compiled.
    pub(super) place: (&'static str, &'static str),
    /// What is written there.
    pub kind: Kind,
    /// How many values it has.
    pub spread: Spread,
    /// What it is read with.
    pub tool: Tool,
    /// What is allowed and what is usual.
    pub range: Range,
    /// Its table cannot do without it.
    pub needed: bool,
    /// Words of older files, each with the choice of today that it means.
    pub older: &'static [(&'static str, &'static str)],
    /// The value taken where none is given, as one would write it; empty if there is none.
    pub default: &'static str,
    /// What holds where none is given, in words; empty if nothing is to be said.
    pub otherwise: &'static str,
    /// The page's words for what is written, where kind and spread do not say it.
    pub(crate) value: &'static str,
    /// The page's words for how it is read.
    pub(crate) page: &'static str,
    /// The station of the survey that asks for it.
    pub station: Station,
    /// Whether it stands folded there: usual as it is, or seldom read.
    pub folded: bool,
    /// What is asked, in a few words.
    pub title: &'static str,
    /// How to take the reading, with what, how closely: one line of at most 77 characters.
    pub how: &'static str,
    /// More, for those who ask.
    pub help: &'static str,
    /// The key of `[assumed]` that says that it was not read, and what is then taken.
    pub assumed: Option<(&'static str, &'static str)>,
    /// What Enter means.
    pub start: Start,
    /// When it is asked.
    pub when: When,
    /// When an answer is needed; else Enter skips it.
    pub required: When,
    /// Whether the strings must be off.
    pub strings_off: bool,
}

/// A row is known by its key.
impl PartialEq for Field {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Field {}

impl Hash for Field {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.key.hash(state);
    }
}

impl Field {
    /// Whether the answer goes into the job file.
    #[must_use]
    pub fn is_written(&self) -> bool {
        self.place.0 != "ask" && self.place.0 != "ask.string"
    }

    /// The value taken where none is given, as the bench reads it.
    #[must_use]
    pub fn usual_words(&self, bench: BenchUnit) -> Option<String> {
        let mm = parse_length(self.default, LengthUnit::Millimetre).ok();
        match self.kind {
            _ if self.default.is_empty() => None,
            Kind::Length => mm.map(|mm| bench.show(mm)),
            Kind::Angle => Some(self.default.replace("deg", "degrees")),
            _ => Some(self.default.to_owned()),
        }
    }

    /// Its table, and its name in it: `("slot", "width")`, `("instrument.relief", "gap")`.
    #[must_use]
    pub fn place(&self) -> (&'static str, &'static str) {
        self.place
    }

    /// The choice of today that `word` means: itself, unless older files had it.
    #[must_use]
    pub fn today<'t>(&self, word: &'t str) -> &'t str {
        let found = self.older.iter().find(|(older, _)| same_word(older, word));
        found.map_or(word, |(_, today)| today)
    }

    /// The name under which other rows have it as their table.
    pub(crate) fn key_of_table(&self) -> &'static str {
        match self.key {
            "nut_cut.stock" => "cut.stock",
            "nut_cut.vise" => "cut.vise",
            "nut_cut.tape" => "cut.tape",
            key => key,
        }
    }

    /// Its name within its table.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.place.1
    }
}

/// What is written in a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Any text on one line.
    Text,
    /// Yes or no; `true` or `false` in the file.
    YesNo,
    /// One of a few: each with what it means, in a line that may be empty.
    Choice(&'static [(&'static str, &'static str)]),
    /// A name from the profiles.
    Name(List),
    /// Any number of names from the profiles.
    Names(List),
    /// Any number of a few, each with what it means.
    Several(&'static [(&'static str, &'static str)]),
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A difference of pitch.
    Cents,
    /// A decimal number of this unit; of none, if empty.
    Number(&'static str),
    /// A whole number.
    Whole,
    /// A note name.
    Note,
    /// A note name for every string, bass to treble.
    Notes,
    /// Single strings, pairs, or a list of both.
    Courses,
    /// Places of a line: how far in from an end, and how high.
    Contour,
    /// A table of its own.
    Table,
    /// What only its own reader knows.
    Other,
}

/// How many values a field has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spread {
    /// One.
    One,
    /// One for each end, or one for both.
    Ends,
    /// One for all strings, one for each outer string, or one for each string.
    Strings,
    /// As [`Spread::Strings`]; in a list of each string `-` stands where there is none.
    Sparse,
    /// One for all strings, or one for each.
    AllOrEach,
    /// One for each string, bass to treble; `-` where none was read.
    Listed,
    /// One in each table of a string.
    EachString,
    /// One, or its total with the share that readings have in common.
    Paired,
}

/// What a field is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tool {
    /// Nothing, or nothing that a unit follows from.
    None,
    /// A rule, or a long caliper: to some tenths of a millimetre.
    Rule,
    /// Feeler gauges.
    Feeler,
    /// A caliper.
    Caliper,
    /// The depth rod of a caliper.
    DepthRod,
    /// A micrometer.
    Micrometer,
    /// Radius gauges.
    RadiusGauge,
    /// Nothing at the bench: a figure finer than what is read there.
    Fine,
}

/// What is allowed and what is usual: lengths in mm, angles in degrees, else in the field's own unit. Outside `least` to `most` is an
/// error, outside `usual` a warning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Least that is read.
    pub least: f64,
    /// Most that is read.
    pub most: f64,
    /// Range without a warning.
    pub usual: (f64, f64),
    /// How to mend it; lengths stand in braces, `{0.5 mm}`, and are shown in the job's unit.
    pub hint: &'static str,
}

impl Range {
    /// Everything.
    pub(crate) const ANY: Self = Self {
        least: f64::NEG_INFINITY,
        most: f64::INFINITY,
        usual: (f64::NEG_INFINITY, f64::INFINITY),
        hint: "",
    };
}

/// The lists of names that profiles give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum List {
    /// String sets; the survey offers "spelled out" too.
    Sets,
    /// What plain strings and cores are made of.
    StringMaterials,
    /// What strings are wrapped with.
    WrapMetals,
    /// What saddles and nuts are made of.
    Blanks,
    /// What readings are taken with.
    Tools,
    /// Woods of bridges.
    Woods,
    /// Machines.
    Machines,
    /// Cutters with a flat end.
    Flats,
    /// Balls and tapered balls.
    Balls,
    /// What cuts the slots of a nut from above: balls, tapered balls, points.
    Groovers,
    /// Slitting saws.
    Saws,
    /// Materials whose cutting is known.
    Cutting,
}

/// When a question is asked. `string.` keys mean the string in hand. An answer to a question that is itself not asked does
/// not count. Where a key is of a later question, answering that leads back to this one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum When {
    /// Always.
    Always,
    /// The question of this key has this answer.
    Is(&'static str, &'static str),
    /// The question of this key has an answer other than "skip".
    Given(&'static str),
    /// A string set was chosen, not spelled out.
    SetChosen,
    /// There are pairs of strings.
    Pairs,
    /// There are two strings or more.
    ManyStrings,
    /// All of these.
    All(&'static [When]),
    /// One of these at least.
    Any(&'static [When]),
    /// Never: the opposite of [`When::Always`], for what is never required.
    Never,
}

/// What Enter means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Start {
    /// Nothing: an answer is needed (or the question is skipped, where that is allowed).
    None,
    /// This answer.
    Text(&'static str),
    /// The answer given to the question of this key.
    Copy(&'static str),
    /// At the treble end the same as at the bass end.
    Same,
    /// This answer at the bass end, the same at the treble end.
    TextSame(&'static str),
    /// thou where bare numbers are inches or thou, else mm.
    Bench,
}
