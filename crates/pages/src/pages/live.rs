//! What follows from the survey as it stands: pictures, tables, notes. Redrawn while a value changes.

use ::nut::NutPlan;
use drawing::ShapeError;
use job::{Job, Profiles};
use machining::PartKind;
use maud::{Markup, html};
use report::cautions;
use saddle::{Bearing, Hold, Plan, StringPlan};
use units::BenchUnit;
use work::{Hazards, Heights, NextAsk, NutWork, Planned, SaddleWork, Shop, StringHeight};

use super::notes::{first, held, other_notes};
use super::told::why_no_plan;
use super::wishes::wishes;
use super::{download, nut, picture, refusals, stops};
use crate::desk::{Judged, Opened};
use crate::figures::{both, heads, heads_and_action, maybe, moved, moved_cents};
use crate::name::JobName;
use crate::pictures::{read, section::section, views};
use crate::plain::on_page;

/// The whole plan: of the saddle, the nut, or both; `heights` gives what stands beside those of a saddle; of what moved since the job `was`
/// otherwise, the old lines stand pale and the differences beside the figures. `None` if nothing can be planned.
#[must_use]
pub fn whole(judged: &Judged, heights: &dyn Fn(&SaddleWork) -> Heights, was: Option<&Judged>) -> Option<Markup> {
    let (saddles, nut) = (judged.saddles(), judged.nut());
    judged.planned().map(|done| {
        html! {
            @if let Some(stops) = stops(judged, &PartKind::ALL) { (stops) }
            @if done.is_split() { p { (on_page(&report::split_headline(done))) } }
            @for saddle in &saddles { (of_saddle(saddle)) (whole_saddle(saddle, &heights(saddle), plan_before(was, saddle))) }
            (refusals(judged))
            @if let Some(nut) = nut { (nut::whole(&nut, !saddles.is_empty(), nut_before(was, &nut))) }
        }
    })
}

/// The heading of one of several saddles.
pub(super) fn of_saddle(saddle: &SaddleWork) -> Markup {
    html! {
        @if let Some(name) = &saddle.job.name { h2.saddle id={ "saddle-" (name) } { "The " (name) " saddle" } }
    }
}

fn whole_saddle(saddle: &SaddleWork, heights: &Heights, was: Option<&Plan>) -> Markup {
    let (job, plan) = (saddle.job, saddle.plan);
    let notes = report::saddle_notes(saddle, job.bench);
    let stops = notes.iter().any(report::Note::stops);
    let [make, plays] = report::plan_heads(!stops);
    // Of several saddles each has headings of its own.
    let id = |what: &str| {
        let name = job.name.as_ref();
        name.map_or_else(|| what.to_owned(), |name| format!("{what}-{name}"))
    };
    html! {
        (first(&notes))
        section aria-labelledby=(id("make")) { h2 id=(id("make")) { (make) } (to_make(saddle, heights, stops, was)) }
        div.pictures {
            (drawn(views::front(plan, job.bench, was), "From the front"))
            (drawn(views::above(plan, job.bench, was), "From above"))
        }
        (held(&notes, &saddle.tries()))
        section aria-labelledby=(id("along")) { h2 id=(id("along")) { "Along the blank" } (along(plan, job.bench)) }
        section aria-labelledby=(id("plays")) { h2 id=(id("plays")) { (plays) } (as_it_plays(job, plan, was)) }
        @if let Some(shared) = saddle.wishes() { (wishes(&shared, job.bench)) }
        section aria-labelledby=(id("cuts")) {
            h2 id=(id("cuts")) { "Cut at each string" }
            p.how { "The blank as it leans; the nut is to the left. Lengths in " (job.bench.name()) "." span.js-only { " Drag a contact, or move the slider below it, to see what filing it there costs." } }
            div.cuts { @for s in &plan.strings { div.cut-one { (picture(section(plan, s, job.bench, was))) (slider(plan, s)) } } }
            div.costs-of hidden { div aria-live="polite" {} a href="#cuts" { "Go on from here on “Filing”" } }
        }
        (other_notes(&notes, &id("notes")))
    }
}

