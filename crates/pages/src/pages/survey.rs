//! The whole survey on one page, and what the script asks while one types.

use ::survey::{AnswerCheck, Interview, Kind, SAME, Step, Visit};
use maud::{Markup, html};
use serde_json::json;

use super::field::{Shown, missing};
use super::readings::block_key;
use super::station_form::{form, several};
use super::{Tab, entries, frame, hidden, live, opened, steps, store_trouble, to, trouble, unchanged};
use crate::answers::is_choice;
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::notice::Notice;
use crate::pictures::map;
use crate::plain::plain;
use crate::said::{Said, Told};
use crate::talk::{Ask, Fields, Reply};
use work::SaddleWork;

/// All readings on one page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => all(
            bench,
            &opened,
            &super::refused(bench, ask, &opened),
            ask.fields.get("each"),
        ),
        Err(reply) => reply,
    }
}

/// The page of a job, whether its file can be read or not.
pub(super) fn page_of(bench: &Bench, opened: &Opened) -> Reply {
    all(bench, opened, &Vec::new(), None)
}

pub(super) fn all(bench: &Bench, opened: &Opened, told: &Told, each: Option<&str>) -> Reply {
    let main = match &opened.interview {
        None => html! { h1 { "Survey" } (super::text::broken(opened)) },
        Some(interview) => html! {
            div.title-row {
                h1 { "Survey" }
                p { a.button href=(to(&opened.name, "ask")) { "Station by station" } }
                @if opened.judged.done.is_some() { p { a.button.quiet href=(to(&opened.name, "hear")) { "Listen to the strings" } } }
                (steps(bench, opened, "survey"))
            }
            div id="map" { (map(opened, interview, None)) }
            (several(opened))
            (entries::links(opened))
            div.beside {
                div id="survey" data-view="survey" { (list(bench, opened, told, each)) }
                aside id="live" tabindex="0" data-part="brief" aria-label="What follows" { (live::brief(opened, None)) }
            }
        },
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((opened, Tab::Survey)), &main))
}

fn list(bench: &Bench, opened: &Opened, told: &Told, each: Option<&str>) -> Markup {
    let visits = opened.interview.as_ref().map(Interview::visits).unwrap_or_default();
    html! {
        @for visit in &visits {
            section.part aria-labelledby={ "s-" (visit.station.key()) } {
                h2 id={ "s-" (visit.station.key()) } { (visit.station.title()) }
                (form(bench, opened, visit, "survey", told, each))
            }
        }
    }
}

/// A reading to try out on the plan's page.
#[must_use]
pub fn lever(bench: &Bench, opened: &Opened, key: Option<&str>) -> Markup {
    let Some(interview) = &opened.interview else {
        return html! {};
    };
    let all_steps: Vec<Step> = interview
        .steps()
        .into_iter()
        .filter(|step| step.question.is_written() && !matches!(step.question.kind, Kind::Text))
        .collect();
    let usual = if opened.judged.planned().is_some_and(|done| done.job.saddle_stays()) {
        "nut.new_clearance.bass"
    } else {
        "target.action_12.bass"
    };
    let key = key.unwrap_or(usual);
    let Some(step) = all_steps.iter().find(|step| step.key() == key).or(all_steps.first()) else {
        return html! {};
    };
    html! {
        section.lever aria-labelledby="try" {
            h2 id="try" { "Try a change" }
            form.pick method="get" action=(to(&opened.name, "plan")) {
                label for="lever-key" { "Reading or wish" }
                select id="lever-key" name="key" {
                    @for other in &all_steps { option value=(other.key()) selected[other == step] { (other.title()) } }
                }
                button.keep { "Show" }
            }
            div.ask-words {
                @if is_choice(step.question.kind) { h3 id={ "l-" (step.key()) } { (step.title()) } } @else { h3 { label for={ "f-" (step.key()) } { (step.title()) } } }
                p.how id={ "how-" (block_key(step)) } { (step.question.how) }
                form.field method="post" action=(to(&opened.name, "answer")) data-key=(step.key()) data-view="plan" {
                    (hidden(bench, Some(opened)))
                    input type="hidden" name="key" value=(step.key());
                    (Shown { interview, told: &Vec::new(), each: None, alone: false }.inside(step, false, "text"))
                    button.keep { "Keep" }
                }
                p.how { "The plan below follows while you type. It is kept only when you keep it." }
            }
        }
    }
}

