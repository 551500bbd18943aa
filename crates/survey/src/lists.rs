//! The names that profiles give: what a choice by name offers.

use job::Profiles;

use crate::{List, SPELLED_OUT};

/// A string set to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetName {
    /// Its name in the profiles.
    pub name: String,
    /// Notes of its strings, bass to treble.
    pub notes: Vec<String>,
    /// Strings in each course, bass to treble.
    pub courses: Vec<usize>,
}

/// The lists of cutters.
const CUTTERS: [List; 4] = [List::Flats, List::Balls, List::Groovers, List::Saws];

/// The names to choose from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lists {
    /// String sets.
    pub sets: Vec<SetName>,
    /// Materials of plain strings and cores.
    pub string_materials: Vec<String>,
    /// Wrap metals.
    pub wrap_metals: Vec<String>,
    /// Materials of blanks.
    pub blanks: Vec<String>,
    /// Woods of bridges.
    pub woods: Vec<String>,
    /// Machines.
    pub machines: Vec<String>,
    /// Cutters, by the list of which they serve.
    pub cutters: Vec<(List, Vec<String>)>,
    /// Materials whose cutting is known.
    pub cutting: Vec<String>,
}

impl Lists {
    /// The names in a set of profiles.
    #[must_use]
    pub fn of(profiles: &Profiles) -> Self {
        let owned = |name: &str| name.to_owned();
        let sets = profiles.string_sets().filter_map(|name| profiles.string_set(name));
        Self {
            sets: sets
                .map(|set| SetName {
                    name: set.name.clone(),
                    notes: set.strings.iter().filter_map(|string| string.note.clone()).collect(),
                    courses: set.courses.clone(),
                })
                .collect(),
            string_materials: profiles.string_materials().map(owned).collect(),
            wrap_metals: profiles.wraps().map(owned).collect(),
            blanks: profiles.materials().map(owned).collect(),
            woods: Profiles::woods().map(owned).collect(),
            machines: profiles.machines().iter().map(|one| one.name.clone()).collect(),
            cutters: CUTTERS
                .into_iter()
                .map(|list| (list, profiles.cutters_for(list).map(owned).collect()))
                .collect(),
            cutting: profiles.cutting().iter().map(|one| one.name.clone()).collect(),
        }
    }

    /// The names in one list with what they mean, in the order to show them.
    pub(crate) fn names(&self, list: List) -> Vec<(String, String)> {
        let plain = |names: &[String]| names.iter().map(|name| (name.clone(), String::new())).collect();
        match list {
            List::Sets => self
                .sets
                .iter()
                .map(|set| (set.name.clone(), set.notes.join(" ")))
                .chain([(SPELLED_OUT.to_owned(), "you give each string".to_owned())])
                .collect(),
            List::StringMaterials => plain(&self.string_materials),
            List::WrapMetals => plain(&self.wrap_metals),
            List::Blanks => plain(&self.blanks),
            List::Woods => plain(&self.woods),
            List::Machines => plain(&self.machines),
            List::Flats | List::Balls | List::Groovers | List::Saws => {
                let of = self.cutters.iter().find(|(of, _)| *of == list);
                of.map_or_else(Vec::new, |(_, names)| plain(names))
            }
            List::Cutting => plain(&self.cutting),
            List::Tools => Vec::new(),
        }
    }

    /// The strings of a set, or `None` if there is no such set.
    pub(crate) fn set(&self, name: &str) -> Option<&SetName> {
        self.sets.iter().find(|set| set.name == name)
    }
}
