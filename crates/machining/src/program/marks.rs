//! The marks of a program: what it was made from, and whether it still is what was made.
//!
//! The head of a program holds one short mark for people, which its setup sheet and its page show too, and beside it one each for
//! the plan, for the way of cutting and for the text, by which a change is told by its name.

use numerics::ContentMark;
use thiserror::Error;

use crate::{Part, Setup};

const MARK: &str = "Mark: ";
const PLAN: &str = "From: plan ";
const CUTTING: &str = ", cutting ";
const TEXT: &str = ", text ";
/// Decimals that count in what a program is made from, mm or radians: far below what any program writes, and far above what two
/// machines may work out differently.
const DECIMALS: usize = 5;

/// What a program was made from, as short marks of eight hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marks {
    /// Of all of them: the one for people.
    pub mark: String,
    /// Of the part as planned.
    pub plan: String,
    /// Of the setup: stock, holding, cutters, material, machine.
    pub cutting: String,
    /// Of the text without its marks.
    pub text: String,
}

/// How a program differs from what is asked for.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum MarkFault {
    /// The marks do not belong together.
    #[error("its marks do not belong together, so somebody wrote over them: nobody can say what it was made from")]
    Broken,
    /// Another plan.
    #[error(
        "it carries the mark {mark} and was made from another plan: a reading, a target or the blank has changed in the job since, or it is another job"
    )]
    Plan {
        /// Its mark.
        mark: String,
    },
    /// Another way of cutting.
    #[error(
        "it carries the mark {mark} and was made for another way of cutting: setup, stock, holding, cutters, material or machine have changed since"
    )]
    Cutting {
        /// Its mark.
        mark: String,
    },
}

/// A setup as its mark knows it: one that leaves nothing proud as it was before a setup could.
fn setup_text(setup: &Setup) -> String {
    let text = format!("{setup:?}");
    if setup.leave_proud == 0.0 {
        return text.replace(" leave_proud: 0.0,", "");
    }
    text
}

impl Marks {
    /// The marks of a program for `part` in `setup` with this text, whose own marks do not count.
    #[must_use]
    pub fn of(part: Part, setup: &Setup, text: &str) -> Self {
        let plan = match part {
            Part::Saddle(plan) => format!("{plan:?}"),
            Part::Nut(plan) => format!("{plan:?}"),
        };
        Self::new(
            short(steady(&plan)),
            short(steady(&setup_text(setup))),
            short(bare(text)),
        )
    }

    fn new(plan: String, cutting: String, text: String) -> Self {
        Self {
            mark: short(format!("{plan} {cutting} {text}")),
            plan,
            cutting,
            text,
        }
    }

    /// From the comments of a head; `None` where they hold none, or none that reads.
    pub(super) fn read(comments: &[&str]) -> Option<Self> {
        let mark = comments.iter().find_map(|words| words.strip_prefix(MARK))?;
        let parts = comments.iter().find_map(|words| words.strip_prefix(PLAN))?;
        let (plan, rest) = parts.split_once(CUTTING)?;
        let (cutting, text) = rest.split_once(TEXT)?;
        Some(Self {
            mark: mark.trim().to_owned(),
            plan: plan.trim().to_owned(),
            cutting: cutting.trim().to_owned(),
            text: text.trim().to_owned(),
        })
    }

    /// The comments that hold them.
    pub(crate) fn comments(&self) -> [String; 2] {
        let Self {
            mark,
            plan,
            cutting,
            text,
        } = self;
        [
            format!("({MARK}{mark})"),
            format!("({PLAN}{plan}{CUTTING}{cutting}{TEXT}{text})"),
        ]
    }

    /// Whether `text`, which carries these marks, was edited since it was written.
    ///
    /// # Errors
    /// [`MarkFault`] if it was made from something else than `part` in `setup`.
    pub fn edited(&self, part: Part, setup: &Setup, text: &str) -> Result<bool, MarkFault> {
        if Self::new(self.plan.clone(), self.cutting.clone(), self.text.clone()) != *self {
            return Err(MarkFault::Broken);
        }
        let now = Self::of(part, setup, text);
        let mark = self.mark.clone();
        if now.plan != self.plan {
            Err(MarkFault::Plan { mark })
        } else if now.cutting != self.cutting {
            Err(MarkFault::Cutting { mark })
        } else {
            Ok(now.text != self.text)
        }
    }
}

fn short(content: String) -> String {
    format!("{:.8}", ContentMark::of(content))
}

/// A program's text without its marks, whatever its line ends.
fn bare(text: &str) -> String {
    let own = |line: &&str| !(line.starts_with(&format!("({MARK}")) || line.starts_with(&format!("({PLAN}")));
    text.lines()
        .map(str::trim_end)
        .filter(own)
        .flat_map(|line| [line, "\n"])
        .collect()
}

/// The text of a value, its decimal fractions rounded to [`DECIMALS`].
fn steady(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = String::with_capacity(text.len());
    let (mut at, mut from) = (0, 0);
    let part_of_name = |b: &u8| b.is_ascii_alphanumeric() || *b == b'_';
    while at < bytes.len() {
        let before = at.checked_sub(1).and_then(|i| bytes.get(i));
        if !bytes[at].is_ascii_digit() || before.is_some_and(part_of_name) {
            at += 1;
            continue;
        }
        let mut end = at;
        while bytes
            .get(end)
            .is_some_and(|b| b.is_ascii_digit() || *b == b'.' || *b == b'e' || *b == b'-' && bytes[end - 1] == b'e')
        {
            end += 1;
        }
        let number = &text[at..end];
        if let Ok(value) = number.parse::<f64>()
            && number.contains(['.', 'e'])
        {
            let sign = before == Some(&b'-');
            let rounded = format!("{value:.DECIMALS$}");
            let nought = rounded.bytes().all(|b| b == b'0' || b == b'.');
            out.push_str(&text[from..at - usize::from(sign)]);
            if sign && !nought {
                out.push('-');
            }
            out.push_str(&rounded);
            from = end;
        }
        at = end;
    }
    out.push_str(&text[from..]);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_two_machines_work_out_differently_is_the_same() {
        assert_eq!(
            steady("P { a: 1.2000000001, b: [-0.0, 7], c: \"flat 3 mm\", d: 2e-9, e: -3.123456789 }"),
            "P { a: 1.20000, b: [0.00000, 7], c: \"flat 3 mm\", d: 0.00000, e: -3.12346 }"
        );
        assert_eq!(steady("x2.5 1.5"), "x2.5 1.50000");
    }

    #[test]
    fn a_text_is_marked_without_its_marks() {
        let text = "(a)\n(Setup: flat, x)\nG21\n";
        let marks = Marks::new("1".repeat(8), "2".repeat(8), short(bare(text)));
        let [one, two] = marks.comments();
        let marked = format!("(a)\r\n(Setup: flat, x)\r\n{one}\r\n{two}\r\nG21\r\n");
        assert_eq!(short(bare(&marked)), marks.text);
        assert_ne!(short(bare(&marked.replace("G21", "G20"))), marks.text);
        let comments: Vec<String> = [one, two].map(|c| c.trim_matches(['(', ')']).to_owned()).to_vec();
        let comments: Vec<&str> = comments.iter().map(String::as_str).collect();
        assert_eq!(Marks::read(&comments), Some(marks));
        assert!(comments.iter().all(|c| c.len() <= 70));
    }
}