/// Moves a contact as far as the blank goes, the way of the picture: forward is to the left. It counts in steps of so many millimetres. For
/// the script alone.
fn slider(plan: &Plan, string: &StringPlan) -> Markup {
    /// Steps of the slider over the blank's thickness.
    const FINE: f64 = 100.0;
    let step = plan.blank.thickness / FINE;
    let reach = |mm: f64| (mm.max(0.0) / step).floor();
    let (forward, back) = (reach(string.contact.b), reach(plan.blank.thickness - string.contact.b));
    html! {
        div.cut-by {
            input type="range" dir="rtl" value="0" min=(-back) max=(forward) data-step=(format!("{step:.5}")) data-string=(string.number)
                aria-label={ "String " (string.number) ", contact forward or back" };
        }
    }
}

/// The plan of the same saddle as it was.
fn plan_before<'a>(was: Option<&'a Judged>, saddle: &SaddleWork) -> Option<&'a Plan> {
    let saddles = was?.saddles();
    let same = saddles.into_iter().find(|old| old.job.name == saddle.job.name);
    same.map(|old| old.plan).filter(|old| *old != saddle.plan)
}

/// The plan of the nut as it was.
fn nut_before<'a>(was: Option<&'a Judged>, nut: &NutWork) -> Option<&'a NutPlan> {
    was?.nut().map(|old| old.plan).filter(|old| *old != nut.plan)
}

fn string_before<'a>(was: Option<&'a Plan>, string: &StringPlan) -> Option<&'a StringPlan> {
    was?.strings.iter().find(|s| s.number == string.number)
}

/// What moved since the job `was` otherwise, in words for those who hear it; empty where nothing that can be seen did.
#[must_use]
pub fn moved_words(judged: &Judged, was: &Judged) -> String {
    let mut told = Vec::new();
    for saddle in judged.saddles() {
        let bench = saddle.job.bench;
        let Some(old) = plan_before(Some(was), &saddle) else {
            continue;
        };
        for s in &saddle.plan.strings {
            let Some(old) = string_before(Some(old), s) else {
                continue;
            };
            let of = |what: &str, now: f64, then: f64| {
                (bench.number(now) != bench.number(then)).then(|| format!("{what} {}", bench.signed(now - then)))
            };
            let nut = s.nut_setback - old.nut_setback;
            let way = if nut < 0.0 { "toward" } else { "away from" };
            let all = [
                of("up", s.contact.v, old.contact.v),
                of("back", s.contact.b, old.contact.b),
                (bench.number(nut) != bench.number(0.0))
                    .then(|| format!("nut {} {way} the bridge", bench.number(nut.abs()))),
            ];
            let all: Vec<String> = all.into_iter().flatten().collect();
            if !all.is_empty() {
                told.push(format!("string {} {}", s.number, all.join(", ")));
            }
        }
    }
    if let Some(nut) = judged.nut()
        && let Some(old) = nut_before(Some(was), &nut)
    {
        told.extend(nut::moved_words(&nut, old));
    }
    match told.is_empty() {
        true => String::new(),
        false => format!(
            "Moved, in {}: {}.",
            judged.done.as_ref().map_or("mm", |done| done.job.bench.name()),
            told.join("; ")
        ),
    }
}

/// The short form beside the survey; pale, as the job `was` before a change.
#[must_use]
pub fn brief(opened: &Opened, was: Option<&Judged>) -> Markup {
    let judged = &opened.judged;
    let (saddles, nut) = (judged.saddles(), judged.nut());
    if judged.planned().is_none() {
        return html! { h2 { "Not yet" } (waiting(opened)) (what_was_read(opened)) };
    }
    html! {
        h2 { "As it stands" }
        @if let Some(stops) = stops(judged, &PartKind::ALL) { (stops) }
        @for saddle in &saddles {
            @let (job, plan) = (saddle.job, saddle.plan);
            @let was = plan_before(was, saddle);
            @let notes = report::saddle_notes(saddle, job.bench);
            @if let Some(name) = &job.name { h3 { "The " (name) " saddle" } }
            (first(&notes))
            (drawn(views::front(plan, job.bench, was), "From the front"))
            (drawn(views::above(plan, job.bench, was), "From above"))
            (short_table(job, plan, was))
            (held(&notes, &[]))
            (next(&opened.name, saddle, &opened.stocked.profiles))
        }
        (what_was_read(opened))
        (refusals(judged))
        @if let Some(nut) = nut { (nut::brief(&nut, nut_before(was, &nut))) }
        (unchecked(judged))
    }
}

