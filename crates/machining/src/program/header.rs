//! What a program says about itself in the comments at its head. The program text is written with the same words.

use super::marks::Marks;
use crate::setup::{setup_name, setup_named};
use crate::{PartKind, SetupKind};
use thiserror::Error;

/// Longest comment on a line, characters without its parentheses, where the machine's lines are long enough.
const COMMENT: usize = 70;
/// Room that a comment has at least, characters.
const COMMENT_LEAST: usize = 20;
const SETUP: &str = "Setup: ";
/// Behind the setup's name: the part's outline was cut before.
const OUTLINED: &str = "outline cut before";
const MACHINE: &str = "Machine: ";
const TOOL: &str = "Tool ";

/// The head of a program.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Header {
    /// Title of the job, as comments hold it; empty without any comment before the setup.
    pub title: String,
    /// The part and its setup, if they are named.
    pub setup: Option<(PartKind, SetupKind)>,
    /// The outline was cut before, in a setup of its own.
    pub outlined: bool,
    /// The machine, if one is named.
    pub machine: Option<String>,
    /// What it was made from, if it says so.
    pub marks: Option<Marks>,
    /// The first tool, if one is named.
    pub tool: Option<u32>,
}

/// A setup that nobody knows.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("line {line} names the setup \"{found}\"; known are {}", known())]
pub struct HeaderError {
    /// Line, from 1.
    pub line: u32,
    /// What stands there.
    pub found: String,
}

fn known() -> String {
    let all = PartKind::ALL.into_iter();
    let names = all.flat_map(|part| SetupKind::ALL.map(|kind| setup_name(part, kind)));
    let known: Vec<String> = names
        .filter(|name| setup_named(name).is_some())
        .map(|name| format!("\"{name}\""))
        .collect();
    known.join(", ")
}

/// Reads the head of a program. A text without one, as when its comments were taken out, gives an empty header.
///
/// # Errors
/// [`HeaderError`] if it names a setup that is none.
pub fn header(text: &str) -> Result<Header, HeaderError> {
    let mut header = Header::default();
    let lines = (1..).zip(text.lines().map(str::trim));
    let comments = lines
        .skip_while(|(_, line)| line.is_empty() || *line == "%")
        .map_while(|(number, line)| Some((number, line.strip_prefix('(')?.strip_suffix(')')?)));
    let comments: Vec<(u32, &str)> = comments.collect();
    // A title may begin like the line that names the setup; the last such line is the one.
    let at = comments.iter().rposition(|(_, words)| words.starts_with(SETUP));
    if let Some((i, (line, words))) = at.and_then(|i| Some((i, comments.get(i)?))) {
        let mut said = words[SETUP.len()..].split(',').map(str::trim);
        let found = said.next().unwrap_or_default();
        header.outlined = said.next() == Some(OUTLINED);
        header.setup = Some(setup_named(found).ok_or_else(|| HeaderError {
            line: *line,
            found: found.to_owned(),
        })?);
        let title: Vec<&str> = comments[..i].iter().map(|(_, words)| *words).collect();
        header.title = title.join(" ");
        let behind: Vec<&str> = comments[i..].iter().map(|(_, words)| *words).collect();
        header.machine = behind
            .iter()
            .find_map(|words| words.strip_prefix(MACHINE).map(str::to_owned));
        header.marks = Marks::read(&behind);
    }
    header.tool = comments.iter().find_map(|(_, words)| tool_of(words));
    Ok(header)
}

/// The tool that a comment names.
fn tool_of(words: &str) -> Option<u32> {
    words.strip_prefix(TOOL)?.split_once(':')?.0.parse().ok()
}

/// The last tool that comments name.
pub(super) fn tool_named(comments: &[String]) -> Option<u32> {
    comments.iter().rev().find_map(|words| tool_of(words))
}

