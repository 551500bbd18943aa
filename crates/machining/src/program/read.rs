//! A reader of RS-274/NGC words.
//!
//! Source: T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274/NGC Interpreter, Version 3", NISTIR 6556 (2000),
//! section 3.3. A subset: no parameters, no expressions, no block delete, no messages to the operator but comments.

use thiserror::Error;

use super::code::{g_group, m_group, written};
use crate::Words;

/// Longest line, characters (NISTIR 6556, section 3.3).
const LINE_MOST: usize = 256;
/// Most M words of one line (NISTIR 6556, section 3.3.4).
const M_WORDS_MOST: usize = 4;
/// Letters that this reader knows besides G and M.
const LETTERS: &str = "XYZIJKRFSTPHN";
/// How far a G or M number may be from a whole tenth.
const TENTH: f64 = 1e-9;

/// A letter with its number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// Upper-case letter.
    pub letter: char,
    /// Number, in the program's own units.
    pub value: f64,
    /// Column of the letter, from 1.
    pub column: u32,
}

impl Word {
    /// The number of a G or M word in tenths; `None` when it is no whole tenth from 0 to 999.9.
    #[must_use]
    pub fn tenths(&self) -> Option<u32> {
        let tenths = 10.0 * self.value;
        let whole = tenths.round();
        // The bounds make the cast exact.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let code = ((0.0..10_000.0).contains(&whole) && (tenths - whole).abs() < TENTH).then_some(whole as u32);
        code
    }
}

/// The words of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Line of the text, from 1.
    pub number: u32,
    /// Its words, in order.
    pub words: Vec<Word>,
    /// Comments since the line with words before it, its own included, without their signs.
    pub comments: Vec<String>,
}

/// What is wrong with a place in the text.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum TextFault {
    /// No line with words.
    #[error("the program holds no word; the file is empty or is no program")]
    Empty,
    /// A character outside ASCII, also in a comment.
    #[error("the character {0:?} is not plain ASCII; write it with plain letters, digits and signs")]
    NotAscii(char),
    /// A comment within a comment.
    #[error("a comment opens within a comment; take the inner parenthesis out")]
    NestedComment,
    /// A comment that does not close on its line.
    #[error("a comment is not closed on its line; the line may be cut short")]
    OpenComment,
    /// `)` without `(`.
    #[error("a closing parenthesis stands without an opening one")]
    StrayParenthesis,
    /// Something that is no word.
    #[error("{0:?} is no word here; a word is a letter and a number with a decimal point, such as X1.5")]
    Character(char),
    /// A parameter, an expression or block delete.
    #[error(
        "{0:?} starts a parameter, an expression or an optional line; write plain numbers, so that the cut can be judged"
    )]
    Expression(char),
    /// A letter without a number.
    #[error("{0} has no number behind it")]
    MissingNumber(char),
    /// A number that does not read.
    #[error("{text:?} behind {letter} is no number; write it with one decimal point, such as 1.5")]
    BadNumber {
        /// Letter of the word.
        letter: char,
        /// What stands there.
        text: String,
    },
    /// A letter or a G or M number outside the subset.
    #[error("{0} is not a word that this program may hold; take it out")]
    UnknownWord(String),
    /// Two words that exclude each other.
    #[error("{0} and {1} are of one group and exclude each other; keep one of them on the line")]
    SameGroup(String, String),
    /// The same letter twice.
    #[error("{0} stands twice on the line; keep one of them")]
    Duplicate(char),
    /// More M words than a line may hold.
    #[error("more than {M_WORDS_MOST} M words stand on one line; spread them over lines")]
    TooManyM,
    /// Line number that is not first or not whole.
    #[error("the line number must be whole, at most 99999, and first on its line")]
    LineNumber,
    /// A line longer than the language allows.
    #[error("the line is longer than {LINE_MOST} characters")]
    LongLine,
    /// A line longer than the machine takes.
    #[error(
        "the line has {length} characters, and the machine takes {most}: it may lose the rest. Write it on two lines"
    )]
    LineMost {
        /// Its length, characters.
        length: usize,
        /// Longest that the machine takes.
        most: usize,
    },
    /// The first `%` has no fellow, or the last line no end.
    #[error("the text stops early: {0}")]
    Truncated(&'static str),
    /// Words after the closing `%`.
    #[error("words stand behind the closing %, where no controller reads them")]
    AfterEnd,
    /// A word that the machine does not accept.
    #[error("{0} is not among the words that the machine accepts; take it out or choose another machine")]
    NotAccepted(String),
}

