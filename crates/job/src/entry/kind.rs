//! The kinds of what a job has beside its survey, and where one of them stands in the file.

/// A kind of what a job has beside its survey.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EntryKind {
    /// A round of readings besides the survey: `[[readings]]`.
    Round,
    /// What of the survey is not believed: `[doubt]`, of which there is one.
    Doubt,
    /// Another tuning, or another set, for the same contacts: `[[also]]`.
    Tuning,
    /// One string as it is said to be: `[[string]]`.
    String,
    /// One of several saddles: `[[saddle]]`.
    Saddle,
}

/// Which of its kind: by its place in the file, from 1, or a string by its number. Of [`EntryKind::Doubt`] it says nothing.
pub type EntryPlace = u32;

impl EntryKind {
    /// All, as a page lists them.
    pub const ALL: [Self; 5] = [Self::Round, Self::Doubt, Self::Tuning, Self::String, Self::Saddle];

    /// The name of its tables in the job file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Round => "readings",
            Self::Doubt => "doubt",
            Self::Tuning => "also",
            Self::String => "string",
            Self::Saddle => "saddle",
        }
    }

    /// The kind whose tables have this name.
    #[must_use]
    pub fn of(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// How problems name one of them.
    pub(super) fn path(self, at: EntryPlace) -> String {
        match self {
            Self::Doubt => self.key().to_owned(),
            Self::String => format!("{}.{at}", self.key()),
            Self::Round | Self::Tuning | Self::Saddle => format!("{}[{at}]", self.key()),
        }
    }
}
