//! What is typed into a form.

use std::collections::BTreeMap;

use toml::Value;

use crate::as_typed::as_typed;

/// What is typed, by the key of its field; nothing where a field is empty.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FormTyped(BTreeMap<String, String>);

/// Why something typed cannot be kept: the key of its field, empty where it is of none alone, and a sentence.
pub type FormFault = (String, String);

impl FormTyped {
    /// Nothing typed.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// What stands in a field.
    #[must_use]
    pub fn get(&self, key: &str) -> &str {
        self.0.get(key).map_or("", String::as_str)
    }

    /// Types into a field.
    pub fn set(&mut self, key: &str, text: &str) {
        let text = text.trim();
        if text.is_empty() {
            self.0.remove(key);
        } else {
            self.0.insert(key.to_owned(), text.to_owned());
        }
    }

    /// The keys of the fields in which something stands.
    pub(crate) fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// Types a single value of a file into a field.
    pub(crate) fn put(&mut self, key: String, value: &Value) {
        if let Some(text) = as_typed(value) {
            self.set(&key, &text);
        }
    }
}
