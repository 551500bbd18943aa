//! What was measured at the nut and what is wanted there, besides what the saddle's survey holds.

use crate::Outer;
use instrument::{Courses, SpacingRule};
use serde::Serialize;

/// Everything measured and wanted for one nut. Lengths in mm, angles in radians.
#[derive(Debug, Clone, PartialEq)]
pub struct NutSurvey {
    /// Width of the board at the nut, which is the length of the finished nut.
    pub board_width: f64,
    /// Height of a fret over the board near the nut.
    pub fret_height: f64,
    /// From the board's surface down to the nut's seat, on the centre line.
    pub seat_depth: f64,
    /// How the outer strings are placed.
    pub outer: Outer,
    /// What is equal between neighbours.
    pub rule: SpacingRule,
    /// Courses, bass to treble.
    pub courses: Courses,
    /// Whether each string is wound, bass to treble.
    pub wound: Vec<bool>,
    /// The blank.
    pub blank: NutBlank,
    /// The headstock behind it.
    pub headstock: Headstock,
    /// Fall of the slot floors toward the tuners against the fret plane; `None`: half of the bend over the nut.
    pub fall: Option<f64>,
    /// How much wider than its string a slot is.
    pub allowance: Allowance,
    /// Share of each string's diameter that stands above the top, 0 to 1; less than 0 buries it.
    pub shows: f64,
    /// Shape of the top across the strings.
    pub top: TopShape,
    /// Depth left to the final stroke, 0 or more: the string beds in.
    pub proud: f64,
    /// How the setbacks are made.
    pub front: Front,
}

/// The blank. mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NutBlank {
    /// Name of the material, for sheets.
    pub material: String,
    /// Front to back.
    pub thickness: f64,
    /// Bottom to raw top.
    pub height: f64,
    /// End to end; the board stands in its middle.
    pub length: f64,
}

/// What lies behind the nut.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Headstock {
    /// Angle of the headstock, falling back from the fret plane; 0 for one that runs level and for one that nobody read: neither tells the
    /// bend over the nut.
    pub angle: f64,
    /// Where each string leaves its post, bass to treble, if read.
    pub posts: Option<Vec<Post>>,
}

/// Where a string leaves its post. mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Post {
    /// From fret 0 back along the centre line, positive.
    pub back: f64,
    /// Across from the centre line, positive toward the treble.
    pub across: f64,
    /// Below the fret plane; `None` takes the headstock's angle for the bend.
    pub below: Option<f64>,
}

/// How much wider than its string a slot is, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// For plain strings.
    pub plain: f64,
    /// For wound strings, so that the winding passes.
    pub wound: f64,
}

impl Default for Allowance {
    /// 0.05 mm for plain and 0.08 mm for wound strings. Pages on slot widths give 0.03 to 0.13 mm over the gauge and a touch
    /// more for wound strings (published).
    fn default() -> Self {
        Self {
            plain: 0.05,
            wound: 0.08,
        }
    }
}

/// Shape of the top across the strings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TopShape {
    /// A smooth line at which every string shows the same share of itself.
    Follow,
    /// An arc of this radius, mm, as low as may be with no string showing more than its share.
    Arc(f64),
}

/// How nut setbacks are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Front {
    /// None is made: the front face stands where the nut stands.
    Plain,
    /// Each string has its own edge: a shelf over the end of the board, cut back under each string.
    Shelf,
    /// One straight shift of the whole front face.
    Straight,
}
