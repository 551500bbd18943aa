//! After stringing up: the readings, and what is left to do, in figures that can be read from a metre away.

use instrument::StrungString;
use job::{Edit, EditError, Problem, Severity, Value};
use maud::{Markup, html};
use saddle::StringFit;
use serde_json::json;
use units::{BenchUnit, LengthUnit, parse_cents};
use work::{Left, Planned, SaddleWork, StringLeft, Whole};

use super::readings::KINDS;
use super::told::no_plan;
use super::told::told;
use super::{Tab, frame, hidden, live, nut, opened, steps, store_trouble, to, unchanged};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::figures::{cents, length};
use crate::patch::refused;
use crate::plain::on_page;
use crate::talk::{Ask, Fields, Reply};

/// Name of the field of humidity.
const HUMIDITY: &str = "humidity";
/// Most characters of one reading.
const LONG: usize = 60;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => Reply::Page(200, whole(bench, &opened, None, &[])),
        Err(reply) => reply,
    }
}

fn whole(bench: &Bench, opened: &Opened, typed: Option<&Fields>, found: &[Problem]) -> Markup {
    let main = match opened.judged.planned() {
        None => no_plan(opened),
        Some(done) => html! {
            div.title-row { h1 { "Strung up" } (steps(bench, opened, "strung")) }
            section aria-labelledby="to-do" { h2 id="to-do" { "What is left" } div id="left" { (left(&opened.judged)) } }
            (form(bench, opened, done, typed, found))
            (live::closing(&opened.judged))
        },
    };
    frame(bench, &opened.title(), Some((opened, Tab::Strung)), &main)
}

fn form(bench: &Bench, opened: &Opened, done: &Planned, typed: Option<&Fields>, found: &[Problem]) -> Markup {
    let kept = kept(opened, done.strings().count());
    let unit = bare(done.job.unit);
    html! {
        section aria-labelledby="read" {
            h2 id="read" { "Readings at pitch" }
            p.how { "As before: underside of the open string over the crowns. Outer strings at least, for the action. A number without a unit is in " (unit) ". Leave empty what was not read." }
            form.readings id="strung-form" method="post" action=(to(&opened.name, "strung")) {
                (hidden(bench, Some(opened)))
                div.say id="strung-say" role="status" aria-live="polite" { @if !found.is_empty() { (told(opened, found)) } }
                table {
                    thead { tr { th scope="col" { "String" } @for (_, _, head) in KINDS { th scope="col" { (head) } } } }
                    tbody { @for (i, (number, note)) in done.strings().enumerate() { tr {
                        th scope="row" { (number) " " (note) }
                        @for (k, (_, short, head)) in KINDS.iter().enumerate() {
                            @let name = format!("{short}{number}");
                            @let value = typed.map_or_else(|| kept.get(k).and_then(|list| list.get(i)).cloned().unwrap_or_default(), |typed| typed.text(&name).to_owned());
                            td { input name=(name) value=(value) aria-label={ (head) ", string " (number) } autocomplete="off" autocapitalize="none" spellcheck="false" inputmode="text"; }
                        }
                    } } }
                }
                p.entry {
                    label for="strung-humidity" { "Humidity, per cent" }
                    @let value = typed.map_or_else(|| humidity(opened), |typed| typed.text(HUMIDITY).to_owned());
                    @let booked = booked(opened);
                    input id="strung-humidity" name=(HUMIDITY) value=(value) autocomplete="off" inputmode="decimal" aria-describedby="strung-humidity-how" list=[(!booked.is_empty()).then_some("strung-booked")];
                    @if !booked.is_empty() { datalist id="strung-booked" { @for (of, value) in &booked { option value=(value) { (value) " " (of) } } } }
                    span.how id="strung-humidity-how" {
                        "Hygrometer where it lay; the owner's sheet has it. May be left empty."
                        @for (of, value) in &booked { " The book has " (value) " " (of) "." }
                    }
                }
                p { button { "Keep these readings" } }
            }
        }
    }
}

/// What numbers without a unit are in.
pub(super) fn bare(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Millimetre => "millimetres",
        LengthUnit::Inch => "inches",
        LengthUnit::Thou => "thou",
    }
}

