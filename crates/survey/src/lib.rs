//! The guided survey without its terminal: the questions, the answers so far, and the job file they make.
//!
//! [`questions`] is the table: key, heading, how to take the reading, what Enter means, when it is asked. [`Interview`]
//! walks it: [`Interview::next`] is the step to ask, [`Interview::check`] judges an answer with the words of
//! [`job::read()`], and [`Interview::job_text`] writes the commented job file. A terminal and a page can ask from it alike.

mod answers;
mod check;
mod flow;
mod instrument;
mod lists;
mod question;
mod stations;
mod trial;
mod usual;
mod values;
mod write;

pub use answers::{Answers, DraftError};
pub use check::{AnswerCheck, NOT_READ};
pub use flow::{Interview, Step, ValueAt};
pub use instrument::{INSTRUMENTS, Instrument};
pub use lists::{Lists, SetName};
pub use question::{Kind, List, Question, SPELLED_OUT, Spread, Start, Station, When, questions, settings};
pub use stations::Visit;
pub use values::{BETWEEN, SAME};
