//! One setup of one part, cut.

use machining::{Part, Prepared, Setup, SetupKind};

/// One setup of one part, with its programs.
pub(super) struct Made<'a> {
    pub(super) part: Part<'a>,
    pub(super) setup: Setup,
    pub(super) prepared: Prepared,
    /// The job gives the stock's sizes.
    pub(super) measured: bool,
    /// The job gives the height of the jaws.
    pub(super) jaws_measured: bool,
}

/// Name of a setup.
pub(super) fn name(part: Part, kind: SetupKind) -> &'static str {
    match (part, kind) {
        (Part::Saddle(_), SetupKind::OnEdge) => "Cutting on edge",
        (Part::Saddle(_), SetupKind::Flat) => "Cutting flat",
        (Part::Nut(_), SetupKind::OnEdge) => "Nut on edge",
        (Part::Nut(_), SetupKind::Flat) => "Nut flat",
        (_, SetupKind::OnEnd) => "Nut on end",
    }
}

/// Whether the part is a nut.
pub(super) fn is_nut(part: Part) -> bool {
    matches!(part, Part::Nut(_))
}
