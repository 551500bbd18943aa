//! Requests and replies as bytes: the length of a head (four bytes, the lowest first), the head as JSON, and what it tells the
//! lengths of.

use pages::{Change, Record};
use serde::{Deserialize, Serialize};

use crate::clock;
use crate::print::Form;

/// A file of the folder of jobs; its text stands behind the head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct File {
    /// Its path within the folder.
    pub(crate) path: String,
    /// When it was written, milliseconds since 1970.
    #[serde(default)]
    pub(crate) when: u64,
    /// Length of its text, bytes; none if it is gone.
    pub(crate) bytes: Option<usize>,
}

/// What is asked.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub(crate) enum Request {
    /// The browser holds these files.
    Load { files: Vec<File> },
    /// A page, or what its script asks; a form or a sound stands behind the head.
    Ask {
        now: u64,
        /// With what follows a question mark.
        address: String,
        #[serde(default)]
        post: bool,
        #[serde(default)]
        script: bool,
    },
    /// The jobs in one file: the one of this name with all that is kept of it, or all.
    Pack { job: Option<String> },
    /// The plan of a job, which stands behind the head; nothing of it is held.
    Print { name: String, form: Form },
    /// Takes in what was packed, or one job: the file stands behind the head.
    Unpack { now: u64, name: String },
}

/// What is replied.
#[derive(Debug, Default, Serialize)]
pub(crate) struct Reply {
    /// As HTTP has it.
    pub(crate) status: u16,
    /// What the content is, as HTTP has it.
    pub(crate) kind: String,
    /// Another address to look at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) see: Option<String>,
    /// The name under which the content is to be kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) save_as: Option<String>,
    /// What is told besides, a line each.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) told: Vec<String>,
    /// Length of the content, bytes; it comes behind the head, before the texts of the files.
    pub(crate) bytes: usize,
    /// What has changed in the folder.
    pub(crate) files: Vec<File>,
}

/// The head of a message and what stands behind it.
pub(crate) fn split(message: &[u8]) -> Option<(&[u8], &[u8])> {
    let (length, rest) = message.split_first_chunk::<4>()?;
    rest.split_at_checked(usize::try_from(u32::from_le_bytes(*length)).ok()?)
}

/// A whole reply.
pub(crate) fn joined(mut reply: Reply, content: &[u8], changes: &[Change]) -> Vec<u8> {
    reply.bytes = content.len();
    let file = |(path, record): &Change| File {
        path: path.clone(),
        when: record.as_ref().map_or(0, |record| clock::milliseconds(record.when)),
        bytes: record.as_ref().map(|record| record.text.len()),
    };
    reply.files = changes.iter().map(file).collect();
    let head = serde_json::to_vec(&reply).unwrap_or_default();
    let mut message = u32::try_from(head.len()).unwrap_or(0).to_le_bytes().to_vec();
    message.extend(head);
    message.extend(content);
    for (_, record) in changes {
        message.extend(record.as_ref().map_or(&[][..], |record| record.text.as_bytes()));
    }
    message
}

/// The files of a request, from the texts that stand behind it; none if they do not fit.
pub(crate) fn changes(files: Vec<File>, mut texts: &[u8]) -> Option<Vec<Change>> {
    let mut changes = Vec::with_capacity(files.len());
    for file in files {
        let record = match file.bytes {
            None => None,
            Some(bytes) => {
                let (text, rest) = texts.split_at_checked(bytes)?;
                texts = rest;
                // What is no text is no job's file, and is left where it is.
                let Ok(text) = std::str::from_utf8(text) else { continue };
                Some(Record {
                    text: text.to_owned(),
                    when: clock::time(file.when),
                })
            }
        };
        changes.push((file.path, record));
    }
    Some(changes)
}
