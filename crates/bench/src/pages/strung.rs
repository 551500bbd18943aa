//! After stringing up: the readings, and what is left to do, in figures that can be read from a metre away.

use job::{Job, Problem, Severity};
use maud::{Markup, html};
use saddle::{Fit, FitLimits, Outcome, Plan, StringFit, StringWork};
use serde_json::json;
use toml_edit::{Array, DocumentMut, Item, Value};
use units::{BenchUnit, LengthUnit, parse_cents};

use super::{Tab, frame, hidden, live, no_plan, nut, opened, problems, steps, store_trouble, to, unchanged};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::figures::{cents, length};
use crate::talk::{Ask, Fields, Reply};

/// Most characters of one reading.
const LONG: usize = 60;

/// The readings that are taken on each string: key in the file, name in the form, heading.
const KINDS: [(&str, &str, &str); 3] = [
    ("action_12", "a", "Action at 12"),
    ("first_fret_clearance", "g", "Gap at fret 1"),
    ("cents_12", "c", "Cents at 12"),
];

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => Reply::Page(200, whole(bench, &opened, None, &[])),
        Err(reply) => reply,
    }
}

fn whole(bench: &Bench, opened: &Opened, typed: Option<&Fields>, found: &[Problem]) -> Markup {
    let main = match opened.judged.strings() {
        None => no_plan(opened),
        Some((strings, unit)) => html! {
            div.title-row { h1 { "Strung up" } (steps(bench, opened, "strung")) }
            section aria-labelledby="to-do" { h2 id="to-do" { "What is left" } div id="left" { (left(&opened.judged)) } }
            (form(bench, opened, &strings, unit, typed, found))
            (live::closing(&opened.judged))
        },
    };
    frame(bench, &opened.title(), Some((opened, Tab::Strung)), &main)
}

fn form(
    bench: &Bench,
    opened: &Opened,
    strings: &[(u32, &str)],
    unit: LengthUnit,
    typed: Option<&Fields>,
    found: &[Problem],
) -> Markup {
    let kept = kept(opened, strings.len());
    let unit = match unit {
        LengthUnit::Millimetre => "millimetres",
        LengthUnit::Inch => "inches",
        LengthUnit::Thou => "thou",
    };
    html! {
        section aria-labelledby="read" {
            h2 id="read" { "Readings at pitch" }
            p.how { "As before: underside of the open string over the crowns. Outer strings at least, for the action. A number without a unit is in " (unit) ". Leave empty what was not read." }
            form.readings id="strung-form" method="post" action=(to(&opened.name, "strung")) {
                (hidden(bench, Some(opened)))
                div.say id="strung-say" role="status" aria-live="polite" { @if !found.is_empty() { (problems(found)) } }
                table {
                    thead { tr { th scope="col" { "String" } @for (_, _, head) in KINDS { th scope="col" { (head) } } } }
                    tbody { @for (i, (number, note)) in strings.iter().enumerate() { tr {
                        th scope="row" { (number) " " (note) }
                        @for (k, (_, short, head)) in KINDS.iter().enumerate() {
                            @let name = format!("{short}{number}");
                            @let value = typed.map_or_else(|| kept.get(k).and_then(|list| list.get(i)).cloned().unwrap_or_default(), |typed| typed.text(&name).to_owned());
                            td { input name=(name) value=(value) aria-label={ (head) ", string " (number) } autocomplete="off" autocapitalize="none" spellcheck="false" inputmode="text"; }
                        }
                    } } }
                }
                p { button { "Keep these readings" } }
            }
        }
    }
}

