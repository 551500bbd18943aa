//! One station of the survey on one screen: what one hand reads with one tool, and all of it kept together.

use std::collections::BTreeSet;

use ::survey::{AnswerCheck, Interview, Station, Step, Visit};
use maud::html;

use super::field::list_form;
use super::station_form::{form, several};
use super::{Tab, frame, live, opened, steps, store_trouble, to, trouble, unchanged};
use crate::bench::Bench;
use crate::desk::{Made, Opened};
use crate::jobs::Version;
use crate::last_blank::LastBlank;
use crate::notice::Notice;
use crate::pictures::map;
use crate::said::{Said, Told};
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
            let told = super::refused(bench, ask, &opened);
            screen(bench, &opened, station, &told, ask.fields.get("each"))
        }
        Err(reply) => reply,
    }
}

fn screen(bench: &Bench, opened: &Opened, station: Option<Station>, told: &Told, each: Option<&str>) -> Reply {
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
            (steps(bench, opened, &format!("ask?at={}", station.key())))
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
    Reply::Page(200, frame(bench, station.title(), Some((opened, Tab::Survey)), &main))
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
    let (separator, blank) = list_form(step.question);
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
        Err(reply) => return overtaken(bench, ask, view).unwrap_or(reply),
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
    let mut fields = ask.fields.clone();
    let last = ask.fields.get("last").is_some();
    if last
        && let Some(blank) = before
            .interview
            .as_ref()
            .and_then(|interview| LastBlank::of(bench.desk(), &before, interview, station))
    {
        blank.put(&mut fields);
    }
    let (now, made, mut told) = keep(bench, before, station, &fields);
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
    // What was taken over is looked at before one goes on.
    if last && told.is_empty() {
        return Reply::See(format!("{}?at={}", to(&name, view), station.key()));
    }
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
    let each = each.map_or_else(String::new, |each| format!("&each={each}"));
    let there = match view {
        "survey" => format!("{}?at={key}{each}#s-{key}", to(&name, "survey"), key = station.key()),
        _ => format!("{}?at={}{each}", to(&name, "ask"), station.key()),
    };
    let version = Version::of(&now.text);
    let notice = Notice::Refused {
        fields: Fields::default(),
        why: String::new(),
        told,
        of: Some((name, version)),
    };
    bench.notices.see(&there, notice)
}

