//! The programs for a small machine: made, simulated from their own text, and only then handed out.

mod part;
mod shown;
#[cfg(test)]
mod tests;

use std::sync::{MutexGuard, TryLockError};
use std::thread;
use std::time::Duration;

use ::survey::Station;
use machining::{Part, Program};
use maud::{Markup, html};
use serde_json::json;

use self::part::OfPart;
use super::station::setting_link;
use super::told::no_plan;
use super::{Tab, frame, live, opened, refusals, to};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::kept::Kept;
use crate::talk::{Ask, Reply};

/// What is cut, in order: the saddles, then the nut.
fn parts<'a>(bench: &Bench, opened: &'a Opened) -> Vec<OfPart<'a>> {
    let judged: &'a Judged = &opened.judged;
    let saddles = judged.saddles().into_iter().map(|saddle| {
        let heights = bench.sampled.heights(&opened.judged_as(), &saddle);
        OfPart {
            name: saddle.job.name.as_deref(),
            part: Part::Saddle(saddle.plan),
            cut: &saddle.made.cut,
            top: Some(heights.top_cut(saddle.made.cut.leave_proud)),
        }
    });
    let nut = judged.nut().map(|nut| OfPart {
        name: None,
        part: Part::Nut(nut.plan),
        cut: &nut.made.cut,
        top: None,
    });
    saddles.chain(nut).collect()
}

/// The page: what will be made, and on a word the programs with their verdict.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let parts = parts(bench, &opened);
    let main = if parts.is_empty() {
        no_plan(&opened)
    } else {
        whole(bench, &opened, &parts, ask.fields.get("make").is_some())
    };
    Reply::Page(
        200,
        frame(bench, &opened.title(), Some((&opened, Tab::Programs)), &main),
    )
}

fn whole(bench: &Bench, opened: &Opened, parts: &[OfPart], wanted: bool) -> Markup {
    let of_parts = |kept: Option<&Kept>| match kept.map(|kept| kept.files(opened.judged.planned())) {
        Some(Err(error)) => html! {
            p.say.refused role="alert" { span.mark aria-hidden="true" { "✕" } " The setup sheets cannot be drawn: " (error) }
        },
        _ => html! { @for part in parts { (shown::part(opened, *part, kept)) } },
    };
    let made = wanted.then(|| made(bench, opened, |kept| of_parts(Some(kept))));
    html! {
        h1 { "Programs" }
        p.how {
            "For a small router or mill. Each program is read back from its own text and simulated against the plan; one that is not in order is not handed out."
        }
        @for station in [Station::Cutting, Station::CuttingNut] { (setting_link(opened, station)) }
        (refusals(&opened.judged))
        form id="make-programs" method="get" action=(to(&opened.name, "programs")) {
            input type="hidden" name="make" value="yes";
            p { button { (if wanted { "Make and check again" } else { "Make and check" }) } }
            p.how { "It takes some seconds." }
        }
        div id="checking" hidden { p role="status" aria-live="polite" { "Checking." } progress max="1" value="0" aria-label="Programs checked" {} button.quiet type="button" { "Stop" } }
        @match made {
            Some(Ok(made)) => (made),
            Some(Err(why)) => { (not_made(why)) (of_parts(None)) },
            None => (of_parts(None)),
        }
        (live::closing(&opened.judged))
    }
}

/// A file of cutting.
pub struct Found {
    /// What it holds.
    pub content: Vec<u8>,
    /// The mark of the program, if it is one.
    pub mark: Option<String>,
}

/// Why programs are not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotMade {
    /// Programs are being checked, which is done one at a time.
    Busy,
    /// It was stopped.
    Stopped,
}

impl NotMade {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Busy => "Other programs are being checked just now. Try again in a moment.",
            Self::Stopped => "Stopped: no program was made.",
        }
    }
}

/// The program, setup sheet or picture of this name, of a setup that is in order.
///
/// # Errors
/// [`NotMade`]: whether there is one is not known yet.
pub fn file(bench: &Bench, opened: &Opened, name: &str) -> Result<Option<Found>, NotMade> {
    made(bench, opened, |kept| {
        let own = |named: &(String, &Program)| named.0 == name;
        if let Some((_, program)) = kept.programs().find(own) {
            return Some(Found {
                content: program.text.clone().into_bytes(),
                mark: Some(program.marks.mark.clone()),
            });
        }
        let files = kept.files(opened.judged.planned()).as_ref().ok()?;
        let (_, content) = files.iter().find(|(file, _)| file == name)?;
        Some(Found {
            content: content.clone(),
            mark: None,
        })
    })
}

fn not_made(why: NotMade) -> Markup {
    html! { p.say.doubt { span.mark aria-hidden="true" { "!" } " " (why.words()) } }
}

/// How far the check of a job is, for the script.
#[must_use]
pub fn state(bench: &Bench, ask: &Ask) -> Reply {
    let found = bench.checking.of(&ask.name);
    let told = found.map(|checked| json!({ "before": checked.before, "of": checked.of, "say": checked.words() }));
    Reply::Json(200, told.unwrap_or_else(|| json!({})))
}

/// Stops the check of a job.
#[must_use]
pub fn stop(bench: &Bench, ask: &Ask) -> Reply {
    let there = bench.checking.stop(&ask.name);
    if ask.script {
        return Reply::Json(200, json!({ "state": if there { "kept" } else { "" } }));
    }
    Reply::See(format!("/job/{}/programs", ask.name))
}

/// How often, and after what time, what is kept is asked for again: the pictures of one page come for it together, and each has it for a
/// moment only. Who checks programs has it for longer than all of these.
const ASKS: u32 = 40;
const PAUSE: Duration = Duration::from_millis(15);

/// What is kept, for this request alone.
fn locked(bench: &Bench) -> Result<MutexGuard<'_, Option<Kept>>, NotMade> {
    for _ in 0..ASKS {
        match bench.programs.try_lock() {
            Ok(kept) => return Ok(kept),
            Err(TryLockError::Poisoned(kept)) => return Ok(kept.into_inner()),
            Err(TryLockError::WouldBlock) => thread::sleep(PAUSE),
        }
    }
    Err(NotMade::Busy)
}

/// Uses the programs of the job as it is: those kept, or fresh ones.
fn made<T>(bench: &Bench, opened: &Opened, of: impl FnOnce(&Kept) -> T) -> Result<T, NotMade> {
    let mut kept = locked(bench)?;
    let judged_as = opened.judged_as();
    let (name, version) = (opened.name.as_str(), judged_as.as_str());
    let fits = kept.take().filter(|kept| kept.job == name && kept.version == version);
    let fresh = || Kept::made(name, version, opened.judged.planned(), &bench.checking);
    let fits = fits.or_else(fresh).ok_or(NotMade::Stopped)?;
    Ok(of(kept.insert(fits)))
}
