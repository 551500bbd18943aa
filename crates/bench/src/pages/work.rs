//! The work list: what to do, in the order that spoils nothing done before. Ticks are kept beside the job.

use job::Job;
use maud::{Markup, html};
use numerics::ContentMark;
use saddle::{BlankKind, Fit, Hold, Outcome, Plan, StringWork, StrungString};
use units::BenchUnit;

use super::{Tab, frame, hidden, live, no_plan, nut, opened, store_trouble, strung, to};
use crate::bench::Bench;
use crate::beside::Beside;
use crate::desk::Opened;
use crate::figures::length;
use crate::talk::{Ask, Reply};

/// One line of the list.
struct Item {
    id: String,
    text: Markup,
}

fn item(id: &str, text: Markup) -> Item {
    Item {
        id: id.to_owned(),
        text,
    }
}

/// A heading with its lines.
type Checklist = (&'static str, Vec<Item>);

/// What stands before the lines that follow from these readings. New readings make new lines, so that an old tick does not stand
/// for them. Kept on the disk, so it hangs on the figures alone.
fn stamp(readings: &[StrungString]) -> String {
    let figure = |value: &Option<f64>| value.map_or_else(|| "-".to_owned(), |value| value.to_string());
    let strings = readings.iter().map(|string| {
        // All fields, so that a new one cannot be forgotten.
        let StrungString {
            action_12,
            clearance,
            cents_12,
            others,
        } = string;
        let others: String = others.iter().map(|(fret, cents)| format!(" {fret}:{cents}")).collect();
        format!(
            "{} {} {}{others}\n",
            figure(action_12),
            figure(clearance),
            figure(cents_12)
        )
    });
    format!("{:.8}", ContentMark::of(strings.collect::<String>()))
}

/// The order is common practice: fit, height, then the ridge; glue last.
fn parts(opened: &Opened) -> Option<Vec<Checklist>> {
    let slots = opened.judged.nut_shown().map(|nut| {
        let points = nut::order(&nut).into_iter().enumerate();
        points
            .map(|(i, point)| item(&format!("nut{i}"), html! { (point) }))
            .collect::<Vec<Item>>()
    });
    let Some((job, plan)) = opened.judged.planned() else {
        return slots.map(|slots| vec![("Make the nut", slots)]);
    };
    let mut parts = vec![
        ("Before you cut", before_cutting(opened, plan)),
        ("Make the saddle", making(opened, plan, job.bench)),
    ];
    parts.extend(slots.map(|slots| ("Nut and saddle together", slots)));
    if let Some(Ok(fit)) = strung::fitted(&opened.judged) {
        parts.push(("After stringing up", after_stringing(job, &fit)));
    }
    parts.push(("Finish", finishing(plan)));
    Some(parts)
}

fn before_cutting(opened: &Opened, plan: &Plan) -> Vec<Item> {
    let page = |page: &str| to(&opened.name, page);
    let mut before = vec![
        item(
            "read",
            html! { "Every reading that needs the strings on is in the survey. Note season and humidity with it." },
        ),
        item(
            "print",
            html! { "Print the " a href=(page("sheets")) { "sheets" } " at 100 % and measure both bars on the paper." },
        ),
    ];
    if plan.strings.iter().any(|s| s.hold != Hold::Free) {
        before.push(item("held", html! { "Some strings are held at the land. Decide first: the " a href=(page("plan")) { "plan" } " gives three ways out." }));
    }
    before.push(item(
        "slack",
        html! { "Slack the strings in stages, eyes protected. Take the old saddle out and keep it." },
    ));
    before.push(item(
        "slot",
        html! { "Clean the slot. Its floor is flat, its walls parallel; nothing rocks." },
    ));
    before
}

fn making(opened: &Opened, plan: &Plan, bench: BenchUnit) -> Vec<Item> {
    let page = |page: &str| to(&opened.name, page);
    let mut make = vec![
        item(
            "thick",
            html! { "Thickness the blank to " (length(bench, plan.blank.thickness)) ", turning it often, until it goes to the floor without force and without play." },
        ),
        item(
            "bottom",
            html! { "Bottom edge straight and square: every height counts from it." },
        ),
    ];
    if plan.blank.kind == BlankKind::Through {
        make.push(item("ends", html! { "Stand it in the slot and trace the bridge on its ends. Leave the ends proud until the height is final." }));
    } else {
        make.push(item(
            "ends",
            html! { "Round the ends to the slot's, so that it drops in along its whole length." },
        ));
    }
    make.extend([
        item("pattern", html! { "Glue the pattern on, or scribe each contact's height and distance back." }),
        item("line", html! { "File the top down to the line, but leave it a little proud: it cannot be put back." }),
        item("ridge", html! {
            "Shape the crown: falls " (units::degrees(plan.crown.front_fall)) " to the front and " (units::degrees(plan.crown.back_fall)) " to the back, ridge rounded to " (length(bench, plan.crown.rounding)) "."
        }),
        item("string", html! { "Dry, without glue: string up to pitch and let it settle. Read it and enter the readings under " a href=(page("strung")) { "Strung up" } "." }),
    ]);
    make
}

fn after_stringing(job: &Job, fit: &Fit) -> Vec<Item> {
    let bench = job.bench;
    let stamp = stamp(job.strung.as_deref().unwrap_or_default());
    let mut left = Vec::new();
    let mut add = |id: &str, text: Markup| left.push(item(&format!("{stamp}-{id}"), text));
    match fit.outcome {
        Outcome::Good => add("good", html! { "Every string is good. File nothing more." }),
        Outcome::Shim(by) => add(
            "shim",
            html! { "Lay a shim " (length(bench, by)) " thick under the whole length." },
        ),
        Outcome::NewSaddle(by) => add(
            "new",
            html! { "Too low by " (length(bench, by)) ": make a new saddle. File this one no further." },
        ),
        Outcome::ReadAgain => add(
            "again",
            html! { "Take the doubtful readings again before anything is filed." },
        ),
        Outcome::File => {}
    }
    if fit.outcome == Outcome::File {
        for s in fit.strings.iter().filter(|s| s.verdict == StringWork::File) {
            let n = s.number;
            let way = if s.move_back <= 0.0 { "forward" } else { "back" };
            add(
                &format!("move{n}"),
                html! { "String " (n) ": move the ridge " (way) " by " (length(bench, s.move_back.abs())) "." },
            );
            add(
                &format!("low{n}"),
                html! { "String " (n) ": then lower the contact by " (length(bench, s.lower.abs())) " in all. The move has made part of it." },
            );
        }
        add("then", html! { "String up and read again before the last strokes." });
    }
    left
}

fn finishing(plan: &Plan) -> Vec<Item> {
    let mut end = vec![item(
        "polish",
        html! { "Round nothing but the ridge; polish along the strings. Notch nothing, or only just." },
    )];
    if plan.blank.kind == BlankKind::Through {
        end.push(item(
            "blend",
            html! { "Blend the ends to the bridge: cut saddle, never bridge wood." },
        ));
        end.push(item("glue", html! { "Glue last, if it is glued at all: a thin film of a glue that can be undone. After this only the top can be reached." }));
    }
    end.push(item(
        "note",
        html! { "Read action and cents once more and note them with the job." },
    ));
    end
}

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = match parts(&opened) {
        Some(parts) => html! {
            h1 { "Work list" }
            p.how { "In this order nothing undoes what was done before (common practice). Ticks stay." }
            form.work id="work" method="post" action=(to(&opened.name, "tick")) {
                (hidden(bench, None))
                @for (heading, items) in &parts {
                    h2 { (heading) }
                    ol { @for item in items { li { label {
                        input type="checkbox" name="done" value=(item.id) checked[opened.beside.ticked.contains(&item.id)];
                        span { (item.text) }
                    } input type="hidden" name="shown" value=(item.id); } } }
                }
                p { button.keep { "Keep the ticks" } }
            }
            (live::closing(&opened.judged))
        },
        None => no_plan(&opened),
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Work)), &main))
}

/// Keeps ticks: of the one line that the script names, or of all that were shown.
#[must_use]
pub fn tick(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let known: Vec<String> = parts(&opened)
        .into_iter()
        .flatten()
        .flat_map(|(_, items)| items)
        .map(|item| item.id)
        .collect();
    let kept = bench.desk().store.change_beside(&opened.name, |now| {
        let mut beside = Beside::read(now);
        for id in ask.fields.all("shown").filter(|id| known.iter().any(|k| k == id)) {
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