/// A station that was filled in over a job that was changed elsewhere meanwhile: what was typed otherwise than the job has it now stands in its
/// fields, and is not kept.
fn overtaken(bench: &Bench, ask: &Ask, view: &str) -> Option<Reply> {
    if ask.script {
        return None;
    }
    let now = opened(bench, ask).ok()?;
    let interview = now.interview.as_ref()?;
    let station = at(interview, &ask.fields)?;
    let steps = interview
        .steps()
        .into_iter()
        .filter(|step| step.question.station == station);
    let told = steps.filter_map(|step| {
        let (key, text) = (step.key(), typed(&step, &ask.fields)?);
        let answer = interview.answers.get(&key).unwrap_or_default();
        let is_other = answer != text && step.question.today(answer) != text;
        let why = "the job was changed elsewhere after this page was opened. Look at it, and keep it again.".to_owned();
        is_other.then_some((key, text, Said::Refused(why)))
    });
    let told: Told = told.collect();
    let notice = Notice::Refused {
        fields: Fields::default(),
        why: String::new(),
        told,
        of: Some((now.name.clone(), now.version.clone())),
    };
    let there = format!("{}?at={}", to(&now.name, view), station.key());
    Some(bench.notices.see(&there, notice))
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

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::reply;
    use crate::talk::Method;

    fn send(bench: &Bench, path: &str, fields: &str) -> Reply {
        reply(bench, Method::Post, path, Fields::parse(fields.as_bytes()), false)
    }

    /// A bench with a job that was begun from a kind of instrument.
    fn begun() -> Bench {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        let to = send(
            &bench,
            "/new",
            "title=A&kind=flat-top&part=saddle&unit=in&from=kind&lean=9+deg&scale=25.4+in",
        );
        assert!(matches!(&to, Reply::See(to) if to == "/job/a/ask?at=wanted"), "{to:?}");
        bench
    }

    fn text(bench: &Bench) -> String {
        bench.desk().store.read(&JobName::parse("a").unwrap()).unwrap()
    }

    fn keep(bench: &Bench, fields: &str) -> Reply {
        let version = Version::of(&text(bench));
        send(
            bench,
            "/job/a/station",
            &format!("version={}&{fields}", version.as_str()),
        )
    }

    /// What is refused is told on a page that may be loaded again.
    fn page(bench: &Bench, refused: Reply) -> String {
        let Reply::See(there) = refused else {
            panic!("{refused:?}")
        };
        let (path, query) = there.split_once('?').unwrap();
        match reply(bench, Method::Get, path, Fields::parse(query.as_bytes()), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_a_short_question_was_given_goes_into_the_job() {
        let text = text(&begun());
        assert!(
            text.contains("scale          = \"25.4 in\"") || text.contains("\"25.4 in\""),
            "{text}"
        );
        assert!(text.contains("lean") && text.contains("\"9 deg\""), "{text}");
    }

    /// What is sound is kept, what is not is told at its field, and one stays until it is mended.
    #[test]
    fn a_station_keeps_what_is_sound_and_tells_the_rest() {
        let bench = begun();
        let told = page(
            &bench,
            keep(
                &bench,
                "at=frets&view=ask&go=yes&v.instrument.relief%3Agap=8+thou&v.nut.held_at_3.bass=abc&v.nut.held_at_3.treble=4+thou",
            ),
        );
        assert!(
            told.contains("Not kept: read `abc`") && told.contains("value=\"abc\""),
            "{told}"
        );
        let now = text(&bench);
        assert!(now.contains("\"8 thou\"") && !now.contains("abc"), "{now}");
        let on = keep(
            &bench,
            "at=frets&view=ask&go=yes&v.nut.held_at_3.bass=6+thou&v.nut.held_at_3.treble=4+thou",
        );
        assert!(matches!(&on, Reply::See(to) if to == "/job/a/ask?at=bridge"), "{on:?}");
        // A doubtful one is kept on a second word.
        let doubt = page(
            &bench,
            keep(&bench, "at=frets&view=ask&go=yes&v.instrument.relief%3Agap=0.9+mm"),
        );
        assert!(
            doubt.contains("Doubtful, not kept yet") && !text(&bench).contains("0.9 mm"),
            "{doubt}"
        );
        let sure = "at=frets&view=ask&go=yes&v.instrument.relief%3Agap=0.9+mm&sure.instrument.relief%3Agap=yes";
        assert!(matches!(keep(&bench, sure), Reply::See(_)) && text(&bench).contains("0.9 mm"));
    }

    /// A choice of which none is made is left out, and does not hold one up.
    #[test]
    fn a_choice_that_is_not_made_is_left_out() {
        let bench = begun();
        let on = keep(
            &bench,
            "at=bridge&view=ask&go=yes&shown=slot.bridge_side&v.slot.bridge_top.bass=-10+thou&v.slot.bridge_top.treble=-12+thou",
        );
        assert!(matches!(&on, Reply::See(to) if to == "/job/a/ask?at=slot"), "{on:?}");
    }

    #[test]
    fn what_is_assumed_is_told_until_it_is_read() {
        let bench = begun();
        assert!(text(&bench).contains("[assumed]"), "{}", text(&bench));
        let assume = keep(
            &bench,
            "at=frets&view=ask&v.instrument.relief%3Agap=&assume.instrument.relief%3Agap=yes",
        );
        assert!(matches!(assume, Reply::See(_)));
        assert!(
            text(&bench).contains("relief       = true") || text(&bench).contains("relief = true"),
            "{}",
            text(&bench)
        );
        let read = "at=frets&view=ask&v.instrument.board_radius=406+mm&read.instrument.board_radius=yes&v.instrument.relief%3Agap=9+thou";
        assert!(matches!(keep(&bench, read), Reply::See(_)));
        assert!(!text(&bench).contains("[assumed]"), "{}", text(&bench));
    }

    /// The strings' own fields make one list, in which what was not read has a dash.
    #[test]
    fn every_string_has_a_field() {
        let bench = begun();
        let to = keep(&bench, "at=wanted&view=ask&each=target.action_12");
        assert!(
            matches!(&to, Reply::See(to) if to == "/job/a/ask?at=wanted&each=target.action_12"),
            "{to:?}"
        );
        let each = "at=wanted&view=ask&go=yes".to_owned()
            + &["0.1", "0.1", "0.09", "0.09", "0.08", "0.08"]
                .map(|v| format!("&l.target.action_12.bass={v}"))
                .concat();
        assert!(matches!(keep(&bench, &each), Reply::See(_)));
        assert!(
            text(&bench).contains("[\"0.1 in\", \"0.1 in\", \"0.09 in\""),
            "{}",
            text(&bench)
        );
        let more = "at=wanted&view=ask&go=yes&v.ask.more=yes";
        assert!(matches!(keep(&bench, more), Reply::See(_)));
        let rings = "at=over&view=ask&go=yes".to_owned()
            + &["0.12", "", "0.13", "", "", "0.11"]
                .map(|v| format!("&l.present.exposure.bass={v}"))
                .concat();
        assert!(matches!(keep(&bench, &rings), Reply::See(_)));
        assert!(
            text(&bench).contains("[\"0.12 in\", \"-\", \"0.13 in\", \"-\", \"-\", \"0.11 in\"]"),
            "{}",
            text(&bench)
        );
    }

    /// The last blank is offered where none is measured yet, and taken over on a word.
    #[test]
    fn the_blank_may_be_as_the_last() {
        let bench = begun();
        let shown = |bench: &Bench| match reply(bench, Method::Get, "/job/a/ask", Fields::parse(b"at=blank"), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        };
        assert!(!shown(&bench).contains("As the last one"));
        let other = include_str!("../../../../examples/sound.toml");
        bench
            .desk()
            .store
            .create(&JobName::parse("other").unwrap(), other)
            .unwrap();
        assert!(shown(&bench).contains("As the last one: bone"), "{}", shown(&bench));
        let taken = keep(&bench, "at=blank&view=ask&last=yes&v.blank.height=");
        assert!(
            matches!(&taken, Reply::See(to) if to == "/job/a/ask?at=blank"),
            "{taken:?}"
        );
        assert!(
            text(&bench).contains("material") && !shown(&bench).contains("As the last one"),
            "{}",
            text(&bench)
        );
    }
}
