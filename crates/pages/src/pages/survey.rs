//! The survey: one reading at a time, or all on one page. Each answer is checked and kept at once.

use ::survey::{AnswerCheck, Heading, Interview, Kind, Spread, Step, ValueAt};
use maud::{Markup, html};
use serde_json::json;

use super::{Tab, frame, hidden, live, opened, picture, steps, store_trouble, to, trouble, unchanged};
use crate::answers::is_choice;
use crate::bench::Bench;
use crate::desk::{Attempt, Opened};
use crate::pictures::how;
use crate::talk::{Ask, Reply};
use work::SaddleWork;

/// Choices up to this many are shown side by side, more as a list to pull down.
const SIDE_BY_SIDE: usize = 4;

/// What is said of an answer, and how.
#[derive(Debug, Clone)]
enum Said {
    Nothing,
    Kept,
    Doubt(String),
    Refused(String),
}

impl Said {
    fn of(verdict: &AnswerCheck) -> Self {
        match verdict {
            AnswerCheck::Keep(_) => Self::Kept,
            AnswerCheck::Doubt { why, .. } => Self::Doubt(why.clone()),
            AnswerCheck::Refuse(why) => Self::Refused(why.clone()),
        }
    }

    fn state(&self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::Kept => "kept",
            Self::Doubt(_) => "doubt",
            Self::Refused(_) => "refused",
        }
    }

    fn html(&self) -> Markup {
        html! {
            @match self {
                Self::Nothing => {}
                Self::Kept => { span.mark aria-hidden="true" { "✓" } " Kept." }
                Self::Doubt(why) => {
                    span.mark aria-hidden="true" { "?" } " Doubtful, not kept yet: " (why) " "
                    button name="sure" value="yes" { "Keep it all the same" }
                }
                Self::Refused(why) => { span.mark aria-hidden="true" { "✕" } " Not kept: " (why) }
            }
        }
    }
}

/// All readings on one page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => Reply::Page(200, all(bench, &opened, None)),
        Err(reply) => reply,
    }
}

fn all(bench: &Bench, opened: &Opened, said: Option<(&str, &str, &Said)>) -> Markup {
    let main = match &opened.interview {
        None => html! { h1 { "Survey" } (super::text::broken(opened)) },
        Some(_) => html! {
            div.title-row {
                h1 { "Survey" }
                p { a.button href=(to(&opened.name, "ask")) { "One at a time" } }
                (steps(bench, opened, "survey"))
            }
            div.beside {
                div id="survey" { (list(bench, opened, said)) }
                aside id="live" tabindex="0" data-part="brief" aria-label="What follows" { (live::brief(bench, opened)) }
            }
        },
    };
    frame(bench, &opened.title(), Some((opened, Tab::Survey)), &main)
}

/// Steps that stand in one block: one question, or one spelled-out string's.
fn blocks(steps: &[Step]) -> Vec<Vec<Step>> {
    let mut blocks: Vec<Vec<Step>> = Vec::new();
    for step in steps {
        match blocks.last_mut() {
            Some(block)
                if block
                    .last()
                    .is_some_and(|last| last.question.key == step.question.key && step.part == ValueAt::Treble) =>
            {
                block.push(*step);
            }
            _ => blocks.push(vec![*step]),
        }
    }
    blocks
}

fn list(bench: &Bench, opened: &Opened, said: Option<(&str, &str, &Said)>) -> Markup {
    let Some(interview) = &opened.interview else {
        return html! {};
    };
    let steps = interview.steps();
    let mut headings: Vec<Heading> = steps.iter().map(|step| step.question.heading).collect();
    headings.dedup();
    headings.sort();
    headings.dedup();
    let id = |heading: Heading| {
        format!(
            "h-{}",
            heading.title().split(' ').next().unwrap_or_default().to_lowercase()
        )
    };
    html! {
        (several(opened))
        nav.jump aria-label="Parts of the survey" { ul {
            @for heading in &headings { li { a href={ "#" (id(*heading)) } { (heading.title()) } } }
        } }
        @for heading in &headings {
            @let own: Vec<Step> = steps.iter().filter(|step| step.question.heading == *heading).copied().collect();
            section.part aria-labelledby=(id(*heading)) {
                h2 id=(id(*heading)) { (heading.title()) }
                p.how { (heading.intro().join(" ")) }
                @for block in blocks(&own) { (question(bench, opened, &block, said)) }
            }
        }
    }
}

/// What the survey asks of several saddles: what they have in common.
fn several(opened: &Opened) -> Markup {
    let done = opened.judged.done.as_ref();
    let names: Vec<&str> = done
        .into_iter()
        .flat_map(|done| &done.job.split)
        .filter_map(|job| job.name.as_deref())
        .collect();
    html! {
        @if !names.is_empty() {
            p.say.doubt {
                span.mark aria-hidden="true" { "!" } " Several saddles carry the strings: " (names.join(", ")) ". What is asked here of slot, bridge, blank and crown is what they have in common; what is one saddle's own stands in the "
                a href=(to(&opened.name, "text")) { "file" } " under " code { "[[saddle]]" } ", and takes the place of what stands here."
            }
        }
    }
}

