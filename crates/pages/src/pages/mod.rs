//! The pages.

mod field;
pub mod filing;
pub mod hear;
pub mod home;
pub mod live;
mod notes;
pub mod nut;
pub mod plan;
pub mod programs;
pub mod remedy;
pub mod sheets;
mod short;
pub mod station;
mod station_form;
pub mod strung;
pub mod sureness;
pub mod survey;
pub mod text;
mod wishes;
pub mod work;

use job::{Problem, Severity};
use machining::PartKind;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::jobs::StoreError;
use crate::name::JobName;
use crate::plain::plain;
use crate::talk::{Ask, Reply};

/// The pages of a job, in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tab {
    /// The readings.
    Survey,
    /// What to make.
    Plan,
    /// Drawings and files.
    Sheets,
    /// Programs for a machine.
    Programs,
    /// What filing costs.
    Filing,
    /// Whether a saddle is the remedy at all.
    Remedy,
    /// Readings after stringing up.
    Strung,
    /// What to do, in order.
    Work,
    /// The file as text.
    Text,
}

impl Tab {
    const ALL: [(Self, &'static str, &'static str); 9] = [
        (Self::Survey, "survey", "Survey"),
        (Self::Remedy, "remedy", "Remedy"),
        (Self::Plan, "plan", "Plan"),
        (Self::Sheets, "sheets", "Sheets"),
        (Self::Programs, "programs", "Programs"),
        (Self::Work, "work", "Work list"),
        (Self::Filing, "filing", "Filing"),
        (Self::Strung, "strung", "Strung up"),
        (Self::Text, "text", "File"),
    ];
}

/// The address of a job's page.
#[must_use]
pub fn to(name: &JobName, page: &str) -> String {
    format!("/job/{name}/{page}")
}

/// Where a file of the job is; the version makes a browser fetch it anew when the job has changed.
#[must_use]
pub fn address(opened: &Opened, file: &str) -> String {
    format!("/job/{}/out/{file}?v={}", opened.name, opened.version.as_str())
}

/// As [`address`], to be saved.
#[must_use]
pub fn download(opened: &Opened, file: &str) -> String {
    format!("/job/{}/out/{file}?save=yes", opened.name)
}

/// What the head of every page has, also of one that is shown before anybody is let in.
#[must_use]
pub fn head(title: &str) -> Markup {
    html! {
        meta charset="utf-8";
        meta name="viewport" content="width=device-width, initial-scale=1";
        meta name="color-scheme" content="light dark";
        title { (title) }
        link rel="stylesheet" href="/bench.css";
        link rel="icon" href="/icon.svg" type="image/svg+xml";
    }
}

/// A whole page.
#[must_use]
pub fn frame(bench: &Bench, title: &str, job: Option<(&Opened, Tab)>, main: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (head(&format!("{title} – bonewright")))
                meta name="token" content=(bench.token());
                script src="/bench.js" defer {}
                script src="/keys.js" defer {}
            }
            body data-job=[job.map(|(opened, _)| opened.name.as_str())]
                data-version=[job.map(|(opened, _)| opened.version.as_str())] {
                a.skip href="#main" { "Skip to the content" }
                header.top {
                    p.home { a href="/" { "bonewright" } }
                    @if let Some((opened, tab)) = job {
                        p.job { (opened.title()) }
                        nav aria-label="Pages of this job" {
                            ul {
                                @for (other, page, label) in Tab::ALL {
                                    li { a href=(to(&opened.name, page)) aria-current=[(other == tab).then_some("page")] { (label) } }
                                }
                            }
                        }
                    }
                }
                main id="main" tabindex="-1" { (main) }
                p.toast id="toast" role="status" aria-live="polite" {}
            }
        }
    }
}

/// A page of the home's own, such as a list of devices: its title, and its content in the frame of all pages. A form in it carries
/// the field `token` itself.
#[must_use]
pub fn own(bench: &Bench, title: &str, main: &Markup) -> Markup {
    frame(bench, title, None, main)
}

/// What every form carries.
#[must_use]
pub fn hidden(bench: &Bench, opened: Option<&Opened>) -> Markup {
    html! {
        input type="hidden" name="token" value=(bench.token());
        @if let Some(opened) = opened {
            input type="hidden" name="version" value=(opened.version.as_str());
        }
    }
}

/// Undo and redo.
#[must_use]
pub fn steps(bench: &Bench, opened: &Opened, tab: &str) -> Markup {
    let (undo, redo) = opened.steps;
    html! {
        div.steps id="steps" {
            @for (on, page, label) in [(undo, "undo", "Undo"), (redo, "redo", "Do again")] {
                form method="post" action=(to(&opened.name, page)) {
                    (hidden(bench, Some(opened)))
                    input type="hidden" name="back" value=(tab);
                    button.quiet disabled[!on] { (label) }
                }
            }
        }
    }
}

/// SVG that this program wrote.
#[must_use]
pub fn picture(svg: String) -> Markup {
    PreEscaped(svg)
}

/// Problems as the command tells them.
#[must_use]
pub fn problems(list: &[Problem]) -> Markup {
    let (list, more) = job::shown(list);
    html! {
        ul.problems {
            @for problem in list {
                li.(problem.severity.name()) {
                    strong { (if problem.severity == Severity::Error { "Must be mended" } else { "Doubtful" }) }
                    @if let Some(line) = problem.line { ", line " (line) }
                    @if !problem.field.is_empty() { ", " code { (problem.field) } }
                    @if let Some(read) = &problem.read { ": read " code { (read) } }
                    ": " (problem.what())
                }
            }
            @if more > 0 { li { (more) " more are not shown. Mend these first." } }
        }
    }
}

