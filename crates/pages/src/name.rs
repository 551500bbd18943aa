//! The names of jobs, as they come from a browser: nothing that could be a path.

use std::fmt;

/// Most characters of a name.
const MOST: usize = 60;

/// Names that some systems keep for devices.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// What is kept beside all jobs has this name there, so that nothing can be kept of a job of this name.
const COMMON: &str = "profiles.toml";

/// The name of a job: its file is this with `.toml` behind. Letters, digits, `-`, `_` and single dots between them; it
/// starts and ends with a letter or digit.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobName(String);

impl JobName {
    /// What a name may be, in words.
    pub const RULE: &str = "A name has letters a to z, digits, and - or _ between them: at most 60 characters, no spaces. Such as parlour-1928.";

    /// The name, if it is one.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let inner = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
        let outer = |c: Option<char>| c.is_some_and(|c| c.is_ascii_alphanumeric());
        let stem = text.split('.').next().unwrap_or_default().to_ascii_lowercase();
        let device = DEVICES.contains(&stem.trim_end_matches(|c: char| c.is_ascii_digit()));
        let sound = text.len() <= MOST
            && text.chars().all(inner)
            && outer(text.chars().next())
            && outer(text.chars().last())
            && !text.contains("..")
            && !text.eq_ignore_ascii_case(COMMON)
            && !device;
        sound.then(|| Self(text.to_owned()))
    }

    /// The name of what has no other.
    pub(crate) fn fallback() -> Self {
        Self("job".to_owned())
    }

    /// The name without an ending.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The job's file, without folder.
    #[must_use]
    pub fn file(&self) -> String {
        format!("{}.toml", self.0)
    }
}

impl fmt::Display for JobName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn names_and_what_is_none() {
        for good in ["parlour", "a", "No_7-b", "x.y", "1928"] {
            assert!(JobName::parse(good).is_some(), "{good}");
        }
        for bad in [
            "",
            ".",
            "..",
            "a/b",
            "a\\b",
            ".hidden",
            "a..b",
            "profiles.toml",
            "Profiles.TOML",
            "a.",
            "-a",
            "a b",
            "con",
            "COM1",
            "lpt9.x",
            "é",
            "a\0b",
            "../../etc/passwd",
            "%2e%2e",
        ] {
            assert!(JobName::parse(bad).is_none(), "{bad}");
        }
        assert!(JobName::parse(&"a".repeat(61)).is_none());
    }

    proptest! {
        #[test]
        fn a_name_is_one_part_of_a_path(text in ".*") {
            if let Some(name) = JobName::parse(&text) {
                let file = name.file();
                let mut parts = std::path::Path::new(&file).components();
                prop_assert!(matches!(parts.next(), Some(std::path::Component::Normal(_))));
                prop_assert!(parts.next().is_none());
            }
        }
    }
}
