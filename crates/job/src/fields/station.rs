//! The stations of the survey: what one hand reads with one tool, one after the other.

/// A station of the survey, in the order in which they come: strings on first, then off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Station {
    /// The job, its units and its paper.
    Job,
    /// What the bench's book has of the job.
    Book,
    /// The strings and what is wanted of them.
    Wanted,
    /// Each string, where no set has it.
    Each,
    /// Lengths along and across the neck, by rule.
    Along,
    /// Gaps over the frets, by feelers.
    Frets,
    /// The board at the nut, where a nut is made.
    Board,
    /// The bridge against a straightedge.
    Bridge,
    /// The old saddle as it stands over the bridge.
    Over,
    /// Fretted notes, by a tuner.
    Tuner,
    /// Whether a saddle is the remedy at all.
    Remedy,
    /// The slot, strings off.
    Slot,
    /// The old saddle out of its slot.
    Old,
    /// Where the nut stood, strings off.
    Seat,
    /// The nut to make.
    NutBlank,
    /// The saddle to make.
    Blank,
    /// A setting: how a saddle is cut.
    Cutting,
    /// A setting: how a nut is cut.
    CuttingNut,
    /// A setting: the crown as it stands before the file.
    Crown,
    /// A setting: what counts as good.
    Good,
    /// A setting: how sure the readings are.
    Sure,
    /// A setting: limits of what a repair may leave.
    Limits,
    /// What the survey does not ask.
    Unasked,
}

impl Station {
    /// All that are asked, in their order.
    pub const ALL: [Self; 16] = [
        Self::Job,
        Self::Book,
        Self::Wanted,
        Self::Each,
        Self::Along,
        Self::Frets,
        Self::Board,
        Self::Bridge,
        Self::Over,
        Self::Tuner,
        Self::Remedy,
        Self::Slot,
        Self::Old,
        Self::Seat,
        Self::NutBlank,
        Self::Blank,
    ];

    /// Those that hold settings: nothing is read there, and all of it may stay as it is.
    pub const SETTINGS: [Self; 6] = [
        Self::Cutting,
        Self::CuttingNut,
        Self::Crown,
        Self::Good,
        Self::Sure,
        Self::Limits,
    ];

    /// Whether it holds settings, which the survey does not ask.
    #[must_use]
    pub fn is_setting(self) -> bool {
        Self::SETTINGS.contains(&self)
    }

    /// A word for addresses; the same in every release.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Wanted => "wanted",
            Self::Each => "strings",
            Self::Along => "along",
            Self::Frets => "frets",
            Self::Board => "board",
            Self::Bridge => "bridge",
            Self::Over => "over",
            Self::Tuner => "tuner",
            Self::Remedy => "remedy",
            Self::Slot => "slot",
            Self::Old => "old",
            Self::Seat => "seat",
            Self::NutBlank => "nut-blank",
            Self::Blank => "blank",
            Self::Book => "book",
            Self::Cutting => "cutting",
            Self::CuttingNut => "cutting-nut",
            Self::Crown => "crown",
            Self::Good => "good",
            Self::Sure => "sure",
            Self::Limits => "limits",
            Self::Unasked => "",
        }
    }

    /// Its heading.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Job => "The job",
            Self::Wanted => "Strings and wishes",
            Self::Each => "Each string",
            Self::Along => "Along the neck",
            Self::Frets => "Over the frets",
            Self::Board => "The board at the nut",
            Self::Bridge => "The bridge",
            Self::Over => "Old saddle in place",
            Self::Tuner => "By tuner",
            Self::Remedy => "Bridge, neck and air",
            Self::Slot => "The slot",
            Self::Old => "Old saddle in hand",
            Self::Seat => "The nut's seat",
            Self::NutBlank => "The new nut",
            Self::Blank => "The new saddle",
            Self::Book => "The book",
            Self::Cutting => "Cutting the saddle",
            Self::CuttingNut => "Cutting the nut",
            Self::Crown => "The crown as it stands",
            Self::Good => "What counts as good",
            Self::Sure => "How sure your readings are",
            Self::Limits => "Limits of the repair",
            Self::Unasked => "",
        }
    }

    /// What to have in hand, and what to know before the first reading; lines of at most 79 characters.
    #[must_use]
    pub fn intro(self) -> &'static [&'static str] {
        match self {
            Self::Job => &["What it is, and the units that your tools have."],
            Self::Wanted => &["Nothing to measure here. String 1 is the treble-most."],
            Self::Each => &["From the packet, or by micrometer."],
            Self::Along => &["In hand: a long steel rule. Strings on, at pitch; check the tuning first."],
            Self::Frets => &["In hand: feelers, and a short rule on edge. Strings on, at pitch."],
            Self::Board => &["In hand: caliper, bevel gauge and rule. Strings on."],
            Self::Bridge => &[
                "In hand: a straightedge from the frets to the bridge, feelers, a bevel gauge.",
                "Strings on, at pitch.",
            ],
            Self::Over => &["In hand: a depth rod. Strings on, at pitch, on the saddle that is there now."],
            Self::Tuner => &["In hand: a tuner. Strings at pitch, on the saddle that is there now."],
            Self::Remedy => &["For the question whether a saddle is the remedy. Skip what you cannot read."],
            Self::Slot => &["In hand: a depth rod and a caliper. Strings off, saddle out."],
            Self::Old => &["In hand: a caliper, and the saddle that came out."],
            Self::Seat => &["In hand: a short straightedge, feelers, a depth rod. Strings off, nut out."],
            Self::NutBlank => &["In hand: a caliper, and the piece you will make the nut from."],
            Self::Blank => &["In hand: a caliper, and the piece you will make the saddle from."],
            Self::Book => &["For the bench's book. Nothing that is made depends on it."],
            Self::Cutting | Self::CuttingNut => {
                &["For a small router or mill. What is left empty is as usual; measure stock and jaws."]
            }
            Self::Crown => &["For the saddle in hand, before the file touches it. Left empty: as planned."],
            Self::Good => &["How near is near enough on this job. What is left empty is as usual."],
            Self::Sure => &[
                "Two readings in three lie within it. 0 leaves a reading out.",
                "In common: 0, each reading errs by itself; 1, all err alike; usually 0.5.",
            ],
            Self::Limits => &["What this job may go to. What is left empty is as usual."],
            Self::Unasked => &[],
        }
    }
}
