//! One station of the survey on one screen: what one hand reads with one tool, and all of it kept together.

use std::collections::BTreeSet;

use ::survey::{AnswerCheck, Interview, Kind, Spread, Station, Step, Visit};
use maud::html;

use super::field::{Said, Told};
use super::station_form::{form, several};
use super::{Tab, frame, live, opened, steps, store_trouble, to, trouble, unchanged};
use crate::bench::Bench;
use crate::desk::{Made, Opened};
use crate::pictures::map;
use crate::talk::{Ask, Fields, Reply};

/// The station that a request is at: by its word, by the key of a step, or the next that waits.
fn at(interview: &Interview, fields: &Fields) -> Option<Station> {
    let visits = interview.visits();
    let by_word = |word: &str| {
        visits
            .iter()
            .map(|visit| visit.station)
            .find(|station| station.key() == word)
    };
    let by_key = |key: &str| {
        let steps = interview.steps();
        steps
            .iter()
            .find(|step| step.key() == key)
            .map(|step| step.question.station)
    };
    let named = fields
        .get("at")
        .and_then(by_word)
        .or_else(|| fields.get("key").and_then(by_key));
    named.or_else(|| interview.next_station(None))
}

/// The screen of a station.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => {
            let station = opened
                .interview
                .as_ref()
                .and_then(|interview| at(interview, &ask.fields));
            screen(bench, &opened, station, 200, &Vec::new(), ask.fields.get("each"))
        }
        Err(reply) => reply,
    }
}

fn screen(
    bench: &Bench,
    opened: &Opened,
    station: Option<Station>,
    status: u16,
    told: &Told,
    each: Option<&str>,
) -> Reply {
    let Some(interview) = &opened.interview else {
        return super::survey::page_of(bench, opened);
    };
    let Some(station) = station else {
        return Reply::See(to(&opened.name, "plan"));
    };
    let visits = interview.visits();
    let Some(visit) = visits.iter().find(|visit| visit.station == station) else {
        return Reply::See(to(&opened.name, "ask"));
    };
    let first_off = visits
        .iter()
        .find(|visit| visit.strings_off())
        .map(|visit| visit.station)
        == Some(station);
    let main = html! {
        div.title-row.tight {
            p.where { (station_place(&visits, station)) }
            p { a.button.quiet href={ (to(&opened.name, "survey")) "#s-" (station.key()) } aria-label="All on one page" { "All" } }
            (steps(bench, opened, "ask"))
        }
        div id="map" { (map(opened, interview, Some(station))) }
        (several(opened))
        div.beside {
            div id="survey" data-view="ask" {
                h1 { (station.title()) }
                @if first_off { p.say.doubt { span.mark aria-hidden="true" { "!" } " " (interview.strings_off()) } }
                (form(bench, opened, visit, "ask", told, each))
            }
            aside id="live" tabindex="0" data-part="brief" aria-label="What follows" { (live::brief(bench, opened)) }
        }
    };
    Reply::Page(
        status,
        frame(bench, station.title(), Some((opened, Tab::Survey)), &main),
    )
}

/// Which of those on the way it is.
fn station_place(visits: &[Visit], station: Station) -> String {
    let way: Vec<Station> = visits
        .iter()
        .filter(|visit| visit.is_on_the_way())
        .map(|visit| visit.station)
        .collect();
    way.iter().position(|other| *other == station).map_or_else(
        || "Beside the way".to_owned(),
        |at| format!("Station {} of {}", at + 1, way.len()),
    )
}

/// What was typed in a step's fields; `None` if they were not shown.
fn typed(step: &Step, fields: &Fields) -> Option<String> {
    let key = step.key();
    if let Some(take) = fields.get(&format!("take.{key}")) {
        return Some(take.to_owned());
    }
    if let Some(text) = fields.get(&format!("v.{key}")) {
        return Some(text.trim().to_owned());
    }
    // A choice of which none is made sends nothing.
    if fields.all("shown").any(|shown| shown == key) {
        return Some(String::new());
    }
    let name = format!("l.{key}");
    let each: Vec<&str> = fields.all(&name).map(str::trim).collect();
    if each.is_empty() {
        return None;
    }
    if each.iter().all(|text| text.is_empty()) {
        return Some(String::new());
    }
    let blank = if step.question.spread == Spread::Listed {
        "-"
    } else {
        ""
    };
    let separator = if step.question.kind == Kind::Cents { " " } else { "; " };
    let each: Vec<&str> = each
        .iter()
        .map(|text| if text.is_empty() { blank } else { text })
        .collect();
    Some(each.join(separator))
}

