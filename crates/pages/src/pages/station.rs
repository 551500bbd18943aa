//! One station of the survey on one screen: what one hand reads with one tool, and all of it kept together.

use std::collections::BTreeSet;

use ::survey::{AnswerCheck, BETWEEN, Interview, Kind, SAME, Station, Step, ValueAt, Visit};
use maud::{Markup, html};

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
    let visits: Vec<Visit> = interview
        .visits()
        .into_iter()
        .chain(interview.settings_visits())
        .collect();
    let by_word = |word: &str| {
        visits
            .iter()
            .map(|visit| visit.station)
            .find(|station| station.key() == word)
    };
    let by_key = |key: &str| {
        let steps = interview.everything();
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
    if station.is_setting() {
        return setting(bench, opened, interview, station, told, each);
    }
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
            aside id="live" tabindex="0" data-part="brief" aria-label="What follows" { (live::brief(opened, None)) }
        }
    };
    Reply::Page(200, frame(bench, station.title(), Some((opened, Tab::Survey)), &main))
}

/// The screen of a setting. It is beside the way: one comes from a page, and goes back there.
fn setting(
    bench: &Bench,
    opened: &Opened,
    interview: &Interview,
    station: Station,
    told: &Told,
    each: Option<&str>,
) -> Reply {
    let (page, tab, label) = from_page(station);
    let visits = interview.settings_visits();
    let Some(visit) = visits.iter().find(|visit| visit.station == station) else {
        return Reply::See(to(&opened.name, page));
    };
    let main = html! {
        div.title-row.tight {
            p.where { a href=(to(&opened.name, page)) { "To “" (label) "”" } }
            (steps(bench, opened, &format!("ask?at={}", station.key())))
        }
        (several(opened))
        div id="survey" data-view="ask" {
            h1 { (station.title()) }
            (form(bench, opened, visit, "ask", told, each))
        }
    };
    Reply::Page(200, frame(bench, station.title(), Some((opened, tab)), &main))
}

/// The page that a setting belongs to, its tab and what it is called.
fn from_page(station: Station) -> (&'static str, Tab, &'static str) {
    match station {
        Station::Cutting | Station::CuttingNut => ("programs", Tab::Programs, "Programs"),
        Station::Crown => ("filing", Tab::Filing, "Filing"),
        Station::Limits => ("remedy", Tab::Remedy, "Remedy"),
        Station::Good | Station::Sure => ("sureness", Tab::Plan, "How sure it is"),
        _ => ("plan", Tab::Plan, "Plan"),
    }
}

