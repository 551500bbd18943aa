//! A text cut into the parts that are laid out on their own: names of tables, and keys with their values.

/// Most lines of one value: a list of a dozen strings with a remark at each has two dozen.
const MOST_LINES: usize = 200;

/// Most lines that are looked at ahead in one text, so that a text of nothing but openings is cut in time.
const MOST_AHEAD: usize = 20_000;

/// A part of the text: a line, or a key with a value that goes over several lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Statement<'a> {
    /// Its first line, from 1.
    pub(crate) line: usize,
    /// How many lines it has.
    pub(crate) lines: usize,
    /// Its text without the last line break.
    pub(crate) text: &'a str,
}

/// A character outside of quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Bare {
    pub(crate) at: usize,
    pub(crate) c: char,
    /// How many brackets and braces are open around it; a bracket stands outside of itself.
    pub(crate) depth: usize,
}

/// What stands outside of quotes, and whether a quote is open at the end. A remark is left out.
///
/// A quote mark right after a letter or digit opens nothing: it is an inch mark, an apostrophe, or the end of a text without a beginning.
pub(crate) fn bare(text: &str) -> (Vec<Bare>, bool) {
    let mut found = Vec::new();
    let mut depth = 0usize;
    let mut open = None;
    let mut before = ' ';
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        match (open, c) {
            (Some(_), _) if escaped => escaped = false,
            (Some('"'), '\\') => escaped = true,
            (Some(quote), c) if quote == c => open = None,
            (Some(_), _) => {}
            (None, '"' | '\'') if !before.is_alphanumeric() => open = Some(c),
            (None, '#') => break,
            (None, _) => {
                if matches!(c, ']' | '}' | ')') {
                    depth = depth.saturating_sub(1);
                }
                found.push(Bare { at, c, depth });
                if matches!(c, '[' | '{' | '(') {
                    depth += 1;
                }
            }
        }
        before = c;
    }
    (found, open.is_some())
}

/// The parts of the text, in order. Empty lines and remarks are parts too.
pub(crate) fn statements(text: &str) -> Vec<Statement<'_>> {
    let lines: Vec<&str> = text.split('\n').collect();
    let mut found = Vec::new();
    let mut at = 0;
    let mut start = 0;
    let mut ahead = MOST_AHEAD;
    while let Some(first) = lines.get(at) {
        let count = long_text(&lines, at)
            .or_else(|| long_value(&lines, at, &mut ahead))
            .unwrap_or(1);
        let taken = lines.get(at..at + count).unwrap_or(std::slice::from_ref(first));
        let length = taken.iter().map(|line| line.len() + 1).sum::<usize>();
        let end = (start + length).saturating_sub(1).min(text.len());
        found.push(Statement {
            line: at + 1,
            lines: count,
            text: text.get(start..end).unwrap_or_default(),
        });
        start += length;
        at += count;
    }
    found
}

/// How many lines a text in three quotes takes that begins at a line; `None` if none does, or it has no end.
fn long_text(lines: &[&str], at: usize) -> Option<usize> {
    let first = lines.get(at)?;
    let value = first.split_once('=')?.1.trim_start();
    let quotes = ["\"\"\"", "'''"].into_iter().find(|quotes| value.starts_with(quotes))?;
    if value.get(quotes.len()..)?.contains(quotes) {
        return None;
    }
    let below = lines.get(at + 1..)?.iter().position(|line| line.contains(quotes))?;
    Some(below + 2)
}

/// How many lines a list or braces take that are open at the end of a line; `None` if none are, or another key or table comes first.
fn long_value(lines: &[&str], at: usize, ahead: &mut usize) -> Option<usize> {
    let first = lines.get(at)?;
    if first.trim_start().starts_with('[') || !first.contains('=') {
        return None;
    }
    let mut open = 0i64;
    let mut braces = false;
    for (below, line) in lines.get(at..)?.iter().take(MOST_LINES.min(*ahead)).enumerate() {
        *ahead = ahead.saturating_sub(below.min(1));
        let trimmed = line.trim();
        let named = trimmed.split_once('=').is_some_and(|(key, _)| is_key(key.trim()));
        let name = trimmed.trim_matches(['[', ']']);
        let bracketed = trimmed.starts_with('[') && trimmed.ends_with(']');
        // `[1]` may be a list in a list.
        let header = bracketed && is_key(name) && name.starts_with(|c: char| c.is_ascii_alphabetic());
        if below > 0 && (header || named && !braces) {
            return None;
        }
        let (outside, quote) = bare(line);
        if quote {
            return None;
        }
        for c in outside.iter().map(|b| b.c) {
            open += i64::from(matches!(c, '[' | '{')) - i64::from(matches!(c, ']' | '}'));
        }
        if open <= 0 {
            return (below > 0).then_some(below + 1);
        }
        // Braces go on below only after a comma or at their very beginning.
        let ends = outside.iter().rev().find(|b| !b.c.is_whitespace()).map(|b| b.c);
        let left_open = line.matches('{').count() > line.matches('}').count();
        braces |= left_open;
        if left_open && !matches!(ends, Some('{' | ',' | '[')) {
            return None;
        }
    }
    None
}

/// Whether a text is a key that needs no quotes, dotted or not.
pub(crate) fn is_key(text: &str) -> bool {
    !text.is_empty()
        && text.split('.').all(|part| {
            !part.is_empty()
                && part
                    .chars()
                    .all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_may_go_over_several_lines() {
        let text =
            "a = 1\nb = [\n  [1], # one ]\n  [2]\n]\nc = { x = 1,\n  y = 2 }\nd = \"\"\"\nx = [\n\"\"\"\n\n[e]\n";
        let found: Vec<(usize, usize)> = statements(text).iter().map(|s| (s.line, s.lines)).collect();
        assert_eq!(found, [(1, 1), (2, 4), (6, 2), (8, 3), (11, 1), (12, 1), (13, 1)]);
        let rejoined: Vec<&str> = statements(text).iter().map(|s| s.text).collect();
        assert_eq!(rejoined.join("\n"), text);
    }

    #[test]
    fn what_is_never_closed_ends_with_its_line() {
        for text in [
            "b = [1, 2\nc = 3\n]",
            "b = [1, 2,\n[c]\nd = 1",
            "b = [1, 2,\n[[c]]\nd = 1",
            "b = { x = 1\ny = 2\n}",
            "b = [1, 2",
            "b = \"\"\"a\nc = 1",
            "[b\nc = 1",
            "b = \"[\nc = ]",
        ] {
            assert_eq!(statements(text)[0].lines, 1, "{text}");
            assert_eq!(statements(text).len(), text.lines().count(), "{text}");
        }
    }

    #[test]
    fn a_quote_mark_after_a_figure_opens_nothing() {
        let (outside, open) = bare("a = 1/2\", b # \"c\"");
        assert!(!open && outside.iter().any(|b| b.c == ','));
        assert!(bare("a = \"1/2").1);
        assert!(!bare("a = Bob's").1);
        let depths: Vec<usize> = bare("[{1}]").0.iter().map(|b| b.depth).collect();
        assert_eq!(depths, [0, 1, 2, 1, 0]);
    }
}