fn question(bench: &Bench, opened: &Opened, block: &[Step], said: Option<(&str, &str, &Said)>) -> Markup {
    let Some(first) = block.first() else {
        return html! {};
    };
    let asked = first.question;
    let pair = block.len() > 1;
    let title = if pair { asked.title.to_owned() } else { first.title() };
    html! {
        div.ask id={ "b-" (first.key()) } {
            div.ask-words {
                @if pair { h3 { (title) } } @else if is_choice(asked.kind) { h3 id={ "l-" (first.key()) } { (title) } } @else { h3 { label for={ "f-" (first.key()) } { (title) } } }
                p.how id={ "how-" (first.key()) } { (asked.how) @if asked.strings_off { " " strong { "Strings off." } } }
                @if !asked.help.is_empty() { details { summary { "More" } p { (asked.help) } } }
                @for step in block { (field(bench, opened, step, pair, "survey", said)) }
            }
            @if let Some(svg) = opened.interview.as_ref().and_then(|interview| how(asked, interview)) { (picture(svg)) }
        }
    }
}

/// The label of one of two ends.
fn end(step: &Step) -> &'static str {
    match (step.part, step.question.spread) {
        (ValueAt::Bass, Spread::Strings) => "Bass string",
        (ValueAt::Treble, Spread::Strings) => "Treble string",
        (ValueAt::Bass, _) => "Bass end",
        _ => "Treble end",
    }
}

fn field(
    bench: &Bench,
    opened: &Opened,
    step: &Step,
    pair: bool,
    view: &str,
    said: Option<(&str, &str, &Said)>,
) -> Markup {
    let Some(interview) = &opened.interview else {
        return html! {};
    };
    let key = step.key();
    let (typed, words) = match said {
        Some((of, typed, words)) if of == key => (Some(typed), words.clone()),
        _ => (None, Said::Nothing),
    };
    let now = typed.unwrap_or_else(|| step.question.today(interview.answers.get(&key).unwrap_or_default()));
    let first_key = step.question.key;
    let described = format!(
        "how-{} say-{key}",
        if pair || step.part != ValueAt::Whole {
            block_key(step)
        } else {
            key.clone()
        }
    );
    html! {
        form.field method="post" action=(to(&opened.name, "answer")) data-key=(key) data-state=(words.state()) data-question=(first_key) {
            (hidden(bench, Some(opened)))
            input type="hidden" name="key" value=(key);
            input type="hidden" name="view" value=(view);
            div.entry {
                @if pair { label for={ "f-" (key) } { (end(step)) } }
                (control(opened, step, now, &described, matches!(words, Said::Refused(_))))
                @if let Some(usual) = interview.enter(step).filter(|_| now.is_empty()) {
                    button.quiet.take name="take" value=(usual) { "Take " (usual) }
                }
                button.keep { "Keep" }
            }
            p.say.(words.state()) id={ "say-" (key) } role="status" aria-live="polite" { (words.html()) }
        }
    }
}

/// Key of the first step of the block that a step stands in.
fn block_key(step: &Step) -> String {
    Step {
        part: if step.part == ValueAt::Treble {
            ValueAt::Bass
        } else {
            step.part
        },
        ..*step
    }
    .key()
}

/// The input itself.
fn control(opened: &Opened, step: &Step, now: &str, described: &str, wrong: bool) -> Markup {
    let Some(interview) = &opened.interview else {
        return html! {};
    };
    let key = step.key();
    let choices = interview.choices(step);
    let usual = interview.enter(step).filter(|_| now.is_empty());
    let number = matches!(step.question.kind, Kind::Whole | Kind::Number(_));
    html! {
        @if choices.is_empty() {
            input id={ "f-" (key) } name="text" value=(now) placeholder=[usual]
                autocomplete="off" autocapitalize="none" spellcheck="false" inputmode=[number.then_some("decimal")]
                aria-describedby=(described) aria-invalid=[wrong.then_some("true")];
        } @else if choices.len() <= SIDE_BY_SIDE {
            fieldset.choices aria-labelledby={ "l-" (key) } aria-describedby=(described) {
                @for (i, (value, meaning)) in choices.iter().enumerate() {
                    label {
                        input type="radio" id={ "f-" (key) @if i > 0 { "-" (i) } } name="text" value=(value) checked[now == value];
                        span { (value) @if !meaning.is_empty() { span.meaning { (meaning) } } }
                    }
                }
            }
        } @else {
            select id={ "f-" (key) } name="text" aria-labelledby={ "l-" (key) } aria-describedby=(described) {
                @if now.is_empty() { option value="" selected { "choose" } }
                @for (value, meaning) in &choices {
                    option value=(value) selected[now == value] { (value) @if !meaning.is_empty() { " (" (meaning) ")" } }
                }
            }
        }
    }
}

