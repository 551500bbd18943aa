//! Program text in, motions out.
//!
//! The text is read twice, by a reader of our own and by an independent one, and then replayed as a machine would.

mod arc;
mod code;
mod header;
mod read;
mod replay;
mod second;

pub use arc::ArcFault;
pub(crate) use arc::axes;
pub use header::{Header, HeaderError, header, header_title};
pub(crate) use header::{comment_lines, setup_words, tool_words};
pub use read::{Line, TextError, TextFault, Word, permitted, read};
pub use replay::{Event, EventKind, Replay, ReplayError, ReplayFault, replay};
pub use second::{Disagreement, agree};
