//! From text to TOML, with what is wrong with its layout.

use std::collections::{BTreeMap, BTreeSet};

use toml::Spanned;
use toml::de::DeTable;

use crate::Severity;
use crate::layout::{Layout, Slip};
use crate::mending::{is_sound, layout};
use crate::problem::{ProblemKind, printable};
use crate::source::SourceText;
use crate::statements::{Statement, statements};

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
        report(source, Some(part.line), part.text, layout.clone());
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
        let layout = Layout {
            slip: Slip::Other,
            mend: None,
        };
        report(source, None, "", layout);
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
        let layout = Layout { slip, mend: None };
        match error.span().filter(|_| twice) {
            Some(span) => {
                let field = text.get(span).map(printable).unwrap_or_default();
                source.report(Severity::Error, line, field, None, ProblemKind::Layout { layout });
            }
            None => report(source, line, written, layout),
        }
    }
}

/// The name of the table that a line begins.
fn table_name(line: &str) -> Option<&str> {
    let (name, _) = line.trim().strip_prefix('[')?.split_once(']')?;
    Some(name.trim()).filter(|name| !name.starts_with('['))
}

fn report(source: &SourceText, line: Option<usize>, written: &str, layout: Layout) {
    let first = written.split('\n').next().unwrap_or_default().trim();
    let read = (!first.is_empty()).then(|| printable(first));
    source.report(
        Severity::Error,
        line,
        String::new(),
        read,
        ProblemKind::Layout { layout },
    );
}

fn is_duplicate(error: &toml::de::Error) -> bool {
    error.message().contains("duplicate key")
}