/// The answers of a whole station, one after the other: what becomes of them together.
fn keep(bench: &Bench, opened: Opened, station: Station, fields: &Fields) -> (Opened, Option<Made>, Told) {
    let desk = bench.desk();
    let (mut now, mut last, mut told) = (opened, None, Vec::new());
    let mut seen = BTreeSet::new();
    // What is asked may change with every answer.
    while let Some(step) =
        now.interview.iter().flat_map(Interview::steps).find(|step| {
            step.question.station == station && !seen.contains(&step.key()) && typed(step, fields).is_some()
        })
    {
        let key = step.key();
        seen.insert(key.clone());
        let text = typed(&step, fields).unwrap_or_default();
        let answer = now.interview.as_ref().and_then(|interview| interview.answers.get(&key));
        let assume = fields.get(&format!("assume.{key}")).is_some();
        let read = fields.get(&format!("read.{key}")).is_some();
        let same = answer.is_some_and(|answer| answer == text || step.question.today(answer) == text);
        let needed = text.is_empty()
            && now
                .interview
                .as_ref()
                .is_some_and(|interview| !interview.may_skip(&step));
        // What is needed and not there yet is asked for again at the end.
        if !assume && (same && !read || needed && answer.is_none()) {
            continue;
        }
        let attempt = if assume {
            desk.assume(&now, &key)
        } else {
            desk.attempt(&now, &key, &text)
        };
        let Some(attempt) = attempt else { continue };
        let sure = fields.get(&format!("sure.{key}")).is_some();
        match attempt.made {
            Some(made) if sure || matches!(attempt.verdict, AnswerCheck::Keep(_)) => {
                now = now.with(&made);
                last = Some(made);
            }
            _ => told.push((key, text, Said::of(&attempt.verdict))),
        }
    }
    (now, last, told)
}

/// Keeps the answers of a station.
#[must_use]
pub fn post(bench: &Bench, ask: &Ask) -> Reply {
    let view = if ask.fields.text("view") == "survey" {
        "survey"
    } else {
        "ask"
    };
    let before = match unchanged(bench, ask, view) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some(station) = before
        .interview
        .as_ref()
        .and_then(|interview| at(interview, &ask.fields))
    else {
        return trouble(
            bench,
            ask,
            422,
            "This is not asked of this job any more. Load the page again.",
            &to(&before.name, view),
        );
    };
    let name = before.name.clone();
    let version = before.version.clone();
    let (now, made, mut told) = keep(bench, before, station, &ask.fields);
    if let Some(made) = &made
        && let Err(error) = bench.desk().save_of(&name, &version, made)
    {
        return store_trouble(bench, ask, &error, &to(&name, view));
    }
    let next = now
        .interview
        .as_ref()
        .and_then(|interview| interview.next_station(Some(station)));
    let each = ask.fields.get("each");
    if each.is_none() && next == Some(station) && told.is_empty() {
        told = needed(&now, station);
    }
    if told.is_empty() || view == "survey" && each.is_some() {
        let mut there = match (view, each, next) {
            ("survey", ..) => format!("{}#s-{}", to(&name, "survey"), station.key()),
            (_, Some(each), _) => format!("{}?at={}&each={each}", to(&name, "ask"), station.key()),
            (_, None, Some(next)) => format!("{}?at={}", to(&name, "ask"), next.key()),
            (_, None, None) => to(&name, "plan"),
        };
        if let ("survey", Some(each)) = (view, each) {
            there = format!("{}?each={each}#s-{}", to(&name, "survey"), station.key());
        }
        return Reply::See(there);
    }
    match bench.desk().open(&name) {
        Ok(now) if view == "survey" => super::survey::all(bench, &now, 422, &told, each),
        Ok(now) => screen(bench, &now, Some(station), 422, &told, each),
        Err(error) => store_trouble(bench, ask, &error, "/"),
    }
}

/// What this station alone still waits for.
fn needed(now: &Opened, station: Station) -> Told {
    let waiting = now.interview.iter().flat_map(|interview| {
        let of_station = move |step: &Step| step.question.station == station && interview.waits(step);
        interview.steps().into_iter().filter(of_station)
    });
    waiting
        .map(|step| (step.key(), String::new(), Said::Refused("it is needed.".to_owned())))
        .collect()
}