/// The picture of what was read, with its words; of several saddles each has its own.
fn what_was_read(opened: &Opened) -> Markup {
    let each = opened.judged.done.iter().flat_map(Planned::surveyed);
    let each: Vec<_> = each.filter_map(|one| Some((one, one.rounds()?))).collect();
    html! {
        @for (one, rounds) in &each {
            @let words = report::read_words(rounds, one.job.bench);
            @let stem = drawing::job_stem(opened.name.as_str(), &one.job);
            section.was-read {
                h3 { (words.heading) @if let Some(name) = &one.job.name { ": the " (name) " saddle" } }
                figure { (picture(read::read(rounds))) }
                ul.marks { @for (mark, means) in &words.legend { li { (picture(read::sample(mark))) span { (means) } } } }
                details { summary { "The readings by their numbers" } ol { @for line in &words.lines { li { (line) } } } }
                p.how {
                    "As a sheet, with a view from the side: "
                    @for ending in ["pdf", "svg", "png"] {
                        @let file = if ending == "pdf" { format!("{stem}-check.pdf") } else { format!("{stem}-check-1.{ending}") };
                        a href=(download(opened, &file)) download { (ending.to_uppercase()) } " "
                    }
                }
            }
        }
    }
}

/// Of a survey with further readings: what no other reading checks, and how large a slip would hide.
fn unchecked(judged: &Judged) -> Markup {
    let done = judged.planned();
    let words = done.map_or_else(String::new, |done| report::unchecked_words(done, done.job.bench));
    html! {
        @if !words.is_empty() { details { summary { "How large a slip would hide" } pre tabindex="0" { (words) } } }
    }
}

/// What is missing while the survey is under way; a slip in what was given stands open, what was not read yet is folded away.
fn waiting(opened: &Opened) -> Markup {
    let slip = opened
        .judged
        .problems
        .iter()
        .any(|p| p.read.is_some() && p.severity == job::Severity::Error);
    html! {
        p { "The pictures come when there is enough to plan from." }
        details open[slip] { summary { "What is still missing: " (opened.judged.errors()) } (why_no_plan(opened)) }
    }
}

/// Steps of reading that stand beside the survey.
const NEXT: usize = 3;

/// How sure it is as read, and what to read next with the usual tools.
fn next(name: &JobName, saddle: &SaddleWork, profiles: &Profiles) -> Markup {
    let ask = NextAsk {
        kinds: NEXT,
        singles: 0,
        ..NextAsk::default()
    };
    let Ok(next) = saddle.next(&Shop::usual(profiles), &ask) else {
        // What stands in the way is the uncertainties' own, and told where they are.
        return html! {};
    };
    let (job, list) = (saddle.job, &next.kinds);
    let numbers: Vec<u32> = job.instrument.strings.iter().map(|s| s.number).collect();
    html! {
        section.next {
            h3 { "How sure it is" }
            p { (report::now_words(&next, job.bench)) }
            @if !list.is_empty() {
                p { "What to read next, with the chance after it:" }
                ol { @for (chance, what) in report::next_steps(list, &numbers, job.bench) { li { (what) ": " b { (chance) } } } }
                p.how { a href={ (super::to(name, "sureness")) } { "All of it" } }
            }
        }
    }
}

fn drawn(svg: Result<String, ShapeError>, caption: &str) -> Markup {
    html! {
        figure {
            @match svg {
                Ok(svg) => (picture(svg)),
                Err(error) => p.say.refused { "This cannot be drawn: " (error) "." },
            }
            figcaption { (caption) }
        }
    }
}

fn mark(s: &StringPlan) -> Markup {
    html! {
        th scope="row" { (s.number) " " (s.note) @if s.hold != Hold::Free { span.tag { "held" } } }
    }
}

