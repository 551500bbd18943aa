//! The plan's page: everything that is made, and one reading to try out.

use maud::html;

use super::live::{closing, whole};
use super::{Tab, frame, no_plan, opened, steps, survey, to};
use crate::bench::Bench;
use crate::talk::{Ask, Reply};

/// The plan's page: everything, and any one reading to try out.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = match whole(&opened.judged, &|saddle| bench.sampled.heights(&opened.version, saddle)) {
        None => no_plan(&opened),
        Some(whole) => html! {
            div.title-row { h1 { "Plan" } (steps(bench, &opened, "plan")) }
            (survey::lever(bench, &opened, ask.fields.get("key")))
            div id="live" data-part="whole" { (whole) }
            p.setting { a.button.quiet href=(to(&opened.name, "sureness")) { "How sure it is, and what to read next" } }
            (closing(&opened.judged))
        },
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Plan)), &main))
}
