//! What one question is: a row of the table that a terminal and a page ask from.

/// The headings of the survey, in the order in which they come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Heading {
    /// The job, its units, scale, frets, board and relief.
    Instrument,
    /// The string set, spread and spacing.
    Strings,
    /// The instrument as it stands.
    Present,
    /// The nut: kept or new.
    Nut,
    /// What is wanted.
    Target,
    /// Where the saddle stands.
    Slot,
    /// The nut to make, and where it stands.
    NutBlank,
    /// What the saddle is made of.
    Blank,
    /// The top of the saddle.
    Crown,
}

impl Heading {
    /// The heading as shown.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Instrument => "Instrument",
            Self::Strings => "Strings",
            Self::Nut => "Nut",
            Self::Present => "Present",
            Self::Target => "Target",
            Self::Slot => "Slot and bridge",
            Self::NutBlank => "Making the nut",
            Self::Blank => "Blank",
            Self::Crown => "Crown",
        }
    }

    /// What to know before the first question under it; lines of at most 79 characters.
    #[must_use]
    pub fn intro(self) -> &'static [&'static str] {
        match self {
            Self::Instrument => &[
                "Tune to pitch and leave the strings on. They come off only for the last",
                "readings, in the slot, so that nothing has to be strung up twice.",
            ],
            Self::Strings => &["Strings on. String 1 is the treble-most."],
            Self::Nut => &["Strings on, at pitch. Check the tuning before each reading."],
            Self::Present => &["Strings on, at pitch, on the saddle that is there now."],
            Self::Target => &["What you want. Nothing to measure here."],
            Self::Slot => &["Strings still on. You will be told when to take them off."],
            Self::NutBlank => &["The nut you will make, and the place where it stands."],
            Self::Blank => &["The piece you will make the saddle from."],
            Self::Crown => &["The top of the saddle. Enter takes the usual shape."],
        }
    }
}

/// One answer of a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Choice {
    /// The answer, as the job file has it.
    pub value: &'static str,
    /// What it means, in a line; may be empty.
    pub meaning: &'static str,
}

/// The lists of names that profiles give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum List {
    /// String sets, and "spelled out".
    Sets,
    /// What plain strings and cores are made of.
    StringMaterials,
    /// What strings are wrapped with.
    WrapMetals,
    /// What saddles are made of.
    Blanks,
}

/// What an answer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Any text on one line.
    Text,
    /// Yes or no.
    YesNo,
    /// One of a few.
    Choice(&'static [Choice]),
    /// A name from the profiles.
    Name(List),
    /// A length; which sizes and signs are allowed is for `job` to say.
    Length,
    /// An angle.
    Angle,
    /// A whole number from the first to the second.
    Whole(u32, u32),
    /// A decimal number above 0, of the unit that the question names.
    Number,
    /// A note name.
    Note,
    /// A note name for every string, bass to treble.
    Notes,
    /// Single strings, pairs, or a list of both.
    Courses,
    /// Cents for every string, bass to treble; `-` where not read.
    Cents,
}

/// How many values a question has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spread {
    /// One.
    One,
    /// One for each end, or one for both.
    Ends,
    /// One for all strings, one for each outer string, or one for each string.
    Strings,
    /// One for each spelled-out string.
    EachString,
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

/// One question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Question {
    /// The key in the job file: table, dot, key, and after a colon the field of an inline table. Keys under `ask.` only
    /// steer the survey and are not written to the job file.
    pub key: &'static str,
    /// The heading it stands under.
    pub heading: Heading,
    /// What is asked, in a few words.
    pub title: &'static str,
    /// How to take the reading, with what, how closely: one line of at most 77 characters.
    pub how: &'static str,
    /// More, for those who ask.
    pub help: &'static str,
    /// What an answer is.
    pub kind: Kind,
    /// How many values it has.
    pub spread: Spread,
    /// What Enter means.
    pub start: Start,
    /// When it is asked.
    pub when: When,
    /// When an answer is needed; else Enter skips it.
    pub required: When,
    /// Whether the strings must be off.
    pub strings_off: bool,
}

/// A saddle is to be made, with or without a nut.
pub(crate) const SADDLE_MADE: When = When::Any(&[When::Is("ask.part", "saddle"), When::Is("ask.part", "both")]);
/// A nut is to be made, with or without a saddle.
pub(crate) const NUT_MADE: When = When::Any(&[When::Is("ask.part", "nut"), When::Is("ask.part", "both")]);
/// A nut alone is to be made: the saddle stays.
pub(crate) const SADDLE_STAYS: When = When::Is("ask.part", "nut");

impl Question {
    pub(crate) const fn new(
        key: &'static str,
        heading: Heading,
        kind: Kind,
        title: &'static str,
        how: &'static str,
    ) -> Self {
        Self {
            key,
            heading,
            title,
            how,
            help: "",
            kind,
            spread: Spread::One,
            start: Start::None,
            when: When::Always,
            required: When::Always,
            strings_off: false,
        }
    }

    pub(crate) const fn help(self, help: &'static str) -> Self {
        Self { help, ..self }
    }

    pub(crate) const fn spread(self, spread: Spread) -> Self {
        Self { spread, ..self }
    }

    pub(crate) const fn start(self, start: Start) -> Self {
        Self { start, ..self }
    }

    pub(crate) const fn when(self, when: When) -> Self {
        Self { when, ..self }
    }

    pub(crate) const fn required(self, required: When) -> Self {
        Self { required, ..self }
    }

    pub(crate) const fn optional(self) -> Self {
        self.required(When::Never)
    }

    pub(crate) const fn strings_off(self) -> Self {
        Self {
            strings_off: true,
            ..self
        }
    }

    /// Whether the answer goes into the job file.
    #[must_use]
    pub fn is_written(&self) -> bool {
        !self.key.starts_with("ask.")
    }
}