/// The readings in the file as texts, a list for each kind.
fn kept(opened: &Opened, count: usize) -> Vec<Vec<String>> {
    let table: Option<toml::Table> = opened.text.parse().ok();
    let strung = table
        .as_ref()
        .and_then(|t| t.get("strung"))
        .and_then(toml::Value::as_table);
    let plain = |value: &toml::Value| match value {
        toml::Value::String(text) if text == "-" => String::new(),
        toml::Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    KINDS
        .iter()
        .map(|(key, ..)| {
            let mut list = vec![String::new(); count];
            match strung.and_then(|s| s.get(*key)) {
                Some(toml::Value::Array(values)) => {
                    for (place, value) in list.iter_mut().zip(values) {
                        *place = plain(value);
                    }
                }
                Some(toml::Value::Table(ends)) => {
                    for (place, side) in [(0, "bass"), (count.saturating_sub(1), "treble")] {
                        if let (Some(place), Some(value)) = (list.get_mut(place), ends.get(side)) {
                            *place = plain(value);
                        }
                    }
                }
                Some(one) if count == 1 => list = vec![plain(one)],
                _ => {}
            }
            list
        })
        .collect()
}

/// The file with these readings in it.
fn with(opened: &Opened, strings: &[(u32, &str)], fields: &Fields) -> Result<String, String> {
    let mut doc: DocumentMut = opened.text.parse().map_err(|_| "The file is no TOML.".to_owned())?;
    let strung = doc
        .entry("strung")
        .or_insert_with(|| Item::Table(toml_edit::Table::new()));
    let Some(strung) = strung.as_table_like_mut() else {
        return Err("`strung` in the file is no table.".to_owned());
    };
    let mut any = false;
    for (key, short, _) in KINDS {
        let texts: Vec<String> = strings
            .iter()
            .map(|(number, _)| {
                fields
                    .text(&format!("{short}{number}"))
                    .trim()
                    .chars()
                    .take(LONG)
                    .collect()
            })
            .collect();
        if texts.iter().all(String::is_empty) {
            strung.remove(key);
            continue;
        }
        any = true;
        let mut list = Array::new();
        for text in &texts {
            list.push(one(key, text));
        }
        strung.insert(key, Item::Value(Value::Array(list)));
    }
    if !any {
        doc.remove("strung");
    }
    Ok(doc.to_string())
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
    let Some((strings, _)) = opened.judged.strings() else {
        return super::trouble(
            bench,
            ask,
            422,
            "This job has no plan yet.",
            &to(&opened.name, "survey"),
        );
    };
    let text = match with(&opened, &strings, &ask.fields) {
        Ok(text) => text,
        Err(why) => return super::trouble(bench, ask, 422, &why, &to(&opened.name, "text")),
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
        let version = crate::store::Version::of(if attempt || refused { &opened.text } else { &text });
        return Reply::Json(
            200,
            json!({
                "state": if refused { "refused" } else if attempt { "" } else { "kept" },
                "say": if about.is_empty() { String::new() } else { problems(&about).into_string() },
                "version": version.as_str(),
                "live": (!refused).then(|| left(&judged).into_string()),
            }),
        );
    }
    Reply::Page(422, whole(bench, &opened, Some(&ask.fields), &about))
}

/// The fit of a job with readings; `None` where there are none yet.
#[must_use]
pub fn fitted(judged: &Judged) -> Option<Result<Fit, String>> {
    let job = judged.job.as_ref()?;
    let read = job.strung.as_ref()?;
    let survey = judged.survey.as_ref().unwrap_or(&job.survey);
    Some(saddle::fit(survey, read, &limits(job)).map_err(|error| error.to_string()))
}

fn limits(job: &Job) -> FitLimits {
    FitLimits {
        action: job.tolerance.band.action,
        cents: job.tolerance.band.cents,
        ..FitLimits::default()
    }
}

/// What is left, string by string.
fn left(judged: &Judged) -> Markup {
    let slots = judged.nut_shown().and_then(|nut| Some(nut::left(&nut, nut.strung?)));
    let Some((job, plan)) = judged.planned() else {
        return match (judged.nut_shown(), slots) {
            (Some(_), Some(slots)) => slots,
            (Some(_), None) => none_yet(),
            _ => html! { p.say.refused { "With these readings the job has no plan." } },
        };
    };
    html! {
        (left_of_saddle(judged, job, plan))
        @if let Some(slots) = slots { h3 { "The nut's slots" } (slots) }
    }
}

fn none_yet() -> Markup {
    html! { p { "No readings yet. String up to pitch, let it settle, and enter what you read below." } }
}

fn left_of_saddle(judged: &Judged, job: &Job, plan: &Plan) -> Markup {
    match fitted(judged) {
        None => none_yet(),
        Some(Err(why)) => html! { p.say.refused { span.mark aria-hidden="true" { "✕" } " " (why) } },
        Some(Ok(fit)) => {
            let (state, sign, words) = outcome(job, &fit);
            let read = job.strung.as_deref().unwrap_or_default();
            let whole = report::fit_page(
                &job.title,
                &report::Fitted {
                    made: plan,
                    survey: judged.survey.as_ref().unwrap_or(&job.survey),
                    read,
                    limits: limits(job),
                    fit: &fit,
                },
                report::Hazards {
                    synthetic: job.blank_material.dust == job::Dust::Synthetic,
                    check_law: job.blank_material.check_law,
                },
                job.bench,
            );
            html! {
                p.verdict.(state) { span.mark aria-hidden="true" { (sign) } " " (words) }
                ul.left { @for (s, made) in fit.strings.iter().zip(&plan.strings) { (card(job, s, &made.note)) } }
                details { summary { "Every figure, as the command prints it" } pre tabindex="0" { (whole) } }
            }
        }
    }
}

/// What to do with the whole saddle.
#[must_use]
pub fn outcome(job: &Job, fit: &Fit) -> (&'static str, &'static str, String) {
    let bench = job.bench;
    match fit.outcome {
        Outcome::Good => ("kept", "✓", "Every string is good. File nothing more.".to_owned()),
        Outcome::File => ("doubt", "!", "File the strings below: the move first, then the height. Measure before the last stroke; what is filed off cannot be put back.".to_owned()),
        Outcome::Shim(by) => ("doubt", "!", format!("Too low. This saddle drops in: lay a shim {} thick under its whole length, then string up and read again.", length(bench, by))),
        Outcome::NewSaddle(by) => ("refused", "✕", format!("Too low by {}, and nothing can be put back. Make a new saddle; the figures behind this hold what these readings taught.", length(bench, by))),
        Outcome::ReadAgain => ("refused", "?", "File nothing yet. Take the doubtful readings again first.".to_owned()),
    }
}

fn card(job: &Job, s: &StringFit, note: &str) -> Markup {
    let bench = job.bench;
    let (state, sign, word) = verdict(&s.verdict);
    html! {
        li.card.(state) {
            h3 { (s.number) " " (note) span.verdict-word { span.mark aria-hidden="true" { (sign) } " " (word) } }
            @if !matches!(s.verdict, StringWork::Good | StringWork::Doubtful(_)) {
                dl {
                    (big(bench, if s.move_back <= 0.0 { "Move forward" } else { "Move back" }, s.move_back.abs()))
                    (big(bench, if s.lower >= 0.0 { "Lower" } else { "Must come up" }, s.lower.abs()))
                }
            }
            p.small { "Now: action " (length(bench, s.action_12)) ", " (cents(s.cents_12)) " cents at 12." }
        }
    }
}

/// The verdict on a string: state, sign, word.
#[must_use]
pub fn verdict(verdict: &StringWork) -> (&'static str, &'static str, &'static str) {
    match verdict {
        StringWork::Good => ("kept", "✓", "good"),
        StringWork::File => ("doubt", "!", "file"),
        StringWork::TooLow(_) => ("refused", "✕", "too low"),
        StringWork::Doubtful(_) => ("refused", "?", "read again"),
    }
}

fn big(bench: BenchUnit, what: &str, mm: f64) -> Markup {
    if bench.number(mm) == bench.number(0.0) {
        return html! { div { dt { (what) } dd { span.big aria-hidden="true" { "–" } span.o { "nothing" } } } };
    }
    html! { div { dt { (what) } dd { span.big { (bench.number(mm)) } " " span.unit { (bench.name()) } span.o { (bench.other().show(mm)) } } } }
}
