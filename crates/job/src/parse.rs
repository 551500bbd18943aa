//! From text to TOML, with what is wrong with its layout.

use std::collections::{BTreeMap, BTreeSet};

use toml::Spanned;
use toml::de::DeTable;

use crate::layout::{Layout, Slip};
use crate::mending::{is_sound, layout};
use crate::node::SourceText;
use crate::problem::printable;
use crate::statements::{Statement, statements};
use crate::{Problem, Severity};

/// The tables of the text, unless it is not laid out as TOML; what is wrong is reported, every line of it.
pub(crate) fn parse<'a>(source: &SourceText, text: &'a str) -> Option<Spanned<DeTable<'a>>> {
    let (root, errors) = DeTable::parse_recoverable(text);
    // A key that stands twice leaves the rest of the file readable.
    if errors.iter().all(is_duplicate) {
        report_errors(source, text, &errors);
        return Some(root);
    }
    let mut mended: Vec<&str> = text.split('\n').collect();
    let mends: Vec<(Statement, Layout)> = statements(text)
        .into_iter()
        .filter(|part| !is_sound(part.text.trim_end_matches('\r')))
        .map(|part| (part, layout(part.text)))
        .collect();
    for (part, layout) in &mends {
        source.report(problem(Some(part.line), part.text, layout));
        let from = part.line.saturating_sub(1);
        for line in mended.iter_mut().skip(from).take(part.lines) {
            *line = "";
        }
        // The name of a table holds for what comes after it.
        if let (Some(line), Slip::Header, Some(mend)) = (mended.get_mut(from), &layout.slip, &layout.mend) {
            *line = mend;
        }
    }
    // With those lines out of the way, what is still wrong is a fault of its own.
    let rest = mended.join("\n");
    let (_, errors) = DeTable::parse_recoverable(&rest);
    report_errors(source, &rest, &errors);
    if mends.is_empty() && errors.is_empty() {
        source.report(problem(
            None,
            "",
            &Layout {
                slip: Slip::Other,
                mend: None,
            },
        ));
    }
    None
}

/// Reports what the parser refuses, once a line, in our words.
fn report_errors(source: &SourceText, text: &str, errors: &[toml::de::Error]) {
    let places = SourceText::new(text);
    let lines: Vec<&str> = text.split('\n').collect();
    let mut begun = BTreeMap::new();
    for (at, name) in lines
        .iter()
        .enumerate()
        .filter_map(|(at, line)| Some((at, table_name(line)?)))
    {
        begun.entry(name).or_insert(at + 1);
    }
    let mut seen = BTreeSet::new();
    for error in errors {
        let line = error.span().map(|span| places.line(span.start));
        let written = line.and_then(|line| lines.get(line - 1).copied()).unwrap_or_default();
        let twice = is_duplicate(error);
        if !seen.insert((line, twice)) {
            continue;
        }
        let first = table_name(written).and_then(|name| Some((name, *begun.get(name)?)));
        let slip = match first {
            Some((name, first)) if twice && line.is_some_and(|line| first < line) => Slip::TableTwice {
                name: format!("[{}]", printable(name)),
                first,
            },
            _ if twice => Slip::KeyTwice,
            _ => Slip::Other,
        };
        let mut found = problem(line, written, &Layout { slip, mend: None });
        if let (true, Some(span)) = (twice, error.span()) {
            found.field = text.get(span).map(printable).unwrap_or_default();
            found.read = None;
        }
        source.report(found);
    }
}

/// The name of the table that a line begins.
fn table_name(line: &str) -> Option<&str> {
    let (name, _) = line.trim().strip_prefix('[')?.split_once(']')?;
    Some(name.trim()).filter(|name| !name.starts_with('['))
}

fn problem(line: Option<usize>, written: &str, layout: &Layout) -> Problem {
    let first = written.split('\n').next().unwrap_or_default().trim();
    Problem {
        severity: Severity::Error,
        line,
        field: String::new(),
        read: (!first.is_empty()).then(|| printable(first)),
        what: layout.to_string(),
    }
}

fn is_duplicate(error: &toml::de::Error) -> bool {
    error.message().contains("duplicate key")
}
