//! What is asked of the page and what it replies, apart from the server.

use maud::Markup;

/// The fields of a form or of an address, as sent.
#[derive(Debug, Clone, Default)]
pub struct Fields(Vec<(String, String)>);

impl Fields {
    /// Reads `a=b&c=d`.
    #[must_use]
    pub fn parse(bytes: &[u8]) -> Self {
        Self(form_urlencoded::parse(bytes).into_owned().collect())
    }

    /// Puts a field before all others.
    pub fn put(&mut self, name: String, value: String) {
        self.0.insert(0, (name, value));
    }

    /// The first field of this name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    }

    /// The first field of this name, or nothing.
    #[must_use]
    pub fn text(&self, name: &str) -> &str {
        self.get(name).unwrap_or_default()
    }

    /// Every field of this name.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.0
            .iter()
            .filter(move |(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    }
}

/// How an address is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// To see what is there; changes nothing.
    Get,
    /// To change something.
    Post,
}

/// One request that has passed the guard.
#[derive(Debug, Clone, Default)]
pub struct Ask {
    /// The name in the address, as sent.
    pub name: String,
    /// The last part of the address, where it is a file.
    pub file: String,
    /// Fields of the address or, in a post, of the body.
    pub fields: Fields,
    /// The body of a post that is a sound, as sent.
    pub sound: Option<Vec<u8>>,
    /// The script asks, and reads JSON.
    pub script: bool,
}

/// A reply.
#[derive(Debug)]
pub enum Reply {
    /// A page with its status.
    Page(u16, Markup),
    /// What the script reads, with its status.
    Json(u16, serde_json::Value),
    /// Look there.
    See(String),
    /// A file.
    File {
        /// What it is.
        kind: &'static str,
        /// Name to keep it under, if it is to be kept.
        save_as: Option<String>,
        /// Content.
        content: Vec<u8>,
    },
}
