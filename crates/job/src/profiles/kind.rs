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
    /// What plain strings and cores are made of.
    StringMaterial,
    /// What strings are wrapped with.
    Wrap,
    /// Materials of blanks.
    Material,
    /// How materials are cut.
    Cutting,
}

impl ShopKind {
    /// All, as a page lists them.
    pub const ALL: [Self; 8] = [
        Self::Machine,
        Self::Cutter,
        Self::Tool,
        Self::Set,
        Self::StringMaterial,
        Self::Wrap,
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
            Self::StringMaterial => "string_material",
            Self::Wrap => "wrap",
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
            Self::StringMaterial => ("a material of strings", "Materials of strings and cores"),
            Self::Wrap => ("a wrap", "Wraps of strings"),
            Self::Material => ("a material", "Materials of blanks"),
            Self::Cutting => ("how a material is cut", "How materials are cut"),
        }
    }

    /// What is to be known before the form of one is filled in.
    #[must_use]
    pub const fn intro(self) -> &'static str {
        match self {
            Self::Machine => "The program keeps to these figures and to nothing else. Lengths carry their unit.",
            Self::Cutter => "Measure your own, above all how far it sticks out. Lengths carry their unit.",
            Self::Tool => {
                "Of each reading that it takes, how sure one reading is, with the unit: two of three lie within it. A length, 1 deg, 3 cents; \
                 of board radius and stiffness B a share, as 5 %. Left empty, it does not take that reading. “Errs alike”, 0 to 1: 0 where \
                 each reading errs by itself, 1 where all err the same way. Left empty: 0.5."
            }
            Self::Set => {
                "Gauge your strings: names lie. The core of a wound one decides how far the saddle stands back. Lengths carry their unit."
            }
            Self::StringMaterial => {
                "Of plain strings and of cores. How stiff it is decides how far the saddle stands back: a string that was measured is surer."
            }
            Self::Wrap => "Its density decides how heavy a wound string is, and so its tension.",
            Self::Material => "How it is cut is kept apart from it, under the same name.",
            Self::Cutting => "Lengths carry their unit.",
        }
    }
}
