//! What stands between the survey and a plan: problems in the words of their questions.

use job::{Problem, Severity};
use maud::{Markup, html};

use super::readings::{block_key, name_of};
use super::{Tab, entries, frame, opened, refusals, to};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::plain::plain;
use crate::talk::{Ask, Reply};
use work::Planned;

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
        let there = format!("{}?key={}#b-{}", to(&opened.name, "ask"), step.key(), block_key(&step));
        return Some((step.title(), Some(there)));
    }
    entries::of_problem(opened, &problem.field).or_else(|| name_of(&problem.field).map(|title| (title, None)))
}

/// A page of a job's plan under this tab, with a title of its own or the job's; where there is no plan yet, what is missing.
pub fn of_plan(
    bench: &Bench,
    ask: &Ask,
    tab: Tab,
    title: Option<&str>,
    of: impl FnOnce(&Opened, &Planned) -> Markup,
) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = match opened.judged.planned() {
        Some(done) => of(&opened, done),
        None => no_plan(&opened),
    };
    let title = title.map_or_else(|| opened.title(), str::to_owned);
    Reply::Page(200, frame(bench, &title, Some((&opened, tab)), &main))
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