/// The words that name a setup, and say how the stock is held.
pub(crate) fn setup_words(part: PartKind, kind: SetupKind, outlined: bool, held: &str) -> String {
    // A nut's outline always goes before its slots.
    let before = if outlined && part == PartKind::Saddle {
        format!("{OUTLINED}, ")
    } else {
        String::new()
    };
    format!("{SETUP}{}, {before}{held}", setup_name(part, kind))
}

/// The words that name a machine.
pub(crate) fn machine_words(name: &str) -> String {
    format!("{MACHINE}{name}")
}

/// The words that name a tool.
pub(crate) fn tool_words(number: u32, words: &str) -> String {
    format!("{TOOL}{number}: {words}")
}

/// Words as comments hold them, a line each: no parentheses within, nothing but ASCII, and lines of at most `most` characters with
/// their parentheses.
pub(crate) fn comment_lines(words: &str, most: usize) -> Vec<String> {
    let room = COMMENT.min(most.saturating_sub(2)).max(COMMENT_LEAST);
    let clean: String = words
        .chars()
        .map(|c| match c {
            '(' => '[',
            ')' => ']',
            ' '..='~' => c,
            c if c.is_whitespace() => ' ',
            _ => '?',
        })
        .collect();
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in clean.split(' ').filter(|w| !w.is_empty()) {
        // A word of its own that is too long is cut; every byte is one character here.
        let word = &word[..word.len().min(room)];
        if !line.is_empty() && line.len() + 1 + word.len() > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.extend((!line.is_empty()).then_some(line));
    lines
}

/// A job's title as [`Header::title`] gives it back from a program for a machine that takes lines of `most` characters.
#[must_use]
pub fn header_title(title: &str, most: usize) -> String {
    comment_lines(title, most).join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const KNOWN: [(PartKind, SetupKind); 5] = [
        (PartKind::Saddle, SetupKind::OnEdge),
        (PartKind::Saddle, SetupKind::Flat),
        (PartKind::Nut, SetupKind::OnEdge),
        (PartKind::Nut, SetupKind::Flat),
        (PartKind::Nut, SetupKind::OnEnd),
    ];

    fn written(title: &str, (part, kind): (PartKind, SetupKind)) -> String {
        let mut words = comment_lines(title, 80);
        words.extend(comment_lines(&setup_words(part, kind, true, "held somehow"), 80));
        words.extend(comment_lines(&machine_words("a small router"), 80));
        words.extend(comment_lines("Zero: X at the stock's left end", 80));
        words.extend(comment_lines(&tool_words(3, "ball 3 mm"), 80));
        let lines: Vec<String> = words.iter().map(|w| format!("({w})\n")).collect();
        lines.concat() + "G21\n(Setup: nonsense, further down)\nM30\n"
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(title in "\\PC{0,200}", i in 0..KNOWN.len()) {
            let kind = KNOWN[i];
            let read = header(&written(&title, kind)).unwrap();
            let outlined = kind.0 == PartKind::Saddle;
            let machine = Some("a small router".to_owned());
            let title = header_title(&title, 80);
            prop_assert_eq!(read, Header { title, setup: Some(kind), outlined, machine, marks: None, tool: Some(3) });
        }
    }

    #[test]
    fn a_title_like_a_setup() {
        let read = header(&written("Setup: of my own", KNOWN[1])).unwrap();
        assert_eq!((read.setup, read.title.as_str()), (Some(KNOWN[1]), "Setup: of my own"));
    }

    #[test]
    fn edited_heads() {
        let text = written("a", KNOWN[0]);
        assert_eq!(header("G21\nM30\n"), Ok(Header::default()));
        assert_eq!(header(&format!("%\n\n{text}")).unwrap().setup, Some(KNOWN[0]));
        let wrong = header(&text.replace("on-edge", "upside-down")).unwrap_err();
        assert_eq!((wrong.line, wrong.found.as_str()), (2, "upside-down"));
        assert!(wrong.to_string().contains("\"on-edge\", \"flat\", \"nut-on-edge\""));
    }
}
