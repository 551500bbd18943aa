//! How a text file is put down: with a mark of the byte order, with which line ends. A change to a job keeps that.

/// Mark of the byte order, as some editors put it before UTF-8.
const MARK: char = '\u{feff}';

/// How a text file is put down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextForm {
    mark: bool,
    /// The one line end of the text; `None` if there are several.
    end: Option<&'static str>,
}

impl TextForm {
    /// The form of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let (all, long) = (text.matches('\n').count(), text.matches("\r\n").count());
        Self {
            mark: text.starts_with(MARK),
            end: match long {
                0 => Some("\n"),
                _ => (long == all).then_some("\r\n"),
            },
        }
    }

    /// A text in this form. Where line ends are mixed, they stay as they are.
    #[must_use]
    pub fn put(self, text: &str) -> String {
        let mut text = text.strip_prefix(MARK).unwrap_or(text).to_owned();
        if let Some(end) = self.end {
            text = text.replace("\r\n", "\n").replace('\n', end);
        }
        if self.mark { format!("{MARK}{text}") } else { text }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_from_one_text_to_the_next() {
        for (was, now) in [
            ("a\nb\n", "c\nd\n"),
            ("a\r\nb\r\n", "c\r\nd\r\n"),
            ("\u{feff}a\nb\n", "\u{feff}c\nd\n"),
            ("\u{feff}a\r\n", "\u{feff}c\r\nd\r\n"),
            ("", "c\nd\n"),
        ] {
            let form = TextForm::of(was);
            for given in ["c\nd\n", "\u{feff}c\r\nd\n", "c\r\nd\r\n"] {
                assert_eq!(form.put(given), now, "{was:?}, {given:?}");
            }
            assert_eq!(form.put(was), was);
        }
        assert_eq!(TextForm::of("a\r\nb\n").put("a\r\nc\n"), "a\r\nc\n");
    }
}
