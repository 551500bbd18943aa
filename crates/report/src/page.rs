//! What `bonewright plan` prints.

use crate::table::first_table;
use crate::wishes::tables;
use crate::{Note, cautions, table, wrapped};
use saddle::{Plan, Wishes};
use units::BenchUnit;
use work::{Hazards, Heights};

/// The heading over what stands in the way of making a part.
pub const DO_NOT_MAKE: &str = "Do not make this part as it stands";

/// What goes on a page.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// Title of the job.
    pub title: &'a str,
    /// Free words of the job; none if empty.
    pub remarks: &'a str,
    /// The plan.
    pub plan: &'a Plan,
    /// What stands beside its heights.
    pub heights: &'a Heights,
    /// What becomes of wishes that share a line or a contact, where some do.
    pub wishes: Option<&'a Wishes>,
    /// Its notes.
    pub notes: &'a [Note],
    /// What the cautions depend on.
    pub hazards: Hazards,
    /// Unit shown first.
    pub bench: BenchUnit,
}

impl Page<'_> {
    /// Title, remarks, tables, notes and cautions, at most `WIDTH` columns wide.
    #[must_use]
    pub fn text(&self) -> String {
        self.opened() + &closing(self.hazards)
    }

    /// All but the cautions.
    pub(crate) fn opened(&self) -> String {
        opening(self.title) + &self.body()
    }

    /// All but title and cautions: what to make first, then the free words of the job and the rest.
    pub(crate) fn body(&self) -> String {
        let mut text = String::new();
        let (stops, others): (Vec<&Note>, Vec<&Note>) = self.notes.iter().partition(|note| note.stops());
        text += &stopped(&whys(&stops));
        let (first, others): (Vec<&Note>, Vec<&Note>) = others.iter().partition(|note| note.is_first());
        for (i, note) in first.into_iter().enumerate() {
            let head = if i == 0 { "BEFORE YOU MAKE IT\n\n" } else { "" };
            text += &format!("{head}{}\n", wrapped(&note.text, "", ""));
        }
        text += &first_table(self.plan, self.heights, stops.is_empty(), self.bench);
        text += "\n";
        if !self.remarks.trim().is_empty() {
            text += &format!("WRITTEN IN THE JOB\n\n{}\n", wrapped(self.remarks, "", ""));
        }
        text += &table(self.plan, stops.is_empty(), self.bench);
        text += &self
            .wishes
            .map_or_else(String::new, |wishes| tables(wishes, self.bench));
        text + &noted(&others)
    }
}

/// Title and free words of a job at the head of a page.
pub(crate) fn begun(title: &str, remarks: &str) -> String {
    let mut text = opening(title);
    if !remarks.trim().is_empty() {
        text += &wrapped(remarks, "", "");
        text += "\n";
    }
    text
}

/// The title, underlined, at the head of a page.
pub(crate) fn opening(title: &str) -> String {
    let text = wrapped(title, "", "");
    let line = "=".repeat(text.lines().map(|line| line.chars().count()).max().unwrap_or(0));
    format!("{text}{line}\n\n")
}

/// Why notes stop the part, in sentences.
pub(crate) fn whys(stops: &[&Note]) -> Vec<String> {
    stops.iter().map(|note| note.text.clone()).collect()
}

/// What stands in the way of making the part, before every figure; nothing if it may be made.
pub(crate) fn stopped(stops: &[String]) -> String {
    if stops.is_empty() {
        return String::new();
    }
    let mut text = format!("{}\n\n", DO_NOT_MAKE.to_uppercase());
    for why in stops {
        text += &wrapped(why, "- ", "  ");
    }
    text + "\n"
}

/// The notes with their numbered points; nothing if there are none.
pub(crate) fn noted(notes: &[&Note]) -> String {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::WIDTH;
    use crate::fixture::{planned, survey, twelve};
    use crate::notes;
    use saddle::SaddleSurvey;
    use work::Remark;

    fn noted(plan: &Plan, survey: &SaddleSurvey, bench: BenchUnit) -> Vec<Note> {
        notes(&Remark::of(plan, survey, &assess::Facts::default()), plan, bench)
    }

    fn page(title: &str, plan: &Plan, notes: &[Note], bench: BenchUnit) -> String {
        let page = Page {
            title,
            remarks: title,
            plan,
            heights: &Heights::default(),
            wishes: None,
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
                let text = page(&long, &plan, &noted(&plan, &survey, bench), bench);
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
        let heights = Heights {
            proud: Some(0.2),
            chance: 0.95,
            strings: plan
                .strings
                .iter()
                .map(|s| work::StringHeight {
                    number: s.number,
                    sure_to: Some(0.3),
                    off_old: Some(-0.1),
                })
                .collect(),
        };
        let text = first_table(&plan, &heights, true, BenchUnit::THOU) + "\n" + &table(&plan, true, BenchUnit::THOU);
        for s in &plan.strings {
            let rows: Vec<&str> = text
                .lines()
                .filter(|line| line.trim_start().starts_with(&format!("{} {}", s.number, s.note)))
                .collect();
            assert_eq!(rows.len(), 4);
            let has = |row: usize, mm: f64| {
                for unit in [BenchUnit::THOU, BenchUnit::METRIC] {
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
            for beside in [s.contact.v + 0.2, 0.3, -0.1] {
                assert!(rows[0].contains(&BenchUnit::THOU.number(beside)), "{}", rows[0]);
            }
            has(1, s.contact.u - plan.ends.0);
            has(1, s.exposure.unwrap());
            has(2, s.action_12);
            has(2, s.action_1);
            has(2, s.setback);
            has(3, s.filing.drop);
            has(3, s.filing.action_loss);
            assert!(rows[3].contains(&format!("{:.1}", s.tension)));
            assert_eq!(rows[0].contains('*'), s.hold != saddle::Hold::Free);
        }
    }

    #[test]
    fn a_title_cannot_break_the_page() {
        let survey = survey();
        let plan = planned(&survey);
        let text = page("one\ntwo\u{1b}[31m", &plan, &[], BenchUnit::THOU);
        assert!(text.starts_with("one two [31m\n"));
    }
}
