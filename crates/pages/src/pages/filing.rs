//! The filing question answered by hand: a contact dragged on the section, with what that costs.

use ::survey::Station;
use job::Job;
use machining::PartKind;
use maud::{Markup, html};
use saddle::filing::{Limit, Move, Standing};
use saddle::{Plan, StringPlan};
use serde_json::json;
use units::BenchUnit;
use work::{FiledString, FilingVerdict, SaddleWork, usual_step};

use super::station::setting_link;
use super::told::no_plan;
use super::{Tab, frame, live, nut, opened, picture, refusals, stops, to};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::figures::{both, cents, length};
use crate::pictures::hand;
use crate::plain::on_page;
use crate::talk::{Ask, Reply};

/// The slider sends no longer moves, mm: no blank is so thick.
const FAR: f64 = 1000.0;
/// Steps of the slider from end to end.
const FINE: f64 = 400.0;

/// The page; the script asks only for what changes.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let saddles = opened.judged.saddles();
    let number: Option<u32> = ask.fields.get("string").and_then(|text| text.parse().ok());
    let is_meant = |s: &&StringPlan| number.is_none_or(|n| n == s.number);
    let carries = |saddle: &&SaddleWork| saddle.plan.strings.iter().any(|s| is_meant(&s));
    let Some(saddle) = saddles.iter().find(carries).or(saddles.first()) else {
        let main = match opened.judged.nut() {
            Some(nut) => html! { h1 { "Filing the slots" } (in_the_way(&opened)) (nut::filing(&nut)) },
            None => no_plan(&opened),
        };
        return Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Filing)), &main));
    };
    let (job, plan) = (saddle.job, saddle.plan);
    let Some(string) = plan.strings.iter().find(is_meant) else {
        return super::trouble(
            bench,
            ask,
            404,
            "There is no string of this number.",
            &to(&opened.name, "filing"),
        );
    };
    // The slider sends millimetres; the field is a length as typed.
    let slid = ask
        .fields
        .get("mm")
        .and_then(|text| text.parse::<f64>().ok())
        .filter(|mm| mm.is_finite());
    let typed = ask.fields.text("by").trim();
    let (forward, wrong) = match slid {
        Some(mm) => (mm.clamp(-FAR, FAR), None),
        None if typed.is_empty() => (0.0, None),
        None => match units::parse_length(typed, job.unit) {
            Ok(mm) => (mm, None),
            Err(error) => (0.0, Some(error.to_string())),
        },
    };
    let found = work_out(saddle, string, forward);
    let result = match &found {
        Ok(found) => result(job, plan, string, found),
        Err(why) => html! { p.say.refused { span.mark aria-hidden="true" { "✕" } " " (why) } },
    };
    if ask.script {
        let said = match (&wrong, &found) {
            // A refused entry is no move, so nothing is said of one.
            (Some(_), _) => String::new(),
            (None, Ok(found)) => spoken(job.bench, found),
            (None, Err(why)) => why.clone(),
        };
        return Reply::Json(
            200,
            json!({
                "live": result.into_string(),
                "say": said,
                "by": job.bench.show(forward),
                "mm": forward,
                "state": if wrong.is_some() { "refused" } else { "" },
                "why": wrong,
            }),
        );
    }
    let reach = found.as_ref().map_or((0.0, 0.0), |found| found.filed.reach);
    let main = html! {
        h1 { "What filing costs" }
        (in_the_way(&opened))
        p.how { "Move a contact toward the nut and see what it takes off height and action before the file does. Drag the dot, or use the slider, the arrow keys or the field. Nothing here changes the job." }
        nav.strings aria-label="String" { ul { @for s in saddles.iter().flat_map(|saddle| &saddle.plan.strings) {
            li { a href={ (to(&opened.name, "filing")) "?string=" (s.number) } aria-current=[(s.number == string.number).then_some("true")] { (s.number) " " (s.note) } }
        } } }
        @if let Some(name) = &job.name { p { "String " (string.number) " is carried by the " (name) " saddle." } }
        form.move id="move" method="get" action=(to(&opened.name, "filing")) {
            input type="hidden" name="string" value=(string.number);
            div.entry {
                label for="by" { "Forward by" }
                input id="by" name="by" value=(if wrong.is_some() || slid.is_none() && !typed.is_empty() { typed.to_owned() } else { job.bench.show(forward) }) autocomplete="off" aria-describedby="by-say" aria-invalid=[wrong.as_ref().map(|_| "true")];
                button { "Show" }
            }
            p.say.refused id="by-say" role="status" { @if let Some(why) = &wrong { (why) } }
            label.slide for="slide" { span { "forward" } " to " span { "back" } }
            input id="slide" type="range" dir="rtl" min=(format!("{:.4}", -reach.1)) max=(format!("{:.4}", reach.0)) step=(format!("{:.5}", step(job.bench, reach)))
                value=(format!("{forward:.4}")) aria-describedby="spoken";
        }
        p.spoken id="spoken" role="status" aria-live="polite" { @if let Ok(found) = &found { (spoken(job.bench, found)) } }
        div id="filed" data-string=(string.number) { (result) }
        (setting_link(&opened, Station::Crown))
        @if let Some(nut) = opened.judged.nut() { section aria-labelledby="slots" { h2 id="slots" { "The nut's slots" } (nut::filing(&nut)) } }
        (live::closing(&opened.judged))
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Filing)), &main))
}