/// The readings in the file as texts, a list for each kind.
fn kept(opened: &Opened, count: usize) -> Vec<Vec<String>> {
    let table: Option<toml::Table> = opened.text.parse().ok();
    let plain = |value: &toml::Value| match value {
        toml::Value::String(text) if text == "-" => String::new(),
        toml::Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    let lists = KINDS.iter().map(|(key, ..)| {
        let read = table.as_ref().and_then(|table| table.get("strung")?.get(key));
        let of = |i: usize| match read? {
            toml::Value::Array(values) => values.get(i),
            toml::Value::Table(ends) if i + 1 == count => ends.get("treble"),
            toml::Value::Table(ends) if i == 0 => ends.get("bass"),
            toml::Value::Table(_) => None,
            one => (count == 1).then_some(one),
        };
        (0..count).map(|i| of(i).map_or_else(String::new, plain)).collect()
    });
    lists.collect()
}

/// The humidity in the file as text.
fn humidity(opened: &Opened) -> String {
    value(opened, "strung", "humidity")
}

/// What the book has of humidity, the last first, each with when that was.
fn booked(opened: &Opened) -> Vec<(&'static str, String)> {
    let of = [("humidity_out", "when it left"), ("humidity_in", "when it came")];
    let all = of.map(|(key, when)| (when, value(opened, "book", key))).into_iter();
    all.filter(|(_, text)| !text.is_empty()).collect()
}

/// A value of the file as text; empty if there is none.
fn value(opened: &Opened, table: &str, key: &str) -> String {
    let read: Option<toml::Table> = opened.text.parse().ok();
    match read.as_ref().and_then(|read| read.get(table)?.get(key)) {
        Some(toml::Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
        None => String::new(),
    }
}

/// The file with these readings in it.
fn with(opened: &Opened, done: &Planned, fields: &Fields) -> Result<String, EditError> {
    let mut edit = Edit::of(&opened.text)?;
    let mut any = false;
    for (key, short, _) in KINDS {
        let name = |(number, _)| format!("{short}{number}");
        let typed = done.strings().map(|string| fields.text(&name(string)).trim());
        let texts: Vec<String> = typed.map(|text| text.chars().take(LONG).collect()).collect();
        let field = format!("strung.{key}");
        if texts.iter().all(String::is_empty) {
            edit.remove(&field);
            continue;
        }
        any = true;
        edit.set(&field, Value::from_iter(texts.iter().map(|text| one(key, text))))?;
    }
    let humidity: String = fields.text(HUMIDITY).trim().chars().take(LONG).collect();
    match (humidity.is_empty(), humidity.parse::<f64>()) {
        (true, _) => drop(edit.remove("strung.humidity")),
        (false, Ok(number)) if number.is_finite() => edit.set("strung.humidity", number)?,
        (false, _) => edit.set("strung.humidity", humidity)?,
    }
    if !any {
        edit.remove("strung");
    }
    Ok(edit.text())
}

/// One reading as it stands in the file.
fn one(key: &str, text: &str) -> Value {
    if text.is_empty() {
        return Value::from("-");
    }
    match (key, parse_cents(text), text.parse::<f64>()) {
        ("cents_12", Ok(cents), _) => Value::from(cents),
        // A bare number stays one, in the file's unit.
        ("action_12" | "first_fret_clearance", _, Ok(number)) if number.is_finite() => Value::from(number),
        _ => Value::from(text),
    }
}

/// Keeps the readings, or, for `attempt`, only says what they would leave.
#[must_use]
pub fn post(bench: &Bench, ask: &Ask, attempt: bool) -> Reply {
    let opened = if attempt {
        opened(bench, ask)
    } else {
        unchanged(bench, ask, "strung")
    };
    let opened = match opened {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some(done) = opened.judged.planned() else {
        return super::trouble(
            bench,
            ask,
            422,
            "This job has no plan yet.",
            &to(&opened.name, "survey"),
        );
    };
    let text = match with(&opened, done, &ask.fields) {
        Ok(text) => text,
        Err(why) => return super::trouble(bench, ask, 422, &refused(why), &to(&opened.name, "text")),
    };
    let judged = bench.desk().judge(&text);
    let about: Vec<Problem> = judged
        .problems
        .iter()
        .filter(|p| p.field.starts_with("strung"))
        .cloned()
        .collect();
    let refused = about.iter().any(|p| p.severity == Severity::Error);
    if !attempt && !refused {
        if let Err(error) = bench.desk().store.save(&opened.name, &opened.version, &text) {
            return store_trouble(bench, ask, &error, &to(&opened.name, "strung"));
        }
        if !ask.script {
            return Reply::See(to(&opened.name, "strung"));
        }
    }
    if ask.script {
        let version = crate::jobs::Version::of(if attempt || refused { &opened.text } else { &text });
        return Reply::Json(
            200,
            json!({
                "state": if refused { "refused" } else if attempt { "" } else { "kept" },
                "say": if about.is_empty() { String::new() } else { told(&opened, &about).into_string() },
                "version": version.as_str(),
                "live": (!refused).then(|| left(&judged).into_string()),
            }),
        );
    }
    Reply::Page(422, whole(bench, &opened, Some(&ask.fields), &about))
}

/// What is left, string by string.
fn left(judged: &Judged) -> Markup {
    let Some(done) = judged.planned() else {
        return html! { p.say.refused { "With these readings the job has no plan." } };
    };
    let Some(read) = done.job.strung.as_deref() else {
        return html! { p { "No readings yet. String up to pitch, let it settle, and enter what you read below." } };
    };
    let slots = done.nut().map(|nut| nut::left(&nut, read));
    let mut saddles: Vec<(SaddleWork, &[StrungString])> = Vec::new();
    for (one, read) in done.read_by_saddle(read) {
        saddles.extend(one.saddle().map(|saddle| (saddle, read)));
    }
    if saddles.is_empty() {
        return slots.unwrap_or_default();
    }
    html! {
        (all_saddles(&saddles))
        @for (saddle, read) in &saddles {
            @if let Some(name) = &saddle.job.name { h3 { "The " (name) " saddle" } }
            (left_of_saddle(saddle, read))
        }
        @if let Some(slots) = slots { h3 { "The nut's slots" } (slots) }
    }
}

/// What is left on all of several saddles together; nothing where there is one, or one cannot be fitted.
fn all_saddles(saddles: &[(SaddleWork, &[StrungString])]) -> Markup {
    let fits: Option<Vec<_>> = saddles
        .iter()
        .map(|(saddle, read)| Some((saddle.job, saddle.fit(read).ok()?)))
        .collect();
    let fits = fits.unwrap_or_default();
    let each: Vec<_> = fits.iter().map(|(job, fitted)| (*job, fitted)).collect();
    html! { @if each.len() > 1 { p { strong { (on_page(&report::fits_words(&each))) } } } }
}

fn left_of_saddle(saddle: &SaddleWork, read: &[StrungString]) -> Markup {
    let bench = saddle.job.bench;
    match saddle.fit(read) {
        Err(why) => html! { p.say.refused { span.mark aria-hidden="true" { "✕" } " " (why) } },
        Ok(fitted) => {
            let (state, sign) = whole_sign(fitted.whole());
            let strings = fitted
                .strings()
                .iter()
                .zip(&fitted.fit.strings)
                .zip(&saddle.plan.strings);
            html! {
                p.verdict.(state) { span.mark aria-hidden="true" { (sign) } " " (on_page(&report::whole_short(&fitted, bench))) }
                @if let Some(weighed) = report::weighed_words(&fitted, bench) { p.say { (on_page(&weighed)) } }
                @for doubt in report::doubts_after(&fitted, bench) { p.say.doubt { span.mark aria-hidden="true" { "!" } " " (on_page(&doubt)) } }
                ul.left { @for ((left, s), made) in strings { (card(bench, left, s, &made.note)) } }
                details { summary { "Every figure, as the command prints it" } pre tabindex="0" { (report::fit_page(&saddle.job.title, &fitted, saddle.hazards(), bench)) } }
            }
        }
    }
}

/// State and sign of what to do with the whole saddle.
fn whole_sign(whole: Whole) -> (&'static str, &'static str) {
    match whole {
        Whole::Good | Whole::AsNear => ("kept", "✓"),
        Whole::File | Whole::Shim(_) | Whole::SlotsFirst => ("doubt", "!"),
        Whole::ShimOrNew(_) | Whole::NewSaddle(_) => ("refused", "✕"),
        Whole::ReadAgain => ("refused", "?"),
    }
}

/// State and sign of what is left on a string.
fn left_sign(left: Left) -> (&'static str, &'static str) {
    match left {
        Left::Good | Left::Held | Left::Low(_) | Left::Untuned => ("kept", "✓"),
        Left::File | Left::WithShim | Left::Remade | Left::Wait => ("doubt", "!"),
        Left::TooLow => ("refused", "✕"),
        Left::ReadAgain => ("refused", "?"),
    }
}

fn card(bench: BenchUnit, left: &StringLeft, s: &StringFit, note: &str) -> Markup {
    let (state, sign) = left_sign(left.left);
    html! {
        li.card.(state) {
            h3 { (left.number) " " (note) span.verdict-word { span.mark aria-hidden="true" { (sign) } " " (on_page(&report::left_words(left, bench))) } }
            @match left.left {
                Left::File => {
                    dl {
                        (big(bench, if left.move_back <= 0.0 { "Move forward" } else { "Move back" }, left.move_back.abs()))
                        (big(bench, "Then lower", left.rest()))
                    }
                    @if left.move_back != 0.0 && left.rest() > 0.0 {
                        p.small { "The move alone lowers it by " (length(bench, left.by_move)) "; in all it goes down by " (length(bench, left.lower)) "." }
                    }
                }
                Left::TooLow => {
                    dl {
                        (big(bench, "Too low at fret 12", -left.off_12))
                        (big(bench, "At the saddle", -left.off_saddle))
                    }
                }
                _ => {}
            }
            p.small { "Now: action " (length(bench.action(), s.action_12)) ", " (cents(s.cents_12)) " cents at 12." }
        }
    }
}

fn big(bench: BenchUnit, what: &str, mm: f64) -> Markup {
    if bench.number(mm) == bench.number(0.0) {
        return html! { div { dt { (what) } dd { span.big aria-hidden="true" { "–" } span.o { "nothing" } } } };
    }
    html! { div { dt { (what) } dd { span.big { (bench.number(mm)) } " " span.unit { (bench.name()) } span.o { (bench.other().show(mm)) } } } }
}