/// Keeps one answer: for the script, and from the plan's page.
#[must_use]
pub fn answer(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match unchanged(bench, ask, "plan") {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let key = ask.fields.text("key");
    let pressed = |what: &str| {
        ask.fields
            .get(what)
            .or_else(|| ask.fields.get(&format!("{what}.{key}")))
    };
    let typed = pressed("take").unwrap_or_else(|| ask.fields.text("text"));
    let attempt = if pressed("assume").is_some() {
        bench.desk().assume(&opened, key)
    } else {
        bench.desk().attempt(&opened, key, typed, ask.fields.get("other"))
    };
    let Some(attempt) = attempt else {
        return trouble(
            bench,
            ask,
            422,
            "This is not asked of this job any more. Load the page again.",
            &to(&opened.name, "plan"),
        );
    };
    let said = Said::of(&attempt.verdict);
    let sure = pressed("sure").is_some();
    let made = attempt
        .made
        .as_ref()
        .filter(|_| sure || !matches!(said, Said::Doubt(_)));
    let said = match made {
        Some(made) => match bench.desk().save(&opened, made) {
            Ok(_) => Said::Kept,
            Err(error) => return store_trouble(bench, ask, &error, &to(&opened.name, "plan")),
        },
        None => said,
    };
    match bench.desk().open(&opened.name) {
        Ok(now) if ask.script => told(bench, ask, &now, &opened.judged, &attempt.step, &said),
        Ok(_) if matches!(said, Said::Kept) => Reply::See(format!("{}?key={key}", to(&opened.name, "plan"))),
        Ok(now) => {
            let notice = Notice::Refused {
                fields: Fields::default(),
                why: String::new(),
                told: vec![(key.to_owned(), typed.to_owned(), said)],
                of: Some((now.name.clone(), now.version)),
            };
            let mark = attempt.step.question.station.key();
            bench
                .notices
                .see(&format!("{}#s-{mark}", to(&now.name, "survey")), notice)
        }
        Err(error) => store_trouble(bench, ask, &error, "/"),
    }
}

/// What became of an answer to a job that `was` so before, for the script.
fn told(bench: &Bench, ask: &Ask, opened: &Opened, was: &Judged, step: &Step, said: &Said) -> Reply {
    let key = step.key();
    let kept = matches!(said, Said::Kept);
    let interview = opened.interview.as_ref();
    // What was emptied while its other end stays is missing from now on.
    let missing = interview
        .filter(|_| kept)
        .and_then(|interview| missing(interview, step));
    let state = said.state();
    let said = missing.as_ref().unwrap_or(said);
    let now = interview.and_then(|i| i.answers.get(&key)).unwrap_or_default();
    let view = ask.fields.text("view");
    let visits = interview.map(|interview| [interview.visits(), interview.settings_visits()].concat());
    let visits = visits.unwrap_or_default();
    let here = |visit: &&Visit| visit.station.key() == ask.fields.text("at");
    let mut told = vec![(key.clone(), step.question.today(now).to_owned(), said.clone())];
    // What was kept with it is said in its own field.
    if kept
        && ask.fields.get("other") == Some(SAME)
        && let Some(treble) = interview.and_then(|interview| interview.other_end(step))
        && interview.and_then(|interview| interview.answers.given(&treble.key())) == Some(SAME)
    {
        told.push((treble.key(), SAME.to_owned(), said.clone()));
    }
    // What was just kept is said in its field, whether the form is drawn again or not.
    let drawn = match view {
        "survey" => Some(list(bench, opened, &told, None).into_string()),
        "ask" => visits
            .iter()
            .find(here)
            .map(|visit| form(bench, opened, visit, view, &told, ask.fields.get("each")).into_string()),
        _ => None,
    };
    let place = visits.iter().find(here).map(|visit| visit.station);
    Reply::Json(
        200,
        json!({
            "state": state,
            "say": said.html(&key).into_string(),
            "version": opened.version.as_str(),
            "text": kept.then(|| step.question.today(now)),
            "form": drawn.filter(|_| kept),
            "map": interview.filter(|_| kept).map(|i| map(opened, i, place.filter(|_| view == "ask")).into_string()),
            "steps": steps(bench, opened, if view.is_empty() { "plan" } else { view }).into_string(),
            "live": kept.then(|| part(bench, opened, Some(was), ask.fields.text("part"), false)),
            "moved": kept.then(|| live::moved_words(&opened.judged, was)),
            "title": opened.title(),
        }),
    )
}

/// The pictures and tables of a job as it is kept, or as it would be with what is `typed`, beside what it `was`.
fn part(bench: &Bench, opened: &Opened, was: Option<&Judged>, which: &str, typed: bool) -> String {
    let heights = |saddle: &SaddleWork| {
        if typed {
            bench.sampled.while_typing(&opened.judged_as(), saddle)
        } else {
            bench.sampled.heights(&opened.judged_as(), saddle)
        }
    };
    match which {
        "whole" => live::whole(&opened.judged, &heights, was)
            .unwrap_or_else(|| super::told::why_no_plan(opened))
            .into_string(),
        _ => live::brief(opened, was).into_string(),
    }
}

/// What an answer would do, without keeping it: for the script, while the user types.
#[must_use]
pub fn attempt(bench: &Bench, ask: &Ask) -> Reply {
    let mut opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some(attempt) = bench.desk().attempt(
        &opened,
        ask.fields.text("key"),
        ask.fields.text("text"),
        ask.fields.get("other"),
    ) else {
        return trouble(
            bench,
            ask,
            422,
            "This is not asked of this job any more. Load the page again.",
            "/",
        );
    };
    let said = Said::of(&attempt.verdict);
    // The form in which it would be kept.
    let kept_as = match &attempt.verdict {
        AnswerCheck::Keep(text) | AnswerCheck::Doubt { text, .. } => Some(text.clone()),
        AnswerCheck::Refuse(_) => None,
    };
    let words = match &said {
        Said::Kept => html! {},
        Said::Doubt(why) => html! { span.mark aria-hidden="true" { "?" } " Doubtful: " (plain(why)) },
        other => other.html(ask.fields.text("key")),
    };
    let drawn = attempt.made.map(|made| {
        let was = std::mem::replace(&mut opened.judged, bench.desk().judge(&made.text));
        let moved = live::moved_words(&opened.judged, &was);
        (part(bench, &opened, Some(&was), ask.fields.text("part"), true), moved)
    });
    let (drawn, moved) = drawn.unzip();
    Reply::Json(
        200,
        json!({ "state": if matches!(said, Said::Kept) { "" } else { said.state() }, "say": words.into_string(), "as": kept_as, "live": drawn, "moved": moved }),
    )
}