/// What stands in the way of making the parts, before any stroke is judged.
fn in_the_way(opened: &Opened) -> Markup {
    html! { @if let Some(stops) = stops(&opened.judged, &PartKind::ALL) { (stops) } (refusals(&opened.judged)) }
}

/// One step of the slider: what the bench can see, but never so fine that the arrows crawl.
fn step(bench: BenchUnit, reach: (f64, f64)) -> f64 {
    (2.0 * bench.step()).max((reach.0 + reach.1) / FINE)
}

struct Found<'a> {
    filed: FiledString<'a>,
    standing: Standing<'a>,
}

fn work_out<'a>(saddle: &SaddleWork<'a>, string: &'a StringPlan, forward: f64) -> Result<Found<'a>, String> {
    let bench = saddle.job.bench;
    let filing = saddle
        .filing(&[string.number], Some(Move::Forward(forward)), usual_step(bench), false)
        .map_err(|refusal| on_page(&report::filing_refusal(&refusal, bench)))?;
    let filed = filing.strings.into_iter().next().ok_or("This string has no plan.")?;
    let standing =
        Standing::new(saddle.plan, string, filed.ask.crown, filed.ask.start).map_err(|error| error.to_string())?;
    Ok(Found { filed, standing })
}

/// State, sign and words of the verdict.
fn verdict(bench: BenchUnit, filed: &FiledString) -> (&'static str, &'static str, String) {
    let (state, sign) = match filed.verdict {
        FilingVerdict::Still => ("", ""),
        FilingVerdict::Go if filed.untuned.is_some() => ("doubt", "!"),
        FilingVerdict::Go | FilingVerdict::NotWorth => ("kept", "✓"),
        FilingVerdict::LeaveProud(_) => ("doubt", "!"),
        FilingVerdict::EndsLow(_)
        | FilingVerdict::OutsideLand(_)
        | FilingVerdict::Rises(_)
        | FilingVerdict::OffBlank
        | FilingVerdict::OutOfReach => ("refused", "✕"),
    };
    (state, sign, on_page(&report::verdict_sentence(filed, bench)))
}

/// What a screen reader says after a move.
fn spoken(bench: BenchUnit, found: &Found) -> String {
    let (_, _, words) = verdict(bench, &found.filed);
    match &found.filed.stroke {
        Ok(stroke) => format!(
            "Forward {}. Contact drops {}. Action at 12: {}. Fret 12: {} cents. {words}",
            bench.show(stroke.forward),
            bench.show(stroke.drop),
            bench.action().show(stroke.action_12),
            cents(stroke.cents_12)
        ),
        Err(_) => words,
    }
}

fn result(job: &Job, plan: &Plan, string: &StringPlan, found: &Found) -> Markup {
    let bench = job.bench;
    let filed = &found.filed;
    let stroke = filed.stroke.as_ref().ok();
    let (state, sign, words) = verdict(bench, &found.filed);
    let row = |name: &str, now: Markup, then: Option<Markup>, change: Option<Markup>| {
        html! { tr { th scope="row" { (name) } td { (now) } td { (then.unwrap_or_else(|| html! { "–" })) } td { (change.unwrap_or_else(|| html! { "–" })) } } }
    };
    let less = |mm: f64| html! { span.n { (bench.signed(mm)) } " " span.o { (bench.other().signed(mm)) } };
    html! {
        div.hand-side { (picture(hand::filing(plan, string, &found.standing, stroke))) }
        div {
        // Before a move there is nothing to judge.
        @if filed.verdict != FilingVerdict::Still { p.verdict.(state) { span.mark aria-hidden="true" { (sign) } " " (words) } }
        table.costs {
            caption { "String " (string.number) " " (string.note) ". Lengths in " (crate::figures::heads(bench)) "." }
            thead { tr { th { span.unseen { "What" } } th scope="col" { "Now" } th scope="col" { "Then" } th scope="col" { "Change" } } }
            tbody {
                (row("Height of the contact", both(bench, filed.before.contact.v), stroke.map(|s| both(bench, s.contact.v)), stroke.map(|s| less(s.contact.v - filed.before.contact.v))))
                (row("Back from the front face", both(bench, filed.before.contact.b), stroke.map(|s| both(bench, s.contact.b)), stroke.map(|s| less(s.contact.b - filed.before.contact.b))))
                (row("Action at 12", both(bench.action(), filed.before.action_12), stroke.map(|s| both(bench.action(), s.action_12)), stroke.map(|s| less(s.action_12 - filed.before.action_12))))
                (row("Gap at fret 1", both(bench, filed.before.action_1), stroke.map(|s| both(bench, s.action_1)), stroke.map(|s| less(s.action_1 - filed.before.action_1))))
                (row("Cents at 12", html! { span.n { (cents(filed.before.cents_12)) } }, stroke.map(|s| html! { span.n { (cents(s.cents_12)) } }), stroke.map(|s| html! { span.n { (cents(s.cents_12 - filed.before.cents_12)) } })))
            }
        }
        p.how { (match filed.furthest {
            Limit::Floor(mm) => format!("It can go {} forward before the action falls under its floor.", length(bench, mm)),
            Limit::Land(mm) => format!("It can go {} forward before the ridge reaches the land in front.", length(bench, mm)),
            Limit::Already => "The action is at or under its floor already.".to_owned(),
        }) }
        }
    }
}
