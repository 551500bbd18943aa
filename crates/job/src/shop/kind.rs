//! The kinds of things that a shop may have of its own.

/// Where a shop's own profiles are kept, within the folder of its jobs: one file of profiles.
pub const OWN_PROFILES: &str = ".bonewright/profiles.toml";

/// A kind of thing that a shop may have of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShopKind {
    /// Machines that cut.
    Machine,
    /// Cutters.
    Cutter,
    /// Tools that readings are taken with.
    Tool,
    /// Sets of strings.
    Set,
    /// Materials of blanks.
    Material,
    /// How materials are cut.
    Cutting,
}

impl ShopKind {
    /// All, as a page lists them.
    pub const ALL: [Self; 6] = [
        Self::Machine,
        Self::Cutter,
        Self::Tool,
        Self::Set,
        Self::Material,
        Self::Cutting,
    ];

    /// The name of its tables in a profile file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Machine => "machine",
            Self::Cutter => "cutter",
            Self::Tool => "tool",
            Self::Set => "string_set",
            Self::Material => "blank_material",
            Self::Cutting => "cutting",
        }
    }

    /// The kind whose tables have this name.
    #[must_use]
    pub fn of(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// One of them, with its article, and many.
    #[must_use]
    pub const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Machine => ("a machine", "Machines"),
            Self::Cutter => ("a cutter", "Cutters"),
            Self::Tool => ("a tool of the bench", "Tools of the bench"),
            Self::Set => ("a string set", "String sets"),
            Self::Material => ("a material", "Materials of blanks"),
            Self::Cutting => ("how a material is cut", "How materials are cut"),
        }
    }
}
