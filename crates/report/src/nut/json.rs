//! The nut as JSON; every key is described in `JSON.md`.

use super::lines::{pairs, saddle_stays};
use crate::Note;
use crate::json::pretty;
use nut::{Flag, Front, NutBlank, NutPlan, Rules, StringCompensation};
use serde::Serialize;

/// Version of the format. It grows when a key changes its meaning or goes; a new key does not change it.
pub(crate) const NUT_JSON_VERSION: u32 = 1;

/// The nut and its notes as one JSON object, at full precision: mm, radians, cents.
///
/// # Errors
/// None is known; the JSON library could refuse a value.
pub fn nut_json(title: &str, nut: &NutPlan, notes: &[Note]) -> Result<String, serde_json::Error> {
    let strings = pairs(nut)
        .zip(&nut.compensation.strings)
        .map(|((s, line), compensation)| StringOut {
            number: s.number,
            note: &line.note,
            gauge: s.gauge,
            wound: s.wound,
            along: s.u,
            from_centre: s.y,
            back: s.b,
            floor: s.floor,
            stack: s.stack,
            width: s.width,
            top: s.top,
            depth: s.depth,
            shows: s.shows,
            clearance: s.clearance,
            held_at_3: s.held_at_3,
            action_12: line.action_12(),
            action_12_now: line.now.map(|now| now.action_12),
            clearance_now: line.now.map(|now| now.clearance),
            setback: s.setback,
            fan: s.fan,
            bend_aside: s.bend,
            bend_down: s.down,
            compensation,
        });
    pretty(&Document {
        format: "bonewright-nut-plan",
        version: NUT_JSON_VERSION,
        title,
        left_handed: nut.left_handed,
        blank: &nut.blank,
        board_width: nut.board_width,
        ends: nut.ends,
        saddle_stays: saddle_stays(nut),
        front_x: nut.front_x,
        slant: nut.slant,
        seat_z: nut.seat_z,
        board: nut.board_v,
        fret_height: nut.fret_height,
        fall: nut.fall,
        proud: nut.proud,
        front: nut.front,
        spacing: &nut.rules,
        straight_shift: nut.compensation.shift,
        strings: strings.collect(),
        flags: nut.flags.iter().map(flag).collect(),
        notes,
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    left_handed: bool,
    blank: &'a NutBlank,
    board_width: f64,
    ends: [f64; 2],
    saddle_stays: bool,
    front_x: f64,
    slant: f64,
    seat_z: f64,
    board: f64,
    fret_height: f64,
    fall: f64,
    proud: f64,
    front: Front,
    spacing: &'a Rules,
    straight_shift: f64,
    strings: Vec<StringOut<'a>>,
    flags: Vec<FlagOut>,
    notes: &'a [Note],
}

#[derive(Serialize)]
struct StringOut<'a> {
    number: u32,
    note: &'a str,
    gauge: f64,
    wound: bool,
    along: f64,
    from_centre: f64,
    back: f64,
    floor: f64,
    stack: f64,
    width: f64,
    top: f64,
    depth: f64,
    shows: f64,
    clearance: f64,
    held_at_3: f64,
    action_12: f64,
    action_12_now: Option<f64>,
    clearance_now: Option<f64>,
    setback: f64,
    fan: f64,
    bend_aside: f64,
    bend_down: Option<f64>,
    compensation: &'a StringCompensation,
}

#[derive(Serialize)]
struct FlagOut {
    about: &'static str,
    strings: Vec<u32>,
    by: Option<f64>,
}

fn flag(flag: &Flag) -> FlagOut {
    let (about, strings, by) = match *flag {
        Flag::Deep { string, depth } => ("deep", vec![string], Some(depth)),
        Flag::NoSlot { string } => ("no-slot", vec![string], None),
        Flag::ThinWall { strings, wall } => ("thin-wall", strings.to_vec(), Some(wall)),
        Flag::Bearing { string, needed } => ("bearing", vec![string], Some(needed)),
        Flag::EdgeOnly { string, down } => ("edge-only", vec![string], Some(down)),
        Flag::Edge { string, left } => ("edge", vec![string], Some(left)),
        Flag::Bend { string, angle } => ("bend", vec![string], Some(angle)),
        Flag::Low(by) => ("low", vec![], Some(by)),
        Flag::Short(by) => ("short", vec![], Some(by)),
        Flag::Shelf(by) => ("shelf", vec![], Some(by)),
        Flag::BelowBoard { string } => ("below-board", vec![string], None),
    };
    FlagOut { about, strings, by }
}
