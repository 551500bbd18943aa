//! From text to TOML, with what is wrong with its layout.

use toml::Spanned;
use toml::de::DeTable;

use crate::node::SourceText;
use crate::{Problem, Severity};

/// The tables of the text, unless it is not laid out as TOML; what is wrong is reported.
pub(crate) fn parse<'a>(source: &SourceText, text: &'a str) -> Option<Spanned<DeTable<'a>>> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut broken = false;
    for error in &errors {
        // A key that stands twice leaves the rest of the file readable.
        broken |= !is_duplicate(error);
        source.report(syntax(source, error));
    }
    (!broken).then_some(root)
}

fn syntax(source: &SourceText, error: &toml::de::Error) -> Problem {
    if let (true, Some(span)) = (is_duplicate(error), error.span()) {
        return Problem {
            severity: Severity::Error,
            line: Some(source.line(span.start)),
            field: source.slice(span).unwrap_or_default(),
            read: None,
            what: "This name stands twice in its table. Keep one of the two.".into(),
        };
    }
    Problem {
        severity: Severity::Error,
        line: error.span().map(|span| source.line(span.start)),
        field: String::new(),
        read: None,
        what: format!(
            "The text is not laid out as a job file must be (TOML): {}. Look at this line and the one before it for quotes, \
             brackets or an equals sign.",
            error.message().trim().replace('\n', "; ")
        ),
    }
}

fn is_duplicate(error: &toml::de::Error) -> bool {
    error.message().contains("duplicate key")
}
