//! What was measured and what is wanted: all that a plan needs.

use crate::{ActionWish, AlsoString, Wings};
use instrument::{Board, CentsReading, NewGap, NutReading, SlotSurvey, StretchKnown, StringRun};
use serde::Serialize;
use strings::{Criterion, Ends, StringModel};

/// Everything measured and wanted for one saddle.
#[derive(Debug, Clone, PartialEq)]
pub struct SaddleSurvey {
    /// The fingerboard.
    pub board: Board,
    /// Strings, bass to treble, 1 to 12.
    pub strings: Vec<StringSurvey>,
    /// Distance of the finger from the fret crown toward the nut, mm, 0 or more.
    pub press: f64,
    /// How the slot was read.
    pub slot: SlotSurvey,
    /// Lean of the front wall as read, radians, positive with the top forward.
    pub lean: f64,
    /// What string tension changes in readings that were taken slack; zero for readings at pitch.
    pub under_tension: TensionChange,
    /// Thickness of anything under the saddle (shim, pickup), mm, 0 or more.
    pub under: f64,
    /// Width of the slot, mm, if read. Used for checks and drawings.
    pub slot_width: Option<f64>,
    /// Length of the slot, mm, if read. Used for checks and drawings.
    pub slot_length: Option<f64>,
    /// Where the strings leave the bridge, bass and treble, if read.
    pub exit: Option<[ExitEnd; 2]>,
    /// The blank.
    pub blank: Blank,
    /// The wanted top of the blank.
    pub crown: CrownSpec,
    /// Error at fret 12 that asks for no way out, cents, 0 or more.
    pub good_cents: f64,
    /// Whether the instrument is left-handed: the plan is the same, sheets and programs are mirrored.
    pub left_handed: bool,
    /// How string ends hold; [`Ends::PUBLISHED`] if nothing else is known.
    pub ends: Ends,
    /// Share of the elastic stand-off by which strings pass over their ridges, 0 to 1; 0 if nothing else is known.
    pub stand_off: f64,
}

/// One string as surveyed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringSurvey {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name of the open string, for tables.
    pub note: String,
    /// Open pitch, Hz.
    pub frequency: f64,
    /// The string's data.
    #[serde(flatten)]
    pub model: StringModel,
    /// Its run in plan.
    pub run: StringRun,
    /// How its height at the present nut was read; `None` if a new nut is made and the present one was not read.
    pub present_nut: Option<NutReading>,
    /// How far work on a zero fret raises the string's contact there over the present one (dressed: negative; 0: kept), mm along z; `None`
    /// at a nut. A zero fret stands at fret 0, has no setback, and no new nut beside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zero_fret: Option<f64>,
    /// Gap over fret 1 that a new nut shall give; `None` keeps the present nut, and its height if it is moved.
    #[serde(flatten, serialize_with = "instrument::new_gap")]
    pub new_gap: Option<NewGap>,
    /// x of the nut contact, mm: that of fret 0 under the string, or more where the nut already stands toward the bridge.
    pub nut_x: f64,
    /// Wanted action at fret 12, mm; beside a wish at another fret it has the weight 1.
    pub target_action: f64,
    /// A wish at another fret, which shares the line with that at fret 12.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub action_at: Option<ActionWish>,
    /// What the setback is chosen for.
    #[serde(flatten)]
    pub criterion: Criterion,
    /// Pitch reading on the present saddle that calibrates the string.
    pub measured: Option<CentsReading>,
    /// Its stretch stiffness was found from such readings before, so that `model` is calibrated already.
    #[serde(skip)]
    pub stretch_found: bool,
    /// Factor on its stretch stiffness that all readings together asked for, where its pitch was among them; it is in `model` already.
    #[serde(skip)]
    pub calibration: Option<f64>,
    /// How its stretch stiffness is known as it is described.
    #[serde(skip)]
    pub known: StretchKnown,
    /// What takes turns with it on the same contact: other tunings, other sets. The string itself has the weight 1.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<AlsoString>,
}

/// How the bridge moves when the strings come up to pitch, for readings taken slack.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TensionChange {
    /// Rise of the bridge top against the straightedge at bass and treble, mm, up positive.
    pub bridge_top: [f64; 2],
    /// Change of lean, radians, forward positive.
    pub lean: f64,
}

/// Where strings leave the bridge behind the saddle, at one end. mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ExitEnd {
    /// Behind the slot's front edge, along x, to the front of the pin hole or of the tie block's hole.
    pub behind_slot: f64,
    /// Above (+) or below (-) the bridge top at the slot's front edge.
    pub above_bridge_top: f64,
}

/// How the blank stands in the bridge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BlankKind {
    /// In a slot that is open at both ends.
    Through,
    /// In a slot closed at both ends; the blank's ends are rounded.
    DropIn,
}

/// The blank. mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Blank {
    /// How it stands in the bridge.
    pub kind: BlankKind,
    /// Name of the material, for sheets.
    pub material: String,
    /// Front to back.
    pub thickness: f64,
    /// Bottom edge to raw top.
    pub height: f64,
    /// End to end.
    pub length: f64,
    /// From the bass end to the bass string's place; `None` centres the strings on the blank.
    #[serde(skip)]
    pub bass_end: Option<f64>,
    /// Least material between ridge and a face.
    pub land: f64,
    /// Radius of a drop-in's rounded ends, seen from above, as given; see [`Blank::end_radius`].
    #[serde(rename = "end_radius", skip_serializing_if = "Option::is_none")]
    pub given_end_radius: Option<f64>,
    /// Contour that the ends of a through saddle are blended to, heights from the bottom edge, if it was traced.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wings: Option<Wings>,
    /// Whether it is glued in.
    pub glued: bool,
}

impl Blank {
    /// Radius of the rounded ends, seen from above, mm: half the thickness, as the end of a routed slot is, unless given; at most that.
    /// `None` for a through saddle.
    #[must_use]
    pub fn end_radius(&self) -> Option<f64> {
        let half = 0.5 * self.thickness;
        (self.kind == BlankKind::DropIn).then(|| self.given_end_radius.map_or(half, |radius| radius.clamp(0.0, half)))
    }

    /// The contour that its ends are blended to; only a through saddle has one.
    #[must_use]
    pub fn blended(&self) -> Option<&Wings> {
        self.wings.as_ref().filter(|_| self.kind == BlankKind::Through)
    }
}

/// The ridge from string to string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ridge {
    /// One smooth line (monotone cubic) through all contacts.
    Smooth,
    /// Straight across under each string, with a short ramp midway between neighbours.
    Stepped,
}

/// The wanted top of the blank.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CrownSpec {
    /// The ridge from string to string.
    pub ridge: Ridge,
    /// Radius of the rounding along the ridge, mm, 0 or more.
    pub rounding: f64,
    /// Fall of the top in front of the ridge, radians in the blank, positive downward toward the front face; `None` lets the plan choose.
    pub front_fall: Option<f64>,
    /// Fall of the top behind the ridge, radians in the blank, positive downward toward the back; `None` lets the plan choose.
    pub back_fall: Option<f64>,
}
