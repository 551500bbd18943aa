//! How sheets are written.

use job::{Job, Paper};
use report::Note;
use units::BenchUnit;
use work::{Hazards, Heights};

/// How sheets are written. There is no date: the same plan and options give the same bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// Paper, used lying (landscape).
    pub paper: Paper,
    /// Unit in brackets beside millimetres; thou if the bench unit is the millimetre.
    pub bench: BenchUnit,
    /// Title, for the title block; too long a title is wrapped, then cut with an ellipsis.
    pub title: String,
    /// What a sheet of a part says first, in large letters; nothing where it is empty.
    pub headline: String,
    /// What stands beside the heights of a saddle.
    pub heights: Heights,
    /// The order of work, numbered; empty where the sheets have their own.
    pub steps: Vec<String>,
    /// What the cautions depend on: hazards of the part that the sheets show.
    pub hazards: Hazards,
    /// Notes in plain words. A note is kept in one place; its lines are paragraphs.
    pub notes: Vec<String>,
}

impl SheetOptions {
    /// With the paper, bench unit and title of a job.
    #[must_use]
    pub fn of(job: &Job, hazards: Hazards, notes: Vec<String>) -> Self {
        Self {
            paper: job.paper,
            bench: job.bench,
            title: job.title.clone(),
            headline: String::new(),
            heights: Heights::default(),
            steps: Vec::new(),
            hazards,
            notes,
        }
    }
}

/// Notes of a sheet, each with its choices numbered from 1, a line each.
#[must_use]
pub fn paragraphs(notes: &[Note]) -> Vec<String> {
    let one = |note: &Note| -> String {
        let points = note.points.iter().enumerate();
        let points = points.map(|(i, point)| format!("\n{}. {point}", i + 1));
        std::iter::once(note.text.clone()).chain(points).collect()
    };
    notes.iter().map(one).collect()
}
