//! The plan of a job, of one part or of both: as the page that `bonewright plan` prints, and as JSON.

use crate::{Note, NoteTopic, NutPage, Page, both_page, json, notes, nut_json, nut_notes, wrapped};
use machining::PartKind;
use saddle::SaddleSurvey;
use units::BenchUnit;
use work::{Hazards, NutWork, Planned, SaddleWork};

/// Notes on a saddle's plan.
#[must_use]
pub fn saddle_notes(saddle: &SaddleWork, bench: BenchUnit) -> Vec<Note> {
    notes(&saddle.remarks(), saddle.plan, bench)
}

/// Notes for the sheets of a nut, which have their own order of work.
#[must_use]
pub fn nut_sheet_notes(nut: &NutWork, bench: BenchUnit) -> Vec<Note> {
    let mut notes = nut_notes(nut.plan, bench);
    notes.retain(|note| note.topic != NoteTopic::OrderOfWork);
    notes
}

/// Why these parts are not to be made, in sentences; none where they may be.
#[must_use]
pub fn stop_words(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> Vec<String> {
    let (saddle, nut) = wanted(done, parts);
    let saddle = saddle.map_or_else(Vec::new, |saddle| saddle_notes(&saddle, bench));
    let nut = nut.map_or_else(Vec::new, |nut| nut_notes(nut.plan, bench));
    let stops = saddle.into_iter().chain(nut).filter(Note::stops);
    stops.map(|note| note.text).collect()
}

/// What comes before a saddle of these parts is made, or instead of it, as one paragraph; nothing where nothing does.
#[must_use]
pub fn first_words(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> String {
    let (saddle, _) = wanted(done, parts);
    let notes = saddle.map_or_else(Vec::new, |saddle| saddle_notes(&saddle, bench));
    let first = notes.iter().find(|note| note.topic == NoteTopic::Remedy);
    first.map_or_else(String::new, |note| {
        wrapped(&format!("Before you make it: {}", note.text), "", "")
    })
}

/// The page of these parts, as far as they are planned; with both there is one title and one list of cautions.
#[must_use]
pub fn plan_page(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> String {
    let job = &done.job;
    let (saddle, nut) = wanted(done, parts);
    let notes = saddle.map_or_else(Vec::new, |saddle| saddle_notes(&saddle, bench));
    let nut_notes = nut.map_or_else(Vec::new, |nut| nut_notes(nut.plan, bench));
    let wishes = saddle.and_then(|saddle| saddle.wishes());
    let saddle = saddle.map(|saddle| Page {
        title: &job.title,
        remarks: &job.notes,
        plan: saddle.plan,
        wishes: wishes.as_ref(),
        notes: &notes,
        hazards: saddle.hazards(),
        bench,
    });
    let nut = nut.map(|nut| NutPage {
        title: &job.title,
        remarks: &job.notes,
        nut: nut.plan,
        notes: &nut_notes,
        hazards: nut.hazards(),
        bench,
    });
    match (saddle, nut) {
        (Some(saddle), Some(nut)) => both_page(&saddle, &nut, Hazards::and(saddle.hazards, nut.hazards)),
        (Some(saddle), None) => saddle.text(),
        (None, Some(nut)) => nut.text(),
        (None, None) => String::new(),
    }
}

/// The page of a nut, whatever else the job makes.
#[must_use]
pub fn nut_page(nut: &NutWork, bench: BenchUnit) -> String {
    let page = NutPage {
        title: &nut.job.title,
        remarks: &nut.job.notes,
        nut: nut.plan,
        notes: &nut_notes(nut.plan, bench),
        hazards: nut.hazards(),
        bench,
    };
    page.text()
}

/// The same as JSON; with both parts an object that holds one document each.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn plan_json(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> Result<String, serde_json::Error> {
    let title = &done.job.title;
    let (saddle, nut) = wanted(done, parts);
    let saddle = saddle.map(|saddle| {
        let (wishes, notes) = (saddle.wishes(), saddle_notes(&saddle, bench));
        json(title, saddle.plan, inputs(&saddle), wishes.as_ref(), &notes)
    });
    let nut = nut.map(|nut| nut_json(title, nut.plan, &nut_notes(nut.plan, bench)));
    Ok(both_documents(saddle.transpose()?, nut.transpose()?))
}

/// Documents of a saddle and of a nut as one: the only one as it is, both as an object.
#[must_use]
pub fn both_documents(saddle: Option<String>, nut: Option<String>) -> String {
    match (saddle, nut) {
        (Some(saddle), Some(nut)) => format!(
            "{{\n\"saddle\": {},\n\"nut\": {}\n}}\n",
            saddle.trim_end(),
            nut.trim_end()
        ),
        (one, other) => one.or(other).unwrap_or_default(),
    }
}

/// What a plan was made from, as surveyed: a nut's straight shift follows from it.
fn inputs<'a>(saddle: &SaddleWork<'a>) -> &'a SaddleSurvey {
    &saddle.made.survey
}

fn wanted<'a>(done: &'a Planned, parts: &[PartKind]) -> (Option<SaddleWork<'a>>, Option<NutWork<'a>>) {
    (
        done.saddle().filter(|_| parts.contains(&PartKind::Saddle)),
        done.nut().filter(|_| parts.contains(&PartKind::Nut)),
    )
}
