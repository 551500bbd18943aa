//! The programs for a small machine: made, simulated from their own text, and only then handed out.

use std::sync::TryLockError;

use job::Job;
use machining::{Deviation, Limits, PrepareError, Prepared, Setup, SetupKind, prepare};
use maud::{Markup, html};
use saddle::Plan;

use super::{Tab, frame, live, no_plan, opened, picture, to};
use crate::Bench;
use crate::desk::Opened;
use crate::pictures::deviation::deviation;
use crate::talk::{Ask, Reply};

/// The programs of one version of one job, so that a download does not simulate again.
#[derive(Debug)]
pub struct Kept {
    job: String,
    version: String,
    setups: Vec<(SetupKind, Tried)>,
}

/// A setup as tried: what is handed out, or why nothing is.
#[derive(Debug)]
enum Tried {
    InOrder(Box<(Setup, Prepared)>),
    Refused {
        why: Vec<String>,
        /// What the first program that is not in order leaves.
        left: Option<(Box<Deviation>, Limits)>,
    },
}

/// The page: what will be made, and on a word the programs with their verdict.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some((job, plan)) = opened.judged.planned() else {
        let main = match opened.judged.nut_shown() {
            Some(_) => super::saddle_stays(&opened, "Programs", "Programs are made here for a saddle."),
            None => no_plan(&opened),
        };
        return Reply::Page(
            200,
            frame(bench, &opened.title(), Some((&opened, Tab::Programs)), &main),
        );
    };
    let wanted = ask.fields.get("make").is_some();
    let cut = &job.cut;
    let main = html! {
        h1 { "Programs" }
        p.how {
            "For a small router or mill. Each program is read back from its own text and simulated against the plan; one that is not in order is not handed out. Stock, holding and tools stand under "
            code { "[cut]" } " in the " a href=(to(&opened.name, "text")) { "file" } "."
        }
        dl.facts {
            dt { "Machine" } dd { (cut.machine.name) }
            dt { "Rougher" } dd { (cut.rougher.name) }
            dt { "Finisher" } dd { (cut.finisher.name) }
            dt { "Material" } dd { (cut.material.as_ref().map_or("no profile says how it is cut", |m| m.name.as_str())) }
            dt { "Stock" } dd {
                @if cut.stock_measured { "as measured, in the job" }
                @else { "not measured, so taken to be the blank itself. Measure it: higher stock meets deeper cuts than are simulated." }
            }
        }
        form method="get" action=(to(&opened.name, "programs")) {
            input type="hidden" name="make" value="yes";
            p { button { (if wanted { "Make and check again" } else { "Make and check" }) } }
            p.how { "It takes some seconds." }
        }
        @if wanted {
            (made(bench, &opened, job, plan, |kept| shown(&opened, kept)).unwrap_or_else(busy))
        }
        (live::closing(&opened.judged))
    };
    Reply::Page(
        200,
        frame(bench, &opened.title(), Some((&opened, Tab::Programs)), &main),
    )
}

/// A program of this name, if it is in order.
#[must_use]
pub fn text(bench: &Bench, opened: &Opened, name: &str) -> Option<String> {
    let (job, plan) = opened.judged.planned()?;
    made(bench, opened, job, plan, |kept| {
        kept.setups.iter().find_map(|(_, tried)| match tried {
            Tried::InOrder(done) => {
                let found = done.1.programs.iter().find(|program| program.name == name)?;
                Some(found.text.clone())
            }
            Tried::Refused { .. } => None,
        })
    })?
}

fn busy() -> Markup {
    html! { p.say.doubt { span.mark aria-hidden="true" { "!" } " Other programs are being checked just now. Try again in a moment." } }
}

/// Uses the programs of the job as it is: those kept, or fresh ones. `None` while others are being made.
fn made<T>(bench: &Bench, opened: &Opened, job: &Job, plan: &Plan, of: impl FnOnce(&Kept) -> T) -> Option<T> {
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
        *kept = Some(Kept {
            job: name.to_owned(),
            version: version.to_owned(),
            setups: job
                .cut
                .kinds
                .iter()
                .map(|kind| (*kind, tried(job, plan, *kind)))
                .collect(),
        });
    }
    kept.as_ref().map(of)
}

fn tried(job: &Job, plan: &Plan, kind: SetupKind) -> Tried {
    let Some(setup) = job.cut.setup(kind) else {
        return Tried::Refused {
            why: vec![format!(
                "No profile says how \"{}\" is cut. Name a material under [cut] whose chips you know to suit it.",
                plan.blank.material
            )],
            left: None,
        };
    };
    match prepare(plan, &job.title, &setup) {
        Ok(prepared) => Tried::InOrder(Box::new((setup, prepared))),
        Err(PrepareError::Refused(refused)) => {
            let wrong = || refused.reports.iter().filter(|(_, report)| !report.in_order());
            let why = wrong()
                .flat_map(|(name, report)| report.findings.iter().map(move |finding| format!("{name}: {finding}")));
            let left = wrong().find_map(|(_, report)| report.deviation.clone());
            Tried::Refused {
                why: why.chain(refused.notes.iter().cloned()).collect(),
                left: left.map(|left| (Box::new(left), Limits::of(&setup))),
            }
        }
        Err(error) => Tried::Refused {
            why: vec![format!("{error}.")],
            left: None,
        },
    }
}

fn name(kind: SetupKind) -> &'static str {
    match kind {
        SetupKind::OnEdge => "On edge",
        SetupKind::Flat => "Flat",
        SetupKind::OnEnd => "On end",
    }
}

fn shown(opened: &Opened, kept: &Kept) -> Markup {
    html! {
        @for (kind, tried) in &kept.setups {
            section aria-label=(name(*kind)) {
                h2 { (name(*kind)) }
                @match tried {
                    Tried::InOrder(done) => (in_order(opened, &done.0, &done.1)),
                    Tried::Refused { why, left } => {
                        p.verdict.refused { span.mark aria-hidden="true" { "✕" } " Refused: there is nothing to download." }
                        ul.problems { @for line in why { li.error { (line) } } }
                        @if let Some((left, limits)) = left { (picture(deviation(left, limits))) }
                    }
                }
            }
        }
    }
}

fn in_order(opened: &Opened, setup: &Setup, prepared: &Prepared) -> Markup {
    let job = &opened.name;
    html! {
        p.verdict.kept { span.mark aria-hidden="true" { "✓" } " In order: simulated from the text of the programs." }
        p { (prepared.registration) }
        ol.files { @for program in &prepared.programs {
            @let tools: Vec<String> = program.tools.iter().map(u32::to_string).collect();
            li {
                a href={ "/job/" (job) "/out/" (job) "-" (program.name) "?save=yes" } download { (program.name) }
                ": tool " (tools.join(" and ")) ", " (format!("{:.0}", program.report.time.total())) " s"
            }
        } }
        @if let Some(left) = prepared.programs.last().and_then(|program| program.report.deviation.as_ref()) {
            figure {
                (picture(deviation(left, &Limits::of(setup))))
                figcaption { (format!("Against the plan, seen from above: {}.", left.words("µm"))) }
            }
        }
        @for note in &prepared.notes { p { (note) } }
        p { strong { "Run each program above the stock first, a hand on the stop." } }
    }
}
