//! What `bonewright plan` prints.

use crate::{Hazards, Note, cautions, table};
use saddle::Plan;
use textwrap::Options;
use units::BenchUnit;

/// Columns of a page.
pub const WIDTH: usize = 80;

/// What goes on a page.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// Free words of the job; none if empty.
    pub remarks: &'a str,
    /// The plan.
    pub plan: &'a Plan,
    /// Its notes.
    pub notes: &'a [Note],
    /// What the cautions depend on.
    pub hazards: Hazards,
    /// Unit shown first.
    pub bench: BenchUnit,
}

impl Page<'_> {
    /// Title, remarks, tables, notes and cautions, at most [`WIDTH`] columns wide.
    #[must_use]
    pub fn text(&self) -> String {
        self.opened() + &closing(self.hazards)
    }

    /// All but the cautions.
    pub(crate) fn opened(&self) -> String {
        let mut text = opening(self.title);
        if !self.remarks.trim().is_empty() {
            text += &wrapped(self.remarks, "", "");
            text += "\n";
        }
        text += &table(self.plan, self.bench);
        text + &noted(self.notes)
    }
}

/// The title, underlined, at the head of a page.
pub(crate) fn opening(title: &str) -> String {
    let text = wrapped(title, "", "");
    let line = "=".repeat(text.lines().map(|line| line.chars().count()).max().unwrap_or(0));
    format!("{text}{line}\n\n")
}

/// The notes with their numbered points; nothing if there are none.
pub(crate) fn noted(notes: &[Note]) -> String {
    let mut text = String::new();
    if !notes.is_empty() {
        text += "\nNOTES\n";
    }
    for note in notes {
        text += "\n";
        text += &wrapped(&note.text, "", "");
        for (i, point) in note.points.iter().enumerate() {
            text += &wrapped(point, &format!("  {}. ", i + 1), "     ");
        }
    }
    text
}

/// The cautions at the foot of a page.
pub(crate) fn closing(hazards: Hazards) -> String {
    let mut text = "\nCAUTIONS\n\n".to_owned();
    for caution in cautions(hazards) {
        text += &wrapped(caution, "- ", "  ");
    }
    text
}

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
    use crate::fixture::{planned, survey, twelve};
    use crate::notes;

    fn page(title: &str, plan: &Plan, notes: &[Note], bench: BenchUnit) -> String {
        let page = Page {
            title,
            remarks: title,
            plan,
            notes,
            hazards: Hazards::default(),
            bench,
        };
        page.text()
    }

    #[test]
    fn fits_eighty_columns_in_every_unit() {
        for survey in [survey(), twelve()] {
            let plan = planned(&survey);
            for bench in BenchUnit::ALL {
                let long = "A long title ".repeat(12);
                let text = page(&long, &plan, &notes(&plan, &survey, bench), bench);
                for line in text.lines() {
                    assert!(line.chars().count() <= WIDTH, "{line}");
                    assert!(!line.ends_with(' '), "{line}");
                }
            }
        }
    }

    #[test]
    fn every_string_is_in_every_table_with_its_figures() {
        let survey = survey();
        let plan = planned(&survey);
        let text = table(&plan, BenchUnit::Thou);
        for s in &plan.strings {
            let rows: Vec<&str> = text
                .lines()
                .filter(|line| line.trim_start().starts_with(&format!("{} {}", s.number, s.note)))
                .collect();
            assert_eq!(rows.len(), 3);
            let has = |row: usize, mm: f64| {
                for unit in [BenchUnit::Thou, BenchUnit::Millimetre] {
                    assert!(
                        rows[row].contains(&unit.number(mm)),
                        "{} in {}",
                        unit.number(mm),
                        rows[row]
                    );
                }
            };
            has(0, s.contact.v);
            has(0, s.contact.b);
            has(0, s.contact.u - plan.ends.0);
            has(1, s.action_12);
            has(1, s.action_1);
            has(1, s.setback);
            has(2, s.filing.drop);
            has(2, s.filing.action_loss);
            has(0, s.exposure.unwrap());
            assert!(rows[2].contains(&format!("{:.1}", s.tension)));
            assert_eq!(rows[0].contains('*'), s.hold != saddle::Hold::Free);
        }
    }

    #[test]
    fn a_figure_keeps_its_unit() {
        let tied = |text: &str| glued(text).replace(GLUE, "_");
        assert_eq!(tied("cut 2 63.5/64 in (76.0 mm), or"), "cut 2_63.5/64_in (76.0_mm), or");
        assert_eq!(
            tied("string 6 by 1.0 thou back in time"),
            "string 6 by 1.0_thou back in time"
        );
    }

    #[test]
    fn a_title_cannot_break_the_page() {
        let survey = survey();
        let plan = planned(&survey);
        let text = page("one\ntwo\u{1b}[31m", &plan, &[], BenchUnit::Thou);
        assert!(text.starts_with("one two [31m\n"));
    }
}