/// Problems as they stand on the page: each names what was asked and leads there.
#[must_use]
pub fn told(opened: &Opened, list: &[Problem]) -> Markup {
    let (list, more) = job::shown(list);
    html! {
        ul.problems {
            @for problem in list {
                li.(problem.severity.name()) {
                    strong { (if problem.severity == Severity::Error { "Must be mended" } else { "Doubtful" }) }
                    @match field_of(opened, problem) {
                        Some((title, Some(there))) => { ": " a href=(there) { (title) } }
                        Some((title, None)) => { ": " (title) }
                        None => {}
                    }
                    @if let Some(read) = &problem.read { ": read “" (read) "”" }
                    ": " (plain(&problem.what()))
                }
            }
            @if more > 0 { li { (more) " more are not shown. Mend these first." } }
        }
    }
}

/// What a problem's field is called, and where on the pages it stands; `None` where it has no name there.
fn field_of(opened: &Opened, problem: &Problem) -> Option<(String, Option<String>)> {
    let step = opened
        .interview
        .as_ref()
        .and_then(|interview| interview.step_of(&problem.field));
    if let Some(step) = step {
        let there = format!(
            "{}?key={}#b-{}",
            to(&opened.name, "ask"),
            step.key(),
            field::block_key(&step)
        );
        return Some((step.title(), Some(there)));
    }
    strung::name_of(&problem.field).map(|title| (title, None))
}

/// A page that says why something was not done.
#[must_use]
pub fn trouble(bench: &Bench, ask: &Ask, status: u16, why: &str, back: &str) -> Reply {
    if ask.script {
        return Reply::Json(
            status,
            serde_json::json!({ "state": "stopped", "why": why, "reload": status == 409 }),
        );
    }
    let main = html! {
        h1 { (if status == 404 { "Not here" } else { "Not done" }) }
        p.say.refused role="alert" { (why) }
        p { a.button href=(back) { (if status == 409 { "Load the page again" } else { "Go back" }) } }
    };
    Reply::Page(status, frame(bench, "Not done", None, &main))
}

/// As [`trouble`], for what the store says.
#[must_use]
pub fn store_trouble(bench: &Bench, ask: &Ask, error: &StoreError, back: &str) -> Reply {
    let status = match error {
        StoreError::Missing => 404,
        StoreError::Changed | StoreError::Nothing | StoreError::Exists => 409,
        StoreError::NoJob => 422,
        StoreError::Disk(_) => 507,
    };
    let back = if matches!(error, StoreError::Missing) {
        "/"
    } else {
        back
    };
    trouble(bench, ask, status, &error.to_string(), back)
}

/// Opens the job that a request names, or says why not.
///
/// # Errors
/// The reply to give instead.
pub fn opened(bench: &Bench, ask: &Ask) -> Result<Opened, Reply> {
    let Some(name) = JobName::parse(&ask.name) else {
        return Err(trouble(bench, ask, 404, &StoreError::Missing.to_string(), "/"));
    };
    bench
        .desk()
        .open(&name)
        .map_err(|error| store_trouble(bench, ask, &error, "/"))
}

/// Opens the job that a post was made from, if it is still the one that the page showed.
///
/// # Errors
/// The reply to give instead.
pub fn unchanged(bench: &Bench, ask: &Ask, back: &str) -> Result<Opened, Reply> {
    let opened = opened(bench, ask)?;
    if opened.version.as_str() == ask.fields.text("version") {
        Ok(opened)
    } else {
        Err(store_trouble(bench, ask, &StoreError::Changed, &to(&opened.name, back)))
    }
}

/// A page for a job that has no plan yet: what is missing.
#[must_use]
pub fn no_plan(opened: &Opened) -> Markup {
    html! {
        h1 { "No plan yet" }
        (why_no_plan(opened))
        p { a.button href=(to(&opened.name, "ask")) { "Go on with the survey" } }
    }
}

/// What stands between the survey and a plan.
#[must_use]
pub fn why_no_plan(opened: &Opened) -> Markup {
    let judged = &opened.judged;
    html! {
        p { "The plan comes when every reading that it needs is there. " (judged.errors()) " to go:" }
        (told(opened, &judged.problems))
        (refusals(judged))
    }
}

/// Why what is planned of these parts is not to be made, if it is not.
#[must_use]
pub fn stops(judged: &Judged, parts: &[PartKind]) -> Option<Markup> {
    let done = judged.planned()?;
    let words = report::stop_words(done, parts, done.job.bench);
    (!words.is_empty()).then(|| {
        html! {
            section.say.refused role="alert" {
                h2 { "Do not make this part as it stands" }
                ul { @for why in &words { li { (why) } } }
            }
        }
    })
}

/// Why the parts cannot be planned, if they cannot.
#[must_use]
pub fn refusals(judged: &Judged) -> Markup {
    let all = judged.refusals();
    html! {
        @if !all.is_empty() {
            ul.problems { @for error in &all { li.error { strong { "Must be mended" } ": " (plain(error)) } } }
        }
    }
}

/// Undo or redo of a whole job.
#[must_use]
pub fn step(bench: &Bench, ask: &Ask, undo: bool) -> Reply {
    let back = Tab::ALL
        .iter()
        .map(|tab| tab.1)
        .chain(["hear"])
        .find(|page| *page == ask.fields.text("back"));
    let back = back.unwrap_or("survey");
    let opened = match unchanged(bench, ask, back) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let store = &bench.desk().store;
    let done = if undo {
        store.undo(&opened.name, &opened.version)
    } else {
        store.redo(&opened.name, &opened.version)
    };
    match done {
        Ok(()) => Reply::See(to(&opened.name, back)),
        Err(error) => store_trouble(bench, ask, &error, &to(&opened.name, back)),
    }
}
