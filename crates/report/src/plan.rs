//! The plan of a job, of one part or of both: as the page that `bonewright plan` prints, and as JSON.

use crate::doubted::doubt_note;
use crate::heard::not_it_note;
use crate::page::{begun, closing};
use crate::split::{documents, split_headline};
use crate::{Note, NoteTopic, NutPage, Page, both_page, json, notes, nut_json, nut_notes, wrapped};
use job::Job;
use machining::PartKind;
use saddle::{SaddleSurvey, Wishes};
use units::BenchUnit;
use work::{Hazards, Heights, NutWork, Planned, SaddleWork};

/// Notes on a saddle's plan.
#[must_use]
pub fn saddle_notes(saddle: &SaddleWork, bench: BenchUnit) -> Vec<Note> {
    notes(&saddle.remarks(), saddle.plan, bench)
}

/// Notes on a nut, with the readings that do not fit where nothing else tells of them.
#[must_use]
pub fn nut_work_notes(nut: &NutWork, bench: BenchUnit) -> Vec<Note> {
    let mut notes = nut_notes(nut.plan, bench);
    let stops = notes.iter().take_while(|note| note.stops()).count();
    let doubts = nut.doubted.iter().map(|doubted| doubt_note(doubted, bench));
    let heard = (!nut.not_it.is_empty()).then(|| not_it_note(nut.not_it));
    notes.splice(stops..stops, doubts.chain(heard));
    notes
}

/// Notes for the sheets of a nut, which have their own order of work.
#[must_use]
pub fn nut_sheet_notes(nut: &NutWork, bench: BenchUnit) -> Vec<Note> {
    let mut notes = nut_work_notes(nut, bench);
    notes.retain(|note| note.topic != NoteTopic::OrderOfWork);
    notes
}