fn short_table(job: &Job, plan: &Plan, was: Option<&Plan>) -> Markup {
    let bench = job.bench;
    html! {
        table {
            caption { "Lengths in " (heads_and_action(bench)) "." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Height" } th scope="col" { "Back" } th scope="col" { "Action at 12" } th scope="col" { "Cents at 12" } } }
            tbody { @for s in &plan.strings { tr {
                @let old = string_before(was, s);
                (mark(s))
                td { (moved(bench, s.contact.v, old.map(|s| s.contact.v))) }
                td { (moved(bench, s.contact.b, old.map(|s| s.contact.b))) }
                td { (moved(bench.action(), s.action_12, old.map(|s| s.action_12))) }
                td { (moved_cents(s.cents[11], old.map(|s| s.cents[11]))) }
            } } }
        }
    }
}

/// What is read at arm's length: how high, how proud at first, how far back.
fn to_make(saddle: &SaddleWork, heights: &Heights, stops: bool, was: Option<&Plan>) -> Markup {
    let (plan, bench) = (saddle.plan, saddle.job.bench);
    let proud = heights.proud.filter(|_| !stops);
    let some = |value: fn(&StringHeight) -> Option<f64>| heights.strings.iter().any(|s| value(s).is_some());
    let (sure, old) = (some(|s| s.sure_to), some(|s| s.off_old));
    html! {
        div.scroll tabindex="0" role="region" aria-label="Contacts, string by string" { table.make {
            caption { "Lengths in " (heads(bench)) ". Up from the bottom edge; back from the front face." }
            thead { tr {
                th scope="col" { "String" } th scope="col" { "Up" }
                @if proud.is_some() { th scope="col" { "Proud, first to" } }
                th scope="col" { "Back" }
                @if sure { th scope="col" { "Sure to" } }
                @if old { th scope="col" { "Off the old" } }
            } }
            tbody { @for (s, beside) in plan.strings.iter().zip(&heights.strings) { tr {
                (mark(s))
                @let then = string_before(was, s);
                td.first { (moved(bench, s.contact.v, then.map(|s| s.contact.v))) }
                @if let Some(by) = proud { td { (both(bench, s.contact.v + by)) } }
                td.first { (moved(bench, s.contact.b, then.map(|s| s.contact.b))) }
                @if sure { td { (maybe(bench, beside.sure_to)) } }
                @if old { td { (maybe(bench, beside.off_old)) } }
            } } }
        } }
        @if let Some(words) = report::proud_words(proud, heights, bench) { p { (on_page(&words)) } }
        p.how { (report::beside_words(heights)) }
    }
}

fn along(plan: &Plan, bench: BenchUnit) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Along the blank, string by string" { table {
            caption { "Lengths in " (heads(bench)) ". Along: from the bass end. Exposure: above the bridge top." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Along" } th scope="col" { "Exposure" } } }
            tbody { @for s in &plan.strings { tr {
                (mark(s))
                td { (both(bench, drawing::along(plan, s.contact.u) - drawing::along(plan, plan.ends.0))) }
                td { (maybe(bench, s.exposure)) }
            } } }
        } }
    }
}

fn as_it_plays(job: &Job, plan: &Plan, was: Option<&Plan>) -> Markup {
    let bench = job.bench;
    html! {
        div.scroll tabindex="0" role="region" aria-label="As it will play, string by string" { table {
            caption { "Lengths in " (heads_and_action(bench)) ". Cents at fret 12, sharp is plus; all: the root mean square over frets 1 to 12." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Action at 12" } th scope="col" { "Gap at 1" } th scope="col" { "Cents at 12" } th scope="col" { "Cents, all" } th scope="col" { "Break angle" } } }
            tbody { @for s in &plan.strings { tr {
                (mark(s))
                @let old = string_before(was, s);
                td { (moved(bench.action(), s.action_12, old.map(|s| s.action_12))) }
                td { (moved(bench, s.action_1, old.map(|s| s.action_1))) }
                td { (moved_cents(s.cents[11], old.map(|s| s.cents[11]))) }
                td { span.n { (format!("{:.1}", s.rms_cents)) } }
                td { span.n { (match s.termination.bearing {
                    Bearing::Bears { break_angle } => units::degrees(break_angle),
                    Bearing::Lifted => "lifted".to_owned(),
                    Bearing::ExitUnknown => "–".to_owned(),
                }) } }
            } } }
        } }
    }
}

/// Cautions at the foot of what guides work, for all that is made.
#[must_use]
pub fn closing(judged: &Judged) -> Markup {
    let hazards = judged.done.as_ref().map_or_else(Hazards::default, Planned::hazards);
    html! {
        section.cautions aria-labelledby="cautions" {
            h2 id="cautions" { "Cautions" }
            ul { @for line in cautions(hazards) { li { (line) } } }
        }
    }
}
