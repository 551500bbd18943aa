//! What is wrong with the layout of a text, as a value and in words for the repairer.

use std::fmt;

/// Most characters of a line that a message shows as it must be.
const MOST_SHOWN: usize = 160;

/// A line that is not laid out as a job file must be, and the line as it must be where that is known.
///
/// Its `Display` is what is wrong and how to mend it, in sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// What is wrong with it; of several slips the one to mend first.
    pub slip: Slip,
    /// The line, or lines, as it must be, with every slip mended. It can be read as it stands; what it says may still be refused.
    pub mend: Option<String>,
}

/// What a hand does to the layout of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Slip {
    /// Curly quotes, as text programs make them.
    CurlyQuotes,
    /// A character that looks like a space or like nothing: which.
    Unseen(char),
    /// A text without quotes: `height = 1/2`.
    NoQuotes,
    /// A quote without its other one.
    OpenQuote,
    /// A mark that is an inch mark to the writer and ends the text for the reader.
    InchMark,
    /// A backslash between double quotes.
    Backslash,
    /// A comma in a number.
    Comma,
    /// A number without a digit before or after its point, with a nought before it or another sign than a plain minus.
    Figure,
    /// `yes`, `No`, `True` for `true` or `false`.
    YesNo,
    /// A key and a value without `=`.
    NoEquals,
    /// A colon for `=`.
    Colon,
    /// More than one `=`, or a mark beside it.
    Equals,
    /// Nothing before `=`.
    NoKey,
    /// A key with a word for "not known" as its value.
    NotKnown,
    /// A key without a value.
    NoValue,
    /// A key of several words.
    KeySpaces,
    /// A key with other characters than letters, digits, `_` and `-`.
    KeyMarks,
    /// A list that is not closed.
    OpenList,
    /// Braces that are not closed.
    OpenBraces,
    /// Brackets of another kind, or none, around several values.
    Brackets,
    /// No comma, or another mark, between values.
    NoCommas,
    /// More than one key on a line.
    TwoKeys,
    /// Something after a value.
    AfterValue,
    /// A remark that does not begin with `#`.
    Remark,
    /// The name of a table without both its brackets, in others, or of several words.
    Header,
    /// Something after the name of a table.
    AfterHeader,
    /// A table that is begun twice: its name and the line where it was first begun.
    TableTwice {
        /// The name as written between the brackets.
        name: String,
        /// Line of the file, from 1.
        first: usize,
    },
    /// A key that stands twice in its table.
    KeyTwice,
    /// Words that are no line of a job file.
    Words,
    /// Anything else.
    Other,
}

impl fmt::Display for Layout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        use Slip as S;
        let mend = self.mend.as_deref().filter(|mend| mend.chars().count() <= MOST_SHOWN);
        let (wrong, without_mend) = match &self.slip {
            S::CurlyQuotes => ("The quotes are curly.", "Write plain ones, \" or '."),
            S::Unseen(c) => {
                let code = u32::from(*c);
                write!(f, "There is a character in it that cannot be seen (U+{code:04X}). ")?;
                ("A space is typed with the space bar.", "Type the line again.")
            }
            S::NoQuotes => (
                "What is neither a plain number nor true or false stands in quotes.",
                "Put quotes around the value.",
            ),
            S::OpenQuote => (
                "A text stands between two quotes of one kind.",
                "Add the one that is missing.",
            ),
            S::InchMark => (
                "A second quote mark ends the text, so inches are written in.",
                "Write in for the mark.",
            ),
            S::Backslash => (
                "A backslash has a meaning of its own between double quotes.",
                "Leave it out, or put single quotes around the text.",
            ),
            S::Comma => (
                "A number has a point before its decimals and nothing between its thousands.",
                "Write it without a comma; a list stands in [ ].",
            ),
            S::Figure => (
                "A number has a digit before and after its point, no nought before it, and a plain - for minus.",
                "Write it so.",
            ),
            S::YesNo => (
                "Yes and no are written true and false, in small letters without quotes.",
                "Write true or false.",
            ),
            S::NoEquals => ("A key and its value have an = between them.", "Add it."),
            S::Colon => (
                "A key and its value have an = between them, not a colon.",
                "Write = for the colon.",
            ),
            S::Equals => (
                "A key and its value have one = between them.",
                "Leave out what is too much.",
            ),
            S::NoKey => (
                "There is no key before the =.",
                "Write the name of what is given there.",
            ),
            S::NotKnown => ("What is not known yet is left out.", "Put # before the line."),
            S::NoValue => (
                "There is a key without a value.",
                "Write = and the value after it, or take the line out.",
            ),
            S::KeySpaces => ("A key is one word, its parts joined by _.", "Join them."),
            S::KeyMarks => (
                "A key has only the letters a to z, digits and _; its unit stands in the value.",
                "Write it so.",
            ),
            S::OpenList => ("A list ends with ].", "Add it at the end of the list."),
            S::OpenBraces => ("What begins with { ends with }.", "Add it at the end."),
            S::Brackets => (
                "Several values stand in [ ], and values with names in { }.",
                "Put them around the values, each with its partner.",
            ),
            S::NoCommas => (
                "Values in a list or in braces have a comma between them.",
                "Put one between each two.",
            ),
            S::TwoKeys => ("Each key has a line of its own.", "Part them."),
            S::AfterValue => (
                "Nothing but a remark stands after a value.",
                "Take it out, or put # before it.",
            ),
            S::Remark => ("A remark begins with #.", "Put # before it."),
            S::Header => (
                "The name of a table stands in [ ], its parts joined by _.",
                "Write it so.",
            ),
            S::AfterHeader => (
                "Nothing but a remark stands after the name of a table.",
                "Put the rest on a line of its own.",
            ),
            S::TableTwice { name, first } => {
                return write!(
                    f,
                    "The table {name} stands twice; it is begun at line {first}. Put the keys of both under one of the two, and take \
                     out the other name."
                );
            }
            S::KeyTwice => ("This name stands twice in its table.", "Keep one of the two."),
            S::Words => (
                "The line is neither a key with its value, such as `height = 12`, nor the name of a table, such as `[blank]`, nor a \
                 remark.",
                "If it is a remark, put # before it.",
            ),
            S::Other => (
                "This line is not laid out as a line of a job file.",
                "Look at it and the one before it for quotes, brackets or an equals sign.",
            ),
        };
        match mend {
            None => write!(f, "{wrong} {without_mend}"),
            Some(mend) => {
                f.write_str(wrong)?;
                let mut joint = " Write ";
                for line in mend.lines() {
                    write!(f, "{joint}`{line}`")?;
                    joint = " and below it ";
                }
                f.write_str(".")
            }
        }
    }
}
