//! The same text read a second time, by an independent reader: the `gcode` crate.
//!
//! It is looser than ours (it drops `G1.23`, keeps words outside codes apart, holds f32), so it only has to find the same
//! words on the same lines. What one of the two cannot read, no program may hold.

use thiserror::Error;

use super::read::{Line, Word};

/// How far two readings of a number may differ, relative: f32 holds 24 bits.
const F32: f64 = 1.0 / 8_388_608.0;

/// Where the two readers differ.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Disagreement {
    /// The second reader does not take the text.
    #[error("the second reader does not understand it ({what}); write words plainly, without spaces inside a number")]
    Refused {
        /// Line, from 1.
        line: u32,
        /// Its own words.
        what: String,
    },
    /// A word read differently, or by one reader only.
    #[error("two readers of the program differ: {ours} against {theirs}; write the line plainly")]
    Word {
        /// Line, from 1.
        line: u32,
        /// As we read it.
        ours: String,
        /// As the second reader has it.
        theirs: String,
    },
}

impl Disagreement {
    /// Line of the text, from 1.
    #[must_use]
    pub fn line(&self) -> u32 {
        match self {
            Self::Refused { line, .. } | Self::Word { line, .. } => *line,
        }
    }
}

/// Checks that the second reader finds the same words in `text` as ours did.
///
/// # Errors
/// The first [`Disagreement`].
pub fn agree(text: &str, lines: &[Line]) -> Result<(), Disagreement> {
    let theirs = second(text)?;
    let mut ours: Vec<(u32, char, f64)> = lines
        .iter()
        .flat_map(|line| {
            line.words
                .iter()
                .map(|Word { letter, value, .. }| (line.number, *letter, *value))
        })
        .collect();
    let order = |a: &(u32, char, f64), b: &(u32, char, f64)| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2));
    ours.sort_by(order);
    for i in 0..ours.len().max(theirs.len()) {
        let (a, b) = (ours.get(i), theirs.get(i));
        let same =
            matches!((a, b), (Some(a), Some(b)) if a.0 == b.0 && a.1 == b.1 && (a.2 - b.2).abs() <= F32 * a.2.abs());
        if !same {
            let line = a.map_or(u32::MAX, |w| w.0).min(b.map_or(u32::MAX, |w| w.0));
            let name = |w: Option<&(u32, char, f64)>| match w {
                Some((at, letter, value)) if *at == line => format!("{letter}{value}"),
                _ => "nothing".to_owned(),
            };
            return Err(Disagreement::Word {
                line,
                ours: name(a),
                theirs: name(b),
            });
        }
    }
    Ok(())
}

/// All words as the second reader has them, in order of line, letter and number.
fn second(text: &str) -> Result<Vec<(u32, char, f64)>, Disagreement> {
    let line_of = |span: &gcode::core::Span| u32::try_from(span.line + 1).unwrap_or(u32::MAX);
    let program = gcode::parse(text).map_err(|diagnostics| {
        let first = diagnostics.iter().next();
        Disagreement::Refused {
            line: first.map_or(1, |d| line_of(&d.span)),
            what: first.map_or_else(String::new, |d| d.kind.to_string()),
        }
    })?;
    let mut words = Vec::new();
    let mut push = |span: &gcode::core::Span, letter: char, value: f64| {
        words.push((line_of(span), letter.to_ascii_uppercase(), value));
    };
    for block in &program.blocks {
        if let Some(n) = block.line_number {
            push(&block.span, 'N', f64::from(n));
        }
        for code in &block.codes {
            let (letter, number, span, args) = match code {
                gcode::Code::General(c) => ('G', c.number, &c.span, &c.args),
                gcode::Code::Miscellaneous(c) => ('M', c.number, &c.span, &c.args),
                gcode::Code::ToolChange(c) => ('T', c.number, &c.span, &c.args),
                // A kind of code that we do not know is missing on their side, and so is seen.
                _ => continue,
            };
            let minor = number.minor().map_or(0, std::num::NonZeroU32::get);
            push(span, letter, f64::from(number.major()) + f64::from(minor) / 10.0);
            for arg in args {
                push(&arg.span, arg.letter, literal(&arg.value));
            }
        }
        for word in &block.word_addresses {
            push(&word.span, word.letter, literal(&word.value));
        }
    }
    words.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
    Ok(words)
}

/// A plain number; anything else equals nothing.
fn literal(value: &gcode::Value) -> f64 {
    match value {
        gcode::Value::Literal(v) => f64::from(*v),
        _ => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::program::read;
    use proptest::prelude::*;

    const PROGRAM: &str = "%\n(a job)\nN10 G21 G90 G17 G94 G40 G49 G80 G54\nT1 M6\nS18000 M3\nG0 Z5.\nx1.25 y-2\nG1 Z-.5 F300\nG2 X3 Y2 I1.0 J0\nG91.1\nM5\nM30\n%\n";

    #[test]
    fn both_read_a_program_alike() {
        assert_eq!(agree(PROGRAM, &read(PROGRAM).unwrap()), Ok(()));
    }

    #[test]
    fn a_changed_number_or_word_is_seen() {
        for (from, to) in [
            ("y-2", "y-2.0001"),
            ("I1.0", "I1.1"),
            ("F300", "F301"),
            ("G91.1", "G90.1"),
            ("M5", "M9"),
        ] {
            let edited = PROGRAM.replace(from, to);
            assert!(
                matches!(agree(&edited, &read(PROGRAM).unwrap()), Err(Disagreement::Word { .. })),
                "{from}"
            );
        }
        let shorter = PROGRAM.replace("M5\n", "\n");
        assert!(matches!(
            agree(PROGRAM, &read(&shorter).unwrap()),
            Err(Disagreement::Word { line: 11, .. })
        ));
    }

    #[test]
    fn what_the_second_reader_does_not_take_is_told() {
        let text = "G1 X 1 . 5\n";
        assert!(matches!(
            agree(text, &read(text).unwrap()),
            Err(Disagreement::Refused { line: 1, .. })
        ));
    }

    proptest! {
        #[test]
        fn agree_on_any_numbers(x in -500.0..500.0f64, f in 1.0..5000.0f64) {
            let text = format!("G1 X{x:.4} F{f:.1}\nY{x:.3}\n");
            prop_assert_eq!(agree(&text, &read(&text).unwrap()), Ok(()));
        }
    }
}
