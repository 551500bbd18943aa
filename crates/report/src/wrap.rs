//! Sentences in lines.

use textwrap::Options;

/// Columns of a page.
pub const WIDTH: usize = 80;

/// `text` broken into ended lines of at most [`WIDTH`] columns, the first led by `first`, the others by `rest`; figures
/// keep their units, control characters become blanks.
#[must_use]
pub fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let clean: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let options = Options::new(WIDTH).initial_indent(first).subsequent_indent(rest);
    textwrap::wrap(&glued(clean.trim()), options)
        .iter()
        .map(|line| format!("{}\n", line.replace(GLUE, " ")))
        .collect()
}

/// A blank at which no line is broken.
const GLUE: char = '\u{a0}';

/// Words that stay on the line of their figure.
const UNITS: [&str; 5] = ["thou", "mm", "in", "degrees", "cents"];

/// `text` with the blanks inside a measure made unbreakable: `2 63.5/64 in`.
fn glued(text: &str) -> String {
    let figure = |word: &str| {
        word.trim_start_matches('(')
            .starts_with(|c: char| c.is_ascii_digit() || c == '-')
    };
    let unit =
        |word: &str| word.starts_with('%') || UNITS.contains(&word.trim_end_matches(|c: char| !c.is_alphabetic()));
    let mut result = String::new();
    let mut before = "";
    for word in text.split(' ') {
        if !result.is_empty() {
            let fraction = figure(word) && word.contains('/');
            result.push(if figure(before) && (unit(word) || fraction) {
                GLUE
            } else {
                ' '
            });
        }
        result += word;
        before = word;
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_keeps_its_unit() {
        let tied = |text: &str| glued(text).replace(GLUE, "_");
        assert_eq!(tied("cut 2 63.5/64 in (76.0 mm), or"), "cut 2_63.5/64_in (76.0_mm), or");
        assert_eq!(
            tied("string 6 by 1.0 thou back in time"),
            "string 6 by 1.0_thou back in time"
        );
    }
}
