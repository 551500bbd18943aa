//! How sure the plan is, and what to read next.

use ::survey::Station;
use job::{EntryKind, ShopKind, reading_key};
use maud::{Markup, html};
use work::{NextAsk, NextStep, Planned, SaddleWork, Shop};

use super::station::setting_link;
use super::told::of_plan;
use super::{Tab, entries, live, shop_file, to};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::figures::{both, cents, heads};
use crate::talk::{Ask, Reply};

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    of_plan(bench, ask, Tab::Plan, Some("How sure it is"), |opened, done| {
        shown(opened, done)
    })
}

fn shown(opened: &Opened, done: &Planned) -> Markup {
    let nut = done
        .nut_sureness(done.job.tolerance.sampling.confidence)
        .zip(done.nut());
    html! {
        div.title-row.tight { p.where { a href=(to(&opened.name, "plan")) { "To “Plan”" } } }
        h1 { "How sure it is" }
        @for saddle in opened.judged.saddles() { (live::of_saddle(&saddle)) (of_saddle(opened, &saddle)) }
        @if let Some((sure, nut)) = nut {
            h2 { "The nut's slots" }
            (every_figure(&report::nut_tolerance_page(&done.job.title, &sure, nut.hazards(), done.job.bench)))
        }
        @for station in [Station::Sure, Station::Good] { (setting_link(opened, station)) }
        (live::closing(&opened.judged))
    }
}

fn of_saddle(opened: &Opened, saddle: &SaddleWork) -> Markup {
    let shown_in = saddle.job.bench;
    let sure = match saddle.sureness(saddle.job.tolerance.sampling, &|_| {}) {
        Ok(sure) => sure,
        Err(why) => return html! { p.say.refused { span.mark aria-hidden="true" { "✕" } " " (why.to_string()) } },
    };
    html! {
        ul { @for words in report::chance_words(&sure, shown_in) { li { (words) } } }
        div.scroll tabindex="0" role="region" aria-label="How sure, string by string" { table.sound {
            caption { "Spread: against the plan, where 95 of 100 such saddles end. Lengths in " (heads(shown_in)) "." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Action" } th scope="col" { "Cents" } th scope="col" { "Good" } th scope="col" { "Too low" } th scope="col" { "Leave proud" } } }
            tbody { @for (s, spread) in saddle.plan.strings.iter().zip(&sure.tolerance.strings) { tr {
                th scope="row" { (s.number) " " (s.note) }
                td { span.n { (shown_in.signed(spread.action.low)) " to " (shown_in.signed(spread.action.high)) } }
                td { span.n { (cents(spread.cents.low)) " to " (cents(spread.cents.high)) } }
                td { (report::percent(spread.within)) }
                td { (report::percent(spread.too_low)) }
                td { (both(shown_in, spread.proud)) }
            } } }
        } }
        (next(opened, saddle))
        (every_figure(&report::tolerance_page(&saddle.job.title, &sure, saddle.hazards(), shown_in)))
    }
}

/// What to read next: kinds of readings, then single ones, each with the chance after it.
fn next(opened: &Opened, saddle: &SaddleWork) -> Markup {
    let Ok(next) = saddle.next(&Shop::usual(&opened.stocked.profiles), &NextAsk::default()) else {
        return html! {};
    };
    let shown_in = saddle.job.bench;
    let numbers: Vec<u32> = saddle.job.instrument.strings.iter().map(|s| s.number).collect();
    let list = |steps: &[NextStep]| {
        html! { ol { @for (step, (chance, what)) in steps.iter().zip(report::next_steps(steps, &numbers, shown_in)) {
            li { (what) ": " b { (chance) } " " a.act href=(entered(opened, step)) aria-label={ "Type it in: " (what) } { "Type it in" } }
        } } }
    };
    html! {
        h2 { "What to read next" }
        p { (report::now_words(&next, shown_in)) }
        @if !next.kinds.is_empty() { p { "By kinds of readings, with the chance after each:" } (list(&next.kinds)) }
        (shop_file::links(&[ShopKind::Tool]))
        @if !next.singles.is_empty() { details { summary { "By single readings" } (list(&next.singles)) } }
        p { "What was read besides the survey, and what of it does not count: " (entries::link(opened, EntryKind::Round)) ", " (entries::link(opened, EntryKind::Doubt)) "." }
    }
}

/// Where what a step reads is typed in.
fn entered(opened: &Opened, step: &NextStep) -> String {
    let query = form_urlencoded::Serializer::new(String::new())
        .append_pair("of", EntryKind::Round.key())
        .append_pair("read", reading_key(step.of))
        .append_pair("with", &step.tool)
        .finish();
    format!("{}?{query}", to(&opened.name, "entry"))
}

fn every_figure(text: &str) -> Markup {
    html! { details { summary { "Every figure, as the command prints it" } pre tabindex="0" { (text) } } }
}