/// One reading at a time.
#[must_use]
pub fn one(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => one_of(bench, &opened, ask.fields.get("key"), 200, None),
        Err(reply) => reply,
    }
}

fn one_of(bench: &Bench, opened: &Opened, key: Option<&str>, status: u16, said: Option<(&str, &str, &Said)>) -> Reply {
    let Some(interview) = &opened.interview else {
        return Reply::Page(status, all(bench, opened, None));
    };
    let all_steps = interview.steps();
    let wanted = key
        .and_then(|key| all_steps.iter().position(|step| step.key() == key))
        .or_else(|| {
            interview
                .next()
                .and_then(|next| all_steps.iter().position(|step| *step == next))
        });
    let Some(at) = wanted else {
        return Reply::See(to(&opened.name, "plan"));
    };
    let step = all_steps[at];
    let asked = step.question;
    let key = step.key();
    let before = at.checked_sub(1).and_then(|i| all_steps.get(i)).map(Step::key);
    let first_off = asked.strings_off && all_steps.iter().position(|s| s.question.strings_off) == Some(at);
    let prefilled = interview
        .answers
        .get(&key)
        .is_none()
        .then(|| interview.enter(&step))
        .flatten();
    let now = match said {
        Some((of, typed, _)) if of == key => typed.to_owned(),
        _ => interview
            .answers
            .get(&key)
            .map(str::to_owned)
            .or(prefilled)
            .unwrap_or_default(),
    };
    let words = match said {
        Some((of, _, words)) if of == key => words.clone(),
        _ => Said::Nothing,
    };
    let described = format!("how-{key} say-{key}");
    let main = html! {
        div.title-row {
            p.where { (asked.heading.title()) ", " (at + 1) " of " (all_steps.len()) }
            p { a.button.quiet href={ (to(&opened.name, "survey")) "#b-" (block_key(&step)) } { "All on one page" } }
            (steps(bench, opened, "ask"))
        }
        progress max=(all_steps.len()) value=(at + 1) aria-label="How far the survey has come" {}
        (several(opened))
        div.beside {
            div {
                @if first_off { p.say.doubt { span.mark aria-hidden="true" { "!" } " " (interview.strings_off()) } }
                form.field.one method="post" action=(to(&opened.name, "answer")) data-key=(key) data-state=(words.state()) data-one="yes" {
                    (hidden(bench, Some(opened)))
                    input type="hidden" name="key" value=(key);
                    input type="hidden" name="view" value="ask";
                    h1.reading { @if is_choice(asked.kind) { span id={ "l-" (key) } { (step.title()) } } @else { label for={ "f-" (key) } { (step.title()) } } }
                    @if let Some(svg) = how(asked, interview) { (picture(svg)) }
                    p.how id={ "how-" (key) } { (asked.how) }
                    div.entry { (control(opened, &step, &now, &described, matches!(words, Said::Refused(_)))) }
                    p.say.(words.state()) id={ "say-" (key) } role="status" aria-live="polite" { (words.html()) }
                    @if !asked.help.is_empty() { details { summary { "More on this reading" } p { (asked.help) } } }
                    div.go {
                        button.main { "Keep and go on" }
                        @if interview.may_skip(&step) { button.quiet name="skip" value="yes" formnovalidate { "Skip" } }
                        @if let Some(before) = before { a.button.quiet href={ (to(&opened.name, "ask")) "?key=" (before) } { "Back" } }
                    }
                }
            }
            aside id="live" tabindex="0" data-part="brief" aria-label="What follows" { (live::brief(bench, opened)) }
        }
    };
    Reply::Page(status, frame(bench, &step.title(), Some((opened, Tab::Survey)), &main))
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
                (field(bench, opened, step, false, "plan", None))
                p.how { "The plan below follows while you type. It is kept only when you keep it." }
            }
        }
    }
}

