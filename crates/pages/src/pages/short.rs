//! A short question at the top of the first page: two to four values, one line of answer.

use maud::{Markup, html};
use work::ShortTyped;

use crate::talk::{Ask, Fields};

/// The question that asks for no figure but the reading's own.
const LENGTH: &str = "length";

/// What of a short question is a job's too: the field's name, and the key of the survey.
pub const CARRIED: [(&str, &str); 4] = [
    ("lean", "slot.lean"),
    ("scale", "instrument.scale"),
    ("joint", "instrument.joint_fret"),
    ("action", "present.action_12.bass"),
];

/// The questions, each with its words and an example of its figure.
const QUESTIONS: [(&str, &str, &str); 6] = [
    ("filed", "A contact is filed forward by", "1/32 in"),
    ("sharp", "Fret 12 is sharp, in cents, by", "4"),
    ("action", "The action is to come down by", "1/64 in"),
    ("gap", "The gap over fret 1 is too high by", "4 thou"),
    ("relief", "The relief becomes more by", "5 thou"),
    (LENGTH, "A reading in all other units", "5/64 in"),
];

/// The form, and the answer where something was asked.
pub fn short(ask: &Ask) -> Markup {
    let field = |name: &str| ask.fields.text(name).trim();
    let asked = QUESTIONS.iter().find(|(key, ..)| *key == field("ask"));
    let (chosen, ..) = asked.unwrap_or(&QUESTIONS[0]);
    let more = ["fall", "scale", "setback", "action", "gap", "joint", "fret"];
    let plain = |name: &str, label: &str, example: &str| {
        html! {
            p {
                label for={ "ask-" (name) } { (label) }
                input id={ "ask-" (name) } name=(name) value=(field(name)) placeholder=(example) autocomplete="off" autocapitalize="none" spellcheck="false";
            }
        }
    };
    html! {
        section aria-labelledby="short" {
            h2 id="short" { "A short question" }
            form.stack.short method="get" action="/" {
                p {
                    label for="ask-ask" { "What" }
                    select id="ask-ask" name="ask" {
                        @for (key, words, example) in QUESTIONS { option value=(key) selected[key == *chosen] { (words) " ... (" (example) ")" } }
                    }
                }
                (plain("by", "By", "1/32 in"))
                (plain("lean", "Lean of the saddle", "9 deg"))
                details open[more.iter().any(|name| !field(name).is_empty())] {
                    summary { "What else is known" }
                    (plain("fall", "Fall of the crown toward the nut", "0 deg"))
                    (plain("scale", "Scale length", "25.4 in"))
                    (plain("setback", "Contact beyond the scale's end", "0 in"))
                    (plain("action", "Action at fret 12", "6/64 in"))
                    (plain("gap", "Gap over fret 1", "20 thou"))
                    (plain("joint", "Fret at the body joint", "14"))
                    (plain("fret", "Action over which fret", "12"))
                }
                p { button { "Ask" } }
            }
            div role="status" { @if asked.is_some() { (answer(ask)) } }
            @if CARRIED.iter().any(|(name, _)| !field(name).is_empty()) {
                p { a.button.quiet href="#new" { "Make this a job" } " What you gave of the instrument goes with it." }
            }
        }
    }
}

/// What a job is begun with of what was typed here, in fields that are not seen.
pub fn carried(typed: &Fields) -> Markup {
    html! {
        @for (name, _) in CARRIED {
            @let typed = typed.text(name).trim();
            @if !typed.is_empty() { input type="hidden" name=(name) value=(typed); }
        }
    }
}

fn answer(ask: &Ask) -> Markup {
    let field = |name: &str| ask.fields.text(name);
    if field("ask").trim() == LENGTH {
        return match work::length_with_unit(field("by")) {
            Ok(mm) => html! { p.answer { @for line in report::in_all_units(mm).lines() { strong { (line) } br; } } },
            Err(why) => {
                html! { @for line in report::short_unread(&[("by", why)]) { p.say.refused { span.mark aria-hidden="true" { "\u{2715}" } " " (line) } } }
            }
        };
    }
    let typed = ShortTyped {
        question: field("ask").trim(),
        by: field("by"),
        fret: field("fret"),
        lean: field("lean"),
        fall: field("fall"),
        scale: field("scale"),
        setback: field("setback"),
        action: field("action"),
        gap: field("gap"),
        joint: field("joint"),
    };
    let refused = |words: Vec<String>| {
        html! { @for line in words { p.say.refused { span.mark aria-hidden="true" { "\u{2715}" } " " (line) } } }
    };
    let (question, bare, bench) = match typed.read() {
        Ok(read) => read,
        Err(unread) => return refused(report::short_unread(&unread)),
    };
    match question.answered(bare) {
        Err(refusal) => refused(report::short_refusal(&refusal, bench)),
        Ok(short) => {
            let [line, why, taken] = report::short_lines(&short, typed.by.trim(), bench);
            html! {
                p.answer { strong { (line) } }
                p.how { (why) }
                p.how { "Taken: " (taken) }
                @for doubt in report::short_doubts(&short, bench) { p.say.doubt { span.mark aria-hidden="true" { "!" } " " (doubt) } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(query: &str) -> String {
        let ask = Ask {
            fields: Fields::parse(query.as_bytes()),
            ..Ask::default()
        };
        short(&ask).into_string()
    }

    #[test]
    fn a_reading_is_told_in_all_units() {
        let page = said("ask=length&by=5/64+in");
        assert!(
            page.contains("1.984 mm") && page.contains("78.1 thou") && page.contains("exactly"),
            "{page}"
        );
        assert!(said("ask=length&by=5").contains("say the unit too"));
        assert!(
            !page.contains("Make this a job") && said("ask=filed&by=1/32+in&lean=9+deg").contains("Make this a job")
        );
    }

    #[test]
    fn the_answer_stands_under_the_form() {
        assert!(!said("").contains("Taken:"));
        let page = said("ask=filed&by=1/32+in&lean=18+deg");
        assert!(page.contains("The string comes down 10.0 thou at the saddle"), "{page}");
        assert!(page.contains("Lean: 18.0"), "{page}");
        let page = said("ask=gap&by=4");
        assert!(page.contains("say the unit too") && !page.contains("Taken:"), "{page}");
    }
}
