//! What is wrong or doubtful in a job file or a profile, in words for the repairer.

mod kind;
mod quantity;
mod words;

use std::fmt;

use units::BenchUnit;

pub use kind::{ProblemKind, Why};
pub use quantity::{Beside, Quantity};
pub(crate) use quantity::{in_unit, mm};
pub use words::{Values, Wanted};

/// Most characters of a text that a message repeats.
const SHOWN_CHARS: usize = 60;

/// Most problems that are shown at once.
const MOST_SHOWN: usize = 50;

/// The problems to show, errors before warnings where there are more than fifty, and how many are not shown.
#[must_use]
pub fn shown(problems: &[Problem]) -> (Vec<&Problem>, usize) {
    let more = problems.len().saturating_sub(MOST_SHOWN);
    if more == 0 {
        return (problems.iter().collect(), 0);
    }
    let mut chosen: Vec<(usize, &Problem)> = problems.iter().enumerate().collect();
    chosen.sort_by_key(|(_, problem)| problem.severity); // stable: in line order still
    chosen.truncate(MOST_SHOWN);
    chosen.sort_by_key(|(at, _)| *at);
    (chosen.into_iter().map(|(_, problem)| problem).collect(), more)
}

/// Whether a problem stops the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The job cannot be planned until this is mended.
    Error,
    /// Doubtful: it can be planned, but look at it before cutting.
    Warning,
}

impl Severity {
    /// `error` or `warning`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// One problem: where it is, what was read, what is wrong and how to mend it.
///
/// Its `Display` is one readable paragraph without a file name; [`Problem::display`] adds one.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Whether it stops the work.
    pub severity: Severity,
    /// Line of the file, from 1; `None` if it belongs to no line, as with a table that is missing.
    pub line: Option<usize>,
    /// The field in dotted form, such as `slot.depth.bass`; empty if the text is no TOML.
    pub field: String,
    /// What stands in the file, shortened and fit to print.
    pub read: Option<String>,
    /// What is wrong, with its values.
    pub kind: ProblemKind,
    /// The job's unit, which the words speak in.
    pub(crate) bench: BenchUnit,
}

impl Problem {
    /// The name of its kind, such as `Outside`; of a string's, that of what is wrong with it.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match &self.kind {
            ProblemKind::InString { about, .. } => about.name(),
            kind => kind.name(),
        }
    }

    /// What is wrong, what is expected and how to mend it, in plain sentences and the job's unit.
    #[must_use]
    pub fn what(&self) -> String {
        self.kind.words(self.bench).trim_end().to_owned()
    }

    /// The problem as one paragraph that starts with the file's name.
    #[must_use]
    pub fn display<'a>(&'a self, file: &'a str) -> impl fmt::Display + 'a {
        InFile { problem: self, file }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write(self, "", f)
    }
}

struct InFile<'a> {
    problem: &'a Problem,
    file: &'a str,
}

impl fmt::Display for InFile<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write(self.problem, self.file, f)
    }
}

fn write(problem: &Problem, file: &str, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    f.write_str(problem.severity.name())?;
    let mut comma = ":";
    if !file.is_empty() {
        write!(f, "{comma} {file}")?;
        comma = ",";
    }
    if let Some(line) = problem.line {
        write!(f, "{comma} line {line}")?;
        comma = ",";
    }
    if !problem.field.is_empty() {
        write!(f, "{comma} {}", problem.field)?;
    }
    if let Some(read) = &problem.read {
        write!(f, ": read {read}")?;
    }
    write!(f, ": {}", problem.what())
}

/// Sorts problems by line, those without a line first, and drops repeats.
pub(crate) fn in_line_order(problems: &mut Vec<Problem>) {
    problems.sort_by_key(|problem| (problem.line, problem.severity));
    problems.dedup();
}

/// Most bytes of a field's name that are shown: the longest that is known has some fifty.
const SHOWN_FIELD: usize = 120;

/// Cuts off the rest of a field that no table has.
pub(crate) fn shorten(field: &mut String) {
    if field.len() > SHOWN_FIELD {
        let end = field.floor_char_boundary(SHOWN_FIELD);
        field.truncate(end);
        field.push('…');
    }
}

/// Text of a file made fit for a message: one line, short, without characters that could upset a terminal.
pub(crate) fn printable(read: &str) -> String {
    let mut shown = String::new();
    for (count, c) in read.trim().chars().enumerate() {
        if count == SHOWN_CHARS {
            shown.push('…');
            break;
        }
        match c {
            '"' | '\'' | '\\' => shown.push(c),
            c if c.is_whitespace() => shown.push(' '),
            c => shown.extend(c.escape_debug()),
        }
    }
    shown
}

/// The option nearest to `word`, if any is near enough to be meant.
pub(crate) fn nearest<'a>(word: &str, options: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    /// Likeness from which a word is taken for a misspelling; 1 is the same word.
    const NEAR: f64 = 0.5;
    let word = word.to_lowercase();
    let likeness = |option: &str| strsim::normalized_damerau_levenshtein(&word, &option.to_lowercase());
    options
        .into_iter()
        .map(|option| (likeness(option), option))
        .filter(|(near, _)| *near >= NEAR)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, option)| option)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_paragraph_with_and_without_the_file() {
        let problem = Problem {
            severity: Severity::Error,
            line: Some(7),
            field: "slot.depth.bass".into(),
            read: Some("55 mm".into()),
            kind: ProblemKind::BlankSunk {
                depth: Quantity::Length(5.0),
            },
            bench: BenchUnit::METRIC,
        };
        assert_eq!(
            problem.to_string(),
            "error: line 7, slot.depth.bass: read 55 mm: The blank does not reach out of the slot, which is 5.000 mm deep. Use a higher blank, or look at slot.depth."
        );
        assert_eq!(
            problem.display("a.toml").to_string(),
            "error: a.toml, line 7, slot.depth.bass: read 55 mm: The blank does not reach out of the slot, which is 5.000 mm deep. Use a higher blank, or look at slot.depth."
        );
    }

    #[test]
    fn what_is_shown_is_short_and_harmless() {
        assert_eq!(printable("a\n\u{1b}[2J"), "a \\u{1b}[2J");
        assert_eq!(printable(&"9".repeat(1000)).chars().count(), SHOWN_CHARS + 1);
    }

    #[test]
    fn the_nearest_word_or_none() {
        assert_eq!(nearest("lenght", ["length", "width"]), Some("length"));
        assert_eq!(nearest("zzz", ["length", "width"]), None);
    }
}