/// Keeps an answer.
#[must_use]
pub fn answer(bench: &Bench, ask: &Ask) -> Reply {
    let view = match ask.fields.text("view") {
        "ask" => "ask",
        "plan" => "plan",
        _ => "survey",
    };
    let opened = match unchanged(bench, ask, view) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let key = ask.fields.text("key");
    let typed = if ask.fields.get("skip").is_some() {
        ""
    } else {
        ask.fields.get("take").unwrap_or_else(|| ask.fields.text("text"))
    };
    let Some(attempt) = bench.desk().attempt(&opened, key, typed) else {
        return trouble(
            bench,
            ask,
            422,
            "This is not asked of this job any more. Load the page again.",
            &to(&opened.name, view),
        );
    };
    let said = Said::of(&attempt.verdict);
    let sure = ask.fields.get("sure").is_some();
    let made = attempt
        .made
        .as_ref()
        .filter(|_| sure || !matches!(said, Said::Doubt(_)));
    let Some(made) = made else {
        return told(bench, ask, &opened, &attempt, view, &said, typed);
    };
    let next = next_key(made, &attempt.step);
    if let Err(error) = bench.desk().save(&opened, made) {
        return store_trouble(bench, ask, &error, &to(&opened.name, view));
    }
    if ask.script {
        return match bench.desk().open(&opened.name) {
            Ok(now) => told(bench, ask, &now, &attempt, view, &Said::Kept, typed),
            Err(error) => store_trouble(bench, ask, &error, "/"),
        };
    }
    Reply::See(match (view, next) {
        ("ask", Some(next)) => format!("{}?key={next}", to(&opened.name, "ask")),
        ("ask", None) => to(&opened.name, "plan"),
        ("plan", _) => format!("{}?key={key}", to(&opened.name, "plan")),
        _ => format!("{}#b-{}", to(&opened.name, "survey"), block_key(&attempt.step)),
    })
}

/// The step after the one just answered.
fn next_key(made: &crate::desk::Made, step: &Step) -> Option<String> {
    let all_steps = made.interview.steps();
    let at = all_steps.iter().position(|other| other == step)?;
    all_steps.get(at + 1).map(Step::key)
}

/// What became of an answer: for the script, or as the page again.
fn told(bench: &Bench, ask: &Ask, opened: &Opened, attempt: &Attempt, view: &str, said: &Said, typed: &str) -> Reply {
    let key = attempt.step.key();
    if ask.script {
        let kept = matches!(said, Said::Kept);
        let now = opened
            .interview
            .as_ref()
            .and_then(|i| i.answers.get(&key))
            .unwrap_or_default();
        // What the list shows besides values: its fields, and what each offers to take.
        let offer = |i: &Interview, step: &Step| {
            let key = step.key();
            let usual = i.enter(step).filter(|_| i.answers.given(&key).is_none());
            usual.map_or(key.clone(), |usual| format!("{key}>{usual}"))
        };
        let interview = opened.interview.iter();
        let mut keys: Vec<String> = interview
            .flat_map(|i| i.steps().into_iter().map(|step| offer(i, &step)))
            .collect();
        keys.sort();
        return Reply::Json(
            200,
            json!({
                "state": said.state(),
                "say": said.html().into_string(),
                "version": opened.version.as_str(),
                "text": kept.then_some(now),
                "keys": kept.then(|| keys.join(" ")),
                "list": (kept && view == "survey").then(|| list(bench, opened, Some((&key, now, said))).into_string()),
                "steps": steps(bench, opened, view).into_string(),
                "live": kept.then(|| part(bench, opened, ask.fields.text("part"), false)),
                "title": opened.title(),
            }),
        );
    }
    let said = Some((key.as_str(), typed, said));
    match view {
        "ask" => one_of(bench, opened, Some(&key), 422, said),
        _ => Reply::Page(422, all(bench, opened, said)),
    }
}

/// The pictures and tables of a job as it is kept, or as it would be with what is `typed`.
fn part(bench: &Bench, opened: &Opened, which: &str, typed: bool) -> String {
    let heights = |saddle: &SaddleWork| {
        if typed {
            bench.sampled.while_typing(&opened.version, saddle)
        } else {
            bench.sampled.heights(&opened.version, saddle)
        }
    };
    match which {
        "whole" => live::whole(&opened.judged, &heights)
            .unwrap_or_else(|| super::why_no_plan(opened))
            .into_string(),
        _ => live::brief(bench, opened).into_string(),
    }
}

/// What an answer would do, without keeping it: for the script, while the user types.
#[must_use]
pub fn attempt(bench: &Bench, ask: &Ask) -> Reply {
    let mut opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some(attempt) = bench
        .desk()
        .attempt(&opened, ask.fields.text("key"), ask.fields.text("text"))
    else {
        return trouble(
            bench,
            ask,
            422,
            "This is not asked of this job any more. Load the page again.",
            "/",
        );
    };
    let said = Said::of(&attempt.verdict);
    let words = match &said {
        Said::Kept => html! {},
        Said::Doubt(why) => html! { span.mark aria-hidden="true" { "?" } " Doubtful: " (why) },
        other => other.html(),
    };
    let drawn = attempt.made.map(|made| {
        opened.judged = bench.desk().judge(&made.text);
        part(bench, &opened, ask.fields.text("part"), true)
    });
    Reply::Json(
        200,
        json!({ "state": if matches!(said, Said::Kept) { "" } else { said.state() }, "say": words.into_string(), "live": drawn }),
    )
}
