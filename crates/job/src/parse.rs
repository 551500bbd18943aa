//! From text to TOML, with what is wrong with its layout.

use toml::Spanned;
use toml::de::DeTable;

use crate::Severity;
use crate::problem::ProblemKind as P;
use crate::source::SourceText;

/// The tables of the text, unless it is not laid out as TOML; what is wrong is reported.
pub(crate) fn parse<'a>(source: &SourceText, text: &'a str) -> Option<Spanned<DeTable<'a>>> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut broken = false;
    for error in &errors {
        // A key that stands twice leaves the rest of the file readable.
        broken |= !is_duplicate(error);
        let line = error.span().map(|span| source.line(span.start));
        let (field, kind) = match error.span() {
            Some(span) if is_duplicate(error) => (source.slice(span).unwrap_or_default(), P::Twice {}),
            _ => (
                String::new(),
                P::Layout {
                    what: format!(
                        "The text is not laid out as a job file must be (TOML): {}. Look at this line and the one before it for \
                         quotes, brackets or an equals sign.",
                        error.message().trim().replace('\n', "; ")
                    ),
                },
            ),
        };
        source.report(Severity::Error, line, field, None, kind);
    }
    (!broken).then_some(root)
}

fn is_duplicate(error: &toml::de::Error) -> bool {
    error.message().contains("duplicate key")
}
