//! The form of one station: what is asked open there, and folded what is as usual.

use ::survey::{Interview, Kind, Station, Step, Visit};
use job::{EntryKind, List, ShopKind};
use maud::{Markup, html};

use super::field::{Shown, blocks};
use super::{entries, hidden, shop_file, to};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::last_blank::LastBlank;
use crate::said::Told;

/// The form of a station: what is asked open, and folded what is as usual.
pub(super) fn form(
    bench: &Bench,
    opened: &Opened,
    visit: &Visit,
    view: &str,
    told: &Told,
    each: Option<&str>,
) -> Markup {
    let Some(interview) = &opened.interview else {
        return html! {};
    };
    let visits = interview.visits();
    let setting = visit.station.is_setting();
    let way_back = |other: &&Visit| view == "ask" && !setting && other.station < visit.station && other.is_on_the_way();
    let before = visits.iter().rev().find(way_back);
    let shown = Shown {
        interview,
        told,
        each,
        alone: view == "ask",
    };
    let is_folded = |step: &Step| {
        step.question.folded && !interview.waits(step) && !told.iter().any(|(key, ..)| *key == step.key())
    };
    // Both ends of a question stand or fold together.
    let (folded, open): (Vec<_>, Vec<_>) = blocks(&visit.steps)
        .into_iter()
        .partition(|block| block.iter().all(is_folded));
    html! {
        form.station method="post" action=(to(&opened.name, "station")) data-station=(visit.station.key()) data-setting[setting] {
            (hidden(bench, Some(opened)))
            input type="hidden" name="at" value=(visit.station.key());
            input type="hidden" name="view" value=(view);
            p.how { (visit.station.intro().join(" ")) }
            (of_the_shop(visit))
            @if matches!(visit.station, Station::Wanted | Station::Each) && view == "ask" { p.small { "Beside this: " (entries::link(opened, EntryKind::String)) ", " (entries::link(opened, EntryKind::Tuning)) "." } }
            @if opened.judged.done.is_some() && matches!(visit.station, Station::Wanted | Station::Tuner) { p { a.button.quiet href=(to(&opened.name, "hear")) { "Listen to the strings" } } }
            // Enter goes on, whatever else may be pressed before.
            button.unseen tabindex="-1" aria-hidden="true" name="go" value="yes" { "Keep and go on" }
            @if let Some(last) = LastBlank::of(bench.desk(), opened, interview, visit.station) {
                p { button.quiet name="last" value="yes" { "As the last one: " (last.words()) } }
            }
            @for block in &open { (shown.question(block)) }
            @if !folded.is_empty() {
                details.usual {
                    summary { @if setting { (seldom(interview, &folded)) } @else { (as_usual(interview, &folded)) } }
                    @for block in &folded { (shown.question(block)) }
                }
            }
            div.go {
                button.main id={ "go-" (visit.station.key()) } name="go" value="yes" { @if view == "ask" && !setting { "Keep and go on" } @else { "Keep" } }
                @if let Some(before) = before { a.button.quiet href={ (to(&opened.name, "ask")) "?at=" (before.station.key()) } { "Back: " (before.station.title()) } }
            }
        }
    }
}

/// The way to the shop's own things, where a list of them is chosen from.
fn of_the_shop(visit: &Visit) -> Markup {
    let mut kinds: Vec<ShopKind> = Vec::new();
    for step in &visit.steps {
        let (Kind::Name(list) | Kind::Names(list)) = step.question.kind else {
            continue;
        };
        let kind = match list {
            List::Machines => ShopKind::Machine,
            List::Flats | List::Balls | List::Groovers | List::Saws => ShopKind::Cutter,
            List::Cutting => ShopKind::Cutting,
            List::Sets => ShopKind::Set,
            List::Blanks => ShopKind::Material,
            List::Tools => ShopKind::Tool,
            List::StringMaterials => ShopKind::StringMaterial,
            List::WrapMetals => ShopKind::Wrap,
            List::Woods => continue,
        };
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    html! { @if !kinds.is_empty() { (shop_file::links(&kinds)) } }
}

/// What stands folded, in a line: what is taken, what is answered by no, what is left out.
fn as_usual(interview: &Interview, folded: &[Vec<Step>]) -> String {
    let mut words = [const { Vec::new() }; 3];
    for step in folded.iter().filter_map(|block| block.first()) {
        let title = small(step.question.title);
        let given = interview.answers.given(&step.key()).map(str::to_owned);
        let (place, word) = match (given.or_else(|| interview.usual(step)), step.question.kind) {
            (Some(text), Kind::YesNo) if text == "yes" => (0, title),
            (Some(_), Kind::YesNo) => (1, title),
            (Some(text), _) if interview.is_assumed(step) => (0, format!("{title} {text} (assumed)")),
            (Some(text), _) => (0, format!("{title} {text}")),
            (None, _) => (2, title),
        };
        words[place].push(word);
    }
    let groups = ["As usual", "Not", "Left out"].into_iter().zip(words);
    let told = groups.filter(|(_, words)| !words.is_empty());
    told.map(|(group, words)| format!("{group}: {}.", words.join("; ")))
        .collect::<Vec<_>>()
        .join(" ")
}

/// The settings that stand folded, in a line: those that were given, and how many others there are.
fn seldom(interview: &Interview, folded: &[Vec<Step>]) -> String {
    let of_block = |block: &Vec<Step>| {
        let title = small(block.first()?.question.title);
        let given: Vec<&str> = block
            .iter()
            .filter_map(|step| interview.answers.given(&step.key()))
            .collect();
        (!given.is_empty()).then(|| format!("{title} {}", given.join(" and ")))
    };
    let own: Vec<String> = folded.iter().filter_map(of_block).collect();
    let others = folded.len() - own.len();
    let more = (others > 0).then(|| format!("{others} more that are seldom changed."));
    let own = (!own.is_empty()).then(|| format!("Of your own: {}.", own.join("; ")));
    own.into_iter().chain(more).collect::<Vec<_>>().join(" ")
}

/// A title within a sentence; what is no plain word keeps its letters.
fn small(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.to_owned(),
    }
}

/// What the survey asks of several saddles: what they have in common.
pub(super) fn several(opened: &Opened) -> Markup {
    let done = opened.judged.done.as_ref();
    let names: Vec<&str> = done
        .into_iter()
        .flat_map(|done| &done.job.split)
        .filter_map(|job| job.name.as_deref())
        .collect();
    html! {
        @if !names.is_empty() {
            p.say.doubt {
                span.mark aria-hidden="true" { "!" } " Several saddles carry the strings: " (names.join(", ")) ". What is asked here of slot, bridge, blank and crown is what they have in common; what is one saddle's own stands under "
                (entries::link(opened, EntryKind::Saddle)) ", and takes the place of what stands here."
            }
        }
    }
}