/// A fault with its place.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("line {line}, column {column}: {fault}")]
pub struct TextError {
    /// Line of the text, from 1.
    pub line: u32,
    /// Column, from 1.
    pub column: u32,
    /// What is wrong.
    pub fault: TextFault,
}

/// Reads a program. Lines without words are left out.
///
/// # Errors
/// The first fault of every faulty line.
pub fn read(text: &str) -> Result<Vec<Line>, Vec<TextError>> {
    let mut lines = Vec::new();
    let mut errors = Vec::new();
    let (mut percents, mut last) = (0, 1);
    let mut said = Vec::new();
    for (number, raw) in (1u32..).zip(text.lines()) {
        last = number;
        let plain = raw.trim();
        if plain == "%" {
            percents += 1;
            continue;
        }
        match read_line(raw, number, &mut said) {
            Ok(words) if words.is_empty() => {}
            Ok(words) => {
                if percents == 2 {
                    errors.push(error(number, 1, TextFault::AfterEnd));
                }
                let comments = std::mem::take(&mut said);
                lines.push(Line {
                    number,
                    words,
                    comments,
                });
            }
            Err(fault) => errors.push(fault),
        }
    }
    if lines.is_empty() && errors.is_empty() {
        errors.push(error(1, 1, TextFault::Empty));
    } else if percents == 1 || percents > 2 {
        let what = "a program that opens with % closes with one more % and holds no other";
        errors.push(error(last, 1, TextFault::Truncated(what)));
    } else if !text.ends_with('\n') {
        errors.push(error(last, 1, TextFault::Truncated("the last line has no line end")));
    }
    if errors.is_empty() { Ok(lines) } else { Err(errors) }
}

/// Words that the machine does not accept.
#[must_use]
pub fn permitted(lines: &[Line], words: &Words) -> Vec<TextError> {
    let refused = |word: &Word| match word.letter {
        'G' => word.tenths().filter(|t| !words.g.contains(t)).map(|t| written('G', t)),
        'M' => word.tenths().filter(|t| !words.m.contains(t)).map(|t| written('M', t)),
        letter => (!words.letters.contains(&letter)).then(|| letter.to_string()),
    };
    lines
        .iter()
        .flat_map(|line| line.words.iter().map(move |word| (line.number, word)))
        .filter_map(|(number, word)| refused(word).map(|name| error(number, word.column, TextFault::NotAccepted(name))))
        .collect()
}

/// Lines longer than `most` characters, comments and spaces counted: a controller reads them all.
#[must_use]
pub fn too_long(text: &str, most: usize) -> Vec<TextError> {
    let lengths = (1u32..).zip(text.lines().map(|line| line.trim_end_matches('\r').chars().count()));
    let long = lengths.filter(|(_, length)| *length > most);
    let column = u32::try_from(most + 1).unwrap_or(u32::MAX);
    long.map(|(number, length)| error(number, column, TextFault::LineMost { length, most }))
        .collect()
}

fn error(line: u32, column: u32, fault: TextFault) -> TextError {
    TextError { line, column, fault }
}

/// Words of one line, checked against each other; its comments go to `said`.
fn read_line(raw: &str, number: u32, said: &mut Vec<String>) -> Result<Vec<Word>, TextError> {
    let at_column = |at: usize, fault| error(number, u32::try_from(at + 1).unwrap_or(u32::MAX), fault);
    let fail = |at, fault| Err(at_column(at, fault));
    if let Some((at, c)) = raw
        .chars()
        .enumerate()
        .find(|(_, c)| !(c.is_ascii_graphic() || matches!(c, ' ' | '\t')))
    {
        return fail(at, TextFault::NotAscii(c));
    }
    if raw.len() > LINE_MOST {
        return fail(LINE_MOST, TextFault::LongLine);
    }
    let mut words: Vec<Word> = Vec::new();
    // All of it is ASCII from here on, so bytes are characters. A comment's closing is looked for within the line.
    let bytes = raw.as_bytes();
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let c = char::from(byte);
        match c {
            ' ' | '\t' => at += 1,
            ';' => {
                said.push(raw[at + 1..].trim().to_owned());
                break;
            }
            '(' => {
                let rest = &raw[at + 1..];
                match rest.find(['(', ')']) {
                    Some(end) if rest[end..].starts_with(')') => {
                        said.push(rest[..end].trim().to_owned());
                        at += end + 2;
                    }
                    Some(end) => return fail(at + 1 + end, TextFault::NestedComment),
                    None => return fail(at, TextFault::OpenComment),
                }
            }
            ')' => return fail(at, TextFault::StrayParenthesis),
            '#' | '[' | ']' | '/' => return fail(at, TextFault::Expression(c)),
            _ if c.is_ascii_alphabetic() => {
                let letter = c.to_ascii_uppercase();
                let start = at;
                at += 1;
                let text = number_text(raw, &mut at);
                let value = number_value(letter, &text).map_err(|fault| at_column(start, fault))?;
                let column = u32::try_from(start + 1).unwrap_or(u32::MAX);
                let word = Word { letter, value, column };
                check_word(&word, &words).map_err(|fault| at_column(start, fault))?;
                words.push(word);
            }
            _ => return fail(at, TextFault::Character(c)),
        }
    }
    Ok(words)
}