/// A link to a setting, with what is said there already.
pub(super) fn setting_link(opened: &Opened, station: Station) -> Markup {
    let visits = opened
        .interview
        .as_ref()
        .map(Interview::settings_visits)
        .unwrap_or_default();
    let found = visits.iter().find(|visit| visit.station == station);
    // Both ends of a question are one.
    let own = |visit: &Visit| {
        let answered = |step: &&Step| {
            opened
                .interview
                .as_ref()
                .is_some_and(|interview| interview.answers.given(&step.key()).is_some())
        };
        let keys: BTreeSet<&str> = visit
            .steps
            .iter()
            .filter(answered)
            .map(|step| step.question.key)
            .collect();
        keys.len()
    };
    let given = |visit: &Visit| match own(visit) {
        0 => "as usual".to_owned(),
        1 => "one of your own".to_owned(),
        given => format!("{given} of your own"),
    };
    html! {
        @if let Some(visit) = found {
            p.setting { a.button.quiet href={ (to(&opened.name, "ask")) "?at=" (station.key()) } { (station.title()) } " " span.how { (given(visit)) } }
        }
    }
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
    let named = format!("v.{key}");
    if matches!(step.question.kind, Kind::Names(_) | Kind::Several(_)) && fields.all("shown").any(|shown| shown == key)
    {
        let all: Vec<&str> = fields.all(&named).collect();
        return Some(all.join(BETWEEN));
    }
    if let Some(text) = fields.get(&named) {
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

/// Whether a treble end has something of its own in its field.
fn stands_alone(treble: &Step, fields: &Fields) -> bool {
    typed(treble, fields).is_some_and(|text| !text.is_empty() && !text.eq_ignore_ascii_case(SAME))
}

/// The answers of a whole station, one after the other: what becomes of them together.
fn keep(bench: &Bench, opened: Opened, station: Station, fields: &Fields) -> (Opened, Option<Made>, Told) {
    let desk = bench.desk();
    let (mut now, mut last, mut told) = (opened, None, Vec::new());
    let mut seen = BTreeSet::new();
    // What is asked may change with every answer.
    while let Some(step) = now.interview.as_ref().and_then(|interview| {
        let mut open = interview.everything().into_iter().filter(|step| {
            step.question.station == station && !seen.contains(&step.key()) && typed(step, fields).is_some()
        });
        let first = open.next()?;
        // What was read at the treble end does not go with a bass end that is left empty.
        let treble = interview.other_end(&first).filter(|_| first.part == ValueAt::Bass);
        let treble = treble.filter(|treble| !seen.contains(&treble.key()));
        let bass_empty = || typed(&first, fields).is_some_and(|text| text.is_empty());
        Some(
            treble
                .filter(|treble| stands_alone(treble, fields) && bass_empty())
                .unwrap_or(first),
        )
    }) {
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
        let left = text.is_empty() && station.is_setting();
        let interview = now.interview.as_ref();
        let missing = text.is_empty() && interview.is_some_and(|interview| interview.is_missing(&step));
        if !assume && (same && !read || (needed || left || missing) && answer.is_none()) {
            continue;
        }
        let other = interview.and_then(|interview| interview.other_end(&step));
        // "Same" as nothing is as shown, and is kept once there is something.
        let of_nothing = |interview: &Interview| {
            let bass = other.filter(|_| step.part == ValueAt::Treble);
            bass.is_some_and(|bass| interview.answers.given(&bass.key()).is_none())
                && interview.enter(&step).as_deref() == Some(SAME)
        };
        if text == SAME && interview.is_some_and(of_nothing) {
            continue;
        }
        // Of a treble end with something of its own nothing is taken back with the bass end; that is judged by itself.
        let other = other
            .and_then(|other| typed(&other, fields))
            .filter(|text| text.is_empty());
        let attempt = if assume {
            desk.assume(&now, &key)
        } else {
            desk.attempt(&now, &key, &text, other.as_deref())
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
    let asked_before = asked(&before, station);
    let (now, made, mut told) = keep(bench, before, station, &fields);
    if let Some(made) = &made
        && let Err(error) = bench.desk().save_of(&name, &version, made)
    {
        return store_trouble(bench, ask, &error, &to(&name, view));
    }
    let each = ask.fields.get("each");
    if station.is_setting() && each.is_none() && told.is_empty() {
        // What is asked only now has not been looked at yet.
        let more = asked(&now, station).iter().any(|key| !asked_before.contains(key));
        return Reply::See(match more {
            true => format!("{}?at={}", to(&name, "ask"), station.key()),
            false => to(&name, from_page(station).0),
        });
    }
    let next = now
        .interview
        .as_ref()
        .and_then(|interview| interview.next_station(Some(station)));
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

/// Keys of what is asked at a setting.
fn asked(opened: &Opened, station: Station) -> BTreeSet<&'static str> {
    let steps = opened.interview.iter().flat_map(Interview::settings);
    steps
        .filter(|step| step.question.station == station)
        .map(|step| step.question.key)
        .collect()
}

/// What this station alone still waits for.
fn needed(now: &Opened, station: Station) -> Told {
    let waiting = now.interview.iter().flat_map(|interview| {
        // "Same" stands in its field until there is something that it is the same as.
        let is_same = move |step: &Step| {
            step.part == ValueAt::Treble
                && !interview.is_missing(step)
                && interview.enter(step).as_deref() == Some(SAME)
        };
        let of_station = move |step: &Step| step.question.station == station && interview.waits(step) && !is_same(step);
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

    /// A setting is kept as one types it, told at its field where it cannot be, and leaves the file alone where it is left empty.
    #[test]
    fn settings_are_kept_as_the_command_reads_them() {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        let sound = include_str!("../../../../examples/parlour.toml");
        bench.desk().store.create(&JobName::parse("a").unwrap(), sound).unwrap();
        let before = text(&bench);
        let back = keep(
            &bench,
            "at=cutting&view=ask&go=yes&v.cut.vise.jaw_height=&shown=cut.vise.jaw_height&v.cut.spindle=",
        );
        assert!(matches!(&back, Reply::See(to) if to == "/job/a/programs"), "{back:?}");
        assert_eq!(text(&bench), before);
        let told = page(
            &bench,
            keep(
                &bench,
                "at=cutting&view=ask&go=yes&v.cut.vise.jaw_height=3/8&v.cut.stock.height=900+mm&v.cut.setup=both",
            ),
        );
        assert!(
            told.contains("value=\"900 mm\"") && told.contains("Not kept: "),
            "{told}"
        );
        let now = text(&bench);
        assert!(
            now.contains("jaw_height") && now.contains("setup") && !now.contains("900"),
            "{now}"
        );
        let table: toml::Table = now.parse().unwrap();
        assert_eq!(table["cut"]["vise"]["jaw_height"].as_str(), Some("3/8 in"));
        assert_eq!(table["cut"]["setup"].as_str(), Some("both"));
        // Several at once, and none of them again.
        let two = "at=limits&view=ask&go=yes&shown=assess.accept&v.assess.accept=slot&v.assess.accept=front+wall&v.tolerance.cents=2";
        assert!(matches!(keep(&bench, two), Reply::See(to) if to == "/job/a/remedy"));
        let table: toml::Table = text(&bench).parse().unwrap();
        let list = table["assess"]["accept"].as_array().unwrap();
        assert_eq!(
            list.iter().filter_map(toml::Value::as_str).collect::<Vec<_>>(),
            ["slot", "front wall"]
        );
        assert!(matches!(
            keep(&bench, "at=limits&view=ask&go=yes&shown=assess.accept"),
            Reply::See(_)
        ));
        assert!(!text(&bench).contains("accept"));
        assert!(matches!(
            keep(&bench, "at=good&view=ask&go=yes&v.tolerance.cents=2"),
            Reply::See(_)
        ));
        let table: toml::Table = text(&bench).parse().unwrap();
        assert_eq!(table["tolerance"]["cents"].as_integer(), Some(2));
        // None of it is waited for, and none stands on the survey's own way.
        let opened = bench.desk().open(&JobName::parse("a").unwrap()).unwrap();
        let interview = opened.interview.unwrap();
        assert!(interview.settings().iter().all(|step| !interview.waits(step)));
        assert!(interview.visits().iter().all(|visit| !visit.station.is_setting()));
    }

    /// How sure readings are, in every way that a file may say it.
    const SURE: &str = "[uncertainty]
relief = 0.03
slot_edge = { total = \"0.2 mm\", correlation = 0.25 } # mine
present_action = { total = 0.08 }
cents.total = 2
cents.correlation = 1
lean = \"0.5 deg\"
board_radius = 0.0
stretch = 0.1

[uncertainty.bridge_top] # both ends
total = \"4 thou\"
correlation = 0.75
";

    /// The crown as it stands, string by string, as far as it was read.
    const CROWN: &str = "crown = [\"flat\", \"facet\", \"facet\", \"rounded\", \"planned\", \"flat\"] # looked at
fall = [\"-\", 12, \"13 deg\", \"-\", \"-\", \"-\"]
radius = [\"-\", \"-\", \"-\", \"1 mm\", \"-\", \"-\"]
contact_back = [\"2 mm\", \"-\", 0.08, \"-\", \"-\", \"2.5 mm\"]
action_12 = { bass = \"3 mm\", treble = \"2.6 mm\" }";

    /// Every setting of every example, read into the page and kept again, leaves the file as it is.
    #[test]
    fn settings_of_the_examples_stay_as_they_are() {
        let more = |extra: &str| include_str!("../../../../examples/parlour.toml").to_owned() + extra;
        let sure = more(SURE);
        let crown = more("").replace("crown = \"flat\"", CROWN);
        let made = [("sure", sure.as_str()), ("crown", crown.as_str())];
        for (name, text) in crate::examples::EXAMPLES.into_iter().chain(made) {
            let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
            let job = JobName::parse("a").unwrap();
            bench.desk().store.create(&job, text).unwrap();
            for station in Station::SETTINGS {
                let opened = bench.desk().open(&job).unwrap();
                let interview = opened.interview.unwrap();
                let steps = interview.settings();
                if steps.iter().all(|step| step.question.station != station) {
                    continue;
                }
                let of = steps.iter().filter(|step| step.question.station == station);
                let mut fields = form_urlencoded::Serializer::new(String::new());
                fields
                    .append_pair("at", station.key())
                    .append_pair("view", "ask")
                    .append_pair("go", "yes");
                for step in of {
                    let (key, now) = (step.key(), interview.answers.given(&step.key()).unwrap_or_default());
                    fields.append_pair("shown", &key);
                    let several = matches!(step.question.kind, Kind::Names(_) | Kind::Several(_));
                    for one in now
                        .split(if several { BETWEEN } else { "\n" })
                        .filter(|one| !one.is_empty())
                    {
                        fields.append_pair(&format!("v.{key}"), one);
                    }
                }
                let version = opened.version.as_str();
                let reply = send(
                    &bench,
                    "/job/a/station",
                    &format!("version={version}&{}", fields.finish()),
                );
                assert!(matches!(reply, Reply::See(_)), "{name} {}: {reply:?}", station.key());
                assert_eq!(
                    &bench.desk().store.read(&job).unwrap(),
                    text,
                    "{name} {}",
                    station.key()
                );
            }
        }
    }

    /// A figure of how sure a reading is takes the place of the file's, and what readings have in common stays as it was said.
    #[test]
    fn how_sure_a_reading_is_keeps_what_is_in_common() {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        let text_of = include_str!("../../../../examples/parlour.toml").to_owned() + SURE;
        bench
            .desk()
            .store
            .create(&JobName::parse("a").unwrap(), &text_of)
            .unwrap();
        let sure = |key: &str| {
            let table: toml::Table = text(&bench).parse().unwrap();
            table.get("uncertainty").and_then(|all| all.get(key)).cloned()
        };
        let value = |text: &str| text.parse::<toml::Value>().ok();
        let send = |fields: &str| keep(&bench, &format!("at=sure&view=ask&go=yes&{fields}"));
        for (key, figure, kept) in [
            ("slot_edge", "0.15+mm", "{ total = \"0.15 mm\", correlation = 0.25 }"),
            ("present_action", "0.09+mm", "\"0.09 mm\""),
            ("cents", "2.5", "{ total = 2.5, correlation = 1 }"),
            ("bridge_top", "5+thou", "{ total = \"5 thou\", correlation = 0.75 }"),
            ("slot_depth", "0", "\"0 in\""),
            ("board_radius", "0.04", "0.04"),
        ] {
            let done = send(&format!("v.uncertainty.{key}={figure}"));
            assert!(
                matches!(&done, Reply::See(to) if to == "/job/a/sureness"),
                "{key}: {done:?}"
            );
            assert_eq!(sure(key), value(kept), "{key}");
        }
        assert!(text(&bench).contains("correlation = 0.25 } # mine"), "{}", text(&bench));
        // What is in common is changed, taken back, and given for a figure that is as usual.
        send("v.uncertainty.slot_edge=0.15+mm&v.uncertainty.slot_edge.correlation=0");
        assert_eq!(sure("slot_edge"), value("{ total = \"0.15 mm\", correlation = 0 }"));
        send("v.uncertainty.slot_edge=0.15+mm&v.uncertainty.slot_edge.correlation=");
        assert_eq!(sure("slot_edge"), value("\"0.15 mm\""));
        send("v.uncertainty.slot_edge=&v.uncertainty.slot_edge.correlation=");
        assert_eq!(sure("slot_edge"), None);
        send("v.uncertainty.reference_height=&v.uncertainty.reference_height.correlation=0.9");
        assert_eq!(
            sure("reference_height"),
            value("{ total = \"0.02 mm\", correlation = 0.9 }")
        );
        // What cannot be is told at its field.
        for (fields, why) in [
            ("v.uncertainty.slot_depth.correlation=1.5", "1.5"),
            ("v.uncertainty.slot_depth.correlation=half", "from 0 up"),
            ("v.uncertainty.slot_depth=9+mm", "9 mm"),
        ] {
            let told = page(&bench, send(fields));
            assert!(told.contains("Not kept: ") && told.contains(why), "{fields}");
        }
        assert_eq!(sure("slot_depth"), value("\"0 in\""));
    }

    /// A crown that differs from string to string is kept as such, with what was read of some strings alone.
    #[test]
    fn the_crown_is_told_string_by_string() {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        let parlour = include_str!("../../../../examples/parlour.toml");
        bench
            .desk()
            .store
            .create(&JobName::parse("a").unwrap(), parlour)
            .unwrap();
        let filing = |key: &str| {
            let table: toml::Table = text(&bench).parse().unwrap();
            table.get("filing").and_then(|all| all.get(key)).cloned()
        };
        let value = |text: &str| text.parse::<toml::Value>().ok();
        let send = |fields: &str| keep(&bench, &format!("at=crown&view=ask&go=yes&{fields}"));
        let each = |key: &str, texts: [&str; 6]| texts.map(|text| format!("&l.filing.{key}={text}")).concat();
        // What is asked only of such a crown is asked at once.
        let crowns = each("crown", ["flat", "", "facet", "flat", "rounded", "flat"]);
        let to = send(&crowns);
        assert!(matches!(&to, Reply::See(to) if to == "/job/a/ask?at=crown"), "{to:?}");
        assert_eq!(
            filing("crown"),
            value("[\"flat\", \"planned\", \"facet\", \"flat\", \"rounded\", \"flat\"]")
        );
        let figures = each("fall.bass", ["", "", "12", "", "", ""])
            + &each("radius.bass", ["", "", "", "", "1+mm", ""])
            + &each("contact_back.bass", ["2+mm", "", "", "", "", "2.5+mm"]);
        let to = send(&figures);
        assert!(matches!(&to, Reply::See(to) if to == "/job/a/filing"), "{to:?}");
        for (key, kept) in [
            ("fall", "[\"-\", \"-\", \"12 deg\", \"-\", \"-\", \"-\"]"),
            ("radius", "[\"-\", \"-\", \"-\", \"-\", \"1 mm\", \"-\"]"),
            ("contact_back", "[\"2 mm\", \"-\", \"-\", \"-\", \"-\", \"2.5 mm\"]"),
        ] {
            assert_eq!(filing(key), value(kept), "{key}");
        }
        let opened = bench.desk().open(&JobName::parse("a").unwrap()).unwrap();
        assert!(opened.judged.done.is_some(), "{:?}", opened.judged.problems);
        // One for all again, and nothing of one's own.
        send("v.filing.crown=flat&v.filing.contact_back.bass=2+mm&v.filing.contact_back.treble=2.2+mm");
        assert_eq!(filing("crown"), value("\"flat\""));
        assert_eq!(
            filing("contact_back"),
            value("{ bass = \"2 mm\", treble = \"2.2 mm\" }")
        );
        send(&each("crown", [""; 6]));
        assert_eq!(filing("crown"), None);
        // A name that is none is told at its field.
        let told = page(&bench, send(&each("crown", ["flat", "", "round", "nowhere", "", ""])));
        assert!(told.contains("Not kept: ") && told.contains("nowhere"), "{told}");
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
            told.contains("Not kept: read “abc”") && told.contains("value=\"abc\""),
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

    fn answer(bench: &Bench, fields: &str) -> String {
        let version = Version::of(&text(bench));
        let fields = format!("version={}&view=ask&{fields}", version.as_str());
        match reply(
            bench,
            Method::Post,
            "/job/a/answer",
            Fields::parse(fields.as_bytes()),
            true,
        ) {
            Reply::Json(200, said) => said.to_string(),
            other => panic!("{other:?}"),
        }
    }

    fn shown(bench: &Bench, at: &str) -> String {
        let fields = Fields::parse(format!("at={at}").as_bytes());
        match reply(bench, Method::Get, "/job/a/ask", fields, false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    fn value(bench: &Bench, key: &str) -> Option<toml::Value> {
        let table: toml::Table = text(bench).parse().unwrap();
        let (of, key) = key.split_once('.').unwrap();
        table.get(of).and_then(|all| all.get(key)).cloned()
    }

    fn toml(text: &str) -> Option<toml::Value> {
        text.parse().ok()
    }

    /// What is said at the field of a key.
    fn said(page: &str, key: &str) -> String {
        let from = page
            .find(&format!("id=\"say-{key}\""))
            .unwrap_or_else(|| panic!("{key}: {page}"));
        let rest = &page[from..];
        rest[..rest.find("</p>").unwrap()].to_owned()
    }

    /// Whatever is read at two ends may be read at the treble end first: it is in the file, and in its field when one comes back.
    #[test]
    fn a_treble_end_is_kept_before_its_bass_end() {
        let desk = |bench: &Bench| {
            bench
                .desk()
                .open(&JobName::parse("a").unwrap())
                .unwrap()
                .interview
                .unwrap()
        };
        let steps = desk(&begun()).steps();
        let pairs: Vec<&Step> = steps
            .iter()
            .filter(|step| step.part == ValueAt::Treble && step.question.kind == Kind::Length)
            .collect();
        let (mut keys, mut seen) = (Vec::new(), 0);
        for step in pairs {
            let bench = begun();
            let (key, station) = (step.key(), step.question.station);
            if desk(&bench).answers.given(&key).is_some() {
                continue;
            }
            seen += 1;
            // Somewhere within what is allowed.
            let range = step.question.range;
            let middle = f64::midpoint(range.least, range.most);
            let [one, two] = [middle, middle + 0.3].map(|mm| format!("{mm:.1} mm"));
            let [one_sent, two_sent] = [&one, &two].map(|text| text.replace(' ', "+"));
            let said = answer(
                &bench,
                &format!("at={}&key={key}&text={one_sent}&sure=yes", station.key()),
            );
            assert!(said.contains("\"state\":\"kept\""), "{key}: {said}");
            assert_eq!(
                desk(&bench).answers.given(&key),
                Some(one.as_str()),
                "{key}: {}",
                text(&bench)
            );
            let page = shown(&bench, station.key());
            assert!(page.contains(&format!("value=\"{one}\"")), "{key}: {page}");
            let bass = key.replace(".treble", ".bass");
            assert!(
                self::said(&page, &bass).contains("Still missing: the treble"),
                "{key}: {page}"
            );
            // Without a script, with a bass end that is left empty or cannot be read.
            for typed in ["", "3/q"] {
                let bench = begun();
                keep(
                    &bench,
                    &format!(
                        "at={}&view=ask&go=yes&v.{bass}={typed}&v.{key}={one_sent}&sure.{key}=yes",
                        station.key()
                    ),
                );
                assert_eq!(
                    value(&bench, step.question.key),
                    toml(&format!("{{ treble = \"{one}\" }}")),
                    "{key}"
                );
            }
            // And with the bass end it is a pair.
            let said = answer(
                &bench,
                &format!(
                    "at={}&key={bass}&text={two_sent}&other={one_sent}&sure=yes",
                    station.key()
                ),
            );
            assert!(said.contains("\"state\":\"kept\""), "{key}: {said}");
            assert_eq!(
                value(&bench, step.question.key),
                toml(&format!("{{ bass = \"{two}\", treble = \"{one}\" }}")),
                "{key}"
            );
            keys.push(key);
        }
        assert!(seen >= 5 && keys.len() == seen, "{keys:?}");
        assert!(keys.iter().any(|key| key == "present.action_12.treble"), "{keys:?}");
    }

    /// Of a pair that may be left out, the treble end stays where the bass end is emptied, and is told; both go where both are emptied.
    #[test]
    fn emptying_one_end_leaves_the_other() {
        let both = "at=frets&view=ask&v.present.action_12.bass=2.4+mm&v.present.action_12.treble=1.9+mm";
        let begun = || {
            let bench = begun();
            keep(&bench, both);
            assert_eq!(
                value(&bench, "present.action_12"),
                toml("{ bass = \"2.4 mm\", treble = \"1.9 mm\" }")
            );
            bench
        };
        let bench = begun();
        let said = answer(&bench, "at=frets&key=present.action_12.bass&text=&other=1.9+mm");
        assert!(
            said.contains("\"state\":\"kept\"") && said.contains("Still missing: the treble string is given"),
            "{said}"
        );
        let alone = toml("{ treble = \"1.9 mm\" }");
        assert_eq!(value(&bench, "present.action_12"), alone);
        let page = shown(&bench, "frets");
        assert!(
            page.contains("value=\"1.9 mm\"") && self::said(&page, "present.action_12.bass").contains("Still missing"),
            "{page}"
        );
        let said = answer(&bench, "at=frets&key=present.action_12.treble&text=");
        assert!(said.contains("\"state\":\"kept\""), "{said}");
        assert_eq!(value(&bench, "present.action_12"), None);
        assert!(!shown(&bench, "frets").contains("Still missing"));
        // Without a script.
        let bench = begun();
        let told = page_of_frets(&bench, "v.present.action_12.bass=&v.present.action_12.treble=1.9+mm");
        assert_eq!(value(&bench, "present.action_12"), alone);
        assert!(told.contains("value=\"1.9 mm\""), "{told}");
        let told = page_of_frets(&bench, "v.present.action_12.bass=&v.present.action_12.treble=1.8+mm");
        assert_eq!(
            value(&bench, "present.action_12"),
            toml("{ treble = \"1.8 mm\" }"),
            "{told}"
        );
        let bench = begun();
        page_of_frets(&bench, "v.present.action_12.bass=&v.present.action_12.treble=");
        assert_eq!(value(&bench, "present.action_12"), None);
        assert!(shown(&bench, "frets").contains("Action at fret 12 now"));
    }

    fn page_of_frets(bench: &Bench, fields: &str) -> String {
        keep(bench, &format!("at=frets&view=ask&go=yes&{fields}"));
        shown(bench, "frets")
    }

    /// What stands as taken in the field of the treble end is kept with the bass end; where it was not, it is asked.
    #[test]
    fn same_is_kept_with_what_it_is_the_same_as() {
        let key = "bridge.behind_slot";
        let bench = begun();
        keep(&bench, "at=bridge&view=ask&go=yes&v.bridge.string_exit=tie+block");
        let desk = |bench: &Bench| bench.desk().open(&JobName::parse("a").unwrap()).unwrap();
        let step = desk(&bench)
            .interview
            .unwrap()
            .steps()
            .into_iter()
            .find(|step| step.key() == "bridge.behind_slot.bass");
        let at = step
            .unwrap_or_else(|| panic!("{}", text(&bench)))
            .question
            .station
            .key();
        assert!(shown(&bench, at).contains("value=\"same\""));
        // There is nothing yet that it could be the same as.
        let said = answer(&bench, &format!("at={at}&key={key}.treble&text=same"));
        assert!(
            said.contains("\"state\":\"refused\"") && said.contains("Give that first"),
            "{said}"
        );
        answer(&bench, &format!("at={at}&key={key}.bass&text=7/16+in&other=same"));
        assert_eq!(value(&bench, key), toml("\"7/16 in\""));
        let missing = |bench: &Bench| {
            desk(bench)
                .judged
                .problems
                .iter()
                .any(|problem| problem.what().contains("pair of ends"))
        };
        assert!(!missing(&bench), "{:?}", desk(&bench).judged.problems);
        // One that misses its treble end.
        let file = text(&bench).replace("\"7/16 in\"", "{ bass = \"7/16 in\" }");
        bench
            .desk()
            .store
            .save(&JobName::parse("a").unwrap(), &Version::of(&text(&bench)), &file)
            .unwrap();
        assert!(missing(&bench));
        let page = shown(&bench, at);
        assert!(
            self::said(&page, "bridge.behind_slot.treble").contains("Still missing: the bass end is given."),
            "{page}"
        );
        let field = &page[page.find("id=\"f-bridge.behind_slot.treble\"").unwrap()..];
        assert!(field[..field.find('>').unwrap()].contains("value=\"\""), "{page}");
        let said = answer(&bench, &format!("at={at}&key={key}.treble&text=same"));
        assert!(said.contains("\"state\":\"kept\"") && !missing(&bench), "{said}");
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