/// Why these parts are not to be made, in sentences; none where they may be.
#[must_use]
pub fn stop_words(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> Vec<String> {
    let (saddles, nut) = wanted(done, parts);
    let nut = nut.map_or_else(Vec::new, |nut| nut_work_notes(&nut, bench));
    let of_saddle = |saddle: &SaddleWork| {
        let name = named(saddle.job);
        let stops = saddle_stop_words(saddle, bench).into_iter();
        stops.map(|why| format!("{name}{why}")).collect::<Vec<_>>()
    };
    let stops = nut.into_iter().filter(Note::stops).map(|note| note.text);
    saddles.iter().flat_map(of_saddle).chain(stops).collect()
}

/// Why a saddle is not to be made, in sentences; none where it may be.
#[must_use]
pub fn saddle_stop_words(saddle: &SaddleWork, bench: BenchUnit) -> Vec<String> {
    let stops = saddle_notes(saddle, bench).into_iter().filter(Note::stops);
    stops.map(|note| note.text).collect()
}

/// What stands before a sentence of one of several saddles; nothing before that of one alone.
fn named(job: &Job) -> String {
    let name = job.name.as_ref();
    name.map_or_else(String::new, |name| format!("The {name} saddle: "))
}

/// What comes before a part of these is made, or instead of it, a paragraph each; nothing where nothing does.
#[must_use]
pub fn first_words(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> String {
    let (saddles, nut) = wanted(done, parts);
    let first = |saddle: &SaddleWork| {
        let notes = saddle_notes(saddle, bench).into_iter().filter(Note::is_first);
        let texts: Vec<String> = notes.map(|note| note.text).collect();
        (!texts.is_empty()).then(|| (named(saddle.job), texts))
    };
    let mut all: Vec<(String, Vec<String>)> = saddles.iter().filter_map(first).collect();
    // What is said of all saddles alike is said once.
    if all.len() == saddles.len() && all.windows(2).all(|two| two[0].1 == two[1].1) {
        all.truncate(1);
        all.iter_mut().for_each(|(name, _)| name.clear());
    }
    if let Some(nut) = nut {
        let notes = nut_work_notes(&nut, bench).into_iter().filter(Note::is_first);
        all.push((String::new(), notes.map(|note| note.text).collect()));
    }
    let said = all
        .iter()
        .flat_map(|(name, texts)| texts.iter().map(move |text| (name, text)));
    said.map(|(name, text)| wrapped(&format!("Before you make it: {name}{text}"), "", ""))
        .collect()
}

/// The page of these parts, as far as they are planned; with both there is one title and one list of cautions.
#[must_use]
pub fn plan_page(done: &Planned, parts: &[PartKind], bench: BenchUnit) -> String {
    let job = &done.job;
    let (saddles, nut) = wanted(done, parts);
    let nut_notes = nut.map_or_else(Vec::new, |nut| nut_work_notes(&nut, bench));
    let nut = nut.map(|nut| NutPage {
        title: &job.title,
        remarks: &job.notes,
        nut: nut.plan,
        notes: &nut_notes,
        hazards: nut.hazards(),
        bench,
    });
    let notes: Vec<Vec<Note>> = saddles.iter().map(|saddle| saddle_notes(saddle, bench)).collect();
    let wishes: Vec<Option<Wishes>> = saddles.iter().map(SaddleWork::wishes).collect();
    let heights: Vec<Heights> = saddles.iter().map(SaddleWork::heights).collect();
    let pages = saddles
        .iter()
        .zip(&notes)
        .zip(&wishes)
        .zip(&heights)
        .map(|(((saddle, notes), wishes), heights)| Page {
            title: &saddle.job.title,
            remarks: if done.is_split() { "" } else { &job.notes },
            plan: saddle.plan,
            heights,
            wishes: wishes.as_ref(),
            notes,
            hazards: saddle.hazards(),
            bench,
        });
    let pages: Vec<Page> = pages.collect();
    match (&pages[..], nut) {
        ([], None) => String::new(),
        ([], Some(nut)) => nut.text(),
        ([saddle], Some(nut)) => both_page(saddle, &nut, Hazards::and(saddle.hazards, nut.hazards)),
        ([saddle], None) => saddle.text(),
        (_, nut) => {
            let mut text = begun(&job.title, &job.notes);
            text += &wrapped(&split_headline(done), "", "");
            let mut hazards = Hazards::default();
            for page in &pages {
                text += &format!("\n\n{}", page.opened());
                hazards = hazards.and(page.hazards);
            }
            if let Some(nut) = nut {
                text += &format!("\n\n{}", nut.body());
                hazards = hazards.and(nut.hazards);
            }
            text + &closing(hazards)
        }
    }
}

/// The page of a nut, whatever else the job makes.
#[must_use]
pub fn nut_page(nut: &NutWork, bench: BenchUnit) -> String {
    let page = NutPage {
        title: &nut.job.title,
        remarks: &nut.job.notes,
        nut: nut.plan,
        notes: &nut_work_notes(nut, bench),
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
    let (saddles, nut) = wanted(done, parts);
    let mut texts = Vec::new();
    for saddle in &saddles {
        let text = json(
            &saddle.job.title,
            saddle.plan,
            Some(&saddle.heights()),
            inputs(saddle),
            saddle.wishes().as_ref(),
            &saddle_notes(saddle, bench),
        )?;
        texts.push((saddle.job, text));
    }
    let nut = nut.map(|nut| nut_json(&done.job.title, nut.plan, &nut_work_notes(&nut, bench)));
    Ok(documents(texts, nut.transpose()?))
}

/// What a plan was made from, as surveyed: a nut's straight shift follows from it.
fn inputs<'a>(saddle: &SaddleWork<'a>) -> &'a SaddleSurvey {
    saddle.likeliest
}

fn wanted<'a>(done: &'a Planned, parts: &[PartKind]) -> (Vec<SaddleWork<'a>>, Option<NutWork<'a>>) {
    let saddles = done.saddles().filter_map(Planned::saddle);
    (
        saddles.filter(|_| parts.contains(&PartKind::Saddle)).collect(),
        done.nut().filter(|_| parts.contains(&PartKind::Nut)),
    )
}
