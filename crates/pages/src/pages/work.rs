//! The work list: what to do, in the order that spoils nothing done before. Ticks are kept beside the job.

use machining::PartKind;
use maud::{Markup, html};
use work::{Planned, Step, StepKey, steps};

use super::told::of_plan;
use super::{Tab, hidden, live, opened, refusals, stops, store_trouble, to};
use crate::bench::Bench;
use crate::beside::Beside;
use crate::name::JobName;
use crate::plain::on_page;
use crate::talk::{Ask, Reply};

/// Keys of all steps of a job.
fn keys(done: Option<&Planned>) -> Vec<StepKey> {
    let stages = done.into_iter().flat_map(steps);
    stages.flat_map(|staged| staged.steps).map(|(key, _)| key).collect()
}

/// A step with the page that it speaks of, if it speaks of one.
fn words(name: &JobName, done: &Planned, step: &Step) -> Markup {
    let there = match step {
        Step::Print | Step::Blend { drawn: true } => Some(("sheets", "Sheets")),
        Step::AssessFirst | Step::DecideHeld | Step::PlanAgain => Some(("plan", "Plan")),
        Step::StringUp { .. } => Some(("strung", "Strung up")),
        _ => None,
    };
    html! {
        (on_page(&report::step_words(step, done.job.bench)))
        @if let Some((page, label)) = there { " " a href=(to(name, page)) { (label) } }
    }
}

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    of_plan(bench, ask, Tab::Work, None, |opened, done| {
        html! {
            h1 { "Work list" }
            @if done.halts() { @if let Some(stops) = stops(&opened.judged, &PartKind::ALL) { (stops) } (refusals(&opened.judged)) }
            @else { p.how { (report::STEPS_ORDER) " Ticks stay." } }
            form.work id="work" method="post" action=(to(&opened.name, "tick")) {
                (hidden(bench, None))
                @for staged in steps(done) {
                    h2 { (report::stage_words(&staged)) }
                    ol { @for (key, step) in &staged.steps { li { label {
                        input type="checkbox" name="done" value=(key.as_str()) checked[opened.beside.ticked.contains(key.as_str())];
                        span { (words(&opened.name, done, step)) }
                    } input type="hidden" name="shown" value=(key.as_str()); } } }
                }
                p { button.keep { "Keep the ticks" } }
            }
            (live::closing(&opened.judged))
        }
    })
}

/// Keeps ticks: of the one line that the script names, or of all that were shown.
#[must_use]
pub fn tick(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let known = keys(opened.judged.planned());
    let kept = bench.desk().store.change_beside(&opened.name, &|now| {
        let mut beside = Beside::read(now);
        for id in ask
            .fields
            .all("shown")
            .filter(|id| known.iter().any(|k| k.as_str() == *id))
        {
            if ask.fields.all("done").any(|done| done == id) {
                beside.ticked.insert(id.to_owned());
            } else {
                beside.ticked.remove(id);
            }
        }
        beside.text()
    });
    match kept {
        Err(error) => store_trouble(bench, ask, &error, &to(&opened.name, "work")),
        Ok(()) if ask.script => Reply::Json(200, serde_json::json!({ "state": "kept" })),
        Ok(()) => Reply::See(to(&opened.name, "work")),
    }
}