/// Text of the number behind a letter: everything up to the next letter, comment or end, spaces left out.
fn number_text(raw: &str, at: &mut usize) -> String {
    let rest = &raw[*at..];
    let end = rest
        .find(|c: char| c.is_ascii_alphabetic() || matches!(c, '(' | ')' | ';'))
        .unwrap_or(rest.len());
    *at += end;
    rest[..end].chars().filter(|c| !matches!(c, ' ' | '\t')).collect()
}

/// A number: sign, digits, at most one decimal point, at least one digit; no exponent.
fn number_value(letter: char, text: &str) -> Result<f64, TextFault> {
    if text.is_empty() {
        return Err(TextFault::MissingNumber(letter));
    }
    if let Some(c) = text.chars().find(|c| matches!(c, '#' | '[' | ']' | '/')) {
        return Err(TextFault::Expression(c));
    }
    let bad = || TextFault::BadNumber {
        letter,
        text: text.to_owned(),
    };
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let plain = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    if !plain || digits.matches('.').count() > 1 || !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(bad());
    }
    text.parse::<f64>().ok().filter(|v| v.is_finite()).ok_or_else(bad)
}

/// Checks a word against the subset and the words before it on its line.
fn check_word(word: &Word, before: &[Word]) -> Result<(), TextFault> {
    let same = |letter: char| before.iter().filter(move |w| w.letter == letter);
    match word.letter {
        letter @ ('G' | 'M') => {
            let unknown = || TextFault::UnknownWord(format!("{letter}{}", word.value));
            let tenths = word.tenths().ok_or_else(unknown)?;
            let clash = |other: u32| match letter {
                'G' => g_group(other) == g_group(tenths),
                // Mist and flood go together; off goes with neither.
                _ => {
                    m_group(other) == m_group(tenths) && (other == tenths || ![70, 80].contains(&other) || tenths == 90)
                }
            };
            let known = if letter == 'G' {
                g_group(tenths).is_some()
            } else {
                m_group(tenths).is_some()
            };
            if !known {
                return Err(unknown());
            }
            if let Some(other) = same(letter).filter_map(Word::tenths).find(|other| clash(*other)) {
                return Err(TextFault::SameGroup(written(letter, other), written(letter, tenths)));
            }
            if letter == 'M' && same('M').count() >= M_WORDS_MOST {
                return Err(TextFault::TooManyM);
            }
        }
        'N' if !before.is_empty() || word.value.fract() != 0.0 || !(0.0..=99_999.0).contains(&word.value) => {
            return Err(TextFault::LineNumber);
        }
        letter if !LETTERS.contains(letter) => return Err(TextFault::UnknownWord(letter.to_string())),
        letter => {
            if same(letter).next().is_some() {
                return Err(TextFault::Duplicate(letter));
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn first_fault(text: &str) -> TextFault {
        read(text).unwrap_err().remove(0).fault
    }

    fn words(text: &str) -> Vec<(char, f64)> {
        let lines = read(text).unwrap();
        lines
            .iter()
            .flat_map(|l| &l.words)
            .map(|w| (w.letter, w.value))
            .collect()
    }

    #[test]
    fn reads_words_spaces_case_and_comments() {
        assert_eq!(
            words("%\nn10 g1 x - 1 . 5(a comment; still one)Y+.25 ; G2 X9\n\n%\n"),
            [('N', 10.0), ('G', 1.0), ('X', -1.5), ('Y', 0.25)]
        );
        assert_eq!(words("G91.1G17G90X1.F100\r\n").len(), 5);
        let line = read("(one)\n\n G1 X2\n").unwrap().remove(0);
        assert_eq!((line.number, line.words[1].column), (3, 5));
    }

    #[test]
    fn refuses_each_fault() {
        type Test = fn(&TextFault) -> bool;
        let cases: [(&str, Test); 22] = [
            ("", |f| matches!(f, TextFault::Empty)),
            ("(only a comment)\n", |f| matches!(f, TextFault::Empty)),
            ("G1 X1,5\n", |f| matches!(f, TextFault::BadNumber { letter: 'X', .. })),
            ("G1 X1.2.3\n", |f| matches!(f, TextFault::BadNumber { .. })),
            ("G1 X--1\n", |f| matches!(f, TextFault::BadNumber { .. })),
            ("G1 X1e3\n", |f| {
                matches!(f, TextFault::MissingNumber('E') | TextFault::UnknownWord(_))
            }),
            ("G1 X Y2\n", |f| matches!(f, TextFault::MissingNumber('X'))),
            ("G1 X.\n", |f| matches!(f, TextFault::BadNumber { .. })),
            ("G1 X#1\n", |f| matches!(f, TextFault::Expression('#'))),
            ("G1 X[1+2]\n", |f| matches!(f, TextFault::Expression('['))),
            ("/G1 X1\n", |f| matches!(f, TextFault::Expression('/'))),
            ("G1.23 X1\n", |f| matches!(f, TextFault::UnknownWord(_))),
            ("G429496730 X1\n", |f| matches!(f, TextFault::UnknownWord(_))),
            ("G1 A5\n", |f| matches!(f, TextFault::UnknownWord(_))),
            ("G0 G1 X1\n", |f| matches!(f, TextFault::SameGroup(..))),
            ("M3 M5\n", |f| matches!(f, TextFault::SameGroup(..))),
            ("G1 X1 X2\n", |f| matches!(f, TextFault::Duplicate('X'))),
            ("G1 X1 (tiefe 2 \u{b5}m)\n", |f| matches!(f, TextFault::NotAscii(_))),
            ("G1 (a (b) c)\n", |f| matches!(f, TextFault::NestedComment)),
            ("G1 X1 (open\nG1 X2)\n", |f| matches!(f, TextFault::OpenComment)),
            ("G1 N5 X1\n", |f| matches!(f, TextFault::LineNumber)),
            ("G1 X1", |f| matches!(f, TextFault::Truncated(_))),
        ];
        for (text, test) in cases {
            let fault = first_fault(text);
            assert!(test(&fault), "{text:?}: {fault:?}");
        }
        assert!(matches!(first_fault("%\nG1 X1\n"), TextFault::Truncated(_)));
        assert!(matches!(first_fault("%\nG1 X1\n%\nG1 X2\n"), TextFault::AfterEnd));
    }

    #[test]
    fn mist_and_flood_go_together() {
        assert!(read("M7 M8\n").is_ok());
        assert!(read("M8 M9\n").is_err());
    }

    #[test]
    fn names_what_the_machine_does_not_accept() {
        let accepted = Words {
            g: vec![0, 10],
            m: vec![30],
            letters: vec!['X', 'F'],
        };
        let lines = read("G1 X1 F10\nG91.1 M4 Y2\n").unwrap();
        let errors = permitted(&lines, &accepted);
        let names: Vec<_> = errors.iter().map(|e| (e.line, e.fault.clone())).collect();
        let not = |name: &str| (2, TextFault::NotAccepted(name.into()));
        assert_eq!(names, [not("G91.1"), not("M4"), not("Y")]);
    }

    proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,60}\n?") {
            let _ = read(&text);
        }

        #[test]
        fn never_panics_on_near_programs(text in "[GgMXYZFN0-9.,;()%\\-+ #\n]{0,60}") {
            let _ = read(&text);
        }

        #[test]
        fn numbers_come_back(x in -1e4..1e4f64) {
            prop_assert_eq!(words(&format!("G1 X{x:.4}\n"))[1].1, format!("{x:.4}").parse::<f64>().unwrap());
        }
    }
}
