//! The answers so far, as typed, and the draft that keeps them.

use std::collections::BTreeMap;

use thiserror::Error;
use toml::{Table, Value};

/// Version of the draft's format.
const DRAFT: i64 = 1;

/// The answers so far: the text as typed under the key of each step. An empty text means that the question was skipped.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers(BTreeMap<String, String>);

/// Why a draft was refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DraftError {
    /// Not TOML from this line on, from 1.
    #[error("this is not a draft of the survey: its line {0} cannot be read")]
    Toml(usize),
    /// No version, or one that is not known here.
    #[error("the draft's version is not {DRAFT}: it was written by another release")]
    Version,
    /// An answer that is no text.
    #[error("the draft's answer to `{0}` is not a text")]
    NotText(String),
}

impl Answers {
    /// The text under a key; empty where the question was skipped, `None` where it was not answered.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    /// The text under a key, unless it is missing or empty.
    #[must_use]
    pub fn given(&self, key: &str) -> Option<&str> {
        self.get(key).filter(|text| !text.is_empty())
    }

    /// Keeps a text under a key, in place of any before it.
    pub fn set(&mut self, key: &str, text: &str) {
        self.0.insert(key.to_owned(), text.to_owned());
    }

    /// Forgets the text under a key.
    pub fn forget(&mut self, key: &str) {
        self.0.remove(key);
    }

    /// Whether nothing was answered yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The draft: TOML that [`Answers::from_draft`] reads back whole.
    #[must_use]
    pub fn to_draft(&self) -> String {
        let answers: Table = self
            .0
            .iter()
            .map(|(key, text)| (key.clone(), Value::String(text.clone())))
            .collect();
        let mut draft = Table::new();
        draft.insert("draft".to_owned(), Value::Integer(DRAFT));
        draft.insert("answers".to_owned(), Value::Table(answers));
        format!("# Answers to `bonewright new`, as typed. It goes on from here.\n{draft}")
    }

    /// Reads a draft.
    ///
    /// # Errors
    /// [`DraftError`]: not TOML, another version, an answer that is no text.
    pub fn from_draft(text: &str) -> Result<Self, DraftError> {
        let mut draft: Table = text.parse().map_err(|error: toml::de::Error| {
            let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
            DraftError::Toml(before.matches('\n').count() + 1)
        })?;
        if draft.get("draft").and_then(Value::as_integer) != Some(DRAFT) {
            return Err(DraftError::Version);
        }
        let Some(Value::Table(answers)) = draft.remove("answers") else {
            return Ok(Self::default());
        };
        answers
            .into_iter()
            .map(|(key, value)| match value {
                Value::String(text) => Ok((key, text)),
                _ => Err(DraftError::NotText(key)),
            })
            .collect::<Result<_, _>>()
            .map(Self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_draft_of_another_version_is_refused() {
        assert_eq!(Answers::from_draft("draft = 2"), Err(DraftError::Version));
        assert_eq!(Answers::from_draft(""), Err(DraftError::Version));
        assert_eq!(Answers::from_draft("draft = 1\nx = "), Err(DraftError::Toml(2)));
        let number = "draft = 1\n[answers]\ntitle = 3";
        assert_eq!(
            Answers::from_draft(number),
            Err(DraftError::NotText("title".to_owned()))
        );
    }

    proptest! {
        #[test]
        fn a_draft_is_read_back_whole(texts in proptest::collection::btree_map(".*", ".*", 0..8)) {
            let answers = Answers(texts);
            prop_assert_eq!(Answers::from_draft(&answers.to_draft()), Ok(answers));
        }

        #[test]
        fn any_text_as_a_draft_never_panics(text in "(draft = 1\n)?.*") {
            let _ = Answers::from_draft(&text);
        }
    }
}
