//! When the wanted ridge leaves the blank: three ways out, with figures.

use serde::Serialize;

/// Ways to bring held strings in tune: three, or two where they rest on a zero fret, which cannot be set back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaysOut {
    /// Move or re-angle the slot.
    pub slot: SlotWay,
    /// A thicker blank in a wider slot.
    pub thicker: ThickerWay,
    /// A nut setback for each held string whose error at fret 12 is not good as it is.
    pub nut: Vec<NutWay>,
    /// What each way leaves, the mildest way first: the one that leaves least, and at like figures ([`LIKE`]) the one that can be
    /// undone, or that cuts less.
    pub order: Vec<WayLeft>,
}

/// One of the ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// [`SlotWay`].
    Slot,
    /// [`ThickerWay`].
    Thicker,
    /// [`NutWay`].
    Nut,
}

/// What a way leaves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WayLeft {
    /// Which way.
    pub way: Way,
    /// Whether it can be undone.
    pub reversible: bool,
    /// The worst note of [`HEARD`] then, over the strings that ask for a way out and those that this way itself holds at the land.
    pub worst: Worst,
}

/// A note that is off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Worst {
    /// String number.
    pub string: u32,
    /// Fret.
    pub fret: u32,
    /// Error, cents, sharp positive.
    pub cents: f64,
}

/// Move the slot so that the largest distance of a wanted contact from the middle of the blank is least.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlotWay {
    /// Move of the front wall along x under the bass string, mm, positive back.
    pub bass: f64,
    /// The same under the treble string.
    pub treble: f64,
    /// Largest distance of a wanted contact from the middle of the blank then, along x, mm.
    pub furthest: f64,
    /// Whether the present blank then holds every contact inside its land.
    pub fits: bool,
}

/// Keep the slot's place and make it wider.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ThickerWay {
    /// Thickness of the blank that holds every contact inside its land, mm.
    pub thickness: f64,
    /// How far the front wall moves forward, mm, square to the face; 0 or more.
    pub forward: f64,
    /// How far the back wall moves back, mm, square to the face; 0 or more.
    pub back: f64,
}

/// Set the nut contact of one string so that fret 12 is in tune with the saddle made as planned, or as far toward it as
/// [`MOST_SETBACK`] lets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NutWay {
    /// String number.
    pub string: u32,
    /// Setback of the nut, mm; negative is toward the bridge. `None` if no place within 5 % of the scale length tunes fret 12, and
    /// with a zero fret.
    pub setback: Option<f64>,
    /// Whether the setback stops at [`MOST_SETBACK`] before fret 12 is in tune.
    pub capped: bool,
    /// Error at frets 1 to 5 then, cents, sharp positive, with the saddle as planned; as it is planned without a setback.
    pub cents_1_to_5: [f64; NEAR],
    /// The same at fret 12.
    pub cents_12: f64,
    /// Move of the slot along x for this string alone, mm, positive back.
    pub slot_move: f64,
}

/// Frets near the nut, 1 to this, at which a setback of the nut is felt most.
pub(crate) const NEAR: usize = 5;
/// Frets by which the ways are compared: those near the nut, and 12.
pub const HEARD: [u32; NEAR + 1] = [1, 2, 3, 4, 5, 12];
/// Ways that leave no more than this apart are alike, cents: less than a fretting hand repeats (common practice, no source).
pub const LIKE: f64 = 1.0;
/// Most setback of a nut that is proposed, mm, either way; one that the plan already has may be more (common practice, no source).
pub const MOST_SETBACK: f64 = 1.0;

impl NutWay {
    pub(crate) fn heard(&self) -> [f64; HEARD.len()] {
        let [one, two, three, four, five] = self.cents_1_to_5;
        [one, two, three, four, five, self.cents_12]
    }
}
