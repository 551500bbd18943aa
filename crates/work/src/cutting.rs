//! The programs that cut the blanks: setups in their order, each made, simulated and judged.

use job::CutJob;
use machining::{CutTolerance, Deviation, Machine, Part, PartKind, PrepareError, Prepared, Setup, SetupKind, prepare};
use thiserror::Error;

use crate::Planned;

/// Which way a blank lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Standing in a vise: a saddle's crown, the slots of a nut.
    OnEdge,
    /// Lying on its front face: the outline.
    Flat,
    /// The outline while the block holds it, then on edge.
    Both,
    /// A nut standing on its end, for a saw on an arbor.
    OnEnd,
}

/// One setup of one part, cut.
#[derive(Debug)]
pub struct Made {
    /// The setup.
    pub setup: Setup,
    /// Its programs, in order.
    pub prepared: Prepared,
    /// The job gives the stock's sizes.
    pub stock_measured: bool,
    /// The job gives the height of the jaws.
    pub jaws_measured: bool,
}

/// Why a setup has no programs.
#[derive(Debug, Error)]
pub enum CutError {
    /// No profile says how the material is cut.
    #[error("No profile says how \"{0}\" is cut")]
    NoMaterial(String),
    /// They could not be made, or are not in order.
    #[error("{0}")]
    Prepare(Box<PrepareError>),
}

/// A setup as tried.
#[derive(Debug)]
pub struct Tried {
    /// The part.
    pub part: PartKind,
    /// The way it lies.
    pub kind: SetupKind,
    /// How it is cut, as the job says or with another machine.
    pub cut: CutJob,
    /// What came of it.
    pub made: Result<Made, CutError>,
    /// What the first program that is not in order leaves, and what would be allowed.
    pub left: Option<(Box<Deviation>, CutTolerance)>,
}

/// The outline of a part is cut before its setup of `kind`, where `kinds` are cut: a nut's always is.
#[must_use]
pub fn outlined(part: PartKind, kinds: &[SetupKind], kind: SetupKind) -> bool {
    job::outlined_among(part, kinds, kind)
}

/// What a job cuts of these parts, in order: the setups of the job, or one way for all; on the machine of the job or another. Parts
/// that do not lie that way, or have no plan, are left out.
#[must_use]
pub fn setups(
    done: &Planned,
    parts: &[PartKind],
    way: Option<Way>,
    machine: Option<&Machine>,
) -> Vec<(PartKind, SetupKind, bool, CutJob)> {
    let mut all = Vec::new();
    for part in parts.iter().copied().filter(|part| done.part(*part).is_some()) {
        let cut = match part {
            PartKind::Saddle => done.job.saddle.as_ref().map(|made| &made.cut),
            PartKind::Nut => done.job.nut.as_ref().map(|made| &made.cut),
        };
        let Some(mut cut) = cut.cloned() else { continue };
        if let Some(machine) = machine {
            cut.machine = machine.clone();
        }
        let kinds = match (way, part) {
            (None, _) => cut.kinds.clone(),
            (Some(Way::OnEdge), _) => vec![SetupKind::OnEdge],
            (Some(Way::Flat), _) => vec![SetupKind::Flat],
            (Some(Way::Both), _) => vec![SetupKind::Flat, SetupKind::OnEdge],
            (Some(Way::OnEnd), PartKind::Nut) => vec![SetupKind::OnEnd],
            (Some(Way::OnEnd), PartKind::Saddle) => Vec::new(),
        };
        all.extend(
            kinds
                .iter()
                .map(|kind| (part, *kind, outlined(part, &kinds, *kind), cut.clone())),
        );
    }
    all
}

/// The setup in which a part is cut, before its programs are made; its outline is cut before, or not.
///
/// # Errors
/// [`CutError`].
pub fn unprepared(part: Part, cut: &CutJob, kind: SetupKind, outlined: bool) -> Result<Setup, CutError> {
    let material = match part {
        Part::Saddle(plan) => &plan.blank.material,
        Part::Nut(plan) => &plan.blank.material,
    };
    let setup = cut
        .setup_for(part, kind, outlined)
        .map_err(|error| CutError::Prepare(Box::new(PrepareError::Pass(error.into()))))?;
    setup.ok_or_else(|| CutError::NoMaterial(material.clone()))
}

/// Makes and simulates the programs of every setup, in order; all are tried, so that all that is wrong is told at once.
#[must_use]
pub fn tried(done: &Planned, parts: &[PartKind], way: Option<Way>, machine: Option<&Machine>) -> Vec<Tried> {
    tried_while(done, parts, way, machine, &|_, _| true).unwrap_or_default()
}

/// As [`tried`], as long as `go_on` says so, which is asked before each setup. `None` if it was stopped.
pub fn tried_while(
    done: &Planned,
    parts: &[PartKind],
    way: Option<Way>,
    machine: Option<&Machine>,
    go_on: &dyn Fn(PartKind, SetupKind) -> bool,
) -> Option<Vec<Tried>> {
    let mut all = Vec::new();
    for (kind_of, kind, outlined, cut) in setups(done, parts, way, machine) {
        if !go_on(kind_of, kind) {
            return None;
        }
        let Some(part) = done.part(kind_of) else { continue };
        let mut left = None;
        let made =
            unprepared(part, &cut, kind, outlined).and_then(|setup| match prepare(part, &done.job.title, &setup) {
                Ok(prepared) => Ok(Made {
                    setup,
                    prepared,
                    stock_measured: cut.stock_measured,
                    jaws_measured: cut.jaws_measured,
                }),
                Err(error) => {
                    if let PrepareError::Refused(refused) = &error {
                        let wrong = refused.reports.iter().filter(|(_, report)| !report.in_order());
                        let first = wrong.filter_map(|(_, report)| report.deviation.clone()).next();
                        left = first.map(|first| (Box::new(first), CutTolerance::of(&setup)));
                    }
                    Err(CutError::Prepare(Box::new(error)))
                }
            });
        all.push(Tried {
            part: kind_of,
            kind,
            cut,
            made,
            left,
        });
    }
    Some(all)
}
