//! What a repairer should know beside the figures of a saddle's plan.

use assess::Bound;
use instrument::Of;
use serde::Serialize;

use crate::doubted::Doubted;
use crate::fork::Fork;
use crate::not_it::NotTheString;

/// How much a remark matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The part cannot be made, or does not work, as planned.
    Stop,
    /// The part would endanger the instrument, and the job does not accept that.
    Unsafe,
    /// Something is outside its limit, or the plan counts on something.
    Mind,
    /// Good to know.
    Tell,
}

/// One remark. Lengths in mm, angles in radians; strings by their numbers, bass to treble.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// The assessment does not say "make it": something else is the remedy, or comes first.
    NotYet(Fork),
    /// A reading does not fit the others: it is taken again before anything is cut.
    Doubted(Doubted),
    /// Strings that do not sound like those that the job describes.
    NotTheString(Vec<NotTheString>),
    /// Figures that nobody read: what is usual stands in their place, in their own unit.
    Assumed(Vec<(Of, f64)>),
    /// The crown stands higher than the blank.
    BlankLow {
        /// Height of the crown.
        top: f64,
        /// Least height of a blank that is enough.
        wanted: f64,
    },
    /// Less stands above the crown than is left to clean up.
    BlankScant {
        /// What stands above it.
        spare: f64,
        /// What common practice leaves.
        least: f64,
    },
    /// What lies under the saddle fills the slot, or leaves nothing of it in the slot.
    NothingInSlot {
        /// Strings.
        strings: Vec<u32>,
        /// Thickness of what lies under the saddle.
        under: f64,
    },
    /// Contacts at or under the blank's bottom edge.
    UnderBottom(Vec<u32>),
    /// Contacts that no blank of this thickness and length has.
    OffBlank(Vec<u32>),
    /// Contacts in the blended part of an end, which leaves less height than they need.
    InBlend(Vec<u32>),
    /// Contours of blended ends that stop below the crown: which end, and how far below.
    WingsStop(Vec<(&'static str, f64)>),
    /// The front wall is pressed harder than its limit.
    FrontWall {
        /// Largest pressure as a share of the wood's compression across the grain.
        share: f64,
        /// The limit.
        limit: Bound,
        /// The job accepts it.
        accepted: bool,
    },
    /// Strings are held at the land; the plan has the ways out, where one is asked for.
    Held,
    /// These strings lie on fret 1.
    OnFirstFret(Vec<u32>),
    /// The gap over fret 1 is under its limit.
    FirstFretLow {
        /// Strings.
        strings: Vec<u32>,
        /// The least gap.
        least: f64,
        /// Its limit.
        limit: Bound,
    },
    /// Strings that touch a fret beyond the one they are held at: string, held at (0 open), touched.
    Touching(Vec<(u32, u32, u32)>),
    /// The exposure is not known.
    ExposureUnknown,
    /// Contacts at or below the bridge top.
    Sunk(Vec<u32>),
    /// The mean exposure is under this limit.
    ExposureLow {
        /// Mean exposure.
        mean: f64,
        /// Its limit.
        limit: Bound,
    },
    /// The mean exposure is over this limit.
    ExposureHigh {
        /// Mean exposure.
        mean: f64,
        /// Its limit.
        limit: Bound,
    },
    /// Less of the saddle stands in the slot than its limit.
    LittleInSlot {
        /// Strings.
        strings: Vec<u32>,
        /// The limit, a share.
        limit: Bound,
        /// So little that it is unsafe.
        is_unsafe: bool,
        /// The job accepts it.
        accepted: bool,
    },
    /// Strings that do not press on the saddle.
    Lifted(Vec<u32>),
    /// Strings that end away from their planned contact, with how far.
    OffPlan(Vec<(u32, f64)>),
    /// The break angles are not known.
    BreakUnknown,
    /// Break angles under their limit.
    BreakLow {
        /// Strings with their angles.
        strings: Vec<(u32, f64)>,
        /// The limit.
        limit: Bound,
    },
    /// Cents readings that scale the stretch of strings.
    Calibrated {
        /// Strings with their factors.
        strings: Vec<(u32, f64)>,
        /// Those whose factor is far from 1.
        far: Vec<u32>,
    },
    /// The plan counts on a new nut for these strings; empty where for all.
    NewNut(Vec<u32>),
    /// The plan counts on moves of the contacts at the nut, positive away from the bridge.
    NutMoves(Vec<(u32, f64)>),
    /// The plan counts on work on the zero fret: how far its crown comes up at each string, mm; dressed down, negative.
    ZeroFretWork(Vec<(u32, f64)>),
    /// Falls of the crown that the plan chose, front and back.
    FallsChosen([Option<f64>; 2]),
    /// The instrument is left-handed.
    LeftHanded,
}

impl Remark {
    /// How much it matters.
    #[must_use]
    pub fn severity(&self) -> Severity {
        match self {
            Self::BlankLow { .. }
            | Self::NothingInSlot { .. }
            | Self::UnderBottom(_)
            | Self::OffBlank(_)
            | Self::InBlend(_)
            | Self::OnFirstFret(_)
            | Self::Touching(_)
            | Self::Sunk(_)
            | Self::Lifted(_) => Severity::Stop,
            Self::FrontWall { accepted: false, .. }
            | Self::LittleInSlot {
                is_unsafe: true,
                accepted: false,
                ..
            } => Severity::Unsafe,
            Self::Calibrated { far, .. } if far.is_empty() => Severity::Tell,
            Self::Assumed(_) | Self::ExposureUnknown | Self::BreakUnknown | Self::FallsChosen(_) | Self::LeftHanded => {
                Severity::Tell
            }
            Self::NotYet(_)
            | Self::Doubted(_)
            | Self::NotTheString(_)
            | Self::BlankScant { .. }
            | Self::WingsStop(_)
            | Self::Held
            | Self::FirstFretLow { .. }
            | Self::ExposureLow { .. }
            | Self::ExposureHigh { .. }
            | Self::FrontWall { .. }
            | Self::LittleInSlot { .. }
            | Self::OffPlan(_)
            | Self::BreakLow { .. }
            | Self::Calibrated { .. }
            | Self::NewNut(_)
            | Self::NutMoves(_)
            | Self::ZeroFretWork(_) => Severity::Mind,
        }
    }

    /// Whether it stands in the way of making the part.
    #[must_use]
    pub fn stops(&self) -> bool {
        self.severity() <= Severity::Unsafe
    }
}
