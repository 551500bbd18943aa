//! Program text in, motions out.
//!
//! The text is read twice, by a reader of our own and by an independent one, and then replayed as a machine would.

mod arc;
mod code;
mod header;
mod marks;
mod read;
mod replay;
mod second;

pub use arc::ArcFault;
pub(crate) use arc::axes;
pub use header::{Header, HeaderError, header, header_title};
pub(crate) use header::{comment_lines, machine_words, setup_words, tool_words};
pub use marks::{MarkFault, Marks};
pub use read::{Line, TextError, TextFault, Word, permitted, read, too_long};
pub use replay::{Blind, Event, EventKind, Replay, ReplayError, ReplayFault, replay, replay_under};
pub use second::{Disagreement, agree};
