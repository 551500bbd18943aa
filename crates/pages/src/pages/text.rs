//! The job file as text: everything that the survey does not ask, changed by hand.

use maud::{Markup, html};

use super::{Tab, frame, hidden, opened, problems, steps, store_trouble, to};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::jobs::{MOST_BYTES, StoreError};
use crate::notice::Notice;
use crate::talk::{Ask, Fields, Reply};

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    match opened(bench, ask) {
        Ok(opened) => {
            let notice = bench.notices.of(ask);
            let main = match notice.as_deref() {
                // As it was typed, with what there is to say of it.
                Some(Notice::Refused { fields, why, .. }) => {
                    whole(bench, &opened, &typed(&opened, fields), &opened.judged, why)
                }
                _ => whole(bench, &opened, &opened.text, &opened.judged, ""),
            };
            Reply::Page(200, main)
        }
        Err(reply) => reply,
    }
}

fn whole(bench: &Bench, opened: &Opened, text: &str, judged: &Judged, said: &str) -> Markup {
    let main = html! {
        div.title-row { h1 { "File" } (steps(bench, opened, "text")) }
        p.how { "The job as the command line reads it, " code { (opened.name) ".toml" } ". Readings that the survey does not ask for, such as single strings of a set, go here." }
        @if !said.is_empty() { p.say.doubt role="status" { (said) } }
        (state(judged))
        form.stack method="post" action=(to(&opened.name, "text")) {
            (hidden(bench, Some(opened)))
            p { label for="text" { "Text of the file" } textarea id="text" name="text" rows="30" spellcheck="false" autocapitalize="none" autocomplete="off" { "\n" (text) } }
            p { button { "Keep this text" } " " a href={ "/job/" (opened.name) "/out/" (opened.name) ".toml?save=yes" } download { "Download" } }
        }
    };
    frame(bench, &opened.title(), Some((opened, Tab::Text)), &main)
}

fn state(judged: &Judged) -> Markup {
    html! {
        @if judged.problems.is_empty() && judged.errors() == 0 {
            p.say.kept { span.mark aria-hidden="true" { "✓" } " No problems were found." }
        } @else {
            (problems(&judged.problems))
            (super::refusals(judged))
        }
    }
}

/// What to show of a job that is no TOML.
#[must_use]
pub fn broken(opened: &Opened) -> Markup {
    html! {
        p { "The file has a slip, so the survey cannot go through it. Mend it as text, or undo the last change." }
        (problems(&opened.judged.problems))
        p { a.button href=(to(&opened.name, "text")) { "Mend the file" } }
    }
}

/// Keeps a text, with its problems: a half-mended file is worth keeping.
#[must_use]
pub fn post(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let refused = |why: &str| {
        bench
            .notices
            .see(&to(&opened.name, "text"), Notice::refused(&ask.fields, why))
    };
    if opened.version.as_str() != ask.fields.text("version") {
        if ask.script {
            return store_trouble(bench, ask, &StoreError::Changed, &to(&opened.name, "text"));
        }
        return refused(
            "This job was changed elsewhere, in another tab or by hand, after this page was opened. Nothing was saved. Below stands what you typed: keep it to put it in place of what the job is now.",
        );
    }
    let text = typed(&opened, &ask.fields);
    if text.len() > MOST_BYTES || text.contains('\0') {
        return refused("That is longer than 200 kB, or no text. It was not kept.");
    }
    match bench.desk().store.save(&opened.name, &opened.version, &text) {
        Ok(_) => Reply::See(to(&opened.name, "text")),
        Err(error) => store_trouble(bench, ask, &error, &to(&opened.name, "text")),
    }
}

/// The text as a form sent it: its lines come with carriage returns.
fn typed(opened: &Opened, fields: &Fields) -> String {
    let mut text = fields.text("text").replace("\r\n", "\n");
    if !text.ends_with('\n') {
        text.push('\n');
    }
    job::TextForm::of(&opened.text).put(&text)
}
