//! The headings of the survey.

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
    /// Whether a saddle is the remedy at all.
    Remedy,
    /// The nut to make, and where it stands.
    NutBlank,
    /// What the saddle is made of.
    Blank,
    /// The top of the saddle.
    Crown,
    /// What the survey does not ask.
    Unasked,
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
            Self::Remedy => "Bridge, neck and air",
            Self::NutBlank => "Making the nut",
            Self::Blank => "Blank",
            Self::Crown => "Crown",
            Self::Unasked => "",
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
            Self::Remedy => &["For the question whether a saddle is the remedy. Skip what you cannot read."],
            Self::NutBlank => &["The nut you will make, and the place where it stands."],
            Self::Blank => &["The piece you will make the saddle from."],
            Self::Crown => &["The top of the saddle. Enter takes the usual shape."],
            Self::Unasked => &[],
        }
    }
}
