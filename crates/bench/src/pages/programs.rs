//! The programs for a small machine: made, simulated from their own text, and only then handed out.

mod shown;
#[cfg(test)]
mod tests;

use std::sync::TryLockError;

use job::CutJob;
use machining::{CutTolerance, Part, PrepareError, Setup, SetupKind, prepare};
use maud::{Markup, html};

use super::{Tab, frame, live, no_plan, opened, refusals, to};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::kept::{Kept, Made, Tried};
use crate::talk::{Ask, Reply};

/// What is cut, in order: the saddle, then the nut.
fn parts(judged: &Judged) -> Vec<(Part<'_>, &CutJob)> {
    let saddle = judged.planned().map(|(job, plan)| (Part::Saddle(plan), &job.cut));
    let nut = judged.nut_shown().map(|nut| (Part::Nut(nut.plan), nut.cut));
    saddle.into_iter().chain(nut).collect()
}

/// The page: what will be made, and on a word the programs with their verdict.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let parts = parts(&opened.judged);
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

fn whole(bench: &Bench, opened: &Opened, parts: &[(Part, &CutJob)], wanted: bool) -> Markup {
    let of_parts = |kept: Option<&Kept>| {
        html! { @for (part, cut) in parts {
            (shown::part(opened, *part, cut, kept.map(|kept| kept.setups.iter().filter(|made| made.part == cut.part))))
        } }
    };
    let made = wanted.then(|| made(bench, opened, |kept| of_parts(Some(kept))));
    html! {
        h1 { "Programs" }
        p.how {
            "For a small router or mill. Each program is read back from its own text and simulated against the plan; one that is not in order is not handed out. Stock, holding and tools stand in the "
            a href=(to(&opened.name, "text")) { "file" } ", under the table that each part names here."
        }
        (refusals(&opened.judged))
        form method="get" action=(to(&opened.name, "programs")) {
            input type="hidden" name="make" value="yes";
            p { button { (if wanted { "Make and check again" } else { "Make and check" }) } }
            p.how { "It takes some seconds." }
        }
        @match made {
            Some(Some(made)) => (made),
            Some(None) => { (busy()) (of_parts(None)) },
            None => (of_parts(None)),
        }
        (live::closing(&opened.judged))
    }
}

/// A program of this name and its mark, if it is in order.
#[must_use]
pub fn text(bench: &Bench, opened: &Opened, name: &str) -> Option<(String, String)> {
    made(bench, opened, |kept| {
        kept.setups.iter().find_map(|made| match &made.tried {
            Tried::InOrder(done) => {
                let found = done.1.programs.iter().find(|program| program.name == name)?;
                Some((found.text.clone(), found.marks.mark.clone()))
            }
            Tried::Refused { .. } => None,
        })
    })?
}

fn busy() -> Markup {
    html! { p.say.doubt { span.mark aria-hidden="true" { "!" } " Other programs are being checked just now. Try again in a moment." } }
}

/// Uses the programs of the job as it is: those kept, or fresh ones. `None` while others are being made.
fn made<T>(bench: &Bench, opened: &Opened, of: impl FnOnce(&Kept) -> T) -> Option<T> {
    let mut kept = match bench.programs.try_lock() {
        Ok(kept) => kept,
        Err(TryLockError::Poisoned(kept)) => kept.into_inner(),
        Err(TryLockError::WouldBlock) => return None,
    };
    let (name, version) = (opened.name.as_str(), opened.version.as_str());
    if kept
        .as_ref()
        .is_none_or(|kept| kept.job != name || kept.version != version)
    {
        let title = opened.judged.title();
        let setups = parts(&opened.judged).into_iter().flat_map(|(part, cut)| {
            cut.kinds.iter().map(move |kind| Made {
                part: cut.part,
                kind: *kind,
                tried: tried(part, cut, *kind, title),
            })
        });
        *kept = Some(Kept {
            job: name.to_owned(),
            version: version.to_owned(),
            setups: setups.collect(),
        });
    }
    kept.as_ref().map(of)
}

/// The setup in which `part` is cut; where its outline is cut before, its stock is the part.
fn setup_for(part: Part, cut: &CutJob, kind: SetupKind) -> Result<Setup, String> {
    let material = match part {
        Part::Saddle(plan) => &plan.blank.material,
        Part::Nut(plan) => &plan.blank.material,
    };
    let setup = cut
        .setup_for(part, kind, cut.outlined(kind))
        .map_err(|error| format!("{error}."))?;
    setup.ok_or_else(|| {
        format!(
            "No profile says how \"{material}\" is cut. Name a material under {} whose chips you know to suit it.",
            shown::table(cut.part)
        )
    })
}

fn tried(part: Part, cut: &CutJob, kind: SetupKind, title: &str) -> Tried {
    let plainly = |why: String| Tried::Refused {
        why: vec![why],
        left: None,
    };
    let setup = match setup_for(part, cut, kind) {
        Ok(setup) => setup,
        Err(why) => return plainly(why),
    };
    match prepare(part, title, &setup) {
        Ok(prepared) => Tried::InOrder(Box::new((setup, prepared))),
        Err(PrepareError::Refused(refused)) => {
            let wrong = || refused.reports.iter().filter(|(_, report)| !report.in_order());
            let why = wrong()
                .flat_map(|(name, report)| report.findings.iter().map(move |finding| format!("{name}: {finding}")));
            let left = wrong().find_map(|(_, report)| report.deviation.clone());
            Tried::Refused {
                why: why.chain(refused.notes.iter().cloned()).collect(),
                left: left.map(|left| (Box::new(left), CutTolerance::of(&setup))),
            }
        }
        Err(error) => plainly(format!("{error}.")),
    }
}
